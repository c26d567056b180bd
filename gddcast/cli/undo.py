"""``gddcast undo``: withdraw an entry, keeping a trace."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gddcast.cli import options

if TYPE_CHECKING:
    from gddcast.book.entries import DaysBrought, Entry
    from gddcast.cli.book_here import OpenedBook
    from gddcast.text.doubts import EntryDoubt


@click.command()
@click.argument("entry", required=False)
@options.note
@options.certain
@options.on
@options.book
@options.no_input
def undo(
    entry: str | None,
    note: str | None,
    sure: bool,
    on: dt.date | None,
    book_folder: Path | None,
    no_input: bool,
) -> None:
    r"""Withdraw the last entry, or the one you name. It stays in the book, marked.

    One that was not written today, or brought more than a day of weather, is named and asked
    about first. gddcast redo takes it back.

    \b
    gddcast undo
    gddcast undo 2026-007 --note "was a stink bug"
    """
    from gddcast.book.entries import meant_to_withdraw
    from gddcast.cli.book_here import opened_book
    from gddcast.cli.certainty import ask_to_be_sure
    from gddcast.cli.clock import now
    from gddcast.text.logged import entry_words

    opened = opened_book(book_folder, on, no_input=no_input, even_damaged=True)
    meant = meant_to_withdraw(opened.book.entries(), entry)
    days = opened.book.days_brought(meant.name)
    ask_to_be_sure(_doubt(opened, meant, days), asks=opened.asks, sure=sure)
    # A clock set back must not keep anybody from taking back what it spoiled.
    with opened.book.writing(now(), opened.today, trust_clock=True) as pen:
        gone = pen.withdraw(meant.name, note or None)
    click.echo(f"Withdrawn: {entry_words(gone, opened.book.show, days)}.  [entry {gone.name}]")
    click.echo("It stays in the book, marked as withdrawn; every date is worked out without it.")
    click.echo(f"Take it back:  {opened.command('redo')}")


def _doubt(opened: OpenedBook, meant: Entry, days: DaysBrought | None) -> EntryDoubt | None:
    """What speaks against a slip: it is old by this computer's clock, or it is much."""
    from gddcast.cli.clock import today_at
    from gddcast.text.doubts import withdrawal

    written = meant.entered_at.date()
    old = written < today_at(opened.book.place)
    if not old and (days is None or days.count == 1):
        return None
    return withdrawal(meant, days, written if old else None, opened.book.show)
