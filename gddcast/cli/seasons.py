"""``gddcast seasons``: the years at one place beside each other."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gddcast.cli import options
from gddcast.errors import Refusal

if TYPE_CHECKING:
    from gddcast.cards import Card, Event, Number
    from gddcast.cli.record import Record


@click.command()
@options.file_argument
@click.option("--pest", metavar="NAME", help="Count as the card of this pest does.")
@click.option("--stage", metavar="STAGE", help="Which of its stages; default the first.")
@click.option(
    "--lower", metavar="50F", help="Count above this instead; 50F where neither is said or watched."
)
@options.on
@options.book
@options.file_options
@options.show
@options.cards
@options.as_json
@options.no_input
def seasons(
    file: Path | None,
    pest: str | None,
    stage: str | None,
    lower: str | None,
    on: dt.date | None,
    book_folder: Path | None,
    show: str | None,
    cards_folder: Path | None,
    as_json: bool,
    no_input: bool,
    **how: Any,
) -> None:
    r"""Compare the seasons at one place, from a FILE or from your book.

    \b
    gddcast seasons garden.csv --lower 50F
    gddcast seasons --pest squash-vine-borer --stage moths
    """
    from gddcast.cli.opening import card_named, shown_unit
    from gddcast.cli.record import open_record
    from gddcast.counting import Counting, counting_of
    from gddcast.handouts import season_table
    from gddcast.own_goals import is_counted_alike
    from gddcast.plan import Overrule
    from gddcast.seasons import compare_seasons
    from gddcast.units import temperature_named, to_celsius
    from gddcast.words import day, heat

    if pest and lower:
        raise click.UsageError("--pest counts as its card does; leave --lower out.")
    record = open_record(file, book_folder, on, no_input=no_input, cards=cards_folder, **how)
    unit = shown_unit(show or record.show, record.series)
    if not pest and not lower:
        pest = _first_watched(record)
        if pest and not as_json:
            click.echo(f"Counted as for {record.cards[pest].name}, the first of your watch list; "
                       "--pest or --lower choose otherwise.", err=True)  # fmt: skip
    overrule, begins, event, own = record.overrule or Overrule(), record.begins, None, None
    goals: tuple[float, ...] = ()
    if pest:
        card = record.cards[card_named(record.cards, pest)]
        event, number = calendar_number(card, stage)
        counting = counting_of(number, shape=overrule.shape, cutoff=overrule.cutoff)
        begins = overrule.start or start_date(number) or begins
        own = record.journal.own_goal(card.key, event.key)
        goals = number.goal_c or ()
        if own and is_counted_alike(own, counting, begins):
            goals = (*goals, own.goal)
    else:
        counting = Counting(to_celsius(*temperature_named(lower or "50F")))
    journal, key = record.journal, event.key if event else ""
    table = compare_seasons(
        record.plan([]).series, counting, record.today,
        goals=tuple(dict.fromkeys(goals)), start=begins,
        seen=lambda year: journal.bracket(card.key, [key], year.first, year.last) if key else None,
    )  # fmt: skip
    start = dt.date(2024, *begins)
    if as_json:
        from gddcast.cli.clock import now

        click.echo(season_table.as_json(table, unit, start, now()))
        return
    found = event.words if event and record.has_book else None
    click.echo(season_table.as_text(table, unit, start, found))
    if own and own.goal in goals:
        kept = day(own.kept_on, weekday=False, year=True)
        click.echo(f"{heat(own.goal, unit, unit=False)} is your own number, kept {kept}.")


def _first_watched(record: Record) -> str | None:
    """The first card of the watch list with a sum that counts from a date."""
    for key in record.watch or ():
        try:
            calendar_number(record.cards[key], None)
        except Refusal:
            continue
        return key
    return None


def calendar_number(card: Card, stage: str | None) -> tuple[Event, Number]:
    """The stage meant, and a number of it that counts from a date."""
    from gddcast.cli.opening import event_named

    keys = [event_named(card, stage)] if stage else [event.key for event in card.events]
    for event in card.events:
        number = event.default
        if event.key in keys and number and number.kind == "calendar" and number.goal:
            return event, number
    raise Refusal(
        f"{card.name}, {stage or 'any stage'}",
        "its card has no heat sum that counts from a date",
        "Seasons are compared by sums that start on the same day of each.",
        f"Read the card:  gddcast {card.group}s {card.key}     Or:  gddcast seasons --lower 50F",
        slug="no-calendar-sum",
    )


def start_date(number: Number) -> tuple[int, int] | None:
    """Month and day a number counts from, where its source states it."""
    return number.starts_from.date if number.starts_from else None
