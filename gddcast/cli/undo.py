"""``gddcast undo``: withdraw an entry, keeping a trace."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import click

from gddcast.cli import options


@click.command()
@click.argument("entry", required=False)
@options.note
@options.on
@options.book
def undo(entry: str | None, note: str | None, on: dt.date | None, book_folder: Path | None) -> None:
    r"""Withdraw the last entry, or the one you name. It stays in the book, marked.

    \b
    gddcast undo
    gddcast undo 2026-007 --note "was a stink bug"
    """
    from gddcast.cli.book_here import opened_book
    from gddcast.cli.clock import now
    from gddcast.text.logged import entry_words

    here = opened_book(book_folder, on, even_damaged=True)
    # A clock set back must not keep anybody from taking back what it spoiled.
    with here.book.writing(now(), here.today, trust_clock=True) as pen:
        gone = pen.withdraw(entry, note or None)
    click.echo(f"Withdrawn: {entry_words(gone, here.book.show)}.  [entry {gone.name}]")
    click.echo("It stays in the book, marked as withdrawn; every date is worked out without it.")
