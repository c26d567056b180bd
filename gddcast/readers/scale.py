"""Which scale a file is in. It is never guessed: the file says so, or its owner does."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gddcast.errors import Refusal
from gddcast.readers.reading import Array, FileUnit, Note, OpenQuestion, in_words
from gddcast.readers.values import COLDEST_MARK, SCALE_NAMES, in_celsius
from gddcast.words import month

#: Warmest air on Earth with a little room. [°C]
WARMEST_AIR = 57.7

#: Usual mean of a month's days that no place beyond 35° of latitude passes, by the months from
#: midwinter (January in the north); the last holds everywhere: common practice, no source. [°C]
WARMEST_MONTHS = np.array([16.0, 16.0, 20.0, 24.0, 30.0, 36.0, 36.0])

#: Usual swing of a day that no place passes: common practice, no source. [°C]
WIDEST_SWING = 18.0

_LIMITS = {
    "C": "not passed 56.7 °C.",
    "F": "not passed 134 °F.",
    "K": "never been colder than 184 K.",
    "tenths-C": "not passed 567 tenths.",
}


@dataclass(frozen=True, slots=True)
class Scale:
    """Scale of a file and who said so: ``header``, ``cells``, ``format`` or ``you``."""

    unit: FileUnit
    decided_by: str

    @property
    def understood(self) -> str:
        """One line for people."""
        reason = {
            "header": "column names say so",
            "cells": "the cells say so",
            "format": "the format says so",
            "comment": "the file’s own comment says so",
            "you": "you said so",
        }[self.decided_by]
        return f"Unit {SCALE_NAMES[self.unit]} ({reason})"


def decide(
    high: Array,
    low: Array,
    days: NDArray[np.datetime64],
    name: str,
    *,
    stated: FileUnit | None,
    stated_by: str,
    given: FileUnit | None,
    family: str,
    sure: bool = False,
    latitude: float | None = None,
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
    given : str, optional
        Scale the person gave.
    family : str
        What the numbers look like, from `family_of`.
    sure : bool
        Whether the person stands by the scale, however odd it looks.
    latitude : float, optional
        Where the thermometer hangs, north positive. [°]

    Raises
    ------
    Refusal
        If nobody said (U1), what was said can't be (U7, U9), or another scale is likelier and the
        person is not ``sure``.
    """
    if np.isnan(high).all() or np.isnan(low).all():
        raise Refusal(
            name,
            "no day in it has a temperature",
            "Every cell of its temperature columns is empty or marked missing.",
            "Export it once more and look inside before you do.",
            slug="no-readings",
        )
    unit = given or stated
    if family == "tenths" and unit != "tenths-C":
        raise _tenths(high, name)
    if family == "kelvin" and unit != "K":
        raise _kelvin(high, low, name)
    if unit in (None, "F", "C") and not sure and _swings_like_tenths(high, low):
        raise _tenths(high, name)
    if unit is None:
        raise _unsaid(high, low, days, name, latitude)
    _refuse_impossible(high, unit, name, given)
    if not sure:
        if unit == "tenths-C":
            _refuse_no_tenths(high, low, days, name, latitude, given)
        elif unit != stated or (days.size > 300 and unit == "F"):
            _refuse_unlikely(high, low, days, unit, name, latitude, given)
    notes = []
    if given and stated and given != stated:
        notes.append(
            Note(
                "units-contradicted",
                f"You said {SCALE_NAMES[given]}, the file’s {stated_by} says "
                f"{SCALE_NAMES[stated]}: taken as {SCALE_NAMES[given]}.",
            )
        )
    return Scale(unit, "you" if given else stated_by), tuple(notes)


def _number(value: float) -> str:
    return f"{value:g}".replace("-", "−")


def _tenths(high: Array, name: str) -> Refusal:
    most = float(np.nanmax(high))
    why = "no thermometer shows that" if most > 134 else "no day swings as far as these in degrees"
    return Refusal(
        name,
        "its numbers look like tenths of a degree Celsius",
        f"The highest is {_number(most)}: {why}, and {_number(most / 10)} °C is an ordinary day.",
        "If so, say it:",
        flag="--unit tenths-C",
        slug="tenths",
    )


def _swing(high: Array, low: Array) -> float:
    """Usual distance between a day's highest and lowest number."""
    apart = (high - low)[~np.isnan(high - low)]
    return float(np.median(apart)) if apart.size else 0.0


def _whole(high: Array) -> bool:
    known = high[~np.isnan(high)]
    return bool((known == np.round(known)).all())


def _swings_like_tenths(high: Array, low: Array) -> bool:
    """Whether whole numbers lie further apart each day than any place's °F do, 40 in deserts."""
    return _whole(high) and _whole(low) and _swing(high, low) > 50


def _refuse_no_tenths(
    high: Array,
    low: Array,
    days: NDArray[np.datetime64],
    name: str,
    latitude: float | None,
    given: FileUnit | None,
) -> None:
    """Refuse as tenths what has decimals, or days that would swing by less than 2.5 °C."""
    if _whole(high) and _whole(low) and (given is None or _swing(high, low) >= 25):
        return
    if _whole(high) and _whole(low):
        reason = f"As tenths its days would swing by {_swing(high, low) / 10:.1f} °C."
    else:
        reason = "Tenths are whole numbers, and these have decimals."
    likely, evidence = _evidence(high, low, days, latitude)
    who = "you said" if given else "its column names say"
    raise _doubtful(name, f"its numbers don’t look like tenths of °C, as {who}",
                    f"{reason} {evidence}", "tenths-C", likely)  # fmt: skip


