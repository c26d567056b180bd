"""``book.toml``: read with every fault at once, written so that a person likes to edit it."""

from __future__ import annotations

import datetime as dt
import errno
import re
import stat
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal

from gddcast.cards.library import called, crop_called, crops_near, guess
from gddcast.day_words import NumberOrder
from gddcast.errors import Refusal
from gddcast.scouting.windows import Habits
from gddcast.toml import rules, schema
from gddcast.toml.faults import Fault, FaultsRefusal, parsed, placed
from gddcast.toml.lines import line_of
from gddcast.toml.rules import Rule, Wrong, names, number, one_of, shown, span, timezone, whole
from gddcast.toml.schema import Doc, Flat, Wording
from gddcast.units import Unit
from gddcast.weather.series import Place
from gddcast.words import listed

if TYPE_CHECKING:
    from gddcast.cards.model import Card
    from gddcast.heat.counting import Overrule


#: With a comment on every line it takes 2 kB. [bytes]
LARGEST = 1_000_000

SENSOR_SPOTS = ("open-shade", "sun", "wall", "under-cover", "indoors", "unknown")
#: Methods as the file names them, and the functions that do them.
SHAPES = {
    "single-sine": "single_sine",
    "single-triangle": "single_triangle",
    "double-sine": "double_sine",
    "double-triangle": "double_triangle",
    "floor-the-mean": "floor_the_mean",
    "floor-the-readings": "floor_the_readings",
}
CUTOFFS = {
    "none": "no_cutoff",
    "horizontal": "horizontal",
    "intermediate": "intermediate",
    "vertical": "vertical",
    "cap-the-readings": "cap_the_readings",
}


def _month_day(value: Any) -> tuple[int, int]:
    """A day of any year, as 07-01."""
    try:
        if not re.fullmatch(r"\d\d-\d\d", value):
            raise ValueError(value)
        day = dt.date.fromisoformat(f"2024-{value}")
    except (TypeError, ValueError):
        raise Wrong('a day of the year, month first: "07-01"', "Put it in quotes.") from None
    return day.month, day.day


def _as_written(day: tuple[int, int]) -> str:
    return f"{day[0]:02d}-{day[1]:02d}"


def _start_as_written(start: tuple[int, int] | Literal["card"]) -> str:
    return "card" if start == "card" else _as_written(start)


def _card_or_day(value: Any) -> tuple[int, int] | Literal["card"]:
    """The card's own start, or a day of the year."""
    return "card" if value == "card" else _month_day(value)


@dataclass(frozen=True, slots=True)
class Succession:
    """The grower's own rules for one sowing after another."""

    first_pick_days: Annotated[
        tuple[int, int],
        Rule(span(1, 400)),
        Doc(hint="from sowing; used where no card or record says more"),
    ] = (45, 50)
    sow_next_after_first_pick_weeks: Annotated[tuple[int, int], Rule(span(0, 30))] = (2, 3)
    side_dress_after_first_pick_weeks: Annotated[int, Rule(whole(0, 30))] = 2
    picking_days_wanted: Annotated[int, Rule(whole(1, 200))] = 21


@dataclass(frozen=True, slots=True)
class WeatherHabits:
    """How this place's weather is read."""

    unit: Annotated[
        Unit | None, Doc(example='"F"', hint="of files that do not say it themselves")
    ] = None
    day_ends: Annotated[
        str,
        Rule(one_of("midnight", "morning-reading", "12utc", "utc-midnight")),
        Doc(hint="midnight, morning-reading, 12utc or utc-midnight"),
    ] = "midnight"
    reading_hour: Annotated[
        int | None,
        Rule(whole(0, 24)),
        Doc(example="7", hint="when you read and reset a thermometer"),
    ] = None
    sensor_spot: Annotated[
        str,
        Rule(one_of(*SENSOR_SPOTS)),
        Doc(hint="open-shade, sun, wall, under-cover, indoors or unknown"),
    ] = "unknown"
    patch_up_to_days: Annotated[
        int, Rule(whole(0, 5)), Doc(hint="longer gaps are left unknown; 5 at most")
    ] = 5


@dataclass(frozen=True, slots=True)
class _Place:
    name: Annotated[
        str,
        Rule(rules.words),
        Doc(to_add=("what you call the place", 'Add under [place]:  name = "Your Patch"')),
    ]
    latitude: Annotated[
        float | None, Rule(number(-90, 90)), Doc("", "42.6", "degrees, north is positive")
    ] = None
    longitude: Annotated[
        float | None, Rule(number(-180, 180)), Doc("", "-89.4", "degrees, east is positive")
    ] = None
    elevation_m: Annotated[
        float | None, Rule(number(-450, 6000)), Doc("", "190", "metres above the sea")
    ] = None
    timezone: Annotated[
        str | None, Rule(timezone), Doc("", '"America/Chicago"', "decides what day it is")
    ] = None


