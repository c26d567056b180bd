"""``gddcast export`` and ``gddcast import``: a whole book as text, and back."""

from __future__ import annotations

from pathlib import Path

import click

from gddcast.cli import options
from gddcast.errors import Refusal, shell


@click.command()
@click.argument("folder", metavar="DIR", type=options.READABLE)
@click.option("--share", is_flag=True, help="Round the place to 0.1°, take out names and notes.")
@options.book
def export(folder: Path, share: bool, book_folder: Path | None) -> None:
    r"""Write everything in the book into a new folder DIR, as CSV and TOML.

    \b
    gddcast export copy-2026
    gddcast export to-share --share
    """
    from gddcast.book.exchange import export_book
    from gddcast.cli.book_here import opened_book
    from gddcast.cli.clock import now

    try:
        opened = opened_book(book_folder, None)
    except Refusal as refusal:
        if refusal.slug != "book-damaged":
            raise
        opened = opened_book(book_folder, None, even_damaged=True)
        click.echo(f"{refusal.where}: {refusal.problem}; written as it now reads. Look it through "
                   "before you bring it back.", err=True)  # fmt: skip
    rows = export_book(opened.book, folder, now(), shareable=share)
    click.echo(f"Wrote {rows:,} rows into {folder}.")
    if share:
        click.echo("Its place is rounded to 0.1°; names, notes and hours are taken out. Varieties "
                   "and dates are in it: look through it before you share it.")  # fmt: skip
    else:
        back = shell("gddcast", "import", folder, "--book", "NEW_FOLDER")
        click.echo(f"Bring it back with:  {back}")


@click.command("import")
@click.argument("folder", metavar="DIR", type=options.READABLE)
@click.option("--book", "book_folder", type=options.READABLE, metavar="NEW_FOLDER", required=True,
              help="Folder of the new book.")  # fmt: skip
def import_(folder: Path, book_folder: Path) -> None:
    r"""Make a new book from a folder DIR that ``gddcast export`` wrote.

    \b
    gddcast import copy-2026 --book garden
    """
    from gddcast.book.exchange import import_book

    book = import_book(folder, book_folder)
    entries = [each for each in book.entries() if not each.restores]
    gone = sum(bool(each.withdrawn_at) for each in entries)
    click.echo(
        f"Made the book {book_folder} of {book.place.name}: {len(entries):,} entries, {gone} of "
        "them withdrawn."
    )
    click.echo(f"Next:  {shell('gddcast', 'walk', '--book', book_folder)}")
