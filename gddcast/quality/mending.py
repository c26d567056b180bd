"""A record mended as its owner asks, step by step, each step told.

The order is always the same: impossible readings out, stuck ones blanked, late maxima moved back,
an offset added, then the gaps: another record lends first, what is left is filled by the rules of
``gaps``. Nothing happens that was not asked, but for what cannot be true.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from gddcast.quality.shifts import maxima_a_day_earlier
from gddcast.quality.siting import offset_by
from gddcast.quality.verdict import Verdict, judge
from gddcast.weather.calendar_day import Span
from gddcast.weather.gaps import (
    Loan,
    knows_the_usual,
    on_days_of,
    patch_from,
    patch_long,
    patch_short,
)
from gddcast.weather.series import DailySeries, Origin, runs


@dataclass(frozen=True, slots=True)
class Wishes:
    """What the owner of a record wants done to it.

    Parameters
    ----------
    blank, blank_max, blank_min : tuple of (date, date)
        Days whose readings, maxima or minima are not to be believed.
    mornings : tuple of (date, date)
        Lines read in the morning: each maximum belongs to the day before.
    add_max, add_min : float
        What to add to every maximum and minimum. [°C]
    """

    blank: tuple[Span, ...] = ()
    blank_max: tuple[Span, ...] = ()
    blank_min: tuple[Span, ...] = ()
    mornings: tuple[Span, ...] = ()
    add_max: float = 0.0
    add_min: float = 0.0


@dataclass(frozen=True, slots=True)
class Mended:
    """A mended record and what was done.

    Parameters
    ----------
    series : DailySeries
    verdict : Verdict
        Of the record as it came.
    patched : tuple of (date, date)
        Runs of days that are patched now and were not before.
    left : tuple of (date, date)
        Runs still unknown.
    loan : Loan, optional
    beyond : (int, int), optional
        Days the lender knows before the record's first day and after its last, not asked for.
    """

    series: DailySeries
    verdict: Verdict
    patched: tuple[Span, ...]
    left: tuple[Span, ...]
    loan: Loan | None = None
    wishes: Wishes = field(default_factory=Wishes)
    beyond: tuple[int, int] | None = None

    @property
    def days_patched(self) -> int:
        """Number of days patched in this mending."""
        return sum((last - first).days + 1 for first, last in self.patched)

    @property
    def days_left(self) -> int:
        """Number of days still unknown."""
        return sum((last - first).days + 1 for first, last in self.left)


def mend(
    series: DailySeries,
    wishes: Wishes | None = None,
    other: DailySeries | None = None,
    *,
    extend: bool = False,
) -> Mended:
    """Mend a record as asked and fill its gaps.

    Parameters
    ----------
    series : DailySeries
    wishes : Wishes, optional
    other : DailySeries, optional
        A record that lends its readings, moved by its own offset, before anything is guessed.
    extend : bool, default: False
        It lends before the first day and after the last as well.

    Raises
    ------
    Refusal
        If the other record shares too few days, or a gap of 6 to 30 days stands in a record too
        short to know what is usual.
    """
    wishes = wishes or Wishes()
    verdict = judge(series)
    before = _as_wished(verdict.judged, wishes)
    loan = beyond = None
    if other is not None:
        lender = judge(other).judged.without(Origin.FORECAST)
        loan = patch_from(before, lender, extend=extend)
        beyond = None if extend else _beyond(series, lender)
        if extend:
            before = on_days_of(loan.series, before)
    filled = loan.series if loan else before
    # Without a loan a record too short to know what is usual is refused, with the cure; with one
    # the days nobody lent are no reason to keep the others back.
    guess = loan is None or knows_the_usual(filled)
    filled = patch_long(filled) if guess else patch_short(filled)
    new = (filled.origin == Origin.PATCHED) & (before.origin != Origin.PATCHED)
    return Mended(
        series=filled,
        verdict=verdict,
        patched=_spans(filled, new),
        left=_spans(filled, ~filled.known),
        loan=loan,
        beyond=beyond,
        wishes=wishes,
    )


def _beyond(series: DailySeries, lender: DailySeries) -> tuple[int, int] | None:
    """Days a lender knows before a record and after it; None where there are none."""
    known = lender.dates[lender.known]
    before = int(np.count_nonzero(known < np.datetime64(series.first, "D")))
    after = int(np.count_nonzero(known > np.datetime64(series.last, "D")))
    return (before, after) if before or after else None


def _as_wished(series: DailySeries, wishes: Wishes) -> DailySeries:
    low, high = series.tmin.copy(), series.tmax.copy()
    for spans, rows in (
        (wishes.blank, (low, high)),
        (wishes.blank_max, (high,)),
        (wishes.blank_min, (low,)),
    ):
        for first, last in spans:
            begin, end = max(series.index(first), 0), max(series.index(last) + 1, 0)
            for row in rows:
                row[begin:end] = np.nan
    known = ~(np.isnan(low) | np.isnan(high))
    origin = np.where(known, series.origin, np.int8(Origin.UNKNOWN))
    series = replace(series, tmin=low, tmax=high, origin=origin)
    for first, last in wishes.mornings:
        series = maxima_a_day_earlier(series, first, last)
    if wishes.add_max or wishes.add_min:
        series = offset_by(series, tmax=wishes.add_max, tmin=wishes.add_min)
    return series


def _spans(series: DailySeries, mask: NDArray[np.bool_]) -> tuple[Span, ...]:
    return tuple((series.date(begin), series.date(end - 1)) for begin, end in runs(mask))