@dataclass(frozen=True, slots=True)
class _Season:
    begins: Annotated[
        tuple[int, int] | None,
        Rule(_month_day, write=_as_written),
        Doc(hint='sums start over; "07-01" south of the equator'),
    ] = None


@dataclass(frozen=True, slots=True)
class _Show:
    temperature: Annotated[Unit, Doc(hint="F or C: what you read, and what you type in")] = "F"
    dates: Annotated[Literal["words", "iso"], Doc(hint="words or iso")] = "words"
    number_order: Annotated[
        NumberOrder | None,
        Doc(example='"month-first"', hint="how you type 6/7: month-first or day-first"),
    ] = None


@dataclass(frozen=True, slots=True)
class _Method:
    shape: Annotated[
        str,
        Rule(one_of("card", *SHAPES)),
        Doc(hint="card, or single-sine, single-triangle, floor-the-mean …"),
    ] = "card"
    cutoff: Annotated[
        str,
        Rule(one_of("card", *CUTOFFS)),
        Doc(hint="card, or none, horizontal, intermediate, vertical …"),
    ] = "card"
    starts: Annotated[
        tuple[int, int] | Literal["card"],
        Rule(_card_or_day, write=_start_as_written),
        Doc(hint='card, or the day your sums start: "03-01"'),
    ] = "card"


@dataclass(frozen=True, slots=True)
class _Looking:
    grow: Annotated[
        tuple[str, ...] | None,
        Rule(names, write=list),
        Doc(example='["summer-squash", "kale"]', hint="crops; their pests are watched"),
    ] = None
    watch: Annotated[
        tuple[str, ...],
        Rule(names, write=list),
        Doc(hint="cards watched besides; no crop, no card: pests of what is sown"),
    ] = ()
    leave_out: Annotated[
        tuple[str, ...], Rule(names, write=list), Doc(hint="pests of those crops not watched")
    ] = ()
    habits: Annotated[Habits, Flat()] = field(default_factory=Habits)


def _beds(value: Any) -> tuple[str, ...]:
    """A list of beds as they are called."""
    if not isinstance(value, list) or not all(isinstance(each, str) for each in value):
        raise Wrong("a list of beds", 'Write it like ["row 2", "north end"].')
    return tuple(value)


@dataclass(frozen=True, slots=True)
class _Beds:
    order: Annotated[
        tuple[str, ...],
        Rule(_beds, write=list),
        Doc(hint="as you walk them; those left out follow, first sown first"),
    ] = ()


@dataclass(frozen=True, slots=True)
class BookFile:
    """Every table and key of the file: what may stand there, and the note beside it."""

    place: Annotated[_Place, Doc(to_add=("the table [place]", 'Add  [place]  and  name = "…"'))]
    season: _Season = _Season()
    show: _Show = _Show()
    weather: WeatherHabits = WeatherHabits()
    method: Annotated[_Method, Doc(hint="only if you overrule the cards")] = _Method()
    looking: _Looking = _Looking()
    beds: _Beds = _Beds()
    succession: Annotated[Succession, Doc(hint="your own rules of thumb")] = Succession()


@dataclass(frozen=True, slots=True)
class Settings:
    """Everything a person can set; what they left out has a stated default."""

    place: Place
    show: Unit = "F"
    dates: str = "words"
    watch: tuple[str, ...] | None = None
    habits: Habits = field(default_factory=Habits)
    weather: WeatherHabits = field(default_factory=WeatherHabits)
    succession: Succession = field(default_factory=Succession)
    shape: str = "card"
    cutoff: str = "card"
    start: tuple[int, int] | None = None
    number_order: NumberOrder | None = None  # how its people type 6/7
    beds: tuple[str, ...] = ()
    grow: tuple[str, ...] | None = None  # None: nobody was asked yet
    leave_out: tuple[str, ...] = ()

    def overrule(self) -> Overrule:
        """What stands in for the cards' methods."""
        from gddcast.heat import cutoffs, shapes
        from gddcast.heat.counting import Overrule

        shape = getattr(shapes, SHAPES[self.shape]) if self.shape != "card" else None
        cutoff = getattr(cutoffs, CUTOFFS[self.cutoff]) if self.cutoff != "card" else None
        return Overrule(shape, cutoff, self.start)

    @classmethod
    def of(cls, file: BookFile) -> Settings:
        """What a file says, and what follows where it says nothing."""
        place, method = file.place, file.method
        begins = file.season.begins or ((7, 1) if (place.latitude or 0.0) < 0 else (1, 1))
        return cls(
            Place(
                place.name, place.latitude, place.longitude, place.elevation_m, place.timezone,
                begins,
            ),
            file.show.temperature, file.show.dates, file.looking.watch or None,
            file.looking.habits, file.weather, file.succession, method.shape, method.cutoff,
            None if method.starts == "card" else method.starts, file.show.number_order,
            file.beds.order, file.looking.grow, file.looking.leave_out,
        )  # fmt: skip

    def as_file(self) -> BookFile:
        """The file that says all of it."""
        place = self.place
        return BookFile(
            _Place(place.name, place.latitude, place.longitude, place.elevation, place.timezone),
            _Season(place.season_begins),
            _Show(self.show, "iso" if self.dates == "iso" else "words", self.number_order),
            self.weather,
            _Method(self.shape, self.cutoff, self.start or "card"),
            _Looking(self.grow, self.watch or (), self.leave_out, self.habits),
            _Beds(self.beds),
            self.succession,
        )


