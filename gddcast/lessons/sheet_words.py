"""What a worksheet says: its title, its task, its rules, and the question at its end."""

from __future__ import annotations

from gddcast.heat.shapes import floor_the_mean, floor_the_readings, single_sine
from gddcast.lessons.rounding import rounding_rule
from gddcast.lessons.slips import LETTERS, method_name
from gddcast.lessons.worksheet import Worksheet

_READINGS = "raise a low (or high) below {line} to {line}; then (high + low) / 2 − {line}."
_MEAN = "(high + low) / 2 − {line}; write 0 where that is below zero."
_SINE = (
    "M = (high + low) / 2, W = (high − low) / 2. Low at or above {line}: M − {line}. High at or "
    "below it: 0. Otherwise y = distance from {line} to M, divided by W; read g(y) in the table; "
    "heat = (M − {line}, or 0 where M is below {line}) + W × g."
)
_CAPPED = "first lower a high (or low) above {upper} to {upper}; then as in A."
_HORIZONTAL = (
    "heat above {line} (M, W, y, g as below) less heat above {upper}, worked in the same way. "
    "M = (high + low) / 2, W = (high − low) / 2; y = distance of the threshold from M, divided by "
    "W; heat above it = (M − threshold, or 0) + W × g(y); low at or above it: M − threshold; high "
    "at or below it: 0."
)
_TITLES = {
    "week": "Heat above {line} °{unit}",
    "cold": "Cold days: heat above {line} °{unit}",
    "upper": "Heat between {line} and {upper} °{unit}",
    "date": "On which day is {goal} °{unit}-days reached?",
    "biofix": "Heat above {line} °{unit} since the moths came",
}
_TASKS = {
    "week": "How much heat did each day give above {line} °{unit}? Work it three ways.",
    "cold": "How much heat did each day give above {line} °{unit}? Work it three ways. A cold day "
    "gives nothing; it takes nothing away.",
    "upper": "Development starts at {line} °{unit} and speeds up no more above {upper}. How much "
    "heat did each day give? Work it three ways.",
    "date": "A moth is due at {goal} °{unit}-days above {line} °{unit}, counted from the first row "
    "on. On which row has each sum reached {goal} or more?",
    "biofix": "The clock starts with the moths: on the first of two mornings running with a catch. "
    "That day counts, the ones before do not. How much heat above {line} °{unit} came since?",
}
_QUESTIONS = {
    "week": "Which method gives most, which least, and on which days, if any, do all three agree? "
    "What would go wrong if you used a goal found by one method with another?",
    "cold": "Which method finds heat on a day whose mean lies below the line? Does a caterpillar "
    "grow on such an afternoon?",
    "upper": "On which days does the upper threshold change nothing? What would a warmer week do "
    "to A, B and C?",
    "date": "How many days lie between the first and the last answer? Whose number was the goal?",
    "biofix": "How far off would you be had you started at the first lone catch? Why two mornings?",
}


def _filled(text: str, sheet: Worksheet) -> str:
    goal = "" if sheet.goal is None else f"{sheet.goal:g}"
    return text.format(line=f"{sheet.line:g}", upper=f"{sheet.upper:g}", unit=sheet.unit, goal=goal)


def title(sheet: Worksheet) -> str:
    """What the sheet is about."""
    return _filled(_TITLES[sheet.form], sheet)


def task(sheet: Worksheet) -> str:
    """What is to be done."""
    return "A thermometer at an invented garden gave these readings. " + _filled(
        _TASKS[sheet.form], sheet
    )


def question(sheet: Worksheet) -> str:
    """What to think about at the end."""
    return _filled(_QUESTIONS[sheet.form], sheet)


def rounding(sheet: Worksheet) -> str:
    """How to round."""
    if sheet.form == "date":
        return "Keep every digit: nothing is rounded. The answers are numbers of rows."
    return rounding_rule(sheet.unit)


def rules(sheet: Worksheet) -> tuple[tuple[str, str, str], ...]:
    """Letter, name and rule of each answer.

    Examples
    --------
    >>> from gddcast.lessons.worksheet import make_worksheet
    >>> rules(make_worksheet(7))[1]
    ('B', 'floor the mean', '(high + low) / 2 − 50; write 0 where that is below zero.')
    """
    plain = {floor_the_readings: _READINGS, floor_the_mean: _MEAN, single_sine: _SINE}
    said = []
    for letter, method in zip(LETTERS, sheet.methods, strict=True):
        shape, cutoff = method
        rule = _CAPPED if cutoff.caps_readings else plain[shape]
        if cutoff.name == "horizontal":
            rule = _HORIZONTAL
        said.append((letter, method_name(method), _filled(rule, sheet)))
    return tuple(said)
