"""``gddcast redo``: what was withdrawn stands again."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import click

from gddcast.cli import options


@click.command()
@click.argument("entry", required=False)
@options.on
@options.book
def redo(entry: str | None, on: dt.date | None, book_folder: Path | None) -> None:
    r"""Take back an undo: the last one, or that of the entry you name.

    It stands in its old place, as if it had never been withdrawn; undo withdraws it again.

    \b
    gddcast redo
    gddcast redo 2026-007
    """
    from gddcast.cli.book_here import opened_book
    from gddcast.text.logged import entry_words

    opened = opened_book(book_folder, on)
    with opened.writing() as pen:
        back = pen.restore(entry)
    days = opened.book.days_brought(back.name)
    click.echo(f"Back again: {entry_words(back, opened.book.show, days)}.  [entry {back.name}]")
    click.echo(f"Every date is worked out with it.  Undo:  {opened.command('undo')}")
