"""What the browser needs of a season book; the command that opened it answers."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from gddcast.journal.entries import Sighting

if TYPE_CHECKING:
    from gddcast.cards.model import Card
    from gddcast.journal.entries import Journal
    from gddcast.today.today import Today
    from gddcast.units import Unit
    from gddcast.weather.series import Season
    from gddcast.weather.stations import Near


@dataclass(frozen=True, slots=True)
class Logged:
    """What was written, and what it changed."""

    entries: tuple[str, ...]
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Written:
    """An entry of the book in words."""

    name: str
    words: str
    is_withdrawn: bool


@dataclass(frozen=True, slots=True)
class FileQuestion:
    """One fact that a file leaves open."""

    option: str
    problem: str
    expected: str
    choices: tuple[str, ...]  # empty where it is a word of their own
    likely: str


@dataclass(frozen=True, slots=True)
class Examined:
    """A file as it was read, before anything of it is kept."""

    understood: tuple[str, ...] = ()
    verdict: str = ""
    findings: tuple[tuple[str, str], ...] = ()  # each with its effect on a date
    notes: tuple[str, ...] = ()
    questions: tuple[FileQuestion, ...] = ()
    fault: tuple[str, str] | None = None  # why it cannot be read as it is


@dataclass(frozen=True, slots=True)
class PlaceSettings:
    """What is said of a place when its book is made, and may be changed later."""

    name: str
    at: tuple[float, float] | None
    timezone: str
    show: Unit
    grow: tuple[str, ...]  # keys of crops
    sensor_spot: str
    reading_hour: int | None  # None for a thermometer that records by itself


class SeasonBook(Protocol):
    """The book of one place. Every method may raise a `gddcast.errors.Refusal`."""

    @property
    def name(self) -> str:
        """The place."""

    @property
    def is_invented(self) -> bool:
        """Whether it is the demo's."""

    def exists(self) -> bool:
        """Whether there is a book yet."""

    def machine_timezone(self) -> str:
        """Zone of this machine, as a likely answer."""

    def make(self, place: PlaceSettings) -> Logged:
        """Make the book of a place."""

    def settings(self) -> PlaceSettings:
        """What was said of it."""

    def change(self, place: PlaceSettings) -> Logged:
        """Change what is said otherwise; every other setting stays."""

    def day(self) -> dt.date:
        """Today at the place."""

    def today(self) -> Today:
        """What the book says as it stands."""

    def show(self) -> Unit:
        """Scale its people read."""

    def cards(self) -> Mapping[str, Card]:
        """Every card, the book's own among them, by key."""

    def journal(self) -> Journal:
        """What was logged and stands."""

    def season(self) -> Season:
        """The season of today."""

    def tell(self, today: Today) -> None:
        """Remember the dates that a screen tells people to act on."""

    def log(self, sighting: Sighting, *, sure: bool) -> Logged:
        """Write a find or a clean look; without ``sure`` what may be a slip is refused."""

    def walked(self, rows: str, *, sure: bool) -> Logged:
        """Write the rows of a filled sheet, all or none."""

    def did(self, job: str, what: str | None, done: dt.date) -> Logged:
        """Write a job."""

    def sow(
        self, kind: str, crop: str, day: dt.date, bed: str, variety: str, *, sure: bool
    ) -> Logged:
        """Write a sowing or a planting; without ``sure`` what may be a slip is refused."""

    def withdraw(self, entries: Sequence[str], *, sure: bool) -> Logged:
        """Withdraw entries, all or none; without ``sure`` many days of weather are refused."""

    def restore(self, entries: Sequence[str]) -> Logged:
        """Let withdrawn entries stand again."""

    def lately(self, most: int) -> Sequence[Written]:
        """The entries written last, the last one first."""

    def note(self, high: float | None, low: float | None, day: dt.date, *, sure: bool) -> Logged:
        """Write one day's reading, in the scale its people read."""

    def examine(self, file: Path, answers: Mapping[str, object]) -> Examined:
        """Read a file with what was answered of it, and judge it; nothing is kept."""

    def bring(self, file: Path, called: str, answers: Mapping[str, object]) -> Logged:
        """Bring a file into the book."""

    @property
    def past_years(self) -> int:
        """How many of a station are fetched."""

    def stations(self) -> tuple[Near, ...]:
        """Weather stations near the place, best first; this asks the network."""

    def fetch(self, station: str, file: Path, *, forecast: bool) -> None:
        """Write the years of a station into a new file; this asks the network."""

    def bring_fetched(self, file: Path, called: str, answers: Mapping[str, object]) -> Logged:
        """Bring a station's file into the book, which keeps it to be brought up to date."""

    def fetched_from(self) -> str:
        """The station whose kept file can be brought up to date; empty where there is none."""

    def fetch_again(self) -> Logged:
        """Bring the kept file up to date, and its days into the book; this asks the network."""

    def sheet(self) -> str:
        """The scouting sheet of this week, a page."""

    def report(self) -> str:
        """The report of the season, a page."""

    def calendar(self) -> str:
        """Days to start looking, as a calendar."""

    def calendar_key(self) -> str | None:
        """What opens its calendar to a program of this machine; None where nothing does."""

    def set_calendar_key(self, key: str | None) -> None:
        """Keep that key from run to run, or let it go."""

    def export(self, folder: Path) -> None:
        """Write all that is in it into a new folder, as CSV and TOML."""
