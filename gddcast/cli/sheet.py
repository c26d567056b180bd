"""``gddcast sheet``: paper for the week's walks."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gddcast.cli import options
from gddcast.errors import Refusal, shell

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from gddcast.pages.paper import Paper
    from gddcast.pages.sheet.page import SheetPage
    from gddcast.scouting.windows import ScoutingWindow
    from gddcast.today.today import Today
    from gddcast.today.walk_week import WalkWeek
    from gddcast.units import Unit

#: What sheets are remembered by in a book.
TOLD_BY = "sheet"
_FRIDAY = 4


@click.command()
@options.file_argument
@options.book
@click.option(
    "-o", "--output", type=options.HAND_OUT, metavar="OUT", help="Default: sheet-PLACE-MONDAY.html."
)
@click.option(
    "--csv",
    "table",
    type=options.HAND_OUT,
    metavar="OUT",
    help="Also its rows as a table, to fill in for gddcast saw --from OUT.",
)
@click.option("--force", "-f", is_flag=True, help="Write over a file that is there.")
@click.option(
    "--week",
    "day",
    type=options.COMING_DAY,
    metavar="DATE",
    help="The week of this day; else this one, from Friday on the next.",
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
    table: Path | None,
    force: bool,
    day: dt.date | None,
    large: bool,
    size: str,
    watch: str | None,
    on: dt.date | None,
    show: str | None,
    cards_folder: Path | None,
    no_input: bool,
    **file_options: Any,
) -> None:
    r"""Write the scouting sheet of one week, to print and to write on in the garden.

    From a FILE or your season book; open it in a browser and print it.

    \b
    gddcast sheet --book larkhollow-patch
    gddcast sheet garden.csv --watch squash-vine-borer,squash-bug --paper letter
    gddcast sheet --week "22 June" --large -o next-week.html --csv next-week.csv
    """
    from gddcast.cli.record import open_today, unit_shown
    from gddcast.names import file_word
    from gddcast.output_file import refuse_existing, write_text
    from gddcast.pages.sheet.page import rows_of
    from gddcast.pages.sheet.table import sheet_table

    today, opened = open_today(
        file, None if file else book_folder, on,
        no_input=no_input, cards=cards_folder, watch=watch, **file_options,
    )  # fmt: skip
    week, unit = week_meant(day, today), unit_shown(today, show)
    rows = rows_of(today, week, unit)
    page, due = sheet_page(
        today, week, unit, size="letter" if size == "letter" else "a4", large=large
    )
    target = output or Path(f"sheet-{file_word(today.record.place.name)}-{week.first}.html")
    if table is not None:
        refuse_existing(target, force=force)  # both, or none
        write_text(table, sheet_table(rows), force=force)
    write_text(target, page, force=force)
    if day is None and week.first > today.day:
        this_one = shell("gddcast", "sheet", "--week", today.day)
        said = f"From Friday on it is the next week’s sheet; this week’s:  {this_one}"
        click.echo(said, err=True)
    if table is not None:
        fill_in = shell("gddcast", "saw", "--from", table)
        click.echo(f"Wrote {table}: fill in its rows, then  {fill_in}", err=True)
    if opened is not None:
        opened.announce(today, due, TOLD_BY)


def sheet_page(
    today: Today, week: WalkWeek, show: Unit, *, size: Paper = "a4", large: bool = False
) -> tuple[str, list[ScoutingWindow]]:
    """The sheet of a week as one HTML file, and the stages it tells of."""
    from gddcast.pages.paper import fill

    page, due = sheet_and_stages(today, week, show, size=size, large=large)
    return fill("sheet.html", page, paper=size), due


def sheet_and_stages(
    today: Today, week: WalkWeek, show: Unit, *,
    size: Paper = "a4", large: bool = False, among: str = "",
) -> tuple[SheetPage, list[ScoutingWindow]]:  # fmt: skip
    """What the sheet of a week shows, and the stages it tells of."""
    from gddcast.pages.sheet.page import rows_of, sheet_of
    from gddcast.scouting.windows import without_repeats

    rows = rows_of(today, week, show)
    # Those of rows, and what comes up after them: the strip draws it.
    due = without_repeats([*(w for row in rows for w in row.windows), *today.due_in(week)])
    moved = tuple(_changes(today, due, show))
    page = sheet_of(today, week, show, size=size, large=large, changes=moved, among=among)
    return page, due


def _changes(
    today: Today, due: Sequence[ScoutingWindow], show: Unit
) -> Iterator[tuple[ScoutingWindow, str]]:
    """What moved since the last sheet before today, each in a sentence."""
    from gddcast.text import why_moved
    from gddcast.today.beside_dates import beside
    from gddcast.today.changes import worth_saying

    changes = worth_saying(today.changes_since_last(TOLD_BY))
    for window in due:
        if change := beside(window, changes):
            yield window, why_moved.why(change, show)


def week_meant(day: dt.date | None, today: Today) -> WalkWeek:
    """The week asked for, which is not over yet and begins in this season.

    Without one it is this week until Thursday; from Friday on people walk by the next one's sheet.

    Raises
    ------
    Refusal
    """
    from gddcast.today.walk_week import WalkWeek
    from gddcast.words import day as said

    season = today.record.season
    next_one = WalkWeek.of(today.day + dt.timedelta(days=7))
    if day is None and today.day.weekday() >= _FRIDAY and next_one.first <= season.last:
        return next_one
    week = WalkWeek.of(day or today.day)
    if week.last < today.day:
        raise Refusal(
            f"the week of {day}",
            "it is over",
            f"Today is {said(today.day, year=True)}; a sheet is for walks to come.",
            f"Print it as it was:  --on {week.first}",
            slug="week-over",
        )
    if week.first > season.last:
        raise Refusal(
            f"the week of {day}",
            "it lies in another season",
            f"Sums start over after {said(season.last, year=True)}: nothing is foretold past it.",
            "Name a week of this season:  --week DATE",
            slug="week-too-late",
        )
    return week