_WORDING = Wording(
    unknown=lambda path: f"a {'table' if len(path) == 1 else 'key'} nobody knows",
    take_away="Take it away, or use one that is known.",
    no_table=lambda path, _: ("a value", "a table", f"Write [{path[0]}] on a line of its own."),
)


class SettingsRefusal(FaultsRefusal):
    """``book.toml`` cannot be used; ``faults`` lists everything that is wrong with it."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        super().__init__(
            faults, " in any text editor; nothing else was touched.", "settings-faults"
        )


def read_settings(file: Path) -> Settings:
    """The settings in a file.

    Raises
    ------
    SettingsRefusal
        With every fault, its line and its cure.
    """
    try:
        _refuse_what_has_no_end(file)
        text = file.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise Refusal(
            str(file), "it is not UTF-8 text", "book.toml is a plain text file.",
            "Save it again as plain text, UTF-8.", slug="settings-unreadable",
        ) from error  # fmt: skip
    except OSError as error:
        raise Refusal(
            str(file), (error.strerror or "it can’t be read").lower(),
            "It holds the settings of the book.", "Check the folder.",
            slug="settings-unreadable",
        ) from error  # fmt: skip
    return settings_in(text, str(file))


def _refuse_what_has_no_end(file: Path) -> None:
    state = file.stat()
    if not stat.S_ISREG(state.st_mode):
        raise OSError(errno.ENODEV, "it is no plain file")
    if state.st_size > LARGEST:
        raise OSError(errno.EFBIG, f"it is {state.st_size / 1e6:,.0f} megabytes large")


def settings_in(text: str, file: str = "book.toml") -> Settings:
    r"""The settings in a text; see `read_settings`.

    Examples
    --------
    >>> settings_in('[place]\nname = "Larkhollow Patch"\nlatitude = -38\n').place.season_begins
    (7, 1)
    """
    text = text.replace("\r\n", "\n")
    document = parsed(text, "lead_days = 3")
    if isinstance(document, Fault):
        raise SettingsRefusal([replace(document, file=file)])
    try:
        return Settings.of(schema.record(BookFile, document))
    except (ValueError, TypeError, AttributeError):
        faults, _ = schema.faults(BookFile, document, _WORDING)
        raise SettingsRefusal(placed(faults, file, text, document)) from None


def card_keys(
    names: Sequence[str], cards: Mapping[str, Card], file: Path, key: str = "watch"
) -> tuple[str, ...]:
    """Keys of the cards a list means by key, common, Latin or other name, each once.

    Raises
    ------
    SettingsRefusal
        With every name that means no card, or several.
    """
    found = {name: called(cards.values(), name) for name in names}
    unknown = [name for name, card in found.items() if card is None]
    likely = {name: guess(cards.values(), name) for name in unknown}
    _refuse(likely, file, key, "a pest or crop with a card", "gddcast pests")
    return tuple(dict.fromkeys(card.key for card in found.values() if card is not None))


def crop_keys(names: Sequence[str], cards: Mapping[str, Card], file: Path) -> tuple[str, ...]:
    """Keys of the crops a list means, each once; one no card knows is kept as it is said.

    Raises
    ------
    SettingsRefusal
        With every name that several crops share, or that is nearly a crop's.
    """
    found = {name: crop_called(cards.values(), name) for name in names}
    likely = {name: f"Did you mean {listed(near_ones, 'or')}?" for name, key in found.items()
              if key is None and (near_ones := crops_near(cards.values(), name))}  # fmt: skip
    _refuse(likely, file, "grow", "a crop", "gddcast crops")
    return tuple(dict.fromkeys(key or name for name, key in found.items()))


def _refuse(
    likely: Mapping[str, str | None], file: Path, key: str, wanted: str, listing: str
) -> None:
    if not likely:
        return
    text = file.read_text(encoding="utf-8-sig")
    path, lines = ("looking", key), text.splitlines()
    after = range(line_of(text, path), len(lines) + 1)  # a list may go on over several lines
    faults = []
    for name, meant in likely.items():
        line = next((each for each in after if shown(name) in lines[each - 1]), after.start)
        cure = meant or f"List them:  {listing}"
        faults.append(Fault(path, shown(name), wanted, cure, line=line))
    raise SettingsRefusal(placed(faults, str(file), text, {}))
