"""Which scale a file is in. It is never guessed: the file says so, or its owner does."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gddcast.errors import Refusal
from gddcast.readers.reading import Array, FileUnit, Note, month_named, said
from gddcast.units import celsius

#: Nothing near the ground was ever warmer or colder (WMO archive of extremes: Death Valley 1913,
#: 56.7 °C; Vostok 1983, −89.2 °C). Beyond these with room to spare a number marks a missing value.
COLDEST_MARK, HOTTEST_MARK = -90.0, 150.0

#: Warmest air on Earth with a little room. [°C]
WARMEST_AIR = 57.7

_NAMES = {"F": "°F", "C": "°C", "K": "kelvin", "tenths-C": "tenths of °C"}


@dataclass(frozen=True, slots=True)
class Scale:
    """Scale of a file and who said so: ``header``, ``cells``, ``format`` or ``you``."""

    unit: FileUnit
    decided_by: str

    @property
    def how(self) -> str:
        """One line for people."""
        reason = {
            "header": "column names say so",
            "cells": "the cells say so",
            "format": "the format says so",
            "comment": "the file's own comment says so",
            "you": "you said so",
        }[self.decided_by]
        return f"Unit {_NAMES[self.unit]} ({reason})"


def in_celsius(numbers: Array, unit: FileUnit) -> Array:
    """A file's numbers in °C."""
    if unit == "F":
        return celsius(numbers)
    if unit == "K":
        return numbers - 273.15
    return numbers / 10.0 if unit == "tenths-C" else numbers


def family_of(high: Array, low: Array, told: FileUnit | None = None) -> str:
    """Whether numbers are ``degrees``, ``kelvin`` or ``tenths``: as told, or by most of them.

    Examples
    --------
    >>> family_of(np.array([222.0, 189.0]), np.array([78.0, 39.0]))
    'tenths'
    """
    if told in ("K", "tenths-C"):
        return "kelvin" if told == "K" else "tenths"
    highs, lows = high[~np.isnan(high)], low[~np.isnan(low)]
    if not highs.size or not lows.size:
        return "degrees"
    bottom, top = float(np.quantile(lows, 0.2)), float(np.quantile(highs, 0.95))
    if bottom > 200 and top < 345 and np.median(highs) - np.median(lows) < 40:
        return "kelvin"
    outside = float(np.mean(np.abs(highs) > 60))
    hot = float(np.mean(highs > 134))  # 134 °F is the record
    whole = bool((np.abs(highs) < 1e6).all() and (highs == np.round(highs)).all())
    if whole and (outside > 0.6 or hot > 0.2) and hot > 0.05 and np.quantile(highs, 0.95) <= 577:
        return "tenths"
    return "degrees"


def without_marks(numbers: Array, family: str) -> tuple[Array, Counter[float]]:
    """Numbers no thermometer shows made NaN, and how often each was met (U11).

    A marker of −999.9 °C that some program turned to °F is −1767.8, and 0 K is one too.
    """
    lowest, highest = {
        "degrees": (-130.0, 302.0),
        "kelvin": (273.15 + COLDEST_MARK, 273.15 + HOTTEST_MARK),
        "tenths": (10 * COLDEST_MARK, 10 * HOTTEST_MARK),
    }[family]
    odd: NDArray[np.bool_] = (numbers < lowest) | (numbers > highest)
    if family == "degrees":
        odd |= numbers == -99.0
    if not odd.any():
        return numbers, Counter()
    return np.where(odd, np.nan, numbers), Counter(numbers[odd].tolist())


