"""``gddcast farms visits``: who looked, when, for what, as a table."""

from __future__ import annotations

import datetime as dt
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gddcast.cli import options

if TYPE_CHECKING:
    from gddcast.journal.entries import Journal


@click.command()
@click.argument("folder", type=options.READABLE)
@click.argument("names", nargs=-1, metavar="[FARM]…")
@click.option("-o", "--output", type=options.HAND_OUT, required=True, metavar="OUT.csv",
              help="File to write.")  # fmt: skip
@click.option("--force", "-f", is_flag=True, help="Write over a file that is there.")
@click.option("--since", type=options.DAY, metavar="DATE", help="Earlier looks are left out.")
def visits(
    folder: Path, names: tuple[str, ...], output: Path, force: bool, since: dt.date | None
) -> None:
    r"""Write visits and counts as a table: of FARM, for its client, or of every farm.

    \b
    gddcast farms visits FOLDER "Two Ponds" -o two-ponds.csv
    """
    from gddcast.cli.farms.entries import book_of
    from gddcast.errors import Refusal, command
    from gddcast.farms.attempt import attempt
    from gddcast.output_file import refuse_existing, write_text
    from gddcast.readers.farms_list import read_farms
    from gddcast.text.farms.visits import visits_csv

    refuse_existing(output, force=force)
    listed = read_farms(folder)
    if names:
        books = [(listed.named(name).name, book_of(folder, name)) for name in names]
        journals = [(name, _journal(book)) for name, book in books]
        write_text(output, visits_csv(journals, since), force=force)
        return
    journals = []
    for farm in listed.farms:
        if farm.is_book:
            journal = attempt(farm, partial(_journal, folder / farm.file))
            if isinstance(journal, Refusal):
                click.echo(f"{farm.name} can’t be read: {journal.problem}", err=True)
            else:
                journals.append((farm.name, journal))
    if not journals:
        raise Refusal(
            str(folder), "no farm’s season book can be read here",
            "Looks are kept in season books.",
            f"Make one for each farm:  {command('setup', '--book', folder / 'NAME')}",
            slug="no-book",
        )  # fmt: skip
    write_text(output, visits_csv(journals, since), force=force)


def _journal(book: Path) -> Journal:
    from gddcast.book.opening import open_book

    return open_book(book).journal()
