"""The season book as ``gddcast page`` hands it to the browser; see `web.season_book`."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING

from gddcast.book.faults import book_exists, no_book
from gddcast.cli.book_here import OpenedBook
from gddcast.cli.clock import machine_timezone, today_at
from gddcast.web.season_book import Examined, Logged, PlaceSettings, Written
from gddcast.words import capital

if TYPE_CHECKING:
    from gddcast.book.entries import Entry
    from gddcast.cards.model import Card
    from gddcast.journal.entries import Journal, Sighting
    from gddcast.today.today import Today
    from gddcast.units import Unit
    from gddcast.weather.series import Season
    from gddcast.weather.stations import Near

#: What tells that a book was written to, by whomever: of each file its size and moment.
_Marks = tuple[tuple[int, int] | None, ...]


@dataclass
class PageBook:
    """One book, read anew whenever somebody wrote to it: this page, another one, a command."""

    folder: Path | None  # None until the page makes one
    on: dt.date | None
    is_invented: bool = False
    _state: tuple[_Marks, dt.date, OpenedBook, dict[str, Card]] | None = None
    _today: Today | None = None
    _lock: Lock = field(default_factory=Lock)

    def exists(self) -> bool:
        """Whether there is a book yet."""
        return self.folder is not None

    def machine_timezone(self) -> str:
        """Zone of this machine."""
        return machine_timezone() or "UTC"

    def make(self, place: PlaceSettings) -> Logged:
        """Make the book, in a folder of the place's name."""
        from gddcast.cli.page_setup import make_book

        with self._lock:
            if self.folder is not None:
                raise book_exists(self.folder)
            self.folder, logged = make_book(place)
        return logged

    def settings(self) -> PlaceSettings:
        """What was said of the place."""
        from gddcast.cli.page_setup import settings_of_page

        return settings_of_page(self._book().book.settings)

    def change(self, place: PlaceSettings) -> Logged:
        """Change single lines of ``book.toml``."""
        from gddcast.cli.page_setup import changed

        return changed(self._book().book, place)

    @property
    def name(self) -> str:
        """The place."""
        return self._book().book.place.name

    def day(self) -> dt.date:
        """Today at the place."""
        return self._book().today

    def today(self) -> Today:
        """What the book says as it stands; worked out once for all who ask."""
        with self._lock:
            opened, cards = self._opened()
            if self._today is None:
                self._today = opened.today_with(cards)
            return self._today

    def show(self) -> Unit:
        """Scale its people read."""
        return self._book().book.show

    def cards(self) -> dict[str, Card]:
        """Every card, the book's own among them."""
        if self.folder is None:
            from gddcast.readers.card_files import load_cards

            return load_cards()
        with self._lock:
            return self._opened()[1]

    def journal(self) -> Journal:
        """What was logged and stands."""
        return self._book().book.journal()

    def season(self) -> Season:
        """The season of today."""
        return self._book().season

    def tell(self, today: Today) -> None:
        """Remember the dates that a screen tells: they are those of a walk."""
        if self._announced_on != today.day:
            self._book().announce(today, today.by_bed.windows, "walk")
            self._announced_on = today.day

    _announced_on: dt.date | None = None

    def log(self, sighting: Sighting, *, sure: bool) -> Logged:
        """Write a find or a clean look."""
        from gddcast.cli.saw import record_clean_look, record_find
        from gddcast.journal.finds import contrary_look
        from gddcast.text.logged import contrary_words
        from gddcast.text.terminal import UNFOLDED

        opened, cards = self._book(), self.cards()
        if sighting.kind == "none":
            card = cards[sighting.organism] if sighting.organism else None
            entry, said = record_clean_look(opened, card, sighting, sure=sure, command=None)
        else:
            entry, said = record_find(
                opened, cards, sighting, elsewhere=False, sure=sure, terminal=UNFOLDED, command=None
            )
        other = contrary_look(sighting, opened.book.journal())
        told = (contrary_words(other),) if other else ()
        return Logged((entry,), (*said.splitlines(), *told))

    def walked(self, rows: str, *, sure: bool) -> Logged:
        """Write the rows of a filled sheet, all or none."""
        import tempfile

        from gddcast.cli.saw_sheet import record_sheet
        from gddcast.output_file import put

        with tempfile.TemporaryDirectory(prefix="gddcast-walked-") as scratch:
            file = Path(scratch) / "these rows"
            put(file, rows.encode("utf-8"))
            names, said = record_sheet(self._book(), file, day=None, sure=sure, command=None)
        return Logged(tuple(names), tuple(said.splitlines()))

    def did(self, job: str, what: str | None, done: dt.date) -> Logged:
        """Write a job."""
        from gddcast.cli.did import record_job
        from gddcast.crops.chores import job_named
        from gddcast.journal.entries import Job

        entries, said, follows = record_job(self._book(), Job(job_named(job), done), what)
        return Logged(tuple(entries), (said, *follows))

    def sow(
        self, kind: str, crop: str, day: dt.date, bed: str, variety: str, *, sure: bool
    ) -> Logged:
        """Write a sowing or a planting."""
        from gddcast.cli.did import record_sowing

        _, entry, said = record_sowing(
            self._book(), kind, crop, day, bed or None, variety or None, None, None, sure=sure
        )
        return Logged((entry,), (said,))

    def lately(self, most: int) -> list[Written]:
        """The entries written last, the last one first."""
        from gddcast.text.logged import entry_words

        book = self._book().book
        every = [each for each in book.entries() if not each.restores][-most:]
        return [
            Written(
                each.name, capital(entry_words(each, book.show, book.days_brought(each.name))),
                each.withdrawn_at is not None,
            )
            for each in reversed(every)
        ]  # fmt: skip

    def note(self, high: float | None, low: float | None, day: dt.date, *, sure: bool) -> Logged:
        """Write one day's reading."""
        from gddcast.cli.page_weather import noted

        return noted(self._book(), high, low, day, sure=sure)

    def examine(self, file: Path, answers: Mapping[str, object]) -> Examined:
        """Read a file as the book would; nothing is kept."""
        from gddcast.cli.page_weather import examined

        return examined(self._book(), file, answers)

    def bring(self, file: Path, called: str, answers: Mapping[str, object]) -> Logged:
        """Bring a file into the book."""
        from gddcast.cli.page_weather import bring

        return bring(self._book(), file, called, answers)

    @property
    def past_years(self) -> int:
        """How many of a station are fetched."""
        from gddcast.cli.weather_wanted import USUAL_YEARS

        return USUAL_YEARS

    def stations(self) -> tuple[Near, ...]:
        """Weather stations near the place; this asks the network."""
        from gddcast.cli.page_station import stations

        return stations(self._book())

    def fetch(self, station: str, file: Path, *, forecast: bool) -> None:
        """Write the years of a station into a new file; this asks the network."""
        from gddcast.cli.page_station import fetch

        fetch(self._book(), station, file, forecast=forecast)

    def bring_fetched(self, file: Path, called: str, answers: Mapping[str, object]) -> Logged:
        """Bring a station's file into the book, which keeps it to be brought up to date."""
        from gddcast.cli.page_station import keep_file

        return keep_file(self._book(), file, called, answers)

    def fetched_from(self) -> str:
        """The station whose kept file can be brought up to date; empty where there is none."""
        from gddcast.cli.page_station import last_station

        return last_station(self._book())

    def fetch_again(self) -> Logged:
        """Bring the kept file up to date, and its days into the book; this asks the network."""
        from gddcast.cli.page_station import fetch_again

        return fetch_again(self._book())

    def sheet(self) -> str:
        """The scouting sheet of this week; the book remembers what it tells."""
        from gddcast.cli.sheet import sheet_page, week_meant

        today = self.today()
        page, due = sheet_page(today, week_meant(None, today), self.show())
        self._book().announce(today, due, "sheet")
        return page

    def report(self) -> str:
        """The report of the season; the book remembers what it tells."""
        from gddcast.pages.report import report_page
        from gddcast.today.changes import NEAR

        today = self.today()
        since = None if today.plan.watches_all else today.day - dt.timedelta(days=7)
        page = report_page(today, self.show(), since=since)
        near = (each for each in today.plan.windows if each.status in NEAR)
        self._book().announce(today, near, "report")
        return page

    def calendar(self) -> str:
        """Days to start looking, as a calendar."""
        from gddcast.cli.calendar import calendar_of

        return calendar_of(self._book(), self.today())

    def calendar_key(self) -> str | None:
        """What opens its calendar; it lies beside the book."""
        try:
            return self._key_file().read_text(encoding="ascii").strip() or None
        except FileNotFoundError:
            return None

    def set_calendar_key(self, key: str | None) -> None:
        """Keep the key for its owner's eyes, or let it go."""
        import os

        file = self._key_file()
        file.unlink(missing_ok=True)
        if key is not None:
            with os.fdopen(os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as to:
                to.write(f"{key}\n")

    def _key_file(self) -> Path:
        return self._book().book.folder / "calendar-key.txt"

    def export(self, folder: Path) -> None:
        """Write all that is in it into a new folder."""
        from gddcast.book.exchange import export_book
        from gddcast.cli.clock import now

        export_book(self._book().book, folder, now())

    def withdraw(self, entries: Sequence[str], *, sure: bool) -> Logged:
        """Withdraw entries, all or none; many days of weather are asked about."""
        from gddcast.book.entries import meant_to_withdraw
        from gddcast.cli.certainty import ask_to_be_sure
        from gddcast.cli.clock import now
        from gddcast.text.doubts import withdrawal

        opened = self._book()
        known = opened.book.entries()
        for name in entries:
            days = opened.book.days_brought(name)
            if days is not None and days.count > 1:
                doubt = withdrawal(meant_to_withdraw(known, name), days, None, self.show())
                ask_to_be_sure(doubt, asks=False, sure=sure)
        with opened.book.writing(now(), opened.today, trust_clock=True) as pen:
            gone = [pen.withdraw(each) for each in entries]
        return self._logged("Withdrawn", gone)

    def restore(self, entries: Sequence[str]) -> Logged:
        """Let withdrawn entries stand again."""
        with self._book().writing() as pen:
            back = [pen.restore(each) for each in entries]
        return self._logged("Back again", back)

    def _logged(self, verb: str, entries: Sequence[Entry]) -> Logged:
        from gddcast.text.logged import entry_words

        said = (f"{verb}: {entry_words(each, self.show())}.  [entry {each.name}]"
                for each in entries)  # fmt: skip
        return Logged(tuple(each.name for each in entries), tuple(said))

    def _book(self) -> OpenedBook:
        with self._lock:
            return self._opened()[0]

    def _opened(self) -> tuple[OpenedBook, dict[str, Card]]:
        """The book as it is on the disk; opened again only where it changed, or a day began."""
        from gddcast.book.opening import open_book

        if self.folder is None:
            raise no_book(Path())
        marks = _marks(self.folder)
        if self._state is not None:
            day = self.on or today_at(self._state[2].book.place)
            if self._state[:2] == (marks, day):
                return self._state[2:]
        book = open_book(self.folder)
        day = self.on or today_at(book.place)
        opened = OpenedBook(book, day, self.on is not None, asks=False)
        self._state, self._today = (marks, day, opened, opened.cards()), None
        return self._state[2:]


def _marks(folder: Path) -> _Marks:
    return tuple(map(_mark, (folder / name for name in ("book.toml", "book.sqlite",
                                                        "book.sqlite-wal", "cards"))))  # fmt: skip


def _mark(file: Path) -> tuple[int, int] | None:
    try:
        found = file.stat()
    except OSError:
        return None
    return found.st_size, found.st_mtime_ns
