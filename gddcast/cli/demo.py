"""``gddcast demo``: the whole way at an invented place whose season book comes with gddcast."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import click

from gddcast.cli import options
from gddcast.cli.demo_book import DEMO_TODAY, demo_book, make_demo_book
from gddcast.errors import shell


@click.command()
@options.on
@options.watch
@options.show
@options.full
@options.color
@options.as_json
@click.option("--copy", "copied_to", type=options.READABLE, metavar="DIR",
              help="Leave its season book in a new folder, to play with.")  # fmt: skip
def demo(
    on: dt.date | None,
    watch: str | None,
    grow: str | None,
    show: str | None,
    full: bool,
    as_json: bool,
    copied_to: Path | None,
) -> None:
    r"""Walk an invented place, bed by bed, on 11 June 2026 unless you say another day.

    \b
    gddcast demo
    gddcast demo --copy patch
    """
    from gddcast.book.today import today_of
    from gddcast.cli.book_here import can_ask
    from gddcast.cli.crops_meant import crops_meant
    from gddcast.cli.opening import watch_list
    from gddcast.cli.walk import show_walk
    from gddcast.readers.card_files import load_cards

    today = on or DEMO_TODAY
    if copied_to is not None:
        book = make_demo_book(copied_to)
        click.echo(f"Made {copied_to}, the season book of {book.place.name}, an invented place.")
        click.echo(f"Next:  {shell('gddcast', 'walk', '--book', copied_to, '--on', today)}")
        return
    said = "" if on else f" Its today is {DEMO_TODAY.day} June 2026; --on DATE moves it."
    cards = load_cards()
    watched, crops = watch_list(cards, watch), crops_meant(cards, grow, asks=can_ask())
    with demo_book() as book:
        name = book.place.name
        click.echo(f"{name}, its weather and what was seen there are invented.{said}\n", err=True)
        here = today_of(book, today, cards, watched, crops)
        show_walk(here, "C" if show == "C" else "F", full=full, as_json=as_json)
