"""``book.toml``: read with every fault at once, written so that a person likes to edit it."""

from __future__ import annotations

import errno
import re
import stat
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from gddcast.book import setting_values as values
from gddcast.book.setting_values import Fault, Wrong
from gddcast.cards.library import called, near
from gddcast.errors import Refusal
from gddcast.scouting.windows import Habits
from gddcast.units import Unit
from gddcast.weather.series import Place
from gddcast.words import listed

if TYPE_CHECKING:
    from gddcast.cards.model import Card
    from gddcast.heat.counting import Overrule


#: With a comment on every line it takes 2 kB. [bytes]
LARGEST = 1_000_000


@dataclass(frozen=True, slots=True)
class Succession:
    """The grower's own rules for one sowing after another."""

    first_pick_days: tuple[int, int] = (45, 50)
    sow_next_after_first_pick_weeks: tuple[int, int] = (2, 3)
    side_dress_after_first_pick_weeks: int = 2
    picking_days_wanted: int = 21


@dataclass(frozen=True, slots=True)
class WeatherHabits:
    """How this place's weather is read."""

    unit: Unit | None = None  # of files that don't say
    day_ends: str = "midnight"
    reading_hour: int | None = None
    sensor_spot: str = "unknown"
    patch_up_to_days: int = 5


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

    def overrule(self) -> Overrule:
        """What stands in for the cards' methods."""
        from gddcast.heat import daily
        from gddcast.heat.counting import Overrule

        def named(words: str) -> Any:
            return None if words == "card" else getattr(daily, values.METHODS[words])

        return Overrule(named(self.shape), named(self.cutoff), self.start)


#: Every table and key there is: what may stand there.
_KEYS: dict[str, dict[str, values.Rule]] = {
    "place": {
        "name": values.words,
        "latitude": values.number(-90, 90),
        "longitude": values.number(-180, 180),
        "elevation_m": values.number(-450, 6000),
        "timezone": values.timezone,
    },
    "season": {"begins": values.month_day},
    "show": {"temperature": values.one_of("F", "C"), "dates": values.one_of("words", "iso")},
    "weather": {
        "unit": values.one_of("F", "C"),
        "day_ends": values.one_of("midnight", "morning-reading", "12utc", "utc-midnight"),
        "reading_hour": values.whole(0, 24),
        "sensor_spot": values.one_of(*values.SENSOR_SPOTS),
        "patch_up_to_days": values.whole(0, 5),
    },
    "method": {
        "shape": values.one_of("card", *values.SHAPES),
        "cutoff": values.one_of("card", *values.CUTOFFS),
        "starts": values.card_or_month_day,
    },
    "looking": {
        "watch": values.keys,
        "lead_days": values.whole(0, 30),
        "every_days": values.whole(1, 30),
        "plants_all_below": values.whole(1, 10_000),
        "look_again_days": values.whole(1, 30),
        "dust_again_days": values.whole(1, 60),
        "water_every_days": values.whole(1, 30),
    },
    "succession": {
        "first_pick_days": values.span(1, 400),
        "sow_next_after_first_pick_weeks": values.span(0, 30),
        "side_dress_after_first_pick_weeks": values.whole(0, 30),
        "picking_days_wanted": values.whole(1, 200),
    },
}


class SettingsRefusal(Refusal):
    """``book.toml`` cannot be used; ``faults`` lists everything that is wrong with it."""

    def __init__(self, file: str, faults: list[Fault]) -> None:
        many = len(faults) > 1
        super().__init__(
            file,
            f"it has {len(faults)} faults" if many else "it has 1 fault",
            "\n  ".join(map(str, faults)),
            f"Mend {'them' if many else 'it'} in any text editor; nothing else was touched.",
            slug="settings-faults",
        )
        self.faults = tuple(faults)


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
            str(file), (error.strerror or "it can't be read").lower(),
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
    try:
        document = tomllib.loads(text)
    except RecursionError as error:
        deep = "lists or tables stand in one another too deep"
        raise SettingsRefusal(file, [_syntax_fault(text, deep)]) from error
    except tomllib.TOMLDecodeError as error:
        raise SettingsRefusal(file, [_syntax_fault(text, str(error))]) from error
    except ValueError as error:
        digits = "a number of thousands of digits"
        raise SettingsRefusal(file, [_syntax_fault(text, digits)]) from error
    good: dict[str, dict[str, Any]] = {table: {} for table in _KEYS}
    found = list(_read(document, text, good))
    if found:
        raise SettingsRefusal(file, sorted(found, key=lambda fault: fault.line))
    return _settings(good)


