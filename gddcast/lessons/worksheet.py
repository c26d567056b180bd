"""A worksheet of readings: five forms, the days each is drawn from, and the right answers.

A form asks for three answers, A, B and C. Whatever it asks, hand and table give the exact answer;
`readings` says how.
"""

from __future__ import annotations

import datetime as dt
import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gddcast.errors import ArgumentRefusal
from gddcast.heat.cutoffs import (
    Cutoff,
    cap_the_readings,
    horizontal,
    no_cutoff,
)
from gddcast.heat.shapes import (
    Shape,
    floor_the_mean,
    floor_the_readings,
    single_sine,
)
from gddcast.lessons.by_hand import heat_by_hand
from gddcast.lessons.readings import BOTH, STEP, ReadingScale, draw_days
from gddcast.lessons.worked_day import Day
from gddcast.units import Unit, from_celsius

#: One answer's method: a day shape and what warmth above the upper threshold does.
Method = tuple[Shape, Cutoff]
#: The three methods of a sheet, in the order of its columns.
SHEET_METHODS = (floor_the_readings, floor_the_mean, single_sine)
#: First day of every sheet: a Monday in May.
FIRST_DAY = dt.date(2026, 5, 4)
#: A sheet is for a lesson, not for a year.
MOST_DAYS = 31
#: Thresholds of a sheet that names none. [°C]
LOWER_C, UPPER_C = 10.0, 30.0


@dataclass(frozen=True, slots=True)
class Form:
    """A kind of sheet.

    Parameters
    ----------
    name : str
    teaches : str
        In a few words.
    kinds : tuple of (str, float)
        Days it is drawn from, and their shares.
    days, fewest : int
        How many it has if nobody says, and at least.
    methods : tuple of Method
        Of the answers A, B and C.
    """

    name: str
    teaches: str
    kinds: tuple[tuple[str, float], ...]
    days: int = 7
    fewest: int = 1
    methods: tuple[Method, ...] = tuple((shape, no_cutoff) for shape in SHEET_METHODS)


