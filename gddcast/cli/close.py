"""``gddcast close``: look for a stage no more this season."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import click

from gddcast.cli import options


@click.command()
@click.argument("organism", metavar="PEST")
@click.argument("stage", metavar="[STAGE]", required=False)
@options.note
@options.on
@options.book
def close(
    organism: str,
    stage: str | None,
    note: str | None,
    on: dt.date | None,
    book_folder: Path | None,
) -> None:
    r"""Stop looking for a stage this season, or for every stage of a pest.

    It leaves the walk and the calendar; a find logged later opens it again, and so does undo.

    \b
    gddcast close squash-vine-borer moths
    gddcast close squash-bug --note "beds cleared"
    """
    from gddcast.cli.book_here import opened_book
    from gddcast.cli.opening import card_named, event_named
    from gddcast.journal.entries import Closing

    opened = opened_book(book_folder, on)
    cards = opened.cards()
    card = cards[card_named(cards, organism)]
    key = event_named(card, stage) if stage else ""
    event = card.event(key)
    with opened.writing() as pen:
        entry = pen.add(Closing(card.key, key, opened.today, note or None))
    what = event.words if event else "every stage"
    click.echo(
        f"Closed: {card.name}, {what}, for the season {opened.season.name}.  [entry {entry}]\n"
        f"A find logged later opens it again.  Undo:  {opened.command('undo')}"
    )
