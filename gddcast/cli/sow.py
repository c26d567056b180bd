"""``gddcast sow``: when a crop can still be sown here."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gddcast.cli import options
from gddcast.errors import Refusal

if TYPE_CHECKING:
    from gddcast.cards.model import Card
    from gddcast.cli.record import Record
    from gddcast.crops.last_sowing import SownBy
    from gddcast.crops.needs import From, Need
    from gddcast.crops.succession import Planned, Rules
    from gddcast.today.plan import SeasonPlan
    from gddcast.weather.series import Season


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
def sow() -> None:
    """Sowing days, weighed by the past years at this place."""


@sow.command(short_help="in how many past years a sowing was still worth it")
@options.file_argument
@click.option("--crop", metavar="NAME", required=True, help="See gddcast crops.")
@click.option(
    "--picking-days",
    type=click.IntRange(1, 200),
    metavar="N",
    help="Days of picking wanted; your book's, else 21.",
)
@click.option("--heat", metavar="1003F", help="Heat from seed to first pick, in F- or C-days.")
@click.option(
    "--packet-days",
    type=click.IntRange(1, 365),
    metavar="N",
    help="Days on the seed packet, for the calendar beside it; default the card's.",
)
@click.option("--frost", metavar="32F", default="32F", show_default=True, help="Ends the picking.")
@click.option(
    "--sown",
    type=options.MONTH_DAY,
    multiple=True,
    metavar="MM-DD",
    help="A sowing day to try; may be said again. Default one a week.",
)
@options.on
@options.book
@options.file_options
@options.show
@options.cards
@options.as_json
@options.no_input
def last(
    file: Path | None,
    crop: str,
    picking_days: int | None,
    heat: str | None,
    packet_days: int | None,
    frost: str,
    sown: tuple[tuple[int, int], ...],
    on: dt.date | None,
    book_folder: Path | None,
    show: str | None,
    cards_folder: Path | None,
    as_json: bool,
    no_input: bool,
    **how: Any,
) -> None:  # fmt: skip
    r"""Say in how many past years a sowing would still have been worth it.

    \b
    gddcast sow last --crop cucumber --picking-days 21
    gddcast sow last garden.csv --crop cucumber --heat 1003F --sown 07-25 --sown 08-10
    """
    from gddcast.cli.opening import shown_unit
    from gddcast.cli.record import open_record
    from gddcast.crops.last_sowing import calendar_check, sown_by, that_differ, weekly
    from gddcast.crops.needs import need_of, start_of
    from gddcast.handouts.sowings import sow_last_table
    from gddcast.quality.verdict import judge
    from gddcast.units import temperature_named, to_celsius, to_celsius_days
    from gddcast.weather.gaps import patch_short
    from gddcast.weather.series import season_of

    record = open_record(file, book_folder, on, no_input=no_input, cards=cards_folder, **how)
    card = _crop_named(record.cards, crop)
    series = patch_short(judge(record.series.before(record.today)).judged)
    given = to_celsius_days(*temperature_named(heat)) if heat else None
    need = need_of(
        series, record.journal, card, start=start_of(card), heat=given,
        rule_of_days=record.first_pick_days,
    )  # fmt: skip
    assert need is not None  # the rule of days is always there
    wanted, at = picking_days or record.picking_days, to_celsius(*temperature_named(frost))
    days = sown or tuple(weekly(season_of(record.today, record.begins)))
    rows = sown_by(series, need, record.today, days, picking_days=wanted, frost_at=at)
    if not any(row.years for row in rows):
        raise no_past_season(record.series.source)
    shown = rows if sown else that_differ(rows)
    packet = packet_days or _packet_days(card, need)
    check = calendar_check(series, record.today, packet, at) if packet else None
    unit = shown_unit(show, record.series)
    if as_json:
        from gddcast.cli.clock import now

        click.echo(sow_last_table.as_json(card.key, need, shown, check, wanted, at, unit, now()))
    else:
        click.echo(sow_last_table.as_text(card.name, need, shown, check, wanted, at, unit))


def _crop_named(cards: dict[str, Card], name: str) -> Card:
    from gddcast.cli.opening import card_named

    card = cards[card_named(cards, name)]
    if card.group != "crop":
        raise Refusal(
            f"'{name}'", "it is a pest, not a crop", "Only crops are sown.",
            "See them:  gddcast crops", slug="not-a-crop",
        )  # fmt: skip
    return card


def _packet_days(card: Card, need: Need) -> int | None:
    """The longest of the card's first days from seed, as a packet prints them."""
    from gddcast.units import rounded

    event = card.event("first-pick")
    days = [each for each in (event.days if event else ())
            if each.starts_from.crop == need.start]  # fmt: skip
    return int(rounded(days[0].days[1])) if days else None


def no_past_season(source: str) -> Refusal:
    """Said where no whole season stands behind an answer."""
    return Refusal(
        source,
        "it holds no whole past season",
        "Sowing days are weighed by how past years went, from summer to the first frost.",
        "Fetch a longer record:  gddcast weather fetch",
        slug="no-past-season",
    )


