"""``gddcast farms sheets``: every farm's scouting sheet in one file to print."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gddcast.cli import options
from gddcast.cli.farms.paper import as_paper, to_file
from gddcast.errors import Refusal

if TYPE_CHECKING:
    from gddcast.cli.book_here import OpenedBook
    from gddcast.pages.paper import Paper
    from gddcast.pages.sheet.page import SheetPage
    from gddcast.scouting.windows import ScoutingWindow
    from gddcast.today.today import Today
    from gddcast.units import Unit


@click.command()
@click.argument("folder", type=options.READABLE)
@to_file
@click.option("--pest", metavar="NAME,…", help="Only these pests (see gddcast pests).")
@click.option(
    "--week", "day", type=options.COMING_DAY, metavar="DATE", help="The week of this day."
)
@click.option("--large", is_flag=True, help="Big print, two items a page.")
@options.on
@options.show
@options.cards
def sheets(
    folder: Path,
    output: Path,
    force: bool,
    size: str,
    pest: str | None,
    day: dt.date | None,
    large: bool,
    on: dt.date | None,
    show: str | None,
    cards_folder: Path | None,
) -> None:
    r"""Write the week’s scouting sheets of all farms into one file, each from a new page on.

    They stand in the order of the list; a farm that can’t be read is said and left out.

    \b
    gddcast farms sheets FOLDER -o sheets.html
    """
    from gddcast.cli.failures import CANNOT_USE
    from gddcast.cli.farms.opening import open_farms
    from gddcast.cli.progress import progress_bar
    from gddcast.cli.sheet import TOLD_BY
    from gddcast.farms.board import refused_farm
    from gddcast.output_file import refuse_existing, write_text
    from gddcast.pages.sheet.page import sheets_page
    from gddcast.text.farms.doubt_words import why_refused
    from gddcast.words import count

    refuse_existing(output, force=force)
    farms = open_farms(folder, on, pest=pest, cards=cards_folder)
    unit, paper = farms.show(show), as_paper(size)
    sheets = []
    with progress_bar("Farms") as progress:
        for farm, answer in farms.tried(
            lambda each: _sheet(
                farms.today(each), day, unit, paper, large=large, day_given=on is not None
            ),
            progress,
        ):
            if isinstance(answer, Refusal):
                said = why_refused(refused_farm(farm, answer), str(folder))
                click.echo(f"{farm.name} has no sheet: {said}", err=True)
            else:
                sheets.append(answer)
    if farms.not_asked or not sheets:
        farms.done(CANNOT_USE)
    pages = [each.page for each in sheets]
    title = f"{count(len(pages), 'farm')}, walks of {pages[0].week}"
    write_text(output, sheets_page(pages, title, size=paper), force=force)
    for each in sheets:
        if each.book is not None and each.to_announce is not None:
            each.book.announce(*each.to_announce, TOLD_BY)


@dataclass(frozen=True, slots=True)
class _Sheet:
    """One farm's sheet; of one with a book also what the book is to remember."""

    page: SheetPage
    book: OpenedBook | None = None
    to_announce: tuple[Today, list[ScoutingWindow]] | None = None


def _sheet(
    today: Today, day: dt.date | None, unit: Unit, paper: Paper, *, large: bool, day_given: bool
) -> _Sheet:
    from gddcast.book.today import BookMemory
    from gddcast.cli.book_here import OpenedBook
    from gddcast.cli.sheet import sheet_and_stages, week_meant

    week = week_meant(day, today)
    among = f"{today.record.place.name}: "
    page, due = sheet_and_stages(today, week, unit, size=paper, large=large, among=among)
    if not isinstance(today.memory, BookMemory):
        return _Sheet(page)
    return _Sheet(
        page, OpenedBook(today.memory.book, today.day, day_given, asks=False), (today, due)
    )
