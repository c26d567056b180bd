"""What single values of a card may be: its vocabularies, and how thresholds and starts are read."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated, Any, Literal, get_args

from gddcast.toml.rules import Rule, Wrong, choice, finite, number, one_of, whole
from gddcast.units import Unit
from gddcast.words import month

NOT_STATED = "not stated"
#: The year of a publication that prints none.
UNDATED = "undated"
#: Stands in place of a source where growers' habit is all there is.
COMMON_PRACTICE = "common practice, no source"

#: How a number came about; kinds are never mixed in one sum.
Kind = Literal["calendar", "biofix", "laboratory"]
#: How far a number was checked against its source.
Evidence = Literal["seen", "compiled", "from memory", "common practice"]
#: Which temperature of a day a cue is held against.
OfDay = Literal["maximum", "minimum", "mean"]
#: What an event is for. Starts, layings, hatches and broods open looks; what is hidden, a peak, an
#: end and a stage of a crop are dates beside them.
Purpose = Literal["start", "laying", "hatch", "brood", "hidden", "peak", "end", "crop stage"]
OPEN_LOOKS: tuple[Purpose, ...] = ("start", "laying", "hatch", "brood")
#: What the sheet draws: the part of which plant, or of what is round it, to look at; in the order
#: of walking, from the ground up: eye and hand go over it once (common practice, no source).
Picture = Literal[
    "ground", "turf", "boards", "root", "fine-roots", "tubers", "bulb",
    "stem-base", "fern-base", "corn-stalk", "trunk", "grass-edge", "seedling",
    "leaf-underside", "lobed-leaf-underside", "bean-leaf-underside", "cabbage-leaf-underside",
    "leaf-top", "potato-leaves", "corn-leaves", "onion-leaves", "fern",
    "onion-neck", "cabbage-heart", "corn-whorl", "spears", "shoot-tip",
    "flower", "pods", "fruit", "vine-fruit", "berries", "grape-cluster", "tree-fruit", "ear",
    "whole-plant", "net", "trap", "sticky-trap",
]  # fmt: skip
PLACES: tuple[Picture, ...] = get_args(Picture)
#: Of these, what is looked into for what it caught.
TRAPS: tuple[Picture, ...] = ("trap", "sticky-trap")
#: What is counted as one of a sample: a plant (or a stem, leaf or silk of each), or a group.
SampleUnit = Literal["plant", "place", "site", "tree", "trap"]
CropStage = Literal["sowing", "transplanting", "emergence", "first-flower"]
#: Whether one sowing of a crop is picked for weeks, or cleared at once.
Picked = Literal["once", "repeatedly"]
Confidence = Literal["high", "medium", "low"]
#: What a reference may lack.
Part = Literal["authors", "year", "title", "publication", "volume", "pages", "address"]
#: What a scout asks of a card beside what, where and at which hour, which every card says.
Question = Literal["when", "how often", "look-alikes"]
#: What a sum cannot be counted without, and its source may still leave out.
Counted = Literal["unit", "lower"]
Family = Literal["lognormal", "normal", "erlang", "weibull", "logistic", "percentiles"]
#: Low and high end of a printed range; equal where one number is printed.
Range = tuple[float, float]

CUTOFFS = ("none", "horizontal", "intermediate", "vertical", "cap the readings")
SHAPES = (
    "floor the mean", "floor the readings", "single triangle", "single sine", "double triangle",
    "double sine", "hourly", "any",
)  # fmt: skip
_CROP_STAGES = get_args(CropStage)
_SEE = "See data/README.md for what it may hold."
_LONGEST = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
_MONTHS = tuple(month(number) for number in range(1, 13))
_DATE = re.compile(r"(\d{1,2}) ([A-Z][a-z]+)")
_KEY = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


#: A century; a date so many days on is still a date.
MOST_DAYS = 36_525


@dataclass(frozen=True, slots=True)
class Start:
    """When a sum starts: a date, an event of the same card, or a stage of the crop.

    Exactly one of ``date`` (month, day), ``event`` (a key) and ``crop`` (``"sowing"``,
    ``"transplanting"``, ``"emergence"``, ``"first-flower"``) is given.
    """

    date: tuple[int, int] | None = None
    event: str | None = None
    crop: str | None = None


def text_in(value: Any) -> str:
    """Words in quotes."""
    if not isinstance(value, str):
        raise Wrong("text in quotes", "Put it in straight double quotes.")
    if not value.strip():
        raise Wrong("some words", f'Write them, or "{NOT_STATED}" where the source is silent.')
    return value.strip()


def key_in(value: Any) -> str:
    """A key that commands take."""
    text = text_in(value)
    if not _KEY.fullmatch(text):
        raise Wrong(
            "a key of small letters, digits and hyphens",
            f'Write it like "{re.sub("[^a-z0-9]+", "-", text.lower()).strip("-") or "eggs"}".',
        )
    return text


def event_key_in(value: Any) -> str:
    """A key that is not taken for a stage of the crop."""
    key = key_in(value)
    if key in _CROP_STAGES and key != "first-flower":
        raise Wrong("a key that is no crop stage", f'"{key}" means the crop’s own; rename it.')
    return key


def number_in(value: Any) -> float:
    """A plain number."""
    if (number := finite(value)) is None:
        raise Wrong("a plain number without quotes", _SEE)
    return number


def whole_in(value: Any) -> int:
    """A whole number."""
    if isinstance(value, bool) or not isinstance(value, int):
        raise Wrong("a whole number without quotes", _SEE)
    return value


def flag_in(value: Any) -> bool:
    """True or false."""
    if not isinstance(value, bool):
        raise Wrong("true or false, without quotes", _SEE)
    return value


def parameters_in(value: Any) -> tuple[tuple[str, float], ...]:
    """Numbers by their published names."""
    if not isinstance(value, dict):
        raise Wrong("a table of names and numbers", "Write it like { mean = 200, sd = 30 }.")
    return tuple((name, number_in(each)) for name, each in value.items())


def threshold_in(value: Any) -> float | None:
    """A threshold as printed; None where it is not stated."""
    if value == NOT_STATED:
        return None
    if (number := finite(value)) is None:
        raise Wrong(
            f'a temperature as a plain number, or "{NOT_STATED}"',
            "Write the number without quotes or degree sign; the unit stands in its own key.",
        )
    return number


def depth_in(value: Any) -> float | None:
    """How deep the sun stands where a day begins and ends; None where it is not stated."""
    return None if value == NOT_STATED else number_in(value)


def upper_in(value: Any) -> float | None:
    """An upper threshold; infinite where the source rules one out."""
    if value == "none":
        return math.inf
    if isinstance(value, str) and value != NOT_STATED:
        raise Wrong(
            f'a temperature as a plain number, "none" or "{NOT_STATED}"',
            f'"none" is for a source that rules an upper threshold out; else "{NOT_STATED}".',
        )
    return threshold_in(value)


def range_in(value: Any) -> Range:
    """Both ends of a printed range, equal for a single number."""
    low, high = [finite(end) for end in value] if _is_pair(value) else [finite(value)] * 2
    if low is None or high is None:
        raise Wrong("a number, or [low, high]", "Write it like 245 or [245, 300].")
    if not 0 <= low <= high or high == 0:
        raise Wrong(
            "numbers of zero or more, the low end first", "Check both ends against the source."
        )
    return low, high


def age_in(value: Any) -> Range:
    """Days that a stage takes, both ends."""
    low, high = range_in(value)
    if high > MOST_DAYS:
        raise Wrong(f"no more than {MOST_DAYS:,} days", "Check the number against the source.")
    return low, high


def days_in(value: Any) -> int:
    """A whole number of days."""
    days = whole_in(value)
    if not 0 <= days <= MOST_DAYS:
        raise Wrong(f"days from 0 to {MOST_DAYS:,}", "Check the number against the source.")
    return days


def _is_pair(value: Any) -> bool:
    return isinstance(value, list) and len(value) == 2


def goal_in(value: Any) -> Range | None:
    """A heat sum as printed; None where it is not stated."""
    return None if value == NOT_STATED else range_in(value)


def _stated(words: Sequence[str]) -> Rule:
    """One of the words or "not stated", which becomes None."""
    choose = one_of(*words, NOT_STATED, otherwise=f'Where the source is silent: "{NOT_STATED}".')

    def read(value: Any) -> str | None:
        chosen = choose(value)
        return None if chosen == NOT_STATED else chosen

    return Rule(read)


def _date(text: str) -> tuple[int, int] | None:
    """Month and day of a date in words such as ``1 January``; None where it is none."""
    match = _DATE.fullmatch(text)
    if match is None or match[2] not in _MONTHS:
        return None
    number, day = _MONTHS.index(match[2]) + 1, int(match[1])
    return (number, day) if 1 <= day <= _LONGEST[number - 1] else None


def start_in(value: Any) -> Start | None:
    """A date in words, a crop stage, an event key (checked later), or "not stated"."""
    text = text_in(value)
    if text == NOT_STATED:
        return None
    if date := _date(text):
        return Start(date=date)
    if text in _CROP_STAGES:
        return Start(crop=text)
    if _KEY.fullmatch(text):
        return Start(event=text)
    raise Wrong(
        'a date such as "1 January", the key of an event of this card, '
        f"{choice([*_CROP_STAGES, NOT_STATED])}",
        "Write the day first and the month in full.",
    )


def month_day_in(value: Any) -> tuple[int, int]:
    """Month and day of a date of any year, in words."""
    date = _date(text_in(value))
    if date is None:
        raise Wrong('a day of the year such as "21 April"', "Write the month in full.")
    return date


def stated_start_in(value: Any) -> Start:
    """A start that must be known."""
    start = start_in(value)
    if start is None:
        raise Wrong("a date, an event key or a crop stage", "Say from when the days are counted.")
    return start


Text = Annotated[str, Rule(text_in)]
CardKey = Annotated[str, Rule(key_in, "faulty")]
EventKey = Annotated[str, Rule(event_key_in, "faulty")]
Cited = Annotated[str, Rule(text_in, COMMON_PRACTICE)]
KindOf = Annotated[Kind, Rule(one_of(*get_args(Kind)), "laboratory")]
Claimed = Annotated[Evidence, Rule(one_of(*get_args(Evidence)), "common practice")]
Degrees = Annotated[Unit, Rule(one_of(*get_args(Unit)), "C")]
Real = Annotated[float, Rule(number_in, 0)]
Latitude = Annotated[float, Rule(number(-90, 90), 0)]
Whole = Annotated[int, Rule(whole_in, 1)]
DayCount = Annotated[int, Rule(days_in, 1)]
Row = Annotated[int, Rule(whole(1, 60), 1)]
MonthDay = Annotated[tuple[int, int], Rule(month_day_in, (1, 1))]
Flag = Annotated[bool, Rule(flag_in, False)]
Lower = Annotated[float | None, Rule(threshold_in)]
Upper = Annotated[float | None, Rule(upper_in)]
CutoffName = Annotated[str | None, _stated(CUTOFFS)]
ShapeName = Annotated[str | None, _stated(SHAPES)]
DayPart = Annotated[OfDay | None, _stated(get_args(OfDay))]
Ends = Annotated[Range, Rule(range_in, 1)]
Age = Annotated[Range, Rule(age_in, 1)]
Goal = Annotated[Range | None, Rule(goal_in, 1)]
Begins = Annotated[Start | None, Rule(start_in, "sowing")]
BeginsStated = Annotated[Start, Rule(stated_start_in, "sowing")]
SunDepth = Annotated[float | None, Rule(depth_in)]
Lack = Annotated[Part, Rule(one_of(*get_args(Part)), "year")]
NotKnown = Annotated[Question, Rule(one_of(*get_args(Question)), "when")]
Inferred = Annotated[Counted, Rule(one_of(*get_args(Counted)), "lower")]
Parameters = Annotated[tuple[tuple[str, float], ...], Rule(parameters_in, {})]
