"""How past outlooks would have done at a place: every season foretold from the others, and scored.

Each past season is taken out in turn and foretold week by week from the seasons before it (or
from all others), as it would have looked on the morning of each issue. The same dates are
foretold by four simpler ways. Forecasts are sorted by the lead that was *predicted*: sorting by
the lead that came true would use the answer.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, fields
from itertools import groupby
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

from gddcast.heat.thermal_time import day_reached
from gddcast.outlook import spans
from gddcast.outlook.continuation import (
    Continued,
    FirstDays,
    continued,
    first_days,
    grafted,
)
from gddcast.outlook.ensemble import (
    FULL,
    Climate,
    Steps,
    climate_of,
    values_at,
)
from gddcast.outlook.forecast import ForecastErrors
from gddcast.outlook.spans import SHARES
from gddcast.skill import scores
from gddcast.skill.targets import Target
from gddcast.weather.series import DailySeries, HasSeries, Season, series_of

if TYPE_CHECKING:
    import pandas as pd

Array = NDArray[np.float64]
Protocol = Literal["past only", "leave one out"]
Said = Callable[[Season, NDArray[np.intp]], Array]

#: Ways of foretelling a date, best first. The last four need no more than a table of past dates
#: or of mean heat.
WAYS = ("outlook", "plain graft", "mean heat", "calendar, not yet", "calendar")
#: Predicted leads are told apart at these. [d]
LEADS = ((0, 7), (7, 14), (14, 30), (30, 60), (60, 366))

_WEEK = 7
# Times of members; scoring them takes five times their memory.
_SCORED_AT_ONCE = 100_000


@dataclass(frozen=True, slots=True, eq=False)
class Forecasts:
    """Every forecast of a backtest, one row each; times are days of its season.

    Parameters
    ----------
    season, target, issue : ndarray of int, shape (n,)
        Year the season began, place among the targets, first day not yet known.
    years : ndarray of int, shape (n,)
        Past seasons used.
    came : ndarray, shape (n,)
        When the goal was reached; +∞ where it was not. [d]
    chance : ndarray, shape (n,)
        Foretold chance of reaching it before the season ends.
    median : ndarray, shape (n, ways)
        Date given by each of `WAYS`. [d]
    crps, fair : ndarray, shape (n, ways)
        Raw and fair score of the members of each way; the fair one is NaN for a single date. [d]
    spans : ndarray, shape (n, 2, shares, 2)
        Ends of the spans of `SHARES`, of the outlook and of the plain graft. [d]
    issued : ndarray, shape (n, 2)
        Score of the median and spans shown, of the outlook and of the plain graft. [d]
    pit : ndarray, shape (n,)
        Share of the outlook's members that came before the truth.
    dots : ndarray, shape (n, 4)
        The outlook's fastest dot, first and last inner dot, slowest dot. [d]
    """

    season: NDArray[np.int64]
    target: NDArray[np.int64]
    issue: NDArray[np.int64]
    years: NDArray[np.int64]
    came: Array
    chance: Array
    median: Array
    crps: Array
    fair: Array
    spans: Array
    issued: Array
    pit: Array
    dots: Array

    def __repr__(self) -> str:
        seasons = np.unique(self.season).size
        return f"<Forecasts: {self.season.size:,} dates foretold in {seasons} past seasons>"

    def to_frame(self) -> pd.DataFrame:
        """Table with one row a forecast: what came, the chance, and the date of each way. [d]"""
        import pandas as pd

        table = {
            name: getattr(self, name) for name in ("season", "target", "issue", "came", "chance")
        }
        return pd.DataFrame(table | dict(zip(WAYS, self.median.T, strict=True)))

    @property
    def lead(self) -> Array:
        """Lead that the outlook predicted. [d]"""
        return np.asarray(self.median[:, 0] - self.issue)

    def where(self, chosen: NDArray[np.bool_]) -> Forecasts:
        """Some of the rows."""
        return Forecasts(*(getattr(self, each.name)[chosen] for each in fields(self)))


def joined(parts: Sequence[Forecasts]) -> Forecasts:
    """Rows of several backtests, one after the other."""
    columns = ([getattr(part, each.name) for part in parts] for each in fields(Forecasts))
    return Forecasts(*(np.concatenate(column) for column in columns))


def backtest(
    record: DailySeries | HasSeries,
    targets: Sequence[Target],
    *,
    protocol: Protocol = "past only",
    steps: Steps = FULL,
    at_least: int = 10,
    at_most: int | None = None,
    forecast_of: Said | None = None,
    errors: ForecastErrors | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> Forecasts:
    """Foretell every past season from others of its record.

    Parameters
    ----------
    record : DailySeries
        Whole seasons; days patched beforehand where wanted.
    targets : sequence of Target
    protocol : {"past only", "leave one out"}
        Learn from the seasons before each, or from all others.
    steps : Steps, default: FULL
        What the outlook does to past seasons.
    at_least, at_most : int
        Fewest seasons to learn from, and the most: the latest ones are kept.
    forecast_of : callable, optional
        ``said(season, last)``: minimum and maximum forecast after each of I last known days of a
        season, shape (2, I, days). Default: no forecast. [°C]
    errors : ForecastErrors, optional
        What the outlook takes the forecasts' errors for. Default: the usual ones, widened.
    progress : callable, optional
        Called with the number of seasons done and to be done.
    """
    record = series_of(record)
    seasons = [each for each in record.seasons() if each.last <= record.last]
    todo = []
    for season in seasons:
        members = tuple(each for each in seasons if each != season)
        if protocol == "past only":
            members = tuple(each for each in seasons if each.last < season.first)
        if len(members) >= at_least:
            todo.append((season, members[-at_most:] if at_most else members))

    def foretell(season: Season, members: tuple[Season, ...]) -> Forecasts:
        # Days after the season are worked out in vain where only the past is learnt from.
        known = record if protocol != "past only" else record.between(record.first, season.last)
        climate = climate_of(known, season, steps=steps, members=members)
        last = np.arange(-1, season.days, _WEEK)
        forecast = forecast_of(season, last) if forecast_of else None
        first = first_days(climate, last, forecast=forecast, errors=errors)
        batches = _batches(_season(known, targets, first))
        return joined([_NOTHING, *(_scored(climate, each) for each in batches)])

    # One season after the other: two threads take longer, for these arrays are small to NumPy.
    parts = [_NOTHING]
    for done, (season, members) in enumerate(todo):
        if progress:
            progress(done, len(todo))
        parts.append(foretell(season, members))
    if progress:
        progress(len(todo), len(todo))
    return joined(parts)


def _season(
    record: DailySeries, targets: Sequence[Target], first: FirstDays
) -> Iterator[_Foretold]:
    """Dates foretold in one season, those of targets that are counted alike together."""
    climate, issues = first.climate, first.through
    season = climate.season
    here = record.index(season.first) + np.arange(season.days)
    low, high = values_at(record.tmin, here), values_at(record.tmax, here)

    def alike(place: int) -> tuple[int, tuple[int, int]]:
        return countings.index(targets[place].counting), targets[place].start

    countings = list(dict.fromkeys(target.counting for target in targets))
    for (which, start), group in groupby(sorted(range(len(targets)), key=alike), key=alike):
        places = np.array(list(group))
        begin = (season.on(*start) - season.first).days
        daily = countings[which].heat(low, high)
        daily[:begin] = 0.0
        sums = np.concatenate([[0.0], np.cumsum(daily)])
        goals = np.array([targets[place].goal for place in places])
        came = day_reached(sums[1:], goals)
        needed = goals - sums[issues + 1][:, None]
        open_ = (needed > 0.0) & ~np.isnan(came) & (issues[:, None] >= begin - 1)
        some = np.flatnonzero(open_.any(axis=1))  # of the others nothing is foretold
        if some.size:
            part = slice(some[0], some[-1] + 1)
            used = (
                continued(first.at(part), countings[which], begin),
                grafted(climate, issues[part], countings[which], begin),
            )
            yield _foretold(used, places, goals, needed[part], came, open_[part])
            climate.forget_sums()


@dataclass(frozen=True, slots=True, eq=False)
class _Foretold:
    """Dates foretold in one season, n of them, by Y past years.

    ``outlook`` has shape (n, Y, shifts), the other ``ways`` (n, Y) or (n, 1).
    """

    target: NDArray[np.intp]
    issue: NDArray[np.intp]
    missing: Array
    came: Array
    outlook: Array
    ways: tuple[Array, ...]

    @classmethod
    def together(cls, parts: Sequence[_Foretold]) -> _Foretold:
        """All of them, to be scored at once."""
        columns = zip(
            *((p.target, p.issue, p.missing, p.came, p.outlook) for p in parts), strict=True
        )
        target, issue, missing, came, outlook = map(np.concatenate, columns)
        ways = map(np.concatenate, zip(*(part.ways for part in parts), strict=True))
        return cls(target, issue, missing, came, outlook, tuple(ways))


def _batches(rows: Iterable[_Foretold]) -> Iterator[_Foretold]:
    """Some at a time: a hundred small scorings cost more time than one, a huge one more memory."""
    waiting: list[_Foretold] = []
    for each in rows:
        waiting.append(each)
        if sum(part.outlook.size for part in waiting) >= _SCORED_AT_ONCE:
            yield _Foretold.together(waiting)
            waiting = []
    if waiting:
        yield _Foretold.together(waiting)


def _foretold(
    used: Sequence[Continued],
    places: NDArray[np.intp],
    goals: Array,
    needed: Array,
    came: Array,
    open_: NDArray[np.bool_],
) -> _Foretold:
    """Foretell the open pairs of issue and goal in every way."""
    row, goal = np.nonzero(open_)
    issue, missing = used[0].through[row] + 1, needed[open_]
    outlook, graft = (each.times_of_years(missing, row) for each in used)
    simple = _simple_ways(used[1], goals, issue, missing, goal)
    return _Foretold(
        places[goal], issue, missing, came[goal], outlook, (graft[..., 0], *simple)
    )  # fmt: skip


def _scored(climate: Climate, rows: _Foretold) -> Forecasts:
    """Score every way."""
    outlook, issue, truth = rows.outlook, rows.issue, rows.came
    read = np.stack(
        [
            spans.foretold(
                times, [0.5, *spans.EDGES], earliest=issue, needed=rows.missing,
                spread=climate.spread, steady=climate.steps.shrinkage and times is outlook,
            )
            for times in (outlook, rows.ways[0][..., None])
        ],
        axis=1,
    )  # fmt: skip
    year = np.sort(spans.unshifted(outlook), axis=-1)
    years = np.count_nonzero(~np.isnan(year), axis=-1)
    # A season that never gets there counts as getting there on its last day.
    end = float(climate.season.days)
    ways = [np.minimum(each, end) for each in (outlook.reshape(len(truth), -1), *rows.ways)]
    read = np.minimum(read, end)
    ends = read[..., 1:].reshape(len(truth), 2, len(SHARES), 2)
    given = [read[:, 0, 0], read[:, 1, 0], *(_mean(each, -1) for each in ways[2:])]
    copies = [outlook.shape[-1], *[1] * len(rows.ways)]
    found = [
        scores.raw_and_fair(each, truth, copies=size)
        for each, size in zip(ways, copies, strict=True)
    ]
    return Forecasts(
        season=np.full(len(truth), climate.season.first.year),
        target=rows.target,
        issue=issue,
        years=years,
        came=truth,
        chance=np.isfinite(outlook).sum((1, 2)) / np.maximum((~np.isnan(outlook)).sum((1, 2)), 1),
        median=np.stack(given, axis=-1),
        crps=np.stack([raw for raw, _ in found], axis=-1),
        fair=np.stack([fair for _, fair in found], axis=-1),
        spans=ends,
        issued=_issued(read[..., 0], ends, truth),
        pit=scores.pit(ways[0], truth),
        dots=_dots(year, years),
    )


def _mean(values: Array, axis: int) -> Array:
    """Mean of the known values; NaN where none is."""
    known = ~np.isnan(values)
    with np.errstate(invalid="ignore"):
        return np.asarray(np.where(known, values, 0.0).sum(axis) / known.sum(axis))


def _simple_ways(
    graft: Continued, goals: Array, issue: NDArray[np.intp], missing: Array, goal: NDArray[np.intp]
) -> Iterator[Array]:
    """Members of the mean heat, the calendar given "not yet", and the calendar."""
    usual = np.cumsum(_mean(np.diff(graft.late[:, 0], axis=-1, prepend=0.0), 0))
    passed = np.concatenate([[0.0], usual])[issue]
    yield day_reached(usual, missing + passed)[:, None]
    past = graft.from_the_first_day().times(goals, np.zeros(goals.size))[goal, :, 0]
    later = np.where(past > issue[:, None], past, np.nan)
    none_left = np.isnan(later).all(axis=-1)
    later[none_left, 0] = issue[none_left] + 1.0
    yield later
    yield past


def _issued(median: Array, ends: Array, truth: Array) -> Array:
    """Score of the median and spans of both ensembles."""
    return np.stack(
        [
            scores.spans_score(
                median[:, each],
                {share: tuple(ends[:, each, at].T) for at, share in enumerate(SHARES)},
                truth,
            )
            for each in range(median.shape[1])
        ],
        axis=-1,
    )


def _dots(year: Array, years: NDArray[np.intp]) -> Array:
    """Fastest, first and last inner, and slowest of each row's sorted year dots."""
    last = np.maximum(years - 1, 0)
    at = np.stack([0 * last, *spans.inner_places(years), last], axis=-1)
    return np.take_along_axis(year, at, axis=-1)


_NOTHING = Forecasts(
    season=np.zeros(0, dtype=np.int64),
    target=np.zeros(0, dtype=np.int64),
    issue=np.zeros(0, dtype=np.int64),
    years=np.zeros(0, dtype=np.int64),
    came=np.zeros(0),
    chance=np.zeros(0),
    median=np.zeros((0, len(WAYS))),
    crps=np.zeros((0, len(WAYS))),
    fair=np.zeros((0, len(WAYS))),
    spans=np.zeros((0, 2, len(SHARES), 2)),
    issued=np.zeros((0, 2)),
    pit=np.zeros(0),
    dots=np.zeros((0, 4)),
)
