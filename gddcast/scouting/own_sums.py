"""How a published heat sum fits one's own first finds, each known only to lie in a bracket.

A find says that the day was not later, the clean look before it that it was not earlier: the
heat on those two evenings brackets the insect's own sum. A normal distribution is fitted to
the brackets by its likelihood, as for any interval-censored data (Turnbull 1976, Journal of the
Royal Statistical Society B 38:290-295, from memory); the stretch that all brackets share is a
check, no estimate.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gddcast.heat.counting import Counting
from gddcast.journal.entries import Journal
from gddcast.outlook.seasons import SeasonHeat, season_heats
from gddcast.quality.findings import Finding
from gddcast.quality.verdict import SEASON_KNOWN
from gddcast.weather.series import DailySeries, Origin, Season, season_of
from gddcast.words import day

Array = NDArray[np.float64]

#: Fewer seasons than this change nothing. Common practice, no source.
ENOUGH_SEASONS = 3
#: Half the 95 % point of chi-square with one degree of freedom: the drop of a profile interval.
DROP = 1.920729


@dataclass(frozen=True, slots=True)
class HeatBracket:
    """One season's first find: the heat on the evening of the clean look, and of the find."""

    season: str
    clean_on: dt.date
    found_on: dt.date
    low: float  # [°C·d]
    high: float  # [°C·d]
    published_on: dt.date | None  # day the published sum was reached

    @property
    def lag(self) -> int | None:
        """Days from the published sum to the find; negative where the find came first."""
        return None if self.published_on is None else (self.found_on - self.published_on).days


@dataclass(frozen=True, slots=True)
class Fit:
    """Mean and spread of one's own sum, and the 95 % profile interval of the mean. [°C·d]

    ``spread`` is 0 where one and the same sum would explain every bracket.
    """

    mean: float
    spread: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Tuning:
    """What the brackets say; ``fit`` is None where they are too few."""

    brackets: tuple[HeatBracket, ...]
    shared: tuple[float, float] | None
    apart: str | None  # the one season without which the others share a stretch
    fit: Fit | None
    off: tuple[int | None, ...]  # days, each season foretold from the others
    not_used: tuple[tuple[str, str], ...]  # season and reason


def tune(
    series: DailySeries,
    journal: Journal,
    organism: str,
    event: str,
    counting: Counting,
    published: float,
    start: tuple[int, int] | None = None,
    findings: Sequence[Finding] = (),
) -> Tuning:
    """Set one's own finds beside a published sum, in the method that belongs to it.

    A season has no say where the thermometer was moved in it or after it, where more than 2 in
    100 of its days up to the find were filled, or where a fault in them would move its date.

    Parameters
    ----------
    series : DailySeries
        Short gaps patched; the patches are marked.
    journal : Journal
    organism, event : str
        Keys of the card.
    counting : Counting
    published : float
        The card's sum. [°C·d]
    start : tuple of int, optional
        Month and day on which it counts from; default the first day of the season.
    findings : sequence of Finding
        What was found in the record and left in it.
    """
    moved = max((job.done_on for job in journal.jobs if job.job == "moved-sensor"), default=None)
    used: list[tuple[SeasonHeat, HeatBracket]] = []
    not_used = []
    for each in season_heats(series, counting, start):
        found = journal.bracket(organism, [event], each.season.first, each.season.last)
        if found is None:
            continue
        if found.clean_on is None:
            not_used.append((each.season.name, "no clean look before it"))
            continue
        low, high = each.through(found.clean_on), each.through(found.found_on)
        first = each.season.on(*start) if start else each.season.first
        why = _unfair(series.between(first, found.found_on), high, moved, findings)
        if why is not None:
            not_used.append((each.season.name, why))
            continue
        own = HeatBracket(
            each.season.name, found.clean_on, found.found_on, low, high, each.reached(published)
        )
        used.append((each, own))
    brackets = [(own.low, own.high) for _, own in used]
    enough = len(used) >= ENOUGH_SEASONS
    off = tuple(_off(each, own, brackets, index) for index, (each, own) in enumerate(used))
    return Tuning(
        tuple(own for _, own in used), shared_stretch(brackets), _apart(used),
        fit_brackets(brackets) if enough else None, off if enough else (), tuple(not_used),
    )  # fmt: skip


