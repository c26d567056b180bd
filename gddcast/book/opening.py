"""``open_book``: the one way in, and the pen that writes."""

from __future__ import annotations

import datetime as dt
import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from gddcast.book import (
    announcements,
    checksums,
    copies,
    entries,
    faults,
    forecast_rows,
    store,
    weather_rows,
)
from gddcast.book.entries import DaysBrought, Entry, Item
from gddcast.book.settings import Settings, card_keys, crop_keys, read_settings
from gddcast.book.weather_rows import Brought, WeatherSource
from gddcast.errors import Refusal, command
from gddcast.journal.entries import Journal
from gddcast.outlook.forecast_archive import ForecastArchive
from gddcast.scouting.windows import Habits
from gddcast.today.announcements import Announcement
from gddcast.today.practice import Practice
from gddcast.units import Unit
from gddcast.weather.series import DailySeries, Place

if TYPE_CHECKING:
    from gddcast.cards.model import Card
    from gddcast.crops.succession import Rules
    from gddcast.heat.counting import Overrule

SETTINGS, RECORDS = "book.toml", "book.sqlite"
#: A clock may be that much slow against the last entry; another computer wrote it, perhaps.
_CLOCKS_DIFFER = dt.timedelta(minutes=10)


def open_book(folder: str | Path, *, wait: float = store.WAIT, even_damaged: bool = False) -> Book:
    """The season book in a folder.

    Parameters
    ----------
    folder : str or Path
    wait : float
        How long a write waits for another program's. [s]
    even_damaged : bool
        Open it though a row is not as it was written: to withdraw that row, or to save the rest.

    Raises
    ------
    Refusal
        If there is none, its settings have faults, or its record is missing, damaged, foreign
        or too new. Nothing is changed then.
    """
    folder = Path(folder)
    if not store.holds_a_book(folder):
        raise faults.no_book(folder)
    settings = read_settings(folder / SETTINGS)
    with store.reading(folder / RECORDS, wait) as connection:
        if not even_damaged:
            with faults.legible(folder / RECORDS):
                checksums.check(folder / RECORDS, connection)
        return Book(folder, settings, wait)


@dataclass(frozen=True, slots=True)
class Book:
    """A season book that was found sound when it was opened.

    It keeps no file open: each question reads one snapshot, each ``writing`` is one transaction.
    """

    folder: Path
    settings: Settings
    wait: float = store.WAIT

    @property
    def records(self) -> Path:
        """The file of everything recorded."""
        return self.folder / RECORDS

    def command(self, *words: object) -> str:
        """A command on it, as a cure prints it."""
        where = () if self.folder == Path() else ("--book", self.folder)
        return command(*words, *where)

    @property
    def place(self) -> Place:
        """Where it is kept."""
        return self.settings.place

    @property
    def habits(self) -> Habits:
        """How its people look."""
        return self.settings.habits

    @property
    def show(self) -> Unit:
        """Scale its people read."""
        return self.settings.show

    @property
    def overrule(self) -> Overrule:
        """What stands in for the cards' methods."""
        return self.settings.overrule()

    @property
    def rules(self) -> Rules:
        """The grower's own rules for one sowing after another."""
        from gddcast.crops.succession import Rules

        succession = self.settings.succession
        return Rules(
            succession.picking_days_wanted, succession.side_dress_after_first_pick_weeks,
            succession.sow_next_after_first_pick_weeks, succession.first_pick_days,
        )  # fmt: skip

    def practice(self, cards: Mapping[str, Card]) -> Practice:
        """What its people chose.

        Raises
        ------
        SettingsRefusal
            If a name in a list means no card or several: its line, and what it may mean.
        """
        settings, file = self.settings, self.folder / SETTINGS
        return Practice(
            card_keys(settings.watch or (), cards, file), self.habits, self.overrule, self.rules,
            settings.weather.patch_up_to_days, self.show, settings.beds,
            crop_keys(settings.grow or (), cards, file),
            card_keys(settings.leave_out, cards, file, "leave_out"),
        )  # fmt: skip

    def journal(self) -> Journal:
        """Sightings, sowings, jobs and own goals that still stand."""
        with store.reading(self.records, self.wait) as connection:
            return entries.journal(connection)

    def entries(self) -> list[Entry]:
        """Every entry in the order of writing, those withdrawn among them."""
        with store.reading(self.records, self.wait) as connection:
            return entries.entries(connection)

    def days_brought(self, name: str) -> DaysBrought | None:
        """Days of weather that an entry brought."""
        with store.reading(self.records, self.wait) as connection:
            return entries.days_brought(connection, name)

    def weather(
        self, today: dt.date | None = None, *, as_of: dt.datetime | None = None
    ) -> DailySeries | None:
        """The weather record, or None where there is no day yet.

        Parameters
        ----------
        today : datetime.date, optional
            Lay the forecast that held on its morning behind the record. Default: no forecast.
        as_of : datetime.datetime, optional
            What the book knew at that moment.
        """
        with store.reading(self.records, self.wait) as connection:
            return weather_rows.read_series(
                connection, self.place, self.show, today=today, as_of=as_of
            )

    def forecasts(self, *, as_of: dt.datetime | None = None) -> ForecastArchive:
        """Every forecast brought in, as it was issued."""
        with store.reading(self.records, self.wait) as connection:
            return forecast_rows.read(connection, as_of=as_of)

    def series(self, today: dt.date | None = None) -> DailySeries:
        """The weather record.

        Raises
        ------
        Refusal
            If there is no day yet.
        """
        daily_series = self.weather(today)
        if daily_series is None:
            raise Refusal(
                f"the book of {self.place.name}",
                "it has no weather yet",
                "Dates are worked out from daily minima and maxima.",
                f"Bring some in:  {self.command('weather', 'add', 'YOURFILE.csv')}",
                slug="no-weather",
            )
        return daily_series

    def sources(self) -> list[WeatherSource]:
        """Where its weather came from."""
        with store.reading(self.records, self.wait) as connection:
            return weather_rows.sources(connection)

    def announced(self, surface: str | None, season: str) -> list[Announcement]:
        """Dates one surface, or any, told of a season, oldest first."""
        with store.reading(self.records, self.wait) as connection:
            return announcements.announced(connection, surface, season)

    @contextmanager
    def writing(
        self, now: dt.datetime, today: dt.date, *, trust_clock: bool = False
    ) -> Iterator[Pen]:
        """One transaction: everything the pen writes, or on any failure nothing.

        Parameters
        ----------
        now : datetime.datetime
            The moment, with its zone.
        today : datetime.date
            Today at the place; it names the entries.
        trust_clock : bool
            Whether somebody said what day it is, so that a clock that runs behind the last
            entry does no harm.
        """
        copies.keep_weekly(self.records, now.date())
        with store.writing(self.records, self.wait) as connection:
            pen = Pen(self, connection, now, today)
            if not trust_clock:
                pen.refuse_a_clock_set_back()
            yield pen