@sow.command(short_help="when past years had had their last frost of spring")
@options.file_argument
@click.option("--frost", metavar="32F", default="32F", show_default=True, help="How cold a night.")
@options.on
@options.book
@options.file_options
@options.show
@options.as_json
@options.no_input
def first(
    file: Path | None,
    frost: str,
    on: dt.date | None,
    book_folder: Path | None,
    show: str | None,
    as_json: bool,
    no_input: bool,
    **how: Any,
) -> None:
    r"""Say by which day past years had had their last frost of spring.

    \b
    gddcast sow first
    gddcast sow first garden.csv --frost 36F
    """
    from gddcast.cli.opening import shown_unit
    from gddcast.cli.record import open_record
    from gddcast.crops.frost import spring_frosts
    from gddcast.handouts.sowings import sow_first_table
    from gddcast.quality.verdict import judge
    from gddcast.units import temperature_named, to_celsius
    from gddcast.weather.gaps import patch_short
    from gddcast.weather.series import season_of

    record = open_record(file, book_folder, on, no_input=no_input, **how)
    at = to_celsius(*temperature_named(frost))
    series = patch_short(judge(record.series.before(record.today)).judged)
    frosts = spring_frosts(series, record.today, at)
    if not frosts.last:
        raise no_past_season(record.series.source)
    season, unit = season_of(record.today, record.begins), shown_unit(show, record.series)
    if as_json:
        from gddcast.cli.clock import now

        click.echo(sow_first_table.as_json(frosts, season, at, unit, now()))
    else:
        click.echo(sow_first_table.as_text(frosts, season, at, unit))


@sow.command(short_help="sowings one after another, and which pests meet them")
@options.file_argument
@click.option("--crop", metavar="NAME", required=True, help="See gddcast crops.")
@click.option(
    "--sown",
    type=options.DAY,
    multiple=True,
    metavar="DATE",
    help="A sowing day, done or planned; may be said again. Default those in your book.",
)
@click.option("--heat", metavar="1003F", help="Heat from seed to first pick, in F- or C-days.")
@options.on
@options.book
@options.file_options
@options.show
@options.cards
@options.as_json
@options.no_input
def plan(
    file: Path | None,
    crop: str,
    sown: tuple[dt.date, ...],
    heat: str | None,
    on: dt.date | None,
    book_folder: Path | None,
    show: str | None,
    cards_folder: Path | None,
    as_json: bool,
    no_input: bool,
    **how: Any,
) -> None:  # fmt: skip
    r"""Lay out sowings: first pick, side-dress, sow the next, and the pests they meet.

    \b
    gddcast sow plan --crop cucumber
    gddcast sow plan garden.csv --crop cucumber --sown 2026-05-20 --sown 2026-06-15
    """
    from gddcast.cli.opening import shown_unit
    from gddcast.cli.record import open_record
    from gddcast.crops.succession import Rules, plan_sowings, planned_on, sown_of
    from gddcast.handouts.sowings import sow_plan_table

    record = open_record(file, book_folder, on, no_input=no_input, cards=cards_folder, **how)
    card = _crop_named(record.cards, crop)
    watched = record.cards if record.watch is None else record.watch
    season = record.plan(
        key for key in watched
        if record.cards[key].group == "pest" and record.cards[key].lives_on(card.names)
    )  # fmt: skip
    sowings = [planned_on(day, card) for day in sown] or [
        sown_of(each, record.journal)
        for each in record.journal.sowings
        if each.crop == card.key and season.season.first <= each.sown_on <= season.season.last
    ]
    _refuse_other_seasons(card, [each.day for each in sowings], season.season)
    needs = _needs(record, season, card, {each.start for each in sowings}, heat)
    rules = record.rules or Rules()
    rows, last = _before_frost(
        season, record.today, needs, rules,
        plan_sowings(
            season.series, card, needs, sowings, season.windows, record.today, rules, season.climate
        ),
    )  # fmt: skip
    unit = shown_unit(show or record.show, record.series)
    if as_json:
        from gddcast.cli.clock import now

        click.echo(sow_plan_table.as_json(card, season, needs, rows, last, rules, unit, now()))
    else:
        click.echo(sow_plan_table.as_text(card, season, needs, rows, last, rules, unit))


def _refuse_other_seasons(card: Card, days: list[dt.date], season: Season) -> None:
    outside = [day for day in days if not season.first <= day <= season.last]
    if outside or not days:
        raise Refusal(
            f"the sowings of {card.name}",
            f"{outside[0]} lies outside the season {season.name}" if outside
            else "no sowing of this season was given",
            "A plan holds the sowings of the season of today.",
            "Name one:  --sown 2026-05-20     Another season:  --on DATE",
            slug="no-sowing",
        )  # fmt: skip


def _needs(
    record: Record, season: SeasonPlan, card: Card, starts: set[From], heat: str | None
) -> dict[From, dict[str, Need]]:
    """What the crop takes, from seed and from planting out as the sowings ask for."""
    from gddcast.crops.needs import start_of
    from gddcast.crops.succession import needs_of
    from gddcast.units import temperature_named, to_celsius_days

    given = to_celsius_days(*temperature_named(heat)) if heat else None
    return {
        start: needs_of(
            season.series, record.journal, card, start, heat=given,
            rule_of_days=record.first_pick_days if start == start_of(card) == "sowing" else None,
        )
        for start in sorted(starts)
    }  # fmt: skip


def _before_frost(
    season: SeasonPlan,
    today: dt.date,
    needs: dict[From, dict[str, Need]],
    rules: Rules,
    rows: tuple[Planned, ...],
) -> tuple[list[Planned], tuple[SownBy, ...]]:
    """Each sowing with the past years that left it its picking days; the last day that would."""
    from gddcast.crops.last_sowing import last_safe, sown_by, weekly

    found, last = [], None
    for row in rows:
        need = needs[row.sown.start].get("first-pick")
        if need is None:
            found.append(row)
            continue
        day = (row.sown.day.month, row.sown.day.day)
        picking = rules.picking_days
        (one,) = sown_by(season.series, need, today, [day], picking_days=picking)
        found.append(replace(row, before_frost=one))
        if last is None:
            days = tuple(weekly(season.season))
            last = last_safe(sown_by(season.series, need, today, days, picking_days=picking))
    return found, last or ()
