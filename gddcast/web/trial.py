"""A day tried by a card's own number: its high and low are free, its method is the number's."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from gddcast.errors import Refusal
from gddcast.heat.counting import counting_of
from gddcast.lessons.day_steps import steps
from gddcast.lessons.worked_day import Day
from gddcast.text.cards.card_words import heat_both
from gddcast.text.numbers import counted
from gddcast.units import from_celsius
from gddcast.web import fields
from gddcast.words import capital

if TYPE_CHECKING:
    from gddcast.cards.model import Card, Number
    from gddcast.units import Unit

#: A summer's day to begin with, and the ends of the sliders. [°unit]
_BEGIN: dict[Unit, tuple[str, str]] = {"F": ("84", "61"), "C": ("29", "16")}
_ENDS: dict[Unit, tuple[int, int]] = {"F": (-20, 120), "C": (-30, 50)}


@dataclass(frozen=True, slots=True)
class Trial:
    """What the card's screen shows of it; ``text`` is empty where the day cannot be."""

    stages: tuple[tuple[str, str], ...]  # key and words of those with a number to count by
    event: str
    unit: Unit
    high: str
    low: str
    ends: tuple[int, int]
    text: str = ""
    steps: tuple[str, ...] = ()
    fault: str = ""


def day_tried(card: Card, asked: Mapping[str, str]) -> Trial | None:
    """The day that an address names, counted by one stage's number; None where a card has none."""
    numbers = {
        each.key: (each.words, each.default)
        for each in card.events
        if each.default and each.default.of == "air" and each.default.lower_c is not None
    }
    stages = tuple((key, words) for key, (words, _) in numbers.items())
    if not stages:
        return None
    key = asked.get("event", "")
    key = key if key in numbers else stages[0][0]
    words, number = numbers[key]
    assert number is not None
    unit = number.unit
    high, low = asked.get("high", _BEGIN[unit][0])[:20], asked.get("low", _BEGIN[unit][1])[:20]
    trial = Trial(stages, key, unit, high, low, _ENDS[unit])
    try:
        return _worked(trial, words, number)
    except Refusal as refusal:
        fault = f"{capital(refusal.where)}: {refusal.problem}. {refusal.expected}"
        return Trial(stages, key, unit, high, low, _ENDS[unit], fault=fault)


def _worked(trial: Trial, words: str, number: Number) -> Trial:
    counting = counting_of(number)
    lower, upper = (
        float(from_celsius(each, trial.unit)) for each in (counting.lower, counting.upper)
    )
    day = Day(
        _reading(trial.high), _reading(trial.low), round(lower, 6), trial.unit, round(upper, 6)
    )
    heat = day.heat(counting.shape, counting.cutoff)
    said = (f"{heat:.1f} °{trial.unit}-days, {counted(counting, trial.unit)}: "
            f"{words} by {heat_both(number.goal, trial.unit)}.")  # fmt: skip
    return Trial(trial.stages, trial.event, trial.unit, trial.high, trial.low, trial.ends, said,
                 steps(day, counting.shape, counting.cutoff))  # fmt: skip


def _reading(text: str) -> float:
    found = fields.number(text)
    if found is None or abs(found) > 200:
        raise Refusal("this day", f"'{text}' is no reading", "Write it as 61 or 16.5.", "",
                      slug="field")  # fmt: skip
    return found
