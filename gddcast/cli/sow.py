"""``gddcast sow``: when a crop can still be sown here."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gddcast.cli import options
from gddcast.errors import Refusal, shell
from gddcast.words import listed

if TYPE_CHECKING:
    from gddcast.cards.model import Card
    from gddcast.today.today import Today
    from gddcast.weather.series import Season


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
def sow() -> None:
    """Sowing days, weighed by the past years at this place."""


@sow.command(short_help="in how many past years a sowing was still worth it")
@options.file_argument
@click.option("--crop", metavar="NAME", help="See gddcast crops; in a book, the one sown.")
@click.option(
    "--picking-days",
    type=click.IntRange(1, 200),
    metavar="N",
    help="Days of picking wanted; your book’s, else 21.",
)
@click.option("--heat", metavar="1003F", help="Heat from seed to first pick, in F- or C-days.")
@click.option(
    "--packet-days",
    type=click.IntRange(1, 365),
    metavar="N",
    help="Days on the seed packet, for the calendar beside it; default the card’s.",
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
    crop: str | None,
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
    **file_options: Any,
) -> None:  # fmt: skip
    r"""Say in how many past years a sowing would still have been worth it.

    \b
    gddcast sow last --crop cucumber --picking-days 21
    gddcast sow last garden.csv --crop cucumber --heat 1003F --sown 07-25 --sown 08-10
    """
    from gddcast.cli import screen
    from gddcast.cli.book_here import can_ask
    from gddcast.cli.record import open_today, unit_shown
    from gddcast.text.sowings import sow_last
    from gddcast.units import temperature_named, to_celsius, to_celsius_days

    today, _ = open_today(
        file, book_folder, on, no_input=no_input, cards=cards_folder, **file_options
    )
    card = _crop_named(today, crop, asks=can_ask(no_input=no_input))
    last_sowing = today.last_sowing(
        card,
        heat=to_celsius_days(*temperature_named(heat)) if heat else None,
        days=sown, picking_days=picking_days, packet_days=packet_days,
        frost_at=to_celsius(*temperature_named(frost)),
    )  # fmt: skip
    answer = (
        last_sowing.need,
        last_sowing.rows,
        last_sowing.check,
        last_sowing.picking_days,
        last_sowing.frost_at,
    )
    unit = unit_shown(today, show)
    if as_json:
        from gddcast.cli.clock import now

        click.echo(sow_last.as_json(card.key, *answer, unit, now()))
    else:
        screen.show(sow_last.as_text(card.name, *answer, unit, screen.terminal()))


def _only_crop(today: Today) -> str:
    first = today.record.season.first
    crops = sorted({each.crop for each in today.journal.sowings if each.sown_on >= first})
    if len(crops) == 1:
        return crops[0]
    found = f"Sown this season: {listed(crops)}." if crops else "No sowing is on record."
    raise Refusal(
        f"sow {click.get_current_context().info_name}", "it names no crop", found,
        f"Say which:  --crop {shell(next(iter(crops), 'cucumber'))}     All:  gddcast crops",
        slug="no-crop",
    )  # fmt: skip


def _crop_named(today: Today, name: str | None, *, asks: bool) -> Card:
    """The crop meant; of none named the one that was sown this season, where it is one."""
    from gddcast.cards.library import called
    from gddcast.cli.crops_meant import crop_meant
    from gddcast.readers.card_files import no_such_card

    cards, name = today.cards, name or _only_crop(today)
    meant = called(cards.values(), name)
    if meant is not None and meant.group != "crop":
        raise Refusal(
            f"'{name}'", "it is a pest, not a crop", "Only crops are sown.",
            "See them:  gddcast crops", slug="not-a-crop",
        )  # fmt: skip
    card = meant or cards.get(crop_meant(cards, name, asks=asks))
    if card is None:
        raise no_such_card(name, cards)
    return card


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
    **file_options: Any,
) -> None:
    r"""Say by which day past years had had their last frost of spring.

    \b
    gddcast sow first
    gddcast sow first garden.csv --frost 36F
    """
    from gddcast.cli import screen
    from gddcast.cli.record import open_today, unit_shown
    from gddcast.text.sowings import sow_first
    from gddcast.units import temperature_named, to_celsius

    at = to_celsius(*temperature_named(frost))
    today, _ = open_today(file, book_folder, on, no_input=no_input, **file_options)
    frosts, season, unit = today.spring_frosts(at), today.record.season, unit_shown(today, show)
    if as_json:
        from gddcast.cli.clock import now

        click.echo(sow_first.as_json(frosts, season, at, unit, now()))
    else:
        screen.show(sow_first.as_text(frosts, season, at, unit, screen.terminal()))


@sow.command(short_help="sowings one after another, and which pests meet them")
@options.file_argument
@click.option("--crop", metavar="NAME", help="See gddcast crops; in a book, the one sown.")
@click.option(
    "--sown",
    type=options.NEAREST_DAY,
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
    crop: str | None,
    sown: tuple[dt.date, ...],
    heat: str | None,
    on: dt.date | None,
    book_folder: Path | None,
    show: str | None,
    cards_folder: Path | None,
    as_json: bool,
    no_input: bool,
    **file_options: Any,
) -> None:  # fmt: skip
    r"""Lay out sowings: first pick, side-dress, sow the next, and the pests they meet.

    \b
    gddcast sow plan --crop cucumber
    gddcast sow plan garden.csv --crop cucumber --sown 2026-05-20 --sown 2026-06-15
    """
    from gddcast.cli import screen
    from gddcast.cli.book_here import can_ask
    from gddcast.cli.record import open_today, unit_shown
    from gddcast.crops.succession import planned_on, sown_of
    from gddcast.text.sowings import sow_plan
    from gddcast.units import temperature_named, to_celsius_days

    today, _ = open_today(
        file, book_folder, on, no_input=no_input, cards=cards_folder, **file_options
    )
    card = _crop_named(today, crop, asks=can_ask(no_input=no_input))
    season = today.record.season
    sowings = [planned_on(day, card) for day in sown] or [
        sown_of(each, today.journal)
        for each in today.journal.sowings
        if each.crop == card.key and season.first <= each.sown_on <= season.last
    ]
    _refuse_other_seasons(card, [each.day for each in sowings], season)
    given = to_celsius_days(*temperature_named(heat)) if heat else None
    sowing_plan = today.of_pests_on(card).sowing_plan(card, sowings, given)
    answer = (
        card,
        sowing_plan.season,
        sowing_plan.needs,
        sowing_plan.rows,
        sowing_plan.last,
        today.practice.rules,
    )
    unit = unit_shown(today, show)
    if as_json:
        from gddcast.cli.clock import now

        click.echo(sow_plan.as_json(*answer, unit, now()))
    else:
        screen.show(sow_plan.as_text(*answer, unit, screen.terminal()))


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
