"""The shape of a card file: every key, what it may hold, and what is said where it does not.

Only :mod:`gddcast.readers.card_files` imports this module, and only when it reads a card: pydantic
takes longer to import than all cards take to read.
"""

from __future__ import annotations

import math
import re
from typing import Annotated, Any, Literal, get_args

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, PlainValidator
from pydantic_core import PydanticCustomError

from gddcast.cards import NOT_STATED, Evidence, Kind, Range, Start
from gddcast.readers.card_faults import Fault, near, one_of
from gddcast.readers.toml_lines import Path
from gddcast.units import Unit

CUTOFFS = ("none", "horizontal", "intermediate", "vertical", "cap the readings")
SHAPES = (
    "floor the mean",
    "floor the readings",
    "single triangle",
    "single sine",
    "double triangle",
    "double sine",
    "hourly",
    "any",
)
CROP_STAGES = ("sowing", "transplanting", "emergence", "first-flower")
PICTURES = (
    *("leaf-underside", "stem-base", "flower", "ground", "leaf-top", "shoot-tip", "fruit", "root"),
)
MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
_LONGEST = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
_DATE = re.compile(r"(\d{1,2}) ([A-Z][a-z]+)")
_KEY = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


def fault(expected: str, cure: str) -> PydanticCustomError:
    """A fault in our words, collected by pydantic with all the others."""
    return PydanticCustomError("card", "{expected}", {"expected": expected, "cure": cure})


