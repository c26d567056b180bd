"""``gddcast book``: whether the season book is sound, its copies, and what to do when it is not."""

from __future__ import annotations

from pathlib import Path

import click

from gddcast.cli import options


@click.group()
def book() -> None:
    """Look after the season book: is it sound, go back to a copy, save what can be saved."""


@book.command()
@options.book
def check(book_folder: Path | None) -> None:
    r"""Compare every row with its checksum, and list the copies beside it.

    \b
    gddcast book check
    """
    from gddcast.book.copies import copies
    from gddcast.cli.book_here import opened_book
    from gddcast.words import count, day

    opened = opened_book(book_folder, None)
    entries = opened.book.entries()
    last = (
        f"; the last was written on {day(entries[-1].entered_at.date(), year=True)}"
        if entries
        else ""
    )
    click.echo(f"Sound: {count(len(entries), 'entry', 'entries')}, each as it was written{last}.")
    for each in copies(opened.book.records):
        click.echo(_copy_words(each.file, each.entries, each.last))
    click.echo("A copy is made once a week, and before a later gddcast changes the tables. One on "
               "another disk:  gddcast export DIR")  # fmt: skip


@book.command()
@click.argument("copy", metavar="COPY", type=options.READABLE, required=False)
@options.book
def restore(copy: Path | None, book_folder: Path | None) -> None:
    r"""Go back to a copy of the record: the latest sound one, or the file you name.

    The record as it is stays beside it under another name, so this can be taken back.

    \b
    gddcast book restore
    gddcast book restore book-copy-2026-06-18.sqlite
    """
    from gddcast.book import copies, faults, store
    from gddcast.book.opening import RECORDS, open_book
    from gddcast.cli.book_here import book_option, folder_meant
    from gddcast.cli.clock import now
    from gddcast.errors import Refusal, shell

    folder = folder_meant(book_folder)
    if not store.holds_a_book(folder):
        raise faults.no_book(folder)
    records = folder / RECORDS
    there = copies.copies(records)
    if not there:
        raise copies.no_copy(records)
    wanted = (
        there[0]
        if copy is None
        else next((each for each in there if each.file.name == copy.name), None)
    )
    if wanted is None:
        raise Refusal(
            str(copy), "it is no sound copy of this book",
            f"These are: {', '.join(each.file.name for each in there)}.",
            "Name one of them.", slug="no-copy",
        )  # fmt: skip
    aside = copies.restore(records, wanted, now().date())
    open_book(folder)
    click.echo(f"Back to {_copy_words(wanted.file, wanted.entries, wanted.last)}")
    if aside is not None:
        back = shell("gddcast", "book", "restore", aside.name, *book_option(folder))
        click.echo(
            f"The record as it was is {aside.name}. If that was sound, go back to it:  {back}"
        )
        click.echo("What was written after the copy is not in the book now.")


@book.command()
@click.argument("target", metavar="NEWDIR", type=options.READABLE)
@click.option(
    "--export",
    type=options.READABLE,
    metavar="DIR",
    help="Your last export: what the record and its copies have lost is taken from it.",
)
@options.book
def rescue(target: Path, export: Path | None, book_folder: Path | None) -> None:
    r"""Make a new book NEWDIR of every entry that is still as it was written.

    What the record has lost is taken from the copies beside it, then from your last export; the
    rest is named. The damaged book is left as it is.

    \b
    gddcast book rescue saved --book garden
    gddcast book rescue saved --export copy --book garden
    """
    from gddcast.book import faults, store
    from gddcast.book.copies import copies
    from gddcast.book.opening import RECORDS
    from gddcast.book.rescue import rescue as save
    from gddcast.cli.book_here import folder_meant
    from gddcast.cli.clock import now
    from gddcast.errors import shell
    from gddcast.words import count

    folder = folder_meant(book_folder)
    if not store.holds_a_book(folder):
        raise faults.no_book(folder)
    beside = [each.file for each in copies(folder / RECORDS)]
    _, saved = save(folder, target, beside, now(), export)
    click.echo(f"Saved {count(saved.entries, 'entry', 'entries')} into {target}.")
    for words, names in (
        ("From a copy or the export" if export else "From a copy", saved.from_copies),
        ("Without checksums to compare, look them through", saved.unchecked),
        ("Lost", saved.lost),
    ):
        if names:
            click.echo(f"{words}: {', '.join(names)}.")
    for name, days in saved.days_lost.items():
        click.echo(
            f"Of entry {name}, {count(days, 'day')} of weather lost: bring that file in again."
        )
    if export is None and (saved.lost or saved.days_lost):
        again = shell("gddcast", "book", "rescue", "NEWDIR", "--export", "DIR", "--book", folder)
        click.echo(f"Should an export of yours have them:  {again}")
    click.echo(f"Next:  {shell('gddcast', 'walk', '--book', target)}")


def _copy_words(file: Path, entries: int, last: object) -> str:
    from gddcast.words import count

    until = f", to {last:%Y-%m-%d}" if last else ""
    return f"copy {file.name}: {count(entries, 'entry', 'entries')}{until}."