def _unfair(
    counted: DailySeries, heat: float, moved: dt.date | None, findings: Sequence[Finding]
) -> str | None:
    """Why a season's sum up to its find can't be set beside the others."""
    if not np.isfinite(heat):
        return "days before it are unknown"
    if moved is not None and counted.first < moved:
        when = "in it" if moved <= counted.last else "after it"
        return f"the thermometer was moved {when}, on {day(moved, weekday=False, year=True)}"
    filled = counted.count(Origin.PATCHED)
    if filled > (1.0 - SEASON_KNOWN) * len(counted):
        return f"{filled} of its {len(counted)} days up to the find were filled"
    for each in findings:
        left_in = each.level == "finding" and not each.removed and each.rule != "missing"
        moves = each.effect_days is None or abs(each.effect_days) >= 1.0
        if left_in and moves and each.first <= counted.last and each.last >= counted.first:
            return each.words.rstrip(".")
    return None


def ripe(journal: Journal, organism: str, event: str, season: Season) -> int:
    """Seasons up to this one with a first find and a clean look before it."""
    finds = {season_of(each.seen_on, (season.first.month, season.first.day))
             for each in journal.of(organism, [event]) if each.kind == "saw"}  # fmt: skip
    brackets = (
        journal.bracket(organism, [event], each.first, each.last)
        for each in finds
        if each.first <= season.first
    )
    return sum(found is not None and found.clean_on is not None for found in brackets)


def shared_stretch(brackets: Sequence[tuple[float, float]]) -> tuple[float, float] | None:
    """The heat that lies in every bracket, if there is any.

    Examples
    --------
    >>> shared_stretch([(1058, 1099), (1054, 1118), (1049, 1127), (1017, 1064)])
    (1058, 1064)
    >>> shared_stretch([(900, 950), (1000, 1100)]) is None
    True
    """
    if not brackets:
        return None
    low, high = max(low for low, _ in brackets), min(high for _, high in brackets)
    return (low, high) if low < high else None


def fit_brackets(brackets: Sequence[tuple[float, float]]) -> Fit:
    """Maximum-likelihood normal distribution of values known only to lie in brackets.

    Where the brackets share a stretch, every spread down to none explains them: the mean is
    then the middle of the stretch. The interval is that of the profile likelihood.
    """
    from scipy.optimize import brentq, minimize

    low, high = np.array(brackets, dtype=np.float64).T
    width = float(high.max() - low.min())
    spreads = width * np.geomspace(1e-4, 30.0, 600)

    def profile(mean: float) -> float:
        return float(_log_likelihood(low, high, mean, spreads).max())

    shared = shared_stretch(brackets)
    if shared is not None:
        mean, spread, best = sum(shared) / 2, 0.0, 0.0
    else:
        middles = (low + high) / 2
        found = minimize(
            lambda at: -float(_log_likelihood(low, high, at[0], np.exp(at[1:]))[0]),
            [middles.mean(), np.log(middles.std() + width / 10)],
            method="Nelder-Mead", options={"xatol": 1e-7, "fatol": 1e-10},
        )  # fmt: skip
        mean, spread, best = float(found.x[0]), float(np.exp(found.x[1])), -float(found.fun)
    ends = []
    for side in (-1.0, 1.0):
        reach = width
        while profile(mean + side * reach) > best - DROP:
            reach *= 2
        ends.append(
            float(
                brentq(lambda at: profile(at) - best + DROP, mean, mean + side * reach, xtol=1e-6)
            )
        )
    return Fit(mean, spread, ends[0], ends[1])


def _log_likelihood(low: Array, high: Array, mean: float, spreads: Array) -> Array:
    """Log-likelihood of all brackets for each spread, the far tail taken on its exact side."""
    from scipy.special import ndtr

    begin = (low - mean) / spreads[:, None]
    end = (high - mean) / spreads[:, None]
    upper = begin > 0
    share = ndtr(np.where(upper, -begin, end)) - ndtr(np.where(upper, -end, begin))
    total: Array = np.log(np.maximum(share, 1e-300)).sum(axis=1)
    return total


def _apart(used: Sequence[tuple[SeasonHeat, HeatBracket]]) -> str | None:
    """The only season without which the others would share a stretch."""
    own = [(each.low, each.high) for _, each in used]
    if len(used) <= 2 or shared_stretch(own) is not None:
        return None
    names = [
        each.season
        for index, (_, each) in enumerate(used)
        if shared_stretch([*own[:index], *own[index + 1 :]]) is not None
    ]
    return names[0] if len(names) == 1 else None


def _off(
    each: SeasonHeat, own: HeatBracket, brackets: list[tuple[float, float]], index: int
) -> int | None:
    """Days by which a fit on the other seasons misses this one's bracket; later is positive."""
    others = [*brackets[:index], *brackets[index + 1 :]]
    if len(others) < ENOUGH_SEASONS - 1:
        return None
    foretold = each.reached(fit_brackets(others).mean)
    if foretold is None:
        return None
    if foretold <= own.clean_on:
        return (foretold - own.clean_on).days - 1
    return max((foretold - own.found_on).days, 0)