def _refuse_unlikely(
    high: Array,
    low: Array,
    days: NDArray[np.datetime64],
    unit: FileUnit,
    name: str,
    latitude: float | None,
    given: FileUnit | None,
) -> None:
    """Refuse a scale where the numbers speak for the other one."""
    likely, evidence = _evidence(high, low, days, latitude)
    if unit in ("F", "C") and likely != unit:
        who = "you said" if given else "the file says"
        found = f"its numbers look like {SCALE_NAMES[likely]}, and {who} {SCALE_NAMES[unit]}"
        raise _doubtful(name, found, evidence, unit, likely)


def _doubtful(name: str, problem: str, evidence: str, unit: FileUnit, likely: FileUnit) -> Refusal:
    return OpenQuestion(
        name,
        problem,
        evidence,
        f"If it is in {SCALE_NAMES[unit]} all the same, add --yes. If not:",
        option="unit",
        answer=likely,
        choices=("F", "C", "tenths-C"),
        conflict=True,
        slug="units-doubtful",
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


def _unsaid(
    high: Array, low: Array, days: NDArray[np.datetime64], name: str, latitude: float | None
) -> Refusal:
    most, least = float(np.nanmax(high)), float(np.nanmin(low))
    likely, evidence = _evidence(high, low, days, latitude)
    return OpenQuestion(
        name,
        "it doesn’t say whether it is °F or °C",
        f"Highest reading {_number(most)}, lowest {_number(least)}. {evidence}",
        "Say which:",
        option="unit",
        answer=likely,
        choices=("F", "C"),
        slug="units-unclear",
    )


def _evidence(
    high: Array, low: Array, days: NDArray[np.datetime64], latitude: float | None
) -> tuple[FileUnit, str]:
    """Which scale is likelier and why, in one sentence."""
    when = _when(days)
    most, hardly = _most(high)
    typical = float(np.nanmedian(high))
    middle = typical - _swing(high, low) / 2
    if most > WARMEST_AIR:
        return "F", f"As °F that is {when}; as °C it is hotter than air has ever been on Earth."
    if middle > _warmest_months(days, latitude):
        return "F", f"As °F that is {when}; as °C the mean of its days would be {middle:.0f}."
    if typical <= 45 and most <= 50 and _swing(high, low) > WIDEST_SWING:
        return "F", f"As °F that is {when}; as °C its days would swing by {_swing(high, low):.0f}."
    if typical <= 45 and most <= 50:
        shown = math.floor(most) if most - math.floor(most) < 0.5 else math.ceil(most)
        return "C", f"As °C that is {when}; as °F {hardly} afternoon passed {shown}."
    return "F", f"As °C most days would pass {typical:.0f}; as °F that is {when}."


def _most(high: Array) -> tuple[float, str]:
    """Highest number but for one in thirty that may be spikes, and how many afternoons pass it."""
    known = np.sort(high[~np.isnan(high)])
    spikes = max(known.size // 30, 1)
    if known.size < 10 or known[-1] - known[-1 - spikes] < 15:
        return float(known[-1]), "no"
    return float(known[-1 - spikes]), "hardly an"


def _warmest_months(days: NDArray[np.datetime64], latitude: float | None) -> float:
    """Mean that days of these months pass nowhere at this latitude. [°C]"""
    if latitude is None or abs(latitude) < 35:
        return float(WARMEST_MONTHS[-1])
    month = days.astype("datetime64[M]").astype(np.int64) % 12
    since = (month - (0 if latitude > 0 else 6)) % 12
    return float(np.median(WARMEST_MONTHS[np.minimum(since, 12 - since)]))


def _when(days: NDArray[np.datetime64]) -> str:
    months = days.astype("datetime64[M]").astype(np.int64)
    if months.max() - months.min() > 2:
        return "an ordinary year" if months.max() - months.min() > 10 else "an ordinary season"
    common, _ = Counter((months % 12 + 1).tolist()).most_common(1)[0]
    return f"an ordinary {month(common)}"


def _refuse_impossible(high: Array, unit: FileUnit, name: str, given: FileUnit | None) -> None:
    """Refuse a scale in which a fifth of all days would be warmer than any day on Earth."""
    warm = in_celsius(high[~np.isnan(high)], unit)
    if np.mean(warm > WARMEST_AIR) <= 0.2 and np.mean(warm < COLDEST_MARK) <= 0.2:
        return
    other: FileUnit = "F" if unit == "C" or np.nanmax(high) > WARMEST_AIR else "C"
    who = "you said" if given else "its column names say"
    raise Refusal(
        name,
        f"it can’t be in {SCALE_NAMES[unit]}, as {who}",
        f"Its highest reading is {_number(float(np.nanmax(high)))}, and air on Earth has "
        + _LIMITS[unit],
        f"If it is in {SCALE_NAMES[other]}, say so:",
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
            f"its scale changes from {units[0]} to {units[1]} on {in_words(day)}",
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
    middles = float(np.median(one)), float(np.median(other))
    fahrenheit, centigrade = (one, other) if middles[0] > middles[1] else (other, one)
    warm, cold = max(middles), min(middles)
    if warm - cold < 18 or abs(cold * 1.8 + 32 - warm) > 0.5 * (warm - cold):
        return False
    if np.quantile(fahrenheit, 0.1) <= np.quantile(centigrade, 0.9):
        return False
    wide, narrow = (
        float(np.median(np.abs(spread[part])))
        for part in ((before, after) if fahrenheit is one else (after, before))
    )
    return 0 < 1.2 * narrow < wide < 2.8 * narrow
