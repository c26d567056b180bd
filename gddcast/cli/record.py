"""What a command works on: what a bare file, or a book with its journal, says on a day."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from gddcast.errors import Refusal, shell

if TYPE_CHECKING:
    from gddcast.cli.book_here import OpenedBook
    from gddcast.today.record import Record
    from gddcast.today.today import Today
    from gddcast.units import Unit


class Opened(NamedTuple):
    """What a place says, and the book that it keeps, if it keeps one."""

    today: Today
    book: OpenedBook | None


def open_today(
    file: Path | None,
    book_folder: Path | None,
    on: dt.date | None,
    *,
    no_input: bool,
    cards: Path | None = None,
    forecasts: Path | None = None,
    watch: str | None = None,
    grow: str | None = None,
    **file_options: Any,
) -> Opened:
    """The file named, with the past forecasts of another, else the book meant.

    ``watch`` are names of cards, ``grow`` those of crops, with commas between; without either the
    book's own lists are meant.
    """
    from gddcast.cli.book_here import can_ask
    from gddcast.cli.crops_meant import crops_meant
    from gddcast.cli.opening import watch_list
    from gddcast.readers.card_files import load_cards

    if file is None:
        if forecasts is not None:
            raise _book_has_forecasts(forecasts)
        from gddcast.cli.book_here import opened_book

        opened = opened_book(book_folder, on, no_input=no_input)
        known = opened.cards() if cards is None else load_cards(cards_folder=cards)
        crops = crops_meant(known, grow, asks=opened.asks)
        return Opened(opened.today_with(known, watch_list(known, watch), crops), opened)
    from gddcast.today.practice import Practice
    from gddcast.today.today import Today

    record = open_record(file, on, no_input=no_input, forecasts=forecasts, **file_options)
    known = load_cards(cards_folder=cards)
    watched = watch_list(known, watch)
    crops = crops_meant(known, grow, asks=can_ask(no_input=no_input))
    practice = Practice(None if watched is None else tuple(watched), grow=crops)
    return Opened(Today(record, known, practice=practice), None)


def open_record(
    file: Path,
    on: dt.date | None,
    *,
    no_input: bool,
    forecasts: Path | None = None,
    **file_options: Any,
) -> Record:
    """The record of a file, with the past forecasts of another."""
    from gddcast.cli.opening import open_series
    from gddcast.outlook.forecast_archive import with_forecasts
    from gddcast.today.record import Record

    series, today = open_series(file, on=on, no_input=no_input, **file_options)
    if forecasts is None:
        return Record(series, today)
    from gddcast.readers.forecast_file import read_forecasts

    archive = read_forecasts(forecasts)
    return Record(with_forecasts(series, archive, today), today, forecasts=archive)


def unit_shown(today: Today, show: str | None) -> Unit:
    """What the person reads: as said, as the book says, else as the file is in."""
    from gddcast.cli.opening import shown_unit

    return shown_unit(show or today.practice.show, today.record.as_read)


def _book_has_forecasts(forecasts: Path) -> Refusal:
    return Refusal(
        str(forecasts), "a season book keeps its own forecasts",
        "--forecasts goes with a bare temperature file.",
        f"Bring them into the book once:  {shell('gddcast', 'weather', 'add', forecasts)}",
        slug="book-has-own",
    )  # fmt: skip