@dataclass(frozen=True, slots=True)
class Pen:
    """What can be written while the book is held open for writing."""

    book: Book
    connection: sqlite3.Connection
    now: dt.datetime
    today: dt.date

    def journal(self) -> Journal:
        """What stands, seen from inside the transaction: nobody can add to it meanwhile."""
        return entries.journal(self.connection)

    def add(self, item: Item) -> str:
        """Write one sighting, sowing, job or own goal; the entry's name is returned."""
        return entries.add(self.connection, item, self.now, self.today.year)

    def weather(
        self,
        coming: DailySeries,
        source: WeatherSource,
        *,
        issued: dt.date | None = None,
        only_fill: bool = False,
        strike_blank: bool = False,
    ) -> Brought:
        """Lay weather over what is there, and keep its forecast; see `weather_rows.add`."""
        return weather_rows.add(
            self.connection, coming, source, self.now, self.today,
            issued=issued, only_fill=only_fill, strike_blank=strike_blank,
        )  # fmt: skip

    def forecasts(self, coming: ForecastArchive, source: WeatherSource) -> Brought:
        """Keep past forecasts, each with its own day of issue."""
        return weather_rows.add_forecasts(self.connection, coming, source, self.now, self.today)

    def withdraw(self, name: str | None = None, note: str | None = None) -> Entry:
        """Withdraw an entry, the last that stands by default."""
        return entries.withdraw(self.connection, name, self.now, note)

    def restore(self, name: str | None = None) -> Entry:
        """Let a withdrawn entry stand again, the one withdrawn last by default."""
        return entries.restore(self.connection, name, self.now, self.today.year)

    def announce(self, announcement: Announcement) -> None:
        """Remember a date that people are being told."""
        announcements.add(self.connection, announcement)

    def refuse_a_clock_set_back(self) -> None:
        """Refuse to write before the last entry that stands."""
        standing = [each for each in entries.entries(self.connection) if not each.withdrawn_at]
        if not standing or self.now >= standing[-1].entered_at - _CLOCKS_DIFFER:
            return
        last = standing[-1]
        raise Refusal(
            "this computer’s clock",
            f"it says {self.now:%Y-%m-%d %H:%M}, before the last entry of the book",
            f"Entry {last.name} was written on {last.entered_at:%Y-%m-%d at %H:%M}.",
            "Set the clock, or say what day it is:  --on DATE     If that entry is wrong:  "
            f"{self.book.command('undo')}",
            slug="clock-set-back",
        )
