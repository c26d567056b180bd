"""``gddcast sheet``: one side of paper for the week's walks."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gddcast.cli import options
from gddcast.errors import Refusal

if TYPE_CHECKING:
    from collections.abc import Sequence

    from gddcast.cli.book_here import Here
    from gddcast.cli.record import Record
    from gddcast.handouts.sheet.moved import ToldBefore
    from gddcast.plan import SeasonPlan
    from gddcast.scouting import ScoutingWindow
    from gddcast.walk_week import WalkWeek

#: What sheets are remembered by in a book.
_TOLD_BY = "sheet"


@click.command()
@options.file_argument
@options.book
@click.option(
    "-o", "--output", type=options.READABLE, metavar="OUT", help="Default: sheet-MONDAY.html here."
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
    from gddcast.handouts.sheet.moved import moved_since
    from gddcast.handouts.sheet.page import MOST_ROWS, Sheet, scouting_sheet
    from gddcast.handouts.text_file import write_text
    from gddcast.scouting import Habits
    from gddcast.sowings_today import chores_again, sowings_today, water_days
    from gddcast.succession import Rules
    from gddcast.walk_week import due_in_week

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
    moved = tuple(moved_since(plan, due[:MOST_ROWS], _told(here, plan), unit))
    chores = chores_again(record.journal, habits, plan.season, max(record.today, week.last))
    water = water_days(record.journal, habits.water_every_days, plan.season, week.days)
    made = Sheet(week, due, there, habits, record.rules or Rules(), chores, water, moved)
    page = scouting_sheet(
        plan, made, unit, size="letter" if size == "letter" else "a4", large=large
    )
    target = output or Path(f"sheet-{week.first}.html")
    write_text(target, page, force=force)
    click.echo(f"Wrote {target}: open it in a browser and print it.", err=True)
    _tell(here, plan, due)


def _told(here: Here | None, plan: SeasonPlan) -> dict[tuple[str, str, str], ToldBefore]:
    """What the last sheet before today said of each stage."""
    from gddcast.handouts.sheet.moved import ToldBefore

    if here is None:
        return {}
    return {
        (each.organism, each.event, each.clock): ToldBefore(
            each.told_on, each.earliest, each.latest
        )
        for each in here.book.told(_TOLD_BY, plan.season.name)
        if each.told_on < plan.today
    }


def _tell(here: Here | None, plan: SeasonPlan, due: Sequence[ScoutingWindow]) -> None:
    """Let the book remember what this sheet says, so that the next can say what moved."""
    from gddcast.book.announcements import Announcement
    from gddcast.book.fingerprints import fingerprint
    from gddcast.cli.clock import now
    from gddcast.handouts.calendar_file import told_as

    if here is None:
        return
    last = {
        (each.organism, each.event, each.clock): (each.told_on, each.earliest, each.latest)
        for each in here.book.told(_TOLD_BY, plan.season.name)
    }
    fresh = {
        told_as(each): each
        for each in due
        if each.fastest is not None
        and last.get(told_as(each)) != (plan.today, each.fastest, each.slowest)
    }
    if not fresh:
        return
    weather, moment = fingerprint(here.book.series()), now()
    try:
        with here.writing() as pen:
            for key, each in fresh.items():
                pen.announce(
                    Announcement(
                        _TOLD_BY, moment, plan.today, plan.season.name, *key, each.opens,
                        each.fastest, each.slowest, weather,
                    )
                )  # fmt: skip
    except Refusal as refusal:
        click.echo(
            f"The book could not be told ({refusal.found}): the next sheet will not say what "
            "moved since this one.",
            err=True,
        )


def _week(day: dt.date | None, record: Record) -> WalkWeek:
    """The week asked for, which is not over yet and begins in this season.

    Raises
    ------
    Refusal
    """
    from gddcast.series import season_of
    from gddcast.walk_week import WalkWeek
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