def decide(
    high: Array,
    low: Array,
    days: NDArray[np.datetime64],
    name: str,
    *,
    stated: FileUnit | None,
    stated_by: str,
    told: FileUnit | None,
    family: str,
) -> tuple[Scale, tuple[Note, ...]]:
    """Settle the scale, or refuse with the evidence.

    Parameters
    ----------
    high, low : numpy.ndarray
        The file's numbers, markers removed.
    days : numpy.ndarray of datetime64[D]
    name : str
        File, for people.
    stated : str, optional
        Scale the file itself names, in its ``stated_by``.
    told : str, optional
        Scale the person gave.
    family : str
        What the numbers look like, from `family_of`.

    Raises
    ------
    Refusal
        If nobody said (U1), or what was said can't be (U7, U9).
    """
    if np.isnan(high).all() or np.isnan(low).all():
        raise Refusal(
            name,
            "no day in it has a temperature",
            "Every cell of its temperature columns is empty or marked missing.",
            "Export it once more and look inside before you do.",
            slug="no-readings",
        )
    unit = told or stated
    if family == "tenths" and unit != "tenths-C":
        raise _tenths(high, name)
    if family == "kelvin" and unit != "K":
        raise _kelvin(high, low, name)
    if unit is None:
        raise _unsaid(high, low, days, name)
    _refuse_impossible(high, unit, name, told)
    notes = []
    if told and stated and told != stated:
        notes.append(
            Note(
                "units-contradicted",
                f"You said {_NAMES[told]}, the file's {stated_by} says {_NAMES[stated]}: "
                f"taken as {_NAMES[told]}.",
            )
        )
    return Scale(unit, "you" if told else stated_by), tuple(notes)


def _number(value: float) -> str:
    return f"{value:g}".replace("-", "−")


def _tenths(high: Array, name: str) -> Refusal:
    most = float(np.nanmax(high))
    return Refusal(
        name,
        "its numbers look like tenths of a degree Celsius",
        f"The highest is {_number(most)}: no thermometer shows that, and {_number(most / 10)} °C "
        "is an ordinary day.",
        "If so, say it:",
        flag="--unit tenths-C",
        slug="tenths",
    )


def _kelvin(high: Array, low: Array, name: str) -> Refusal:
    least, most = float(np.nanmin(low)), float(np.nanmax(high))
    return Refusal(
        name,
        "its numbers look like kelvin",
        f"They run from {_number(least)} to {_number(most)}, which is {least - 273.15:.1f} to "
        f"{most - 273.15:.1f} °C".replace("-", "−")
        + ".",
        "If so, say it:",
        flag="--unit K",
        slug="kelvin",
    )


def _unsaid(high: Array, low: Array, days: NDArray[np.datetime64], name: str) -> Refusal:
    most, least = float(np.nanmax(high)), float(np.nanmin(low))
    likely, evidence = _evidence(most, high, days)
    return Refusal(
        name,
        "it doesn't say whether it is °F or °C",
        f"Highest reading {_number(most)}, lowest {_number(least)}. {evidence}",
        "Say which:",
        flag=f"--unit {likely}",
        slug="units-unclear",
    )


def _evidence(most: float, high: Array, days: NDArray[np.datetime64]) -> tuple[str, str]:
    """Which scale is likelier and why, in one sentence."""
    when = _when(days)
    typical = float(np.nanmedian(high))
    if most > WARMEST_AIR:
        return "F", f"As °F that is {when}; as °C it is hotter than air has ever been on Earth."
    if typical <= 45 and most <= 50:
        shown = math.floor(most) if most - math.floor(most) < 0.5 else math.ceil(most)
        return "C", f"As °C that is {when}; as °F no afternoon passed {shown}."
    return "F", f"As °C most days would pass {typical:.0f}; as °F that is {when}."


def _when(days: NDArray[np.datetime64]) -> str:
    months = days.astype("datetime64[M]").astype(np.int64)
    if months.max() - months.min() > 2:
        return "an ordinary year" if months.max() - months.min() > 10 else "an ordinary season"
    common, _ = Counter((months % 12 + 1).tolist()).most_common(1)[0]
    month = month_named(common)
    return f"{'an'} ordinary {month}"


