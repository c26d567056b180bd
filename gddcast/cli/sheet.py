"""``gddcast sheet``: one side of paper for the week's walks."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gddcast.cli import options
from gddcast.errors import Refusal

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from gddcast.cli.book_here import Here
    from gddcast.cli.record import Record
    from gddcast.scouting.windows import ScoutingWindow
    from gddcast.today.plan import SeasonPlan
    from gddcast.today.walk_week import WalkWeek
    from gddcast.units import Unit

#: What sheets are remembered by in a book.
_TOLD_BY = "sheet"


@click.command()
@options.file_argument
@options.book
@click.option(
    "-o", "--output", type=options.HAND_OUT, metavar="OUT", help="Default: sheet-MONDAY.html here."
)
@click.option("--force", "-f", is_flag=True, help="Write over a file that is there.")
@click.option(
    "--week", "day", type=options.DAY, metavar="DATE", help="The week of this day; else of today."
)
@click.option("--large", is_flag=True, help="Big print, two items a page.")
@click.option(
    "--paper", "size", type=click.Choice(["a4", "letter"]), default="a4", help="Default: a4."
)
@options.watch
@options.on
@options.file_options
@options.show
@options.cards
@options.no_input
def sheet(
    file: Path | None,
    book_folder: Path | None,
    output: Path | None,
    force: bool,
    day: dt.date | None,
    large: bool,
    size: str,
    watch: str | None,
    on: dt.date | None,
    show: str | None,
    cards_folder: Path | None,
    no_input: bool,
    **how: Any,
) -> None:
    r"""Write the scouting sheet of one week, to print and to write on in the garden.

    From a FILE or your season book; open it in a browser and print it.

    \b
    gddcast sheet --book larkhollow-patch
    gddcast sheet garden.csv --watch squash-vine-borer,squash-bug --paper letter
    gddcast sheet --week 2026-06-22 --large -o next-week.html
    """
    from gddcast.cli.book_here import open_here
    from gddcast.cli.opening import shown_unit, watch_list
    from gddcast.cli.record import open_record, record_of
    from gddcast.crops.standing import chores_again, sowings_today, water_days
    from gddcast.crops.succession import Rules
    from gddcast.output_file import write_text
    from gddcast.pages.sheet.page import LARGE_ROWS, Sheet, scouting_sheet
    from gddcast.scouting.windows import Habits
    from gddcast.today.walk_week import due_in_week

    here = open_here(book_folder, on, no_input=no_input) if file is None else None
    if here is None:
        record = open_record(file, None, on, no_input=no_input, cards=cards_folder, **how)
    else:
        record = record_of(here, cards_folder)
    week = _week(day, record)
    plan = record.plan(watch_list(record.cards, watch))
    unit = shown_unit(show or record.show, record.series)
    habits = record.habits or Habits()
    there = sowings_today(record.journal, record.cards, plan.season, record.today)
    due = due_in_week(plan, week, there, lead_days=habits.lead_days)
    moved = tuple(_moved(here, plan, due[:LARGE_ROWS], unit))
    chores = chores_again(record.journal, habits, plan.season, max(record.today, week.last))
    water = water_days(record.journal, habits.water_every_days, plan.season, week.days)
    made = Sheet(week, due, there, habits, record.rules or Rules(), chores, water, moved)
    page = scouting_sheet(
        plan, made, unit, size="letter" if size == "letter" else "a4", large=large
    )
    target = output or Path(f"sheet-{week.first}.html")
    write_text(target, page, force=force)
    click.echo(f"Wrote {target}: open it in a browser and print it.", err=True)
    if here is not None:
        from gddcast.cli.remembered import tell

        tell(here, plan, due, _TOLD_BY)


def _moved(
    here: Here | None, plan: SeasonPlan, due: Sequence[ScoutingWindow], show: Unit
) -> Iterator[tuple[ScoutingWindow, str]]:
    """What moved since the last sheet before today, each in a sentence."""
    from gddcast.cli.remembered import moved, moved_text
    from gddcast.text import why_moved
    from gddcast.today.hindsight import beside

    changes = moved_text(moved(here.book, plan, told_by=_TOLD_BY)) if here is not None else {}
    for window in due:
        if change := beside(window, changes):
            yield window, why_moved.moved(change, show)


def _week(day: dt.date | None, record: Record) -> WalkWeek:
    """The week asked for, which is not over yet and begins in this season.

    Raises
    ------
    Refusal
    """
    from gddcast.today.walk_week import WalkWeek
    from gddcast.weather.series import season_of
    from gddcast.words import day as said

    week = WalkWeek.of(day or record.today)
    if week.last < record.today:
        raise Refusal(
            f"the week of {day}",
            "it is over",
            f"Today is {said(record.today, year=True)}; a sheet is for walks to come.",
            f"Print it as it was:  --on {week.first}",
            slug="week-over",
        )
    season = season_of(record.today, record.begins)
    if week.first > season.last:
        raise Refusal(
            f"the week of {day}",
            "it lies in another season",
            f"Sums start over after {said(season.last, year=True)}: nothing is foretold past it.",
            "Name a week of this season:  --week DATE",
            slug="week-too-late",
        )
    return week
