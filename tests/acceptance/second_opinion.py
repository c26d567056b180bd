"""The sums of gddcast worked out a second time, apart from it: plain loops and tables.

Nothing of the package is imported. Everything is in °F and °F-days, as the files and the cards
are; a day is a row of a pandas table. The steps of `full_outlook` are those the README states and
its sources: our own scheme, so this shows that the program does what it says, not that the scheme
is good (that is the skill table).
"""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pandas as pd
from scipy.linalg import lstsq
from scipy.stats import t as student

DAY = dt.timedelta(days=1)


# --- a day, a sum --------------------------------------------------------------------------------


def read(file: Path, high: str = "max_f", low: str = "min_f") -> pd.DataFrame:
    """Days as rows, columns ``low`` and ``high``; comment lines skipped."""
    table = pd.read_csv(file, comment="#", parse_dates=["date"]).set_index("date")
    return table.rename(columns={high: "high", low: "low"})[["low", "high"]].astype(float)


def floor_the_mean(low: np.ndarray, high: np.ndarray, lower: float) -> np.ndarray:
    """McMaster & Wilhelm 1997, method 1, no upper threshold."""
    return np.clip((low + high) / 2 - lower, 0, None)


def single_sine(low: np.ndarray, high: np.ndarray, lower: float) -> np.ndarray:
    """Baskerville & Emin 1969 by the half-angle ``a`` of the day spent above the threshold.

    One turn of ``M + W cos a`` lies above ``lower`` for ``-a < angle < a``, where
    ``cos a = (lower - M) / W``; its area over the turn is ``(a (M - lower) + W sin a) / pi``.
    """
    middle, half = (high + low) / 2, (high - low) / 2
    with np.errstate(divide="ignore", invalid="ignore"):
        cosine = np.where(half > 0, (lower - middle) / half, np.sign(lower - middle) * 2)
    angle = np.arccos(np.clip(cosine, -1, 1))
    return (angle * (middle - lower) + half * np.sin(angle)) / math.pi


METHODS = {"floor the mean": floor_the_mean, "single sine": single_sine}


@dataclass(frozen=True)
class Way:
    """A way of counting: method and lower threshold."""

    method: str
    lower: float

    def heat(self, days: pd.DataFrame) -> pd.Series:
        """Heat of each day."""
        rule = METHODS[self.method]
        return pd.Series(
            rule(days["low"].to_numpy(), days["high"].to_numpy(), self.lower), index=days.index
        )


CARD = Way("floor the mean", 50.0)
SINE = Way("single sine", 50.0)


def between(heat: pd.Series, first: dt.date, last: dt.date) -> float:
    """Heat of both days and all between; nothing where the last lies before the first."""
    return float(heat.loc[str(first) : str(last)].sum())


def day_of(heat: pd.Series, first: dt.date, goal: float) -> dt.date | None:
    """Day on which the sum from ``first`` is first as large as the goal; None if never."""
    running = heat.loc[str(first) :].cumsum()
    there = running[running >= goal - 1e-9]
    return None if there.empty else there.index[0].date()


# --- seasons -------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Year:
    """One season: from the day it begins to the day before the next one does."""

    first: dt.date

    @property
    def last(self) -> dt.date:
        """Last day."""
        return self.first.replace(year=self.first.year + 1) - DAY

    def same(self, day: dt.date) -> dt.date:
        """The same month and day in this season; 28 February for a 29th it has not."""
        for year in (self.first.year, self.first.year + 1):
            try:
                own = day.replace(year=year)
            except ValueError:
                own = day.replace(year=year, day=28)
            if self.first <= own <= self.last:
                return own
        raise AssertionError(day)


def season_around(day: dt.date, begins: tuple[int, int] = (1, 1)) -> Year:
    """The season a day lies in."""
    first = dt.date(day.year, *begins)
    return Year(first if first <= day else first.replace(year=day.year - 1))


def past_seasons(days: pd.DataFrame, season: Year) -> list[Year]:
    """Whole seasons of a table that were over before ``season`` began."""
    begins = (season.first.month, season.first.day)
    found = season_around(days.index[0].date(), begins)
    seasons = []
    while found.last < season.first:
        seasons.append(found)
        found = season_around(found.last + DAY, begins)
    return seasons