def _refuse_impossible(high: Array, unit: FileUnit, name: str, told: FileUnit | None) -> None:
    """Refuse a scale in which a fifth of all days would be warmer than any day on Earth."""
    warm = in_celsius(high[~np.isnan(high)], unit)
    if np.mean(warm > WARMEST_AIR) <= 0.2 and np.mean(warm < COLDEST_MARK) <= 0.2:
        return
    other = "F" if unit in ("C", "tenths-C") else "C"
    who = "you said" if told else "its column names say"
    raise Refusal(
        name,
        f"it can't be in {_NAMES[unit]}, as {who}",
        f"Its highest reading is {_number(float(np.nanmax(high)))}, and air on Earth has not "
        f"passed {56.7 if unit == 'C' else 134} {'°C' if unit == 'C' else '°F'}.",
        f"If it is in {_NAMES[other]}, say so:",
        flag=f"--unit {other}",
        slug="units-impossible",
    )


def refuse_change_of_scale(
    high: Array, low: Array, days: NDArray[np.datetime64], name: str, *, window: int = 20
) -> None:
    """Refuse a file whose scale changes on some day (U8), and name the day.

    The days before and after the jump must lie apart, by about what a change between °F and °C
    makes of them, and their daily ranges must differ by about 9/5.

    Parameters
    ----------
    high, low : numpy.ndarray, shape (days,)
        In the file's own scale, one value for each consecutive day.
    """
    mean = (high + low) / 2
    known = np.flatnonzero(~np.isnan(mean))
    if known.size < 10:
        return
    level, spread = mean[known], (high - low)[known]
    for at in _largest_shifts(level):
        parts = slice(max(at - window, 0), at), slice(at, at + window)
        if not _scales_differ(level, spread, *parts):
            continue
        one, other = (float(np.median(level[part])) for part in parts)
        cold = min(one, other)
        units = ("°F", "°C") if one > other else ("°C", "°F")
        day = days[known[at]]
        raise Refusal(
            name,
            f"its scale changes from {units[0]} to {units[1]} on {said(day)}",
            f"The middle of the days before is {one:.0f}, after {other:.0f}; "
            f"{cold:.0f} °C is {cold * 1.8 + 32:.0f} °F.",
            "Cut the file in two on that day and read each part with its own unit.",
            slug="units-change",
        )


def _largest_shifts(level: Array, near: int = 5, most: int = 12) -> NDArray[np.intp]:
    """Days at which the level jumps, those first whose two sides differ most."""
    total = np.concatenate(([0.0], np.cumsum(level)))
    at = np.arange(3, level.size - 2)
    begin, end = np.maximum(at - near, 0), np.minimum(at + near, level.size)
    before = (total[at] - total[begin]) / (at - begin)
    after = (total[end] - total[at]) / (end - at)
    shift = np.abs(after - before)
    shift[np.abs(level[at] - level[at - 1]) <= 10] = 0.0
    largest = np.argsort(-shift, kind="stable")[:most]
    days: NDArray[np.intp] = at[largest[shift[largest] > 15]]
    return days


def _scales_differ(level: Array, spread: Array, before: slice, after: slice) -> bool:
    """Whether two stretches of days can be the same weather in °F and in °C."""
    one, other = level[before], level[after]
    fahrenheit, centigrade = (one, other) if np.median(one) > np.median(other) else (other, one)
    if np.quantile(fahrenheit, 0.1) <= np.quantile(centigrade, 0.9):
        return False
    warm, cold = float(np.median(fahrenheit)), float(np.median(centigrade))
    if warm - cold < 18 or abs(cold * 1.8 + 32 - warm) > 0.5 * (warm - cold):
        return False
    wide, narrow = (
        float(np.median(np.abs(spread[part])))
        for part in ((before, after) if fahrenheit is one else (after, before))
    )
    return 0 < 1.2 * narrow < wide < 2.8 * narrow
