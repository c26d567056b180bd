"""Each farm of a list opened as what its place says today; one that fails stops no other."""

from __future__ import annotations

import datetime as dt
import json
import math
import sys
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, fields, replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn, TypeVar

import click

from gddcast.cli.failures import INTERRUPTED
from gddcast.errors import Refusal
from gddcast.farms.attempt import attempt

if TYPE_CHECKING:
    from contextlib import AbstractContextManager

    from gddcast.book.settings import Settings
    from gddcast.cards.model import Card
    from gddcast.cli.farms.kept import KeptAnswers
    from gddcast.farms.board import Board
    from gddcast.farms.check import FarmRecord
    from gddcast.farms.compare import FarmTable
    from gddcast.farms.farm import Farm
    from gddcast.readers.farms_list import FarmsList
    from gddcast.readers.reading import OpenQuestion, OpenQuestions, Options, Reading
    from gddcast.today.today import Today
    from gddcast.units import Unit
    from gddcast.weather.series import DailySeries, Place

Answer = TypeVar("Answer")
#: Rules of a file's reader whose notes may move a date.
_MOVES = (
    "means-only", "reading-hour", "afternoon-readings", "units-contradicted", "swapped-days",
    "year-of-365-days",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Farms:
    """A list of farms, and what every one of them is opened with.

    Parameters
    ----------
    listed : FarmsList
    cards : mapping of str to Card
    on : datetime.date, optional
        Today, as said; else it is today at each farm.
    watch : tuple of str, optional
        Keys watched at every farm, whatever the list and the books say.
    own_cards : Path, optional
        Folder of cards of one's own, which are among the cards.
    """

    listed: FarmsList
    cards: Mapping[str, Card]
    on: dt.date | None
    watch: tuple[str, ...] | None = None
    own_cards: Path | None = None
    _cut: dict[Path, Mapping[str, str]] = field(default_factory=dict)
    _notes: dict[str, tuple[str, ...]] = field(default_factory=dict)
    _known_keys: dict[tuple[str, ...], tuple[str, ...]] = field(default_factory=dict)
    _left: list[Farm] = field(default_factory=list)

    @property
    def day(self) -> dt.date:
        """Today at the list's own place."""
        from gddcast.cli.clock import today_at

        return self.on or today_at(self.listed.place)

    def today(self, farm: Farm) -> Today:
        """What one farm says today.

        Raises
        ------
        Refusal
            As its file or book does.
        """
        today = self._of_book(farm) if farm.is_book else self._of_file(farm)
        return today if self.watch is None else today.watching(self.watch)

    def reading(self, farm: Farm) -> Reading:
        """The temperature file of a farm; nothing is asked.

        Raises
        ------
        Refusal
            As its reader does, and where the list names a file that is not there.
        """
        file = self.listed.folder / farm.file
        if farm.is_listed and not file.exists():
            raise Refusal(
                farm.file, "there is no such file", "The list of farms names it.",
                f"Bring it, or name another in farms.toml under [farm.{_in_toml(farm.name)}]:  "
                'file = "NAME"', slug="no-file",
            )  # fmt: skip
        return self.read(file, farm)

    def read(self, file: Path, farm: Farm) -> Reading:
        """A file, read as a farm's own is."""
        from gddcast.cli.clock import today_at
        from gddcast.readers.reading import OpenQuestion, OpenQuestions, Options
        from gddcast.readers.temperature_file import read_temperatures, temperatures_in

        clock = today_at(farm.place) if self.on is None else None
        options = Options(
            unit=farm.unit, dates=farm.dates, site=farm.site, place=farm.place,  # type: ignore[arg-type]
            timezone=farm.place.timezone, today=clock,
        )  # fmt: skip
        try:
            own = None if farm.site is None else self._site_texts(file).get(farm.site)
            if own is not None:
                return temperatures_in(own.encode(), file.name, replace(options, site=None))
            return read_temperatures(file, **_as_keywords(options))
        except (OpenQuestion, OpenQuestions) as question:
            raise _for_the_list(question, farm) from None

    def _site_texts(self, file: Path) -> Mapping[str, str]:
        """The text of each site of a file; it is cut up once."""
        from gddcast.readers.farms_list import site_texts_of

        if file not in self._cut:
            self._cut.clear()  # one such file at a time is kept
            self._cut[file] = site_texts_of(file)
        return self._cut[file]

    def _of_file(self, farm: Farm) -> Today:
        from gddcast.cli.clock import today_at
        from gddcast.today.practice import Practice
        from gddcast.today.record import Record
        from gddcast.today.today import Today

        reading = self.reading(farm)
        self._notes[farm.name] = tuple(each.text for each in reading.notes if each.rule in _MOVES)
        series = reading.series
        day = self.on or today_at(farm.place)
        practice = Practice(self._watch(farm), show=self.listed.show)
        return Today(Record(_known_on(series, day), day), self.cards, practice=practice)

    def _notes_of(self, farm: Farm) -> tuple[str, ...]:
        """What was said when its file was read; a book's people heard it when it came in."""
        return self._notes.pop(farm.name, ())

    def _of_book(self, farm: Farm) -> Today:
        from gddcast.book.opening import open_book
        from gddcast.book.today import today_of
        from gddcast.cli.clock import today_at

        book = open_book(self.listed.folder / farm.file)
        settings = book.settings
        own = settings.watch or settings.grow
        watch = self._watch(farm) if farm.watch is not None or not own else None
        book = replace(book, settings=replace(settings, place=_place_of(settings, farm)))
        return today_of(book, self.on or today_at(book.place), self.cards, watch)

    def _watch(self, farm: Farm) -> tuple[str, ...] | None:
        """Keys of the cards a farm watches, by the list."""
        names = farm.watch if farm.watch is not None else self.listed.watch
        return None if names is None else self._keys(names)

    def _keys(self, names: tuple[str, ...]) -> tuple[str, ...]:
        """Keys of cards by their names; looked up once for all farms that watch the same."""
        from gddcast.cli.opening import card_named

        if names not in self._known_keys:
            keys = dict.fromkeys(card_named(self.cards, name) for name in names)
            self._known_keys[names] = tuple(keys)
        return self._known_keys[names]

    def board(self, days: int, progress: Callable[[int, int], None] | None = None) -> Board:
        """Who is due where."""
        from gddcast.farms.board import FarmDay, board_of, farm_day, refused_farm

        with self._kept(days, self.watch) as kept_answers:
            rows = [
                refused_farm(farm, row) if isinstance(row, Refusal) else row
                for farm, row in self.tried(
                    lambda each: kept_answers.of(
                        each, self.day_at(each), FarmDay,
                        lambda: farm_day(each, self._watched(each), days, self._notes_of(each)),
                    ),
                    progress,
                )
            ]  # fmt: skip
        return board_of(rows, self.day, days, self.not_asked)

    def day_at(self, farm: Farm) -> dt.date:
        """Today at a farm."""
        from gddcast.book.settings import read_settings
        from gddcast.cli.clock import today_at

        if self.on is not None or not farm.is_book:
            return self.on or today_at(farm.place)
        file = self.listed.folder / farm.file / "book.toml"
        return today_at(_place_of(read_settings(file), farm))

    def _kept(self, *asked: object) -> AbstractContextManager[KeptAnswers]:
        from gddcast.cli.farms.kept import kept_answers

        listed = (self.listed.watch, self.listed.show, self.on is None)
        return kept_answers(self.listed.folder, self.cards, self.own_cards, *asked, listed=listed)

    def _watched(self, farm: Farm) -> Today:
        """What a farm says, if anybody said what is watched there: a rank is of something.

        Raises
        ------
        Refusal
        """
        today = self.today(farm)
        if today.practice.watch is None and today.practice.grow is None:
            raise Refusal(
                farm.name, "nobody said what is watched there",
                "Farms are ranked by the first stage of a pest.",
                'Add  watch = ["squash-bug"]  to farms.toml, or say  --pest NAME', slug="no-watch",
            )  # fmt: skip
        return today

    def records(self, progress: Callable[[int, int], None] | None = None) -> tuple[FarmRecord, ...]:
        """Each farm's record beside the others'."""
        from gddcast.farms.check import FarmRecord, farm_record, with_neighbours

        with self._kept() as kept_answers:
            records = [
                FarmRecord(farm, refusal=row) if isinstance(row, Refusal) else row
                for farm, row in self.tried(
                    lambda each: kept_answers.of(
                        each, self.day_at(each), FarmRecord,
                        lambda: farm_record(
                            each, self.today(each).record, self._notes_of(each)
                        ),
                    ),
                    progress,
                )
            ]  # fmt: skip
        return with_neighbours(records)

    def table(
        self, stage: str | None, progress: Callable[[int, int], None] | None = None
    ) -> FarmTable:
        """Season by farm, by the sum of the one card watched."""
        from gddcast.cli.opening import event_named
        from gddcast.farms.compare import FarmSeasons, FarmTable, farm_seasons

        (key,) = self.watch or ("",)
        card, by = self.cards[key], None
        meant = event_named(card, stage) if stage else None
        found, season = [], str(self.day.year)
        for farm, today in self.tried(self.today, progress):
            if isinstance(today, Refusal):
                found.append(FarmSeasons(farm, {}, refusal=today))
                continue
            row = attempt(farm, partial(farm_seasons, farm, today, card, meant, by))
            if isinstance(row, Refusal):
                found.append(FarmSeasons(farm, {}, refusal=row))
                continue
            seasons, by = row
            found.append(seasons)
            season = today.record.season.name
        warmest = sorted(
            found,
            key=lambda each: (each.refusal is not None, math.isnan(each.heat), -each.heat),
        )
        return FarmTable(by, season, tuple(warmest))

    def measured(self, farm: Farm) -> DailySeries:
        """The record of a farm as it came, without a forecast."""
        from gddcast.cli.weather_files import without_forecast

        return without_forecast(self.today(farm).record.as_read)

    def tried(
        self, work: Callable[[Farm], Answer], progress: Callable[[int, int], None] | None
    ) -> Iterator[tuple[Farm, Answer | Refusal]]:
        """Every farm with what a work on it gives, or why it can't; Ctrl-C keeps what is done."""
        from gddcast.words import count

        self._left.clear()
        for done, farm in enumerate(self.listed.farms):
            if progress is not None:
                progress(done, len(self.listed.farms))
            try:
                answer = attempt(farm, partial(work, farm))
            except KeyboardInterrupt:
                if not done:
                    raise
                self._left.extend(self.listed.farms[done:])
                click.echo(f"Interrupted: {count(self.not_asked, 'farm')} not looked at.", err=True)
                return
            yield farm, answer
        if progress is not None:
            progress(len(self.listed.farms), len(self.listed.farms))

    @property
    def not_asked(self) -> int:
        """Farms that were left when a person pressed Ctrl-C."""
        return len(self._left)

    def done(self, code: int = 0) -> NoReturn:
        """End the command with its exit code; one that was stopped says that it was."""
        sys.exit(INTERRUPTED if self._left else code)

    def show(self, unit: str | None) -> Unit:
        """What the person reads: as said, as the list says, else °F."""
        return unit or self.listed.show or "F"  # type: ignore[return-value]


def _place_of(settings: Settings, farm: Farm) -> Place:
    """Where a book lies: by its settings, else by the list."""
    place = settings.place
    if place.latitude is not None:
        return place
    zone = place.timezone or farm.place.timezone
    return replace(farm.place, elevation=place.elevation, timezone=zone)


def _for_the_list(question: OpenQuestion | OpenQuestions, farm: Farm) -> Refusal:
    """What a file leaves open is answered in the list, not by a flag; unless no key of it can."""
    asked = question.questions
    if any(each.option not in ("unit", "dates", "site", "timezone") for each in asked):
        return question
    keys = ", ".join(f"{each.option} = {_in_toml(each.answer)}" for each in asked)
    return Refusal(
        question.where, "; ".join(each.problem for each in asked),
        " ".join(each.expected for each in asked),
        f"Say it in farms.toml under [farm.{_in_toml(farm.name)}]:  {keys}", slug=question.slug,
    )  # fmt: skip


def _as_keywords(options: Options) -> dict[str, Any]:
    return {each.name: getattr(options, each.name) for each in fields(options)}


def _in_toml(word: str | None) -> str:
    return json.dumps(word or "AREA/CITY", ensure_ascii=False)


def _known_on(series: DailySeries, day: dt.date) -> DailySeries:
    """What was on record on the evening of a day; days the file itself calls forecast stay."""
    from gddcast.outlook.season_so_far import known_on

    if day < series.first:
        raise Refusal(
            series.source, f"its record begins on {series.first}, after today",
            f"Today is {day}.", "Say a day inside it:  --on DATE", slug="before-the-record",
        )  # fmt: skip
    return known_on(series, day + dt.timedelta(days=1))


def open_farms(
    folder: Path,
    on: dt.date | None,
    *,
    pest: str | None = None,
    watch: str | None = None,
    cards: Path | None = None,
    **_: Any,
) -> Farms:
    """The farms of a folder; ``pest`` or ``watch`` are names of cards, with commas between."""
    from gddcast.cli.opening import watch_list
    from gddcast.readers.card_files import load_cards
    from gddcast.readers.farms_list import read_farms

    listed, known = read_farms(folder), load_cards(cards_folder=cards)
    watched = watch_list(known, pest or watch)
    return Farms(listed, known, on, None if watched is None else tuple(watched), cards)