def _read(document: dict[str, Any], text: str, good: dict[str, dict[str, Any]]) -> Iterator[Fault]:
    """Sort what is right into ``good``; yield what is not."""
    for table, content in document.items():
        line = line_of(text, table)
        if table not in _KEYS:
            yield Fault(line, table, "a table nobody knows", *values.known(table, list(_KEYS)))
        elif not isinstance(content, dict):
            yield Fault(line, table, "a value", "a table", f"Write [{table}] on a line of its own.")
        else:
            for key, value in content.items():
                yield from _read_key(table, key, value, text, good)
    if "name" not in document.get("place", {"name"}):
        yield Fault(
            line_of(text, "place"), "place, name", "nothing", "what you call the place",
            'Add under [place]:  name = "Your Patch"',
        )  # fmt: skip
    if "place" not in document:
        yield Fault(1, "place", "nothing", "the table [place]", 'Add  [place]  and  name = "…"')


def _read_key(
    table: str, key: str, value: Any, text: str, good: dict[str, dict[str, Any]]
) -> Iterator[Fault]:
    line, where = line_of(text, table, key), f"{table}, {key}"
    rule = _KEYS[table].get(key)
    if rule is None:
        yield Fault(line, where, "a key nobody knows", *values.known(key, list(_KEYS[table])))
        return
    try:
        good[table][key] = rule(value)
    except Wrong as wrong:
        yield Fault(line, where, values.shown(value), wrong.expected, wrong.cure)


def watched_keys(names: Sequence[str], cards: Mapping[str, Card], file: Path) -> tuple[str, ...]:
    """Keys of the cards a watch list means by key, common, Latin or other name, each once.

    Raises
    ------
    SettingsRefusal
        With every name that means no card, or several.
    """
    found = {name: called(cards.values(), name) for name in names}
    unknown = [name for name, card in found.items() if card is None]
    if unknown:
        text = file.read_text(encoding="utf-8-sig")
        raise SettingsRefusal(str(file), [_unknown_card(name, cards, text) for name in unknown])
    return tuple(dict.fromkeys(card.key for card in found.values() if card is not None))


def _unknown_card(name: str, cards: Mapping[str, Card], text: str) -> Fault:
    key_line = line_of(text, "looking", "watch")
    lines = text.splitlines()
    after = range(key_line, len(lines) + 1)  # a list may go on over several lines
    line = next((each for each in after if values.shown(name) in lines[each - 1]), key_line)
    likely = [card.key for card in near(cards.values(), name)]
    cure = f"Did you mean {listed(likely, 'or')}?" if likely else "List them:  gddcast pests"
    return Fault(line, "looking, watch", values.shown(name), "a pest or crop with a card", cure)


def _settings(good: dict[str, dict[str, Any]]) -> Settings:
    place, show, method = good["place"], good["show"], good["method"]
    latitude = place.get("latitude")
    begins = good["season"].get("begins") or ((7, 1) if (latitude or 0.0) < 0 else (1, 1))
    looking = dict(good["looking"])
    watch = looking.pop("watch", None)
    return Settings(
        Place(
            place["name"], latitude, place.get("longitude"), place.get("elevation_m"),
            place.get("timezone"), begins,
        ),
        show=show.get("temperature", "F"),
        dates=show.get("dates", "words"),
        watch=watch or None,
        habits=Habits(**looking),
        weather=WeatherHabits(**good["weather"]),
        succession=Succession(**good["succession"]),
        shape=method.get("shape", "card"),
        cutoff=method.get("cutoff", "card"),
        start=method.get("starts"),
    )  # fmt: skip


def _syntax_fault(text: str, message: str) -> Fault:
    at = re.search(r" \(at line (\d+), column \d+\)", message)
    lines = text.splitlines() or [""]
    if at:
        line = int(at[1])
    elif "end of document" in message:
        line = text.count("\n") + 1
    else:  # TOML's own reader gave up, and does not say where
        line = 1 + max(range(len(lines)), key=lambda each: len(lines[each]))
    written = lines[min(line, len(lines)) - 1].strip()[:60]
    return Fault(
        line, "", f"{written!r}" if written else "the end of the text",
        f"a line of TOML, such as  lead_days = 3  ({re.sub(' .at .*', '', message).lower()})",
        "Text stands in straight double quotes, lists in [ ], each key once in its table.",
    )  # fmt: skip


def line_of(text: str, table: str, key: str | None = None) -> int:
    """The line, from 1, of a table or of a key in it; 1 where it is not written that way."""
    inside, at_table = "", 1
    for line, written in enumerate(text.splitlines(), start=1):
        if header := re.match(r"\s*\[\s*([\w-]+)", written):
            inside = header[1]
            at_table = line if inside == table else at_table
        elif inside == table and key and re.match(rf"\s*[\"']?{re.escape(key)}[\"']?\s*=", written):
            return line
    return at_table
