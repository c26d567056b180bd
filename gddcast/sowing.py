"""How long a crop takes from seed to first pick here, and the last day worth sowing it.

The best knowledge at hand is used, and named: the heat of one's own sowings where there are
three, else the card's heat sum, else days on the calendar.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from gddcast.cards import Card
from gddcast.counting import Counting, counting_of
from gddcast.frost import FREEZING_C, first_frost
from gddcast.journal import Journal
from gddcast.series import DailySeries, Season, season_of
from gddcast.thermal_time import day_index, day_reached, running_heat

Basis = Literal["own sowings", "your number", "card heat", "card days", "your rule of days"]

#: Sums of one's own are counted so where the card has none. Common practice, no source.
PLAIN = Counting(10.0)
#: Fewer sowings of one's own than this say too little. Common practice, no source.
ENOUGH_SOWINGS = 3


@dataclass(frozen=True, slots=True)
class Need:
    """What a crop takes from sowing to first pick, and how that is known.

    ``low``, ``used`` and ``high`` are heat [°C·d] where ``counting`` is given, else days.
    """

    basis: Basis
    low: float
    used: float
    high: float
    counting: Counting | None = None
    sowings: int = 0
    source: str = ""


@dataclass(frozen=True, slots=True)
class SownBy:
    """One sowing day: in how many past years the wanted picking days came before the frost."""

    month: int
    day: int
    fits: int
    years: int
    left_out: tuple[str, ...]


def own_heat(
    series: DailySeries, journal: Journal, crop: str, counting: Counting = PLAIN
) -> tuple[float, ...]:
    """Heat from sowing through first pick of every own sowing that has both days. [°C·d]

    Only seed sown in place; sums with an unknown day are not among them.
    """
    daily = counting.daily(series)
    picks = {job.sowing: job.done_on for job in journal.jobs if job.job == "first-pick"}
    sums = []
    for sowing in journal.sowings:
        picked = picks.get(sowing.name) if sowing.name else None
        if sowing.crop != crop or sowing.planted_out or picked is None:
            continue
        begin, end = series.index(sowing.sown_on), series.index(picked) + 1
        if 0 <= begin < end <= len(series):
            sums.append(float(daily[begin:end].sum()))
    return tuple(sum_ for sum_ in sums if np.isfinite(sum_))


def need_of(
    series: DailySeries,
    journal: Journal,
    card: Card,
    *,
    heat: float | None = None,
    rule_of_days: tuple[float, float] = (45.0, 50.0),
) -> Need:
    """What a crop takes here, by the best knowledge there is.

    Parameters
    ----------
    series : DailySeries
    journal : Journal
    card : Card
        Of a crop.
    heat : float, optional
        A sum the person gives, counted as their own would be. [°C·d]
    rule_of_days : tuple of float, default: (45, 50)
        Used where neither records nor card say more. Common practice. [d]
    """
    event = card.event("first-pick")
    number = event.default if event else None
    by_card = None
    if number and number.goal_c and number.starts_from and number.starts_from.crop == "sowing":
        by_card = counting_of(number)
    counting = by_card or PLAIN
    if heat is not None:
        return Need("your number", heat, heat, heat, counting)
    own = own_heat(series, journal, card.key, counting)
    if len(own) >= ENOUGH_SOWINGS:
        return Need("own sowings", min(own), float(np.mean(own)), max(own), counting, len(own))
    if by_card is not None and number is not None and number.goal_c is not None:
        low, high = number.goal_c
        source = _short(card, number.source)
        return Need("card heat", low, (low + high) / 2, high, counting, len(own), source)
    for days in event.days if event else ():
        if days.starts_from.crop == "sowing":
            low, high = days.days
            source = _short(card, days.source)
            return Need("card days", low, high, high, None, len(own), source)
    low, high = rule_of_days
    return Need("your rule of days", low, high, high, None, len(own), "common practice, no source")


def _short(card: Card, source: str) -> str:
    """Author and year, or the words that say there is no source."""
    return card.sources[source].short if source in card.sources else source


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
    rows = []
    for month, day in days:
        answers = {}
        for season, frost in frosts.items():
            end = season.last + dt.timedelta(days=1) if frost == "none" else frost
            last_pick = None if isinstance(end, str) else end - dt.timedelta(days=picking_days)
            answers[season.name] = _picked_by(
                series, daily, need.used, season.on(month, day), last_pick
            )
        known = [fits for fits in answers.values() if fits is not None]
        left_out = tuple(name for name, fits in answers.items() if fits is None)
        rows.append(SownBy(month, day, sum(known), len(known), left_out))
    return tuple(rows)


def _picked_by(
    series: DailySeries,
    daily: np.ndarray[tuple[int], np.dtype[np.float64]],
    need: float,
    sown: dt.date,
    last_pick: dt.date | None,
) -> bool | None:
    """Whether a sowing is ready by a day; None where an unknown day hides it."""
    if last_pick is None:
        return None
    if last_pick < sown:
        return False
    begin, end = series.index(sown), series.index(last_pick) + 1
    if begin < 0 or end > len(series):
        return None
    ready = float(day_reached(running_heat(daily[begin:end]), need))
    if np.isnan(ready):
        return None
    return bool(np.isfinite(ready) and day_index(ready) < end - begin)


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