_MIXED = (("crossing", 0.8), ("warm", 0.2))
_COLD = (("cold", 0.5), ("below", 0.15), ("crossing", 0.35))
_WARMING = (("crossing", 0.6), ("warm", 0.4))
FORMS = {
    form.name: form
    for form in (
        Form("week", "the heat of a week, three ways", _MIXED),
        Form("cold", "cold days: below zero is zero", _COLD),
        Form(
            "upper", "what an upper threshold does",
            (("hot", 0.6), ("crossing", 0.3), ("warm", 0.1)),
            methods=(
                (floor_the_readings, no_cutoff), (floor_the_readings, cap_the_readings),
                (single_sine, horizontal),
            ),
        ),
        Form("date", "the day on which a sum is reached", _WARMING, days=10, fewest=7),
        Form("biofix", "a clock that starts with a find", _MIXED, days=10, fewest=6),
    )
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Worksheet:
    """One sheet.

    Parameters
    ----------
    seed : int
    unit : {"F", "C"}
    days : tuple of Day
        The readings, in the sheet's unit, with its thresholds.
    form : str
    goal : float, optional
        Of a ``date`` sheet. [°unit·d]
    catches : tuple of int
        Of a ``biofix`` sheet: moths in the trap each morning.
    """

    seed: int
    unit: Unit
    days: tuple[Day, ...]
    form: str = "week"
    goal: float | None = None
    catches: tuple[int, ...] = ()

    @property
    def line(self) -> float:
        """Lower threshold. [°unit]"""
        return self.days[0].lower

    @property
    def upper(self) -> float:
        """Upper threshold, infinite where it has none. [°unit]"""
        return self.days[0].upper

    @property
    def methods(self) -> tuple[Method, ...]:
        """Of the answers A, B and C."""
        return FORMS[self.form].methods

    @property
    def begin(self) -> int:
        """Row of the first day that counts."""
        return biofix(self.catches) if self.catches else 0

    @property
    def counted(self) -> tuple[Day, ...]:
        """Days from the clock's first one on."""
        return self.days[self.begin :]

    def date(self, index: int) -> dt.date:
        """Day of a row."""
        return FIRST_DAY + dt.timedelta(days=index)

    def total(self, shape: Shape, cutoff: Cutoff = no_cutoff) -> float:
        """Exact total of one method. [°unit·d]"""
        return sum(day.heat(shape, cutoff) for day in self.counted)

    def row_reached(self, shape: Shape) -> int | None:
        """Number of the day, from 1 on, by whose end the goal is reached."""
        return None if self.goal is None else _row_reached(self.days, shape, self.goal)

    @property
    def answers(self) -> tuple[float | None, ...]:
        """A, B and C: totals, or on a ``date`` sheet numbers of days."""
        if self.goal is None:
            return tuple(self.total(*method) for method in self.methods)
        return tuple(self.row_reached(shape) for shape, _ in self.methods)


def biofix(catches: Sequence[int]) -> int:
    """The first of two mornings running with a catch."""
    pairs = enumerate(itertools.pairwise(catches))
    return next(at for at, pair in pairs if min(pair) > 0)


def make_worksheet(
    seed: int,
    days: int | None = None,
    unit: Unit = "F",
    *,
    form: str = "week",
    lower: float | None = None,
    upper: float | None = None,
) -> Worksheet:
    """Draw a sheet; the same seed gives the same one, and a longer one begins with a shorter one.

    Parameters
    ----------
    seed : int
        Zero or more.
    days : int, optional
        Default: as many as the form has.
    unit : {"F", "C"}
    form : str, default: "week"
        One of `FORMS`.
    lower, upper : float, optional
        Thresholds; default 50 and 86 °F. An upper one is for the form ``upper``. [°unit]

    Raises
    ------
    ArgumentRefusal
        If seed, days or thresholds fit no sheet that a person can work by hand.

    Examples
    --------
    >>> fahrenheit, celsius = (make_worksheet(7, unit=unit) for unit in ("F", "C"))
    >>> round(fahrenheit.total(single_sine) / celsius.total(single_sine), 9)
    1.8
    >>> make_worksheet(7, 9).days[:7] == make_worksheet(7).days
    True
    """
    kind = FORMS[form]
    count = kind.days if days is None else days
    if not kind.fewest <= count <= MOST_DAYS or seed < 0:
        raise ArgumentRefusal(
            "this worksheet",
            f"it asks for {count} days and seed {seed}",
            f"A sheet of the form {form} has {kind.fewest} to {MOST_DAYS} days, "
            "and a seed is a whole number of 0 or more.",
            "Give numbers in that range.",
            slug="worksheet-size",
        )
    low = float(from_celsius(LOWER_C, unit)) if lower is None else lower
    high = _upper(form, low, unit, upper)
    scale = _scale(low, high, unit, upper is None)
    rng = np.random.default_rng([seed, list(FORMS).index(form)])
    step, goal = STEP[unit] / scale.finer, None
    catches: tuple[int, ...] = ()
    if form == "biofix":
        catches = _draw_catches(rng, MOST_DAYS)
        drawn = _draw_from(rng, biofix(catches), count, kind, scale)
    elif form == "date":
        drawn, goal = _draw_to_a_goal(rng, count, kind, scale)
    else:
        drawn = draw_days(rng, count, kind.kinds, scale, also=_parted)
    placed = tuple(
        Day(low + day.high * step, low + day.low * step, low, unit, upper=high) for day in drawn
    )
    reached = None if goal is None else goal * step
    return Worksheet(seed, unit, placed, form, reached, catches[:count])


def _upper(form: str, lower: float, unit: Unit, upper: float | None) -> float:
    if form != "upper":
        if upper is not None:
            raise _unfit(f"the form {form} has no upper threshold", "Use --form upper.")
        return np.inf
    usual = lower + (UPPER_C - LOWER_C) / 2.5 * STEP[unit]
    high = usual if upper is None else upper
    if not 3 * STEP[unit] <= high - lower <= 9 * STEP[unit]:
        raise _unfit(
            f"the upper threshold {high:g} lies {high - lower:g} above the lower one",
            f"Choose one {3 * STEP[unit]:g} to {9 * STEP[unit]:g} °{unit} above it.",
        )
    return high


def _scale(lower: float, upper: float, unit: Unit, usual: bool) -> ReadingScale:
    for value in (lower, *([upper] if np.isfinite(upper) else [])):
        if value * 2 % 1:
            raise _unfit(
                f"{value:g} °{unit} is no whole or half degree",
                "Give the threshold in the scale of the sheet, or choose the other --unit.",
            )
    if np.isinf(upper):
        return BOTH
    if usual or (upper - lower) % STEP[unit] == 0.0:
        return ReadingScale(BOTH.per_step, upper=(upper - lower) / STEP[unit])
    fine = {"F": 1.0, "C": 0.5}[unit]  # whole degrees, or halves that are about as fine
    return ReadingScale(((unit, fine),), STEP[unit] / fine, (upper - lower) / fine)


def _unfit(problem: str, cure: str) -> ArgumentRefusal:
    return ArgumentRefusal(
        "this worksheet",
        problem,
        "A sheet is worked by hand, with readings of half degrees.",
        cure,
        slug="worksheet-thresholds",
    )


def _parted(days: Sequence[Day]) -> bool:
    """Whether the methods part on the first day, or a sheet would teach nothing; they part on."""
    if len(days) > 1 or np.isfinite(days[0].upper):
        return True
    readings, mean, sine = (days[0].heat(shape) for shape in SHEET_METHODS)
    return readings - sine > 0.1 and sine - mean > 0.1


def _draw_catches(rng: np.random.Generator, count: int) -> tuple[int, ...]:
    """A lone catch, a morning or two without, then two running; for the longest sheet."""
    patterns = ([0, 1, 0, 1, 1], [1, 0, 0, 1, 1], [1, 0, 1, 1])
    pattern = patterns[int(rng.integers(len(patterns)))]
    rest = (rng.random(count) < 0.7).astype(int).tolist()
    sizes = rng.integers(1, 10, size=count).tolist()
    mornings = [*pattern, *rest][:count]
    return tuple(size * caught for size, caught in zip(sizes, mornings, strict=True))


def _draw_from(
    rng: np.random.Generator, begin: int, count: int, form: Form, scale: ReadingScale
) -> tuple[Day, ...]:
    """Days of which table and exact sum agree from the row ``begin`` on, where they part."""
    before = draw_days(rng, begin, form.kinds, scale)
    return before + draw_days(rng, count - begin, form.kinds, scale, also=_parted)


def _draw_to_a_goal(
    rng: np.random.Generator, count: int, form: Form, scale: ReadingScale
) -> tuple[tuple[Day, ...], float]:
    """Days on which three methods reach one goal on three days, all within the shortest sheet."""
    while True:
        days = draw_days(rng, form.fewest, form.kinds, scale, also=_parted)
        sums = [np.cumsum([heat_by_hand(day, shape) for day in days]) for shape in SHEET_METHODS]
        # Every second step: a multiple of 9 °F-days and of 5 °C-days.
        for goal in range(int(min(each[-1] for each in sums)) // 2 * 2, 3, -2):
            if _clear(sums, goal):
                return draw_days(rng, count, form.kinds, scale, days, _parted), float(goal)


def _clear(sums: Sequence[NDArray[np.float64]], goal: float) -> bool:
    """Whether all reach it, on days of their own, and none all but meets it."""
    rows = {int(np.searchsorted(each, goal)) for each in sums}
    reached = min(each[-1] for each in sums) > goal
    return (
        reached and len(rows) == len(sums) and min(abs(each - goal).min() for each in sums) > 0.05
    )


def _row_reached(days: Sequence[Day], shape: Shape, goal: float) -> int | None:
    reached = np.cumsum([day.heat(shape) for day in days]) >= goal
    return int(reached.argmax()) + 1 if reached.any() else None


def order_of(sheet: Worksheet) -> str:
    """The command that makes the sheet again."""
    numbers = f"--seed {sheet.seed} --form {sheet.form} --days {len(sheet.days)}"
    upper = f" --upper {sheet.upper:g}{sheet.unit}" if np.isfinite(sheet.upper) else ""
    thresholds = f"--lower {sheet.line:g}{sheet.unit}{upper}"
    return f"gddcast lesson worksheet {numbers} --unit {sheet.unit} {thresholds}"
