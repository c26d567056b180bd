"""The last day worth sowing a crop: how past years went from each sowing day to the frost."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from gddcast.crops.frost import FREEZING_C, first_frost
from gddcast.crops.needs import Need
from gddcast.heat.thermal_time import day_index, day_reached, running_heat
from gddcast.weather.series import DailySeries, Season, season_of

#: Days seed houses teach to add to the packet's, for the cooler and shorter days of autumn.
CUSHION_DAYS = 14


@dataclass(frozen=True, slots=True)
class SownBy:
    """One sowing day: in how many past years the wanted picking days came before the frost."""

    month: int
    day: int
    fits: int
    years: int
    left_out: tuple[str, ...]


def sown_by(
    series: DailySeries,
    need: Need,
    today: dt.date,
    days: Sequence[tuple[int, int]],
    *,
    picking_days: int,
    frost_at: float = FREEZING_C,
) -> tuple[SownBy, ...]:
    """Count, for each sowing day, the past years in which it would have been worth it.

    Parameters
    ----------
    series : DailySeries
        Short gaps patched; this season, and what comes after it, has no say.
    need : Need
    today : datetime.date
    days : sequence of (month, day)
        Sowing days wanted.
    picking_days : int
        Days from the first pick to the day before the first frost.
    frost_at : float, default: 0
        A night at or below it ends the picking. [°C]
    """
    current = season_of(today, series.place.season_begins)
    past = [season for season in series.seasons() if season.last < current.first]
    frosts = {season: first_frost(series, season, frost_at) for season in past}
    daily = need.counting.daily(series) if need.counting else np.ones(len(series))
    later = 0 if need.counting else 1  # heat counts on the day of sowing, age from the day after
    rows = []
    for month, day in days:
        answers = {}
        for season, frost in frosts.items():
            end = season.last + dt.timedelta(days=1) if frost == "none" else frost
            last_pick = None if isinstance(end, str) else end - dt.timedelta(days=picking_days)
            begin = season.on(month, day) + dt.timedelta(days=later)
            answers[season.name] = _picked_by(series, daily, need.used, begin, last_pick)
        known = [fits for fits in answers.values() if fits is not None]
        left_out = tuple(name for name, fits in answers.items() if fits is None)
        rows.append(SownBy(month, day, sum(known), len(known), left_out))
    return tuple(rows)


def _picked_by(
    series: DailySeries,
    daily: np.ndarray[tuple[int], np.dtype[np.float64]],
    need: float,
    first: dt.date,
    last_pick: dt.date | None,
) -> bool | None:
    """Whether a sowing is ready by a day; None where an unknown day hides it."""
    if last_pick is None:
        return None
    if last_pick < first:
        return False
    begin, end = series.index(first), series.index(last_pick) + 1
    if begin < 0 or end > len(series):
        return None
    ready = float(day_reached(running_heat(daily[begin:end]), need))
    if np.isnan(ready):
        return None
    return bool(np.isfinite(ready) and day_index(ready) < end - begin)


def worth_sowing(
    series: DailySeries,
    need: Need,
    today: dt.date,
    span: tuple[dt.date, dt.date],
    picking_days: int,
) -> tuple[dt.date, dt.date] | None:
    """The days of a span on which five in six past years were worth a sowing; None if no day was.

    The whole span where no past year says.
    """
    length = (span[1] - span[0]).days + 1
    days = [span[0] + dt.timedelta(days=ahead) for ahead in range(length)]
    asked = [(day.month, day.day) for day in days]
    rows = sown_by(series, need, today, asked, picking_days=picking_days)
    if not any(row.years for row in rows):
        return span
    fit = [day for day, row in zip(days, rows, strict=True) if _is_safe(row)]
    return (fit[0], fit[-1]) if fit else None


def _is_safe(row: SownBy, share: float = 5 / 6) -> bool:
    return bool(row.years) and row.fits >= share * row.years


def weekly(season: Season) -> Iterator[tuple[int, int]]:
    """A day a week through a season."""
    day = season.first
    while day <= season.last:
        yield day.month, day.day
        day += dt.timedelta(days=7)


def that_differ(rows: Sequence[SownBy]) -> tuple[SownBy, ...]:
    """Rows from the last day that always fits to the first later one that never does."""
    full = [index for index, row in enumerate(rows) if row.years and row.fits == row.years]
    begin = full[-1] if full else max(
        range(len(rows)), key=lambda index: rows[index].fits, default=0
    )  # fmt: skip
    for index in range(begin, len(rows)):
        if rows[index].fits == 0:
            return tuple(rows[begin : index + 1])
    return tuple(rows[begin:])


def last_safe(rows: Sequence[SownBy]) -> tuple[SownBy, ...]:
    """The last sowing day that fits every past year, and the last that fits five in six: 10 of 12.

    One of them, or none, where there are not two such days.
    """
    sown_bies = []
    for share in (1.0, 5 / 6):
        fit = [row for row in rows if _is_safe(row, share)]
        if fit and fit[-1] not in sown_bies:
            sown_bies.append(fit[-1])
    return tuple(sown_bies)


@dataclass(frozen=True, slots=True)
class CalendarCheck:
    """Sowing days counted back from past first frosts by the days on a seed packet.

    ``by`` holds one day a past season, the earliest first.
    """

    packet_days: int
    by: tuple[dt.date, ...]  # laid on this season's calendar
    left_out: tuple[str, ...]

    def in_time_in(self, years: int) -> dt.date:
        """The last sowing day that would have been in time in so many of the years."""
        return self.by[len(self.by) - years]

    @property
    def most(self) -> int:
        """Five of six of the years, rounded up: 10 of 12."""
        return -(-5 * len(self.by) // 6)


def calendar_check(
    series: DailySeries, today: dt.date, packet_days: int, frost_at: float = FREEZING_C
) -> CalendarCheck | None:
    """Count a packet's days and the cushion back from the first frost of every past season.

    Seasons without a frost set no last day and are not counted; None where there is no other.
    """
    current = season_of(today, series.place.season_begins)
    by, left_out = [], []
    for season in series.seasons():
        frost = first_frost(series, season, frost_at)
        if season.first >= current.first or frost == "none":
            continue
        if frost == "unknown":
            left_out.append(season.name)
            continue
        last = current.on(frost.month, frost.day)
        by.append(last - dt.timedelta(days=packet_days + CUSHION_DAYS))
    return CalendarCheck(packet_days, tuple(sorted(by)), tuple(left_out)) if by else None
