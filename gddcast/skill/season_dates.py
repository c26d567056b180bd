"""Dates of past seasons in one table: of one sum at many stations, or of the stages of a card."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import numpy as np

from gddcast.cards.model import Card
from gddcast.errors import ArgumentRefusal
from gddcast.heat.counting import Counting, Overrule
from gddcast.heat.cutoffs import Cutoff, cutoff_named
from gddcast.heat.labels import kind_of
from gddcast.heat.shapes import Shape, shape_named, single_sine
from gddcast.heat.thermal_time import day_index, day_reached
from gddcast.outlook.seasons import SeasonHeat, season_heats
from gddcast.skill.targets import targets_of
from gddcast.units import Unit, known_unit, to_celsius, to_celsius_days
from gddcast.weather.series import DailySeries, HasSeries, Place, series_of

if TYPE_CHECKING:
    import pandas as pd


def dates_reached(
    tmin: pd.Series[float] | pd.DataFrame,
    tmax: pd.Series[float] | pd.DataFrame,
    *,
    unit: Unit,
    lower: float,
    goal: float,
    upper: float = np.inf,
    shape: Shape | str = single_sine,
    cutoff: Cutoff | str | None = None,
    start: tuple[int, int] = (1, 1),
    season_begins: tuple[int, int] = (1, 1),
) -> pd.DataFrame:
    """Day on which a sum was reached, in every season at every station.

    Parameters
    ----------
    tmin, tmax : pandas.Series or DataFrame
        Lowest and highest air temperature, days on the index, one column a station. [°F or °C]
    unit : {"F", "C"}
        Scale of temperatures, thresholds and goal.
    lower, upper : float
        Developmental thresholds. [°F or °C]
    goal : float
        Heat wanted. [°F·d or °C·d]
    shape, cutoff : Shape and Cutoff, or their names
        As in `Counting`.
    start : (int, int), default: (1, 1)
        Month and day from which heat is counted.
    season_begins : (int, int), default: (1, 1)
        Month and day on which a season starts over; (7, 1) south of the equator.

    Returns
    -------
    pandas.DataFrame
        One row a station and season: ``day``, and ``why`` there is none: "not reached", "not
        yet" in a season still running, or "days missing", for a missing day counts as unknown,
        not as cold. ``table["day"].unstack("season")`` is stations by years.

    Raises
    ------
    ArgumentRefusal
        If the temperatures are not pandas, or are of two kinds, or the unit is none.

    Examples
    --------
    >>> import pandas as pd
    >>> days = pd.date_range("2024-01-01", "2025-12-31")
    >>> low = pd.DataFrame({"hill": 40.0, "dale": 44.0}, index=days)
    >>> table = dates_reached(low, low + 20, unit="F", lower=50, goal=500, shape="double sine")
    >>> table["day"].dt.strftime("%d %B").unstack("season").loc["hill"].to_dict()
    {'2024': '06 June', '2025': '07 June'}
    """
    import pandas as pd

    unit = known_unit(unit)
    if {kind_of(tmin), kind_of(tmax)} != {"pandas"} or type(tmin) is not type(tmax):
        raise ArgumentRefusal(
            "these temperatures", f"they are {type(tmin).__name__} and {type(tmax).__name__}",
            "Seasons are told apart by the dates on the index of two Series or two DataFrames.",
            "Of a DataArray make a table:  x.transpose('time', ...).to_pandas().",
            slug="kind-unsupported",
        )  # fmt: skip
    used = None if cutoff is None else cutoff_named(cutoff)
    counting = Counting(
        float(to_celsius(lower, unit)), float(to_celsius(upper, unit)), shape_named(shape),
        used,  # type: ignore[arg-type]  # None is the default's own choice
    )  # fmt: skip
    place = Place("station", season_begins=season_begins)
    rows = {}
    by_station: list[dict[Any, Any]] = [
        dict(each.items()) if isinstance(each, pd.DataFrame) else {tmin.name: each}
        for each in (tmin, tmax)
    ]
    lows, highs = by_station
    if lows.keys() != highs.keys():
        raise ArgumentRefusal(
            "these temperatures", f"stations are {[*map(str, lows)]} and {[*map(str, highs)]}",
            "Minima and maxima stand in columns of the same names.",
            "Name them alike:  tmax.columns = tmin.columns.", slug="kinds-mixed",
        )  # fmt: skip
    for name, low in lows.items():
        frame = pd.DataFrame({"tmin": low, "tmax": highs[name]})
        series = DailySeries.from_frame(frame, unit=unit, place=place)
        for heat in season_heats(series, counting, start):
            rows[name, heat.season.name] = _reached(heat, float(to_celsius_days(goal, unit)))
    return _table(rows, "station", counting, start)


def past_dates(
    record: DailySeries | HasSeries, card: Card, *, start: tuple[int, int] | None = None
) -> pd.DataFrame:
    """Day on which each dated stage of a card came in every season of a record.

    The record is taken as it is: `judge` it and `patch_short` its gaps first where that is wanted.

    Parameters
    ----------
    record : DailySeries, or what `read_temperatures` gives
    card : Card
        Its stages whose sums start on a calendar day; both ends of a printed range. Sums that
        start with a find or a sowing need one.
    start : (int, int), optional
        Month and day to count from instead of the card's.

    Returns
    -------
    pandas.DataFrame
        One row a stage and season: ``day``, and ``why`` there is none, as in `dates_reached`.
    """
    series = series_of(record)
    if not isinstance(card, Card):
        raise ArgumentRefusal(
            f"this {type(card).__name__}", "it is no card", "Stages come from a card.",
            'Give one:  gddcast.load_cards()["codling-moth"].', slug="card-wanted",
        )  # fmt: skip
    rows = {}
    for target in targets_of([card], series.place, Overrule(start=start)):
        for heat in season_heats(series, target.counting, target.start):
            name = f"{target.stage}, {target.goal:.0f} °C·d"
            rows[name, heat.season.name] = _reached(heat, target.goal)
    return _table(rows, "stage")


def _reached(heat: SeasonHeat, goal: float) -> tuple[dt.date | None, str]:
    time = float(day_reached(heat.heat, goal)) if heat.heat.size else np.inf
    if np.isfinite(time):
        return heat.season.first + dt.timedelta(days=int(day_index(time))), ""
    if np.isnan(time):
        return None, "days missing"
    return None, "not reached" if heat.heat.size == heat.season.days else "not yet"


def _table(
    rows: dict[tuple[Any, str], tuple[dt.date | None, str]],
    what: str,
    counting: Counting | None = None,
    start: tuple[int, int] | None = None,
) -> pd.DataFrame:
    import pandas as pd

    index = pd.MultiIndex.from_tuples(list(rows), names=[what, "season"])
    days, why = zip(*rows.values(), strict=True) if rows else ((), ())
    table = pd.DataFrame({"day": pd.to_datetime(list(days)), "why": list(why)}, index=index)
    if counting is not None:
        table.attrs["counted"] = {
            "lower": counting.lower, "upper": counting.upper, "shape": counting.shape.name,
            "cutoff": counting.cutoff.name, "start": start,
        }  # fmt: skip
    return table