def _number(value: Any) -> float | None:
    """The value as a finite float, or None: true and "50" are not numbers."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        return None
    return float(value)


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise fault("text in quotes", "Put it in straight double quotes.")
    if not value.strip():
        raise fault("some words", f'Write them, or "{NOT_STATED}" where the source is silent.')
    return value.strip()


def _key(value: Any) -> str:
    text = _text(value)
    if not _KEY.fullmatch(text):
        raise fault(
            "a key of small letters, digits and hyphens",
            f'Write it like "{re.sub("[^a-z0-9]+", "-", text.lower()).strip("-") or "eggs"}".',
        )
    return text


def _threshold(value: Any) -> float | None:
    if value == NOT_STATED:
        return None
    if (number := _number(value)) is None:
        raise fault(
            f'a temperature as a plain number, or "{NOT_STATED}"',
            "Write the number without quotes or degree sign; the unit stands in its own key.",
        )
    return number


def _upper(value: Any) -> float | None:
    return math.inf if value == "none" else _threshold(value)


def _range(value: Any) -> Range:
    ends = value if isinstance(value, list) else [value, value]
    numbers = [_number(end) for end in ends]
    if len(numbers) != 2 or None in numbers:
        raise fault("a number, or [low, high]", "Write it like 245 or [245, 300].")
    low, high = numbers
    assert low is not None
    assert high is not None
    if not 0 <= low <= high or high == 0:
        raise fault(
            "numbers of zero or more, the low end first",
            "Check both ends against the source.",
        )
    return low, high


def _goal(value: Any) -> Range | None:
    return None if value == NOT_STATED else _range(value)


def _one_of(words: tuple[str, ...]) -> Any:
    """A validator of one of the words or "not stated", which becomes None."""

    def choose(value: Any) -> str | None:
        if value == NOT_STATED:
            return None
        if value in words:
            return str(value)
        guess = near(str(value), words)
        raise fault(
            f"{one_of([*words, NOT_STATED])}",
            f'Did you mean "{guess}"?' if guess else f'Where the source is silent: "{NOT_STATED}".',
        )

    return PlainValidator(choose)


def parse_date(text: str) -> tuple[int, int] | None:
    """Month and day of a date in words such as ``1 January``; None where it is none."""
    match = _DATE.fullmatch(text)
    if match is None or match[2] not in MONTHS:
        return None
    month, day = MONTHS.index(match[2]) + 1, int(match[1])
    return (month, day) if 1 <= day <= _LONGEST[month - 1] else None


def _start(value: Any) -> Start | None:
    """A date in words, a crop stage, an event key (checked later), or "not stated"."""
    text = _text(value)
    if text == NOT_STATED:
        return None
    if date := parse_date(text):
        return Start(date=date)
    if text in CROP_STAGES:
        return Start(crop=text)
    if _KEY.fullmatch(text):
        return Start(event=text)
    raise fault(
        'a date such as "1 January", the key of an event of this card, '
        f"{one_of([*CROP_STAGES, NOT_STATED])}",
        "Write the day first and the month in full.",
    )


def _stated_start(value: Any) -> Start:
    start = _start(value)
    if start is None:
        raise fault("a date, an event key or a crop stage", "Say from when the days are counted.")
    return start


def _picture(value: Any) -> str:
    if value not in PICTURES:
        guess = near(str(value), PICTURES)
        raise fault(one_of(PICTURES), f'Did you mean "{guess}"?' if guess else "Choose one.")
    return str(value)


def _not_reserved(value: str) -> str:
    if value in CROP_STAGES and value != "first-flower":
        raise fault("a key that is no crop stage", f'"{value}" means the crop\'s own; rename it.')
    return value


Text = Annotated[str, BeforeValidator(_text)]
Key = Annotated[str, BeforeValidator(_key)]
EventKey = Annotated[Key, AfterValidator(_not_reserved)]
Lower = Annotated[float | None, PlainValidator(_threshold)]
Upper = Annotated[float | None, PlainValidator(_upper)]
Goal = Annotated[Range | None, PlainValidator(_goal)]
Ends = Annotated[Range, PlainValidator(_range)]
Starts = Annotated[Start | None, PlainValidator(_start)]
StatedStart = Annotated[Start, PlainValidator(_stated_start)]
Picture = Annotated[str, PlainValidator(_picture)]
Cutoff = Annotated[str | None, _one_of(CUTOFFS)]
Shape = Annotated[str | None, _one_of(SHAPES)]


class Table(BaseModel):
    """A TOML table: known keys only, values of the right kind only."""

    model_config = ConfigDict(extra="forbid", strict=True)


class EmergenceTable(Table):
    """``[event.number.emergence]``."""

    family: Literal["lognormal", "normal", "erlang", "weibull", "logistic", "percentiles"]
    parameters: dict[str, float]
    source: Text
    note: Text | None = None


class NumberTable(Table):
    """``[[event.number]]``."""

    kind: Kind
    unit: Unit
    lower: Lower
    upper: Upper
    cutoff: Cutoff
    shape: Shape
    of: Text
    starts_from: Starts
    goal: Goal
    found_in: Text
    source: Text
    evidence: Evidence
    latitude: float | None = None
    spread: float | None = None
    primary: Text | None = None
    confidence: Literal["high", "medium", "low"] | None = None
    default: bool = False
    reason: Text | None = None
    note: Text | None = None
    doubt: Text | None = None
    emergence: EmergenceTable | None = None


class LastsTable(Table):
    """``[event.lasts]``."""

    days: Ends
    source: Text
    evidence: Evidence
    note: Text | None = None


class DaysTable(LastsTable):
    """``[[event.days]]``."""

    starts_from: StatedStart


class LookTable(Table):
    """What a scout needs at the plant."""

    looks_like: Text | None = None
    where_on_plant: Text | None = None
    time_of_day: Text | None = None
    plants: Text | None = None
    picture: Picture | None = None


class EventTable(LookTable):
    """``[[event]]``."""

    key: EventKey
    words: Text
    same_time_as: Key | None = None
    brood: int = 1
    caution: Text | None = None
    lasts: LastsTable | None = None
    number: list[NumberTable] = []
    days: list[DaysTable] = []


class CueTable(Table):
    """``[[cue]]``."""

    words: Text
    source: Text
    evidence: Evidence
    event: Key | None = None
    after_sowing_days: int | None = None
    air_above: float | None = None
    unit: Unit | None = None
    crop_stage: Text | None = None


class ActionTable(Table):
    """``[[action]]``."""

    words: Text
    source: Text
    evidence: Evidence
    crop: Text | None = None


class DayLengthTable(Table):
    """``[[day_length]]``."""

    words: Text
    hours: Ends
    source: Text
    evidence: Evidence
    found_in: Text
    events: list[Key] = []
    definition: float = 0.8333


class LookAlikeTable(Table):
    """``[[look_alike]]``."""

    name: Text
    tell: Text
    card: Key | None = None


class FrostTable(Table):
    """``frost_kills``."""

    at: float
    unit: Unit
    source: Text
    evidence: Evidence


class SourceTable(Table):
    """``[sources.KEY]``."""

    author: Text
    year: Text
    title: Text
    publication: Text
    url: Text | None = None
    read: Text | None = None


class CardTable(LookTable):
    """The whole file."""

    name: Text
    latin: Text
    hosts: list[Text] = []
    overwinters: Text | None = None
    second_brood: Text | None = None
    comes_from_elsewhere: Text | None = None
    cautions: list[Text] = []
    notes: list[Text] = []
    look_alike: list[LookAlikeTable] = []
    event: list[EventTable] = []
    cue: list[CueTable] = []
    action: list[ActionTable] = []
    day_length: list[DayLengthTable] = []
    sources: dict[str, SourceTable] = {}
    frost_kills: FrostTable | None = None


class PestTable(CardTable):
    """A card in ``pests/``."""

    hosts: list[Text]
    looks_like: Text
    where_on_plant: Text
    time_of_day: Text


def in_our_words(model: type[Table], error: Any) -> Fault:
    """One of pydantic's faults with found, expected and cure."""
    path, kind, given = tuple(error["loc"]), error["type"], error["input"]
    context = error.get("ctx", {})
    if kind == "missing":
        return Fault(
            path, "nothing", "this key, which is needed",
            f'Add it, with "{NOT_STATED}" where the source is silent.',
        )  # fmt: skip
    if kind == "extra_forbidden":
        known = list(_table_at(model, path[:-1]).model_fields)
        guess = near(str(path[-1]), known)
        cure = f"Did you mean {guess}?" if guess else "Take it away, or use a key that is known."
        return Fault(path, f"an unknown key, {path[-1]}", f"one of {', '.join(known)}", cure)
    if kind == "literal_error":
        words = re.findall(r"'([^']*)'", context["expected"])
        guess = near(str(given), words)
        cure = f'Did you mean "{guess}"?' if guess else "Use one of these words."
        return Fault(path, _shown(given), one_of(words), cure)
    if kind == "card":
        return Fault(path, _shown(given), context["expected"], context["cure"])
    expected = _EXPECTED.get(kind, error["msg"].lower())
    return Fault(path, _shown(given), expected, "See data/README.md for what it may hold.")


#: What pydantic's own kinds of fault mean in a card.
_EXPECTED = {
    "float_type": "a plain number without quotes",
    "int_type": "a whole number without quotes",
    "bool_type": "true or false, without quotes",
    "list_type": "a list in [ ]",
    "dict_type": "a table of keys and values",
    "model_type": "a table of keys and values",
    "finite_number": "a finite number",
}


def _shown(value: Any) -> str:
    """A value as it would stand in the file, cut where it is long."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list) and any(isinstance(item, dict) for item in value):
        return "a list of tables"
    text = f'"{value}"' if isinstance(value, str) else str(value)
    return text if len(text) <= 60 else text[:57] + "…"


def _table_at(model: type[Table], path: Path) -> type[Table]:
    """The table a path leads to."""
    for step in path:
        if isinstance(step, str) and step in model.model_fields:
            inner = _table_in(model.model_fields[step].annotation)
            model = inner or model
    return model


def _table_in(annotation: Any) -> type[Table] | None:
    """The table inside ``list[...]``, ``dict[str, ...]`` or ``... | None``."""
    if isinstance(annotation, type) and issubclass(annotation, Table):
        return annotation
    return next(filter(None, map(_table_in, get_args(annotation))), None)
