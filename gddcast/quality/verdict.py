"""Is a weather record good enough? Findings, and one word of trust.

The word follows written rules; the first that applies decides, and the verdict says which:

unusable
    no day is known · more than 20 % of the days are unknown · the unit changes within the file ·
    the columns of minima and maxima look swapped
shaky
    more than 5 % of the days are unknown · in the latest season: a gap of more than five days,
    readings stuck for a week or more, a copied month, or any fault left standing that moves the
    next event by two days or more · more than a quarter of the past seasons cannot be used
patched
    some days were filled, struck as impossible, or are unknown
sound
    none of these

Unknown days are counted after impossible readings were struck, against at least 180 days. The
5 % and 20 % are our own measure (a season's dates move by about three days where 5 % of its days
go missing); monthly means follow stricter rules elsewhere, heat sums allow no missing day at all.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from gddcast.quality import findings as found_in
from gddcast.quality.afternoon_readings import carried_over
from gddcast.quality.consequence import PLAIN, FaultEffect, yardstick
from gddcast.quality.findings import Finding
from gddcast.quality.shifts import maxima_a_day_earlier
from gddcast.weather.gaps import LONG, SHORT, gaps_of
from gddcast.weather.series import (
    DailySeries,
    HasSeries,
    Origin,
    Season,
    runs,
    season_of,
    series_of,
)
from gddcast.words import count

__all__ = ["Finding", "Trust", "Verdict", "judge", "season_usable"]

Array = NDArray[np.float64]

#: Share of unknown days above which a record is shaky, and unusable.
SHAKY_ABOVE, UNUSABLE_ABOVE = 0.05, 0.20
#: Share of a past season's days that must be measured before it may lend its weather.
SEASON_KNOWN = 0.98
#: Effect of a standing fault that makes a record shaky. [d]
SHAKY_EFFECT = 2.0
#: Share of unusable past seasons above which a record is shaky.
_SEASONS_LOST = 0.25
#: Share of days with swapped readings above which the columns, not the days, are at fault.
_COLUMNS_SWAPPED = 0.5
# A record younger than this is held to as many unknown days as one of this length. [d]
_YOUNG = 180
_DECIDE_ALONE = {"streak", "repeated-month", "repeated-year"}


class Trust(StrEnum):
    """How far a record may be trusted, best first."""

    SOUND = "sound"
    PATCHED = "patched"
    SHAKY = "shaky"
    UNUSABLE = "unusable"


@dataclass(frozen=True, slots=True)
class Verdict:
    """What was found in a record and how far it may be trusted.

    Parameters
    ----------
    trust : Trust
    reasons : tuple of str
        What decided the word; empty for a sound record.
    judged : DailySeries
        The record with impossible readings set to NaN; nothing else is changed.
    findings : tuple of Finding
        Oldest first.
    usable_seasons : tuple of str
        Past seasons complete enough to lend their weather.
    lost_seasons : tuple of str
        Past seasons that are not.
    """

    trust: Trust
    reasons: tuple[str, ...]
    judged: DailySeries
    findings: tuple[Finding, ...] = ()
    usable_seasons: tuple[str, ...] = field(default=())
    lost_seasons: tuple[str, ...] = field(default=())

    def __repr__(self) -> str:
        return f"<Verdict {self.trust}: {len(self.findings)} findings on {self.judged!r}>"

    def of(self, rule: str) -> tuple[Finding, ...]:
        """Findings of one rule."""
        return tuple(each for each in self.findings if each.rule == rule)


def judge(series: DailySeries | HasSeries) -> Verdict:
    """Run every check over a record and say how far it may be trusted.

    Parameters
    ----------
    series : DailySeries

    Returns
    -------
    Verdict

    Examples
    --------
    >>> days = np.arange(60)
    >>> series = DailySeries(dt.date(2026, 5, 1), 8 + days % 5, 20 + days % 7)
    >>> judge(series).trust
    <Trust.SOUND: 'sound'>
    """
    series = series_of(series)
    readings = np.stack([series.tmin, series.tmax])
    # A copied month and a change of scale show in the readings as they came: the checks of single
    # readings would strike parts of them, and of a wrong scale most of it.
    throughout = _swapped_columns(series) or found_in.change_of_unit(series, readings)
    found = [*throughout, *found_in.copies(series, readings)]
    if not throughout:
        found += found_in.impossible(series, readings)
        for check in _OF_THE_REST:
            found += check(series, readings)
    judged = _struck(series, readings)
    found += found_in.missing_days(series)
    if not throughout and judged.known.any():
        found = list(_with_effects(series, judged, found))
    usable, lost = _past_seasons(judged)
    findings = tuple(sorted(found, key=lambda each: (each.first, each.rule)))
    trust, reasons = _trust(judged, findings, len(usable), len(lost))
    return Verdict(trust, reasons, judged, findings, usable, lost)


#: Checks of what single readings cannot tell, run on what they left.
_OF_THE_REST = (
    found_in.stuck,
    found_in.sun_on_the_sensor,
    found_in.change_of_precision,
    found_in.flat_days,
    found_in.morning_readings,
    found_in.afternoon_readings,
)


def season_usable(series: DailySeries, season: Season) -> bool:
    """Whether a past season may lend its weather.

    98 in 100 of its days must be measured, and no gap be longer than can be filled unasked.
    Patched runs longer than a record is ever filled from itself are another record's readings,
    moved: measured weather.
    """
    begin, end = series.index(season.first), series.index(season.last) + 1
    if begin < 0 or end > len(series):
        return False
    days = slice(begin, end)
    known = ~(np.isnan(series.tmin[days]) | np.isnan(series.tmax[days]))
    measured = np.count_nonzero(known & ~_patched_from_itself(series.origin[days]))
    longest = max((end - begin for begin, end in runs(~known)), default=0)
    return bool(measured >= SEASON_KNOWN * season.days and longest <= SHORT)


def _patched_from_itself(origin: NDArray[np.int8]) -> NDArray[np.bool_]:
    patched = np.asarray(origin == Origin.PATCHED)
    for begin, end in runs(patched):
        patched[begin:end] = end - begin <= LONG
    return patched


def _past_seasons(series: DailySeries) -> tuple[tuple[str, ...], tuple[str, ...]]:
    usable: list[str] = []
    lost: list[str] = []
    for season in series.seasons():
        if season.last <= series.last and season.first >= series.first:
            (usable if season_usable(series, season) else lost).append(season.name)
    return tuple(usable), tuple(lost)


def _swapped_columns(series: DailySeries) -> list[Finding]:
    crossed = np.count_nonzero(series.tmax < series.tmin)
    if crossed <= _COLUMNS_SWAPPED * np.count_nonzero(series.known):
        return []
    words = f"The maximum lies below the minimum on {count(int(crossed), 'day')}: columns swapped?"
    cure = "Name the columns:  --max-column NAME --min-column NAME"
    return [Finding("swapped-columns", series.first, series.last, words, cure, days=int(crossed))]


def _struck(series: DailySeries, readings: Array) -> DailySeries:
    low, high = readings
    origin = np.where(np.isnan(low) | np.isnan(high), Origin.UNKNOWN, series.origin)
    return replace(series, tmin=low, tmax=high, origin=origin)


def _with_effects(
    series: DailySeries, judged: DailySeries, findings: Iterable[Finding]
) -> Iterator[Finding]:
    """Each fault with what it does to the next event, every other fault being mended."""
    findings = list(findings)
    if not findings:
        return
    low, high = judged.tmin.copy(), judged.tmax.copy()
    for each in findings:
        if each.rule == "streak":
            row = slice(judged.index(each.first), judged.index(each.last) + 1)
            stuck_high = np.all(high[row] == high[row][0])
            (high if stuck_high else low)[row] = np.nan
    measure = yardstick(replace(judged, tmin=low, tmax=high))
    counted = PLAIN.daily(series)
    for each in findings:
        effect = None
        begin, end = series.index(each.first), series.index(each.last) + 1
        if each.removed or each.rule in ("streak", "missing"):
            effect = measure.effect(begin, end, counted[begin:end])
        elif each.rule == "wide-range":
            cooler = PLAIN.heat(low[begin:end], high[begin:end] - each.values[0])
            effect = measure.effect(begin, end, 2.0 * measure.heat[begin:end] - cooler)
        elif each.rule == "morning-readings":
            daily_series = maxima_a_day_earlier(judged, each.first, each.last)
            effect = _over_seasons(daily_series, each, yardstick(judged).heat)
        elif each.rule == "afternoon-readings":
            # What the evenings did cannot be taken back; carried over once more they do about as
            # much again.
            effect = _over_seasons(judged, each, yardstick(carried_over(judged)).heat)
        yield (
            each
            if effect is None
            else replace(each, effect_days=effect.days, event=effect.event(series.unit))
        )


def _over_seasons(right: DailySeries, fault: Finding, counted: Array) -> FaultEffect | None:
    """Mean effect, over the seasons of a fault's days, of counting ``counted`` for ``right``."""
    seasons = right.between(fault.first, fault.last).seasons()
    return yardstick(right).mean_effect(seasons, counted)