# --- the plain graft -----------------------------------------------------------------------------


def plain_graft(
    days: pd.DataFrame, way: Way, goal: float, start: dt.date, today: dt.date,
    begins: tuple[int, int] = (1, 1),
) -> dict[int, dt.date | None]:  # fmt: skip
    """Heat of this season, then each past season's own days from today's month and day on."""
    heat = way.heat(days)
    season = season_around(today, begins)
    measured = between(heat, start, today - DAY)
    found: dict[int, dt.date | None] = {}
    for past in past_seasons(days, season):
        total, day, found[past.first.year] = measured, today, None
        while day <= season.last:
            total += heat[str(past.same(day))] if day >= start else 0.0
            if total >= goal - 1e-9:
                found[past.first.year] = day
                break
            day += DAY
    return found


def inner(dots: dict[int, dt.date | None]) -> tuple[dt.date, dt.date, int]:
    """What is left when one dot in ten, one at least, is dropped at each end; its count."""
    ordered = sorted(day or dt.date.max for day in dots.values())
    drop = max(1, len(ordered) // 10)
    first, last = ordered[drop], ordered[-1 - drop]
    return first, last, sum(first <= day <= last for day in ordered)


def status(
    early: dict[int, dt.date | None], late: dict[int, dt.date | None], today: dt.date,
    reached: dt.date | None = None, lead: int = 3,
) -> str:  # fmt: skip
    """The word a stage nobody found stands at.

    ``coming up``: the fastest year is ahead by ten days at most; ``look now``: by the lead at
    most; ``overdue``: nine dates in ten lie a week back; ``building`` to 21 days, else ``quiet``.
    """
    dates = [reached] if reached else [day for day in late.values() if day]
    if sum((today - day).days >= 7 for day in dates) >= 0.9 * (1 if reached else len(late)):
        return "overdue"
    fastest = reached or min(day for day in early.values() if day)
    ahead = (fastest - today).days
    for word, days in (("look now", lead), ("coming up", 10), ("building", 21)):
        if ahead <= days:
            return word
    return "quiet"


def may_start(dots: dict[int, dt.date | None]) -> str:
    """The sentence people read where every one of ten and more past years gets there."""
    ordered = sorted(dots.values())  # type: ignore[type-var]
    first, last, held = inner(dots)
    years = len(ordered)
    middle = (
        f" in all {years}" if held == years else f"; {held} of {years} give {span(first, last)}"
    )
    when = any_day(ordered[0], ordered[-1])
    return f"With past years’ weather from here on: {when}{middle}."


def any_day(first: dt.date, last: dt.date) -> str:
    """Days on one of which something may start: doubtful by days, not lasting them."""
    return said(first) if first == last else f"any day {span(first, last)}"


def said(day: dt.date) -> str:
    """A day in words."""
    return f"{day.day} {day:%B}"


def weekday(day: dt.date) -> str:
    """A day in words, its weekday with it."""
    return f"{day:%a} {said(day)}"


def span(first: dt.date, last: dt.date) -> str:
    """Two days and all between."""
    if first == last:
        return said(first)
    return (
        f"{first.day}–{said(last)}"
        if first.month == last.month
        else f"{said(first)} – {said(last)}"
    )


# --- the full outlook ----------------------------------------------------------------------------

SHIFTS = (-21, -14, -7, 0, 7, 14, 21)
BENT = 45  # days after the last known one on which a warm or cold spell still shows
PRIOR = (0.025 * 1.8, 0.020 * 1.8)  # warming expected beforehand, and its spread [°F a year]


@dataclass(frozen=True)
class Dates:
    """Year dots by the year their season began in, and the calibrated central spans."""

    dots: dict[int, dt.date | None]
    spans: dict[float, tuple[dt.date, dt.date]]
    slope: float  # [°F a year]


def full_outlook(
    days: pd.DataFrame, way: Way, goal: float, start: dt.date, today: dt.date,
    begins: tuple[int, int] = (1, 1),
) -> Dates:  # fmt: skip
    """Trend, window, persistence, exact days, Student spans: one step after the other."""
    days = days.loc[: str(today - DAY)]
    season = season_around(today, begins)
    pasts = past_seasons(days, season)
    number = pd.Series([season_around(d.date(), begins).first.year for d in days.index], days.index)
    learnt = number < season.first.year
    # 1. Trend: every past day as if it were of this year.
    slope = warming(days, number, learnt)
    shifted = days.add(slope * (season.first.year - number), axis=0)
    # 2. Normals, anomalies.
    normal = {side: harmonics(shifted.loc[learnt, side]) for side in days}
    usual = pd.DataFrame({side: normal[side](days.index) for side in days})
    odd = shifted - usual
    # 3. Persistence: mean anomaly of the last day, week, month; what each said of the days after.
    spells = {
        side: pd.DataFrame({width: odd[side].rolling(width, min_periods=1).mean()
                            for width in (1, 7, 30)})
        for side in days
    }  # fmt: skip
    for side in days:
        for width in (1, 7, 30):
            spells[side].iloc[: math.ceil(width / 2) - 1, spells[side].columns.get_loc(width)] = (
                math.nan
            )
    tells = {side: persistence(spells[side], odd[side], learnt, len(pasts)) for side in days}
    through = today - DAY
    heat_so_far = between(way.heat(days), start, through)
    ahead = pd.date_range(today, season.last)
    usual_ahead = pd.DataFrame({side: normal[side](ahead) for side in days})
    times = np.empty((len(pasts), len(SHIFTS)))
    for row, past in enumerate(pasts):
        for column, shift in enumerate(SHIFTS):
            member = _member(past, shift, usual_ahead, through, odd, spells, tells)
            times[row, column] = _reached(member, way, goal - heat_so_far, start)
    dots = {
        past.first.year: _on(time, today)
        for past, time in zip(pasts, times[:, SHIFTS.index(0)], strict=True)
    }
    wobble = float(odd[learnt].mean(axis=1).std(ddof=0))
    spans = _student(times, goal - heat_so_far, wobble, today) if np.isfinite(times).all() else {}
    return Dates(dots, spans, slope)


def warming(days: pd.DataFrame, number: pd.Series, learnt: pd.Series) -> float:
    """Least-squares slope of the yearly mean anomalies, weighed against the slope expected."""
    known = days[learnt]
    odd = pd.DataFrame({side: known[side] - harmonics(known[side])(known.index) for side in days})
    yearly = odd.mean(axis=1).groupby(number[learnt]).agg(["mean", "size"])
    means = yearly.loc[yearly["size"] >= 360, "mean"]
    if len(means) < 3:
        return PRIOR[0]
    (slope, _), covariance = np.polyfit(means.index - means.index[0], means, 1, cov=True)
    sure, usual = 1 / covariance[0, 0], 1 / PRIOR[1] ** 2
    return float((sure * slope + usual * PRIOR[0]) / (sure + usual))


def harmonics(values: pd.Series):
    """Mean and three yearly waves through values, least squares on the whole matrix."""

    def columns(index: pd.DatetimeIndex) -> np.ndarray:
        turn = (index - pd.Timestamp("2000-01-01")).days.to_numpy() / 365.2425 * 2 * math.pi
        waves = [np.ones_like(turn)]
        for fold in (1, 2, 3):
            waves += [np.sin(fold * turn), np.cos(fold * turn)]
        return np.column_stack(waves)

    known = values.dropna()
    weights = lstsq(columns(pd.DatetimeIndex(known.index)), known.to_numpy())[0]
    return lambda index: pd.Series(columns(pd.DatetimeIndex(index)) @ weights, index)


def persistence(spells: pd.DataFrame, odd: pd.Series, learnt: pd.Series, years: int) -> np.ndarray:
    """Weights of the three spells for 1 … 45 days ahead, from the past seasons only."""
    if years < 5:
        return np.array([[0.72 * 0.6 ** (k - 1), 0.0, 0.08] for k in range(1, BENT + 1)])
    spells, odd = spells[learnt], odd[learnt]
    rows = []
    for k in range(1, BENT + 1):
        pairs = spells.assign(later=odd.shift(-k)).dropna()
        rows.append(lstsq(pairs[[1, 7, 30]].to_numpy(), pairs["later"].to_numpy())[0])
    return np.array(rows)


def _member(
    past: Year, shift: int, usual: pd.DataFrame, through: dt.date, odd: pd.DataFrame,
    spells: dict[str, pd.DataFrame], tells: dict[str, np.ndarray],
) -> pd.DataFrame:  # fmt: skip
    """The days to come if they ran like one past season, moved by a few days."""

    def theirs(day: dt.date) -> dt.date:
        own = past.same(day) + shift * DAY
        if own < past.first:  # turned back at the season's own ends
            own = past.first + (past.first - own)
        if own > past.last:
            own = past.last - (own - past.last)
        return own

    source = pd.DatetimeIndex([theirs(day) for day in usual.index.date])
    table = usual + odd.reindex(source).to_numpy()
    for side in table:
        now, then = (spells[side].loc[str(day)] for day in (through, theirs(through)))
        unlike = (now - then).fillna(0.0).to_numpy()
        bent = min(BENT, len(table))
        table.iloc[:bent, table.columns.get_loc(side)] += tells[side][:bent] @ unlike
    # Readings that met from two normals may cross on a day with hardly a range.
    table["high"] = table[["low", "high"]].max(axis=1)
    return table


def _reached(days: pd.DataFrame, way: Way, missing: float, start: dt.date) -> float:
    """Days, with their fraction, after the first morning until the missing heat has come."""
    so_far = 0.0
    for place, (day, heat) in enumerate(way.heat(days).items()):
        if day.date() < start:
            continue
        if so_far + heat >= missing:
            return place + (missing - so_far) / heat
        so_far += heat
    return math.inf


def _on(time: float, today: dt.date) -> dt.date | None:
    """The day a time falls in; a midnight belongs to the day it ends."""
    return None if math.isinf(time) else today + DAY * max(math.ceil(time) - 1, 0)


def _student(
    times: np.ndarray, missing: float, wobble: float, today: dt.date
) -> dict[float, tuple[dt.date, dt.date]]:
    """Spans of fewer than fifteen seasons: Student's t, its width steadied by the usual one."""
    own, count = times[:, SHIFTS.index(0)], len(times)
    lead = own.mean()
    usual = min(
        0.4 + 9 * (1 - math.exp(-lead / 27)),
        0.75 * wobble * math.sqrt(5.7 * lead) / (missing / lead),
    )
    usual *= 0.5 if lead <= 7 else 0.7 if lead <= 14 else 0.8 if lead <= 30 else 1.0
    variance = (4 * usual**2 + (count - 1) * own.var(ddof=1)) / (count + 3)
    wide = math.sqrt(variance * (1 + 1 / count))
    centre = np.median(times, axis=1).mean()
    spans = {}
    for share in (0.5, 0.8, 0.9):
        reach = student.ppf(0.5 + share / 2, df=count + 3) * wide
        low, high = (max(centre + sign * reach, 0.0) for sign in (-1, 1))
        spans[share] = (_on(low, today), _on(high, today))
    return spans


# --- frost, and the last sowing ------------------------------------------------------------------


def first_autumn_frost(days: pd.DataFrame, season: Year, at: float = 32.0) -> dt.date | None:
    """First night at or below a temperature in the second half of a season."""
    half = season.first + 182 * DAY
    nights = days.loc[str(half) : str(season.last), "low"]
    cold = nights[nights <= at]
    return None if cold.empty else cold.index[0].date()


def last_sowing(
    days: pd.DataFrame, way: Way, need: float, sown: tuple[int, int], picking: int, season: Year
) -> tuple[int, int]:
    """Past seasons with the picking days between first pick and first frost, and their number."""
    heat, fits, pasts = way.heat(days), 0, past_seasons(days, season)
    for past in pasts:
        begin = past.same(dt.date(season.first.year, *sown))
        pick = day_of(heat[: str(past.last)], begin, need)
        frost = first_autumn_frost(days, past) or past.last + DAY
        fits += pick is not None and (frost - pick).days >= picking
    return fits, len(pasts)
