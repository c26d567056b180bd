"""Which book a command means, what day it is there, and the moment of an entry."""

from __future__ import annotations

import datetime as dt
import os
import sys
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gddcast.cli.clock import now, today_at
from gddcast.errors import Refusal, shell

if TYPE_CHECKING:
    from gddcast.book.opening import Book, Pen
    from gddcast.cards.model import Card
    from gddcast.scouting.windows import ScoutingWindow
    from gddcast.today.today import Today
    from gddcast.today.watching import WatchList
    from gddcast.weather.series import Season


def can_ask(*, no_input: bool = False) -> bool:
    """Whether somebody sits at the terminal who can answer."""
    return not no_input and sys.stdin.isatty()


def folder_meant(named: Path | None) -> Path:
    """The folder named; else this one; else the only book that stands in it.

    Raises
    ------
    Refusal
        If there is none, or several stand in this folder.
    """
    from gddcast.book import faults
    from gddcast.book.store import holds_a_book

    if named is not None:
        return named
    here = Path()
    if holds_a_book(here):
        return here
    inside = sorted(each.parent for each in here.glob("*/book.sqlite"))
    if len(inside) == 1:
        return inside[0]
    if not inside:
        raise faults.no_book(here.resolve())
    raise Refusal(
        f"the folder {here.resolve()}",
        f"{len(inside)} season books stand in it",
        f"They are {', '.join(str(each) for each in inside)}.",
        f"Say which:  {shell('--book', inside[0])}",
        slug="which-book",
    )


def book_option(folder: Path) -> list[object]:
    """The ``--book`` of a command to be given next; nothing where it finds the book by itself."""
    named = os.environ.get("GDDCAST_BOOK")
    try:
        usual = folder_meant(Path(named) if named else None)
    except Refusal:
        return ["--book", folder]
    return [] if usual.resolve() == folder.resolve() else ["--book", folder]


@dataclass(frozen=True, slots=True)
class OpenedBook:
    """The book a command works on, and its today."""

    book: Book
    today: dt.date
    today_given: bool
    asks: bool  # whether questions can be put

    @property
    def season(self) -> Season:
        """Season of today."""
        from gddcast.weather.series import season_of

        return season_of(self.today, self.book.place.season_begins)

    def command(self, *words: object) -> str:
        """A command on this book as a hint prints it."""
        return shell("gddcast", *words, *book_option(self.book.folder))

    def cards(self) -> dict[str, Card]:
        """Every card, those in the book's own folder ``cards`` among them."""
        from gddcast.readers.card_files import load_cards

        own = self.book.folder / "cards"
        return load_cards(cards_folder=own if own.is_dir() else None)

    @contextmanager
    def writing(self) -> Iterator[Pen]:
        """One transaction at this moment."""
        with self.book.writing(now(), self.today, trust_clock=self.today_given) as pen:
            yield pen

    def today_with(
        self,
        cards: dict[str, Card],
        watch: list[str] | None = None,
        grow: tuple[str, ...] | None = None,
    ) -> Today:
        """What the book says as it stands."""
        from gddcast.book.today import today_of

        return today_of(self.book, self.today, cards, watch, grow)

    def watch(self, cards: Mapping[str, Card]) -> WatchList:
        """The cards it watches; no weather is needed to say so."""
        from gddcast.today.watching import watch_list

        return watch_list(self.book.practice(cards), cards, self.book.journal(), self.season)

    def announce(self, today: Today, windows: Iterable[ScoutingWindow], surface: str) -> None:
        """Let the book remember what a surface tells; where it takes no writing, say so."""
        from gddcast.book.today import announce

        try:
            announce(self.book, today, windows, surface, now(), trust_clock=self.today_given)
        except Refusal as refusal:
            click.echo(
                f"The next {surface} will not know what this one said: {refusal.where}, "
                f"{refusal.problem}.",
                err=True,
            )


def opened_book(
    named: Path | None, on: dt.date | None, *, no_input: bool = False, even_damaged: bool = False
) -> OpenedBook:
    """The book a command means, opened; see `gddcast.book.opening.open_book`."""
    from gddcast.book.opening import open_book

    book = open_book(folder_meant(named), even_damaged=even_damaged)
    today = on or today_at(book.place)
    return OpenedBook(book, today, on is not None, can_ask(no_input=no_input))


def ask_day(opened: OpenedBook, question: str, default: str = "") -> dt.date | None:
    """A day typed in, said back in full, or None for an empty answer."""
    from gddcast.day_words import DayUnclear, day_meant
    from gddcast.words import day

    while True:
        answer = click.prompt(
            question, default=default, show_default=bool(default), prompt_suffix=" ", err=True
        ).strip()
        if not answer:
            return None
        try:
            meant = day_meant(answer, opened.today, order=opened.book.settings.number_order)
        except DayUnclear as unclear:
            click.echo(f"  {unclear}", err=True)
            continue
        if answer != meant.isoformat():
            click.echo(f"  {day(meant, year=True)}", err=True)
        return meant