def _trust(
    judged: DailySeries, findings: tuple[Finding, ...], usable: int, lost: int
) -> tuple[Trust, tuple[str, ...]]:
    unusable = list(_unusable(judged, findings))
    if unusable:
        return Trust.UNUSABLE, tuple(unusable)
    shaky = list(_shaky(judged, findings, usable, lost))
    if shaky:
        return Trust.SHAKY, tuple(shaky)
    patched = list(_patched(judged, findings))
    return (Trust.PATCHED, tuple(patched)) if patched else (Trust.SOUND, ())


def _unusable(judged: DailySeries, findings: tuple[Finding, ...]) -> Iterator[str]:
    for each in findings:
        if each.rule in ("swapped-columns", "unit-break"):
            yield each.words
    if not judged.known.any():
        yield "no day is known"
    elif judged.missing > UNUSABLE_ABOVE * max(len(judged), _YOUNG):
        yield f"{_share(judged)} of the days are unknown (more than 20 %)"


def _shaky(
    judged: DailySeries, findings: tuple[Finding, ...], usable: int, lost: int
) -> Iterator[str]:
    if judged.missing > SHAKY_ABOVE * max(len(judged), _YOUNG):
        yield f"{_share(judged)} of the days are unknown (more than 5 %)"
    season = season_of(judged.last, judged.place.season_begins)
    for begin, end in gaps_of(judged.between(season.first, season.last)):
        if end - begin > SHORT:
            first = max(season.first, judged.first) + dt.timedelta(days=begin)
            last = first + dt.timedelta(days=end - begin - 1)
            yield f"{found_in.of_days(first, last)} unknown: dates that cross it can’t be said"
    for each in findings:
        if each.last < season.first or each.removed or each.rule == "missing":
            continue
        alone = each.rule in _DECIDE_ALONE and each.level == "finding"
        if alone or abs(each.effect_days or 0.0) >= SHAKY_EFFECT:
            yield each.words
    if lost > _SEASONS_LOST * (usable + lost):
        yield f"{lost} of {count(usable + lost, 'past season')} can’t be used"


def _patched(judged: DailySeries, findings: tuple[Finding, ...]) -> Iterator[str]:
    struck = sum(each.days for each in findings if each.removed)
    if struck:
        yield f"{count(struck, 'day')} with impossible readings left out"
    missing = [each for each in findings if each.rule == "missing"]
    if missing:
        season = season_of(judged.last, judged.place.season_begins)
        past = sum(each.days for each in missing if each.last < season.first)
        share = f", {past:,} of them in past seasons" if past else ""
        days = sum(each.days for each in missing)
        yield f"{days:,} of {count(len(judged), 'day')} missing{share}"
    for origin, word in ((Origin.PATCHED, "patched"), (Origin.MODEL, "taken from a model")):
        days = judged.count(origin)
        if days:
            yield f"{count(days, 'day')} {word}"


def _share(series: DailySeries) -> str:
    return f"{100.0 * series.missing / len(series):.0f} %"
