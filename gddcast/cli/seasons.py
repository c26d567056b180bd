"""``gddcast seasons``: the years at one place beside each other."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gddcast.cli import options
from gddcast.errors import ArgumentRefusal

if TYPE_CHECKING:
    from gddcast.today.season_sum import SeasonSum
    from gddcast.today.today import Today


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
    **file_options: Any,
) -> None:
    r"""Compare the seasons at one place, from a FILE or from your book.

    \b
    gddcast seasons garden.csv --lower 50F
    gddcast seasons --pest squash-vine-borer --stage moths
    """
    from gddcast.cli import screen
    from gddcast.cli.record import open_today, unit_shown
    from gddcast.text.seasons import season_table
    from gddcast.words import count, heat

    today, opened = open_today(
        file, book_folder, on, no_input=no_input, cards=cards_folder, **file_options
    )
    unit = unit_shown(today, show)
    by = sum_meant(today, pest, stage, lower)
    plan = today.watching(()).plan
    table, start = today.comparison(by), dt.date(2024, *by.start)
    if as_json:
        from gddcast.cli.clock import now

        click.echo(season_table.as_json(table, plan, unit, start, now()))
        return
    found = by.event.words if by.event and opened else None
    screen.show(season_table.as_text(table, plan, unit, start, found, screen.terminal()))
    if own_finds := by.own_finds:
        sum_, finds = heat(own_finds.goal, unit, unit=False), count(own_finds.finds, "season")
        click.echo(f"{sum_} is the sum by your finds of {finds}.")
    if by.card and not pest:
        click.echo(f"Counted as for {by.card.name}, the first of your watch list; "
                   "--pest or --lower choose otherwise.", err=True)  # fmt: skip


def sum_meant(
    today: Today, pest: str | None, stage: str | None, lower: str | None, goal: str | None = None
) -> SeasonSum:
    """What the flags ask for: a card's event as it is counted, or a threshold of one's own."""
    from gddcast.cli.opening import card_named, event_named
    from gddcast.heat.counting import Counting
    from gddcast.today.season_sum import PLAIN, SeasonSum
    from gddcast.units import temperature_named, to_celsius, to_celsius_days

    if pest and (lower or goal):
        raise click.UsageError("--pest counts as its card does; leave --lower and --goal out.")
    usual = None if pest or lower or goal else today.season_sum
    card = today.cards[card_named(today.cards, pest)] if pest else usual.card if usual else None
    if stage and card is None:
        raise click.UsageError("A --stage is one of a --pest; name that too.")
    if card is not None:
        return today.sum_of(card, event_named(card, stage) if stage else None)
    if usual is not None:
        return usual
    wanted = (to_celsius_days(*temperature_named(goal)),) if goal else ()
    if wanted and wanted[0] <= 0.0:
        raise _no_sum(goal or "")
    counting = Counting(to_celsius(*temperature_named(lower))) if lower else PLAIN
    return SeasonSum(counting, today.record.place.season_begins, wanted)


def _no_sum(goal: str) -> ArgumentRefusal:
    return ArgumentRefusal(
        f"the sum '{goal}'",
        "it is not above nought",
        "A sum of heat is reached on some day of a season, such as 1000F.",
        "Write one above nought.",
        slug="goal-not-above-zero",
    )
