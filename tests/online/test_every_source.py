"""One battery every source passes: right days, and each fault ends in three parts, in time."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

import numpy as np
import pytest

from gddcast.errors import Refusal
from gddcast.online import (
    archive_days,
    climate_data,
    forecast_days,
    station_days,
    weather_service,
)
from gddcast.online.session import WeatherSession
from gddcast.online.trouble import Trouble
from gddcast.weather.provenance import NOBODY, Sourced
from gddcast.weather.series import Origin, Place
from gddcast.weather.stations import Station
from tests.online import played
from tests.online.conftest import age, patience_with
from tests.online.played import NEAR, TODAY, ZONE, Played

Opener = Callable[..., WeatherSession]
Where = Place | Station
SPOT = Place("Larkhollow Patch", 40.41, -101.70, 1030.0, ZONE)
DAY = dt.timedelta(days=1)


class Source:
    """A source, where it is asked, for which days, and what it then gives."""

    def __init__(
        self, daily: Callable[..., Sourced], where: Where, path: str,
        days: tuple[dt.date, dt.date], warmer: float, origins: set[Origin],
    ) -> None:  # fmt: skip
        self.daily, self.where, self.path, self.days = daily, where, path, days
        self.warmer, self.origins = warmer, origins

    def fetch(self, session: WeatherSession) -> Sourced:
        """Its days."""
        return self.daily(self.where, *self.days, session, TODAY)


PAST = (dt.date(2016, 9, 1), TODAY - DAY)
SOURCES = {
    "station": Source(station_days.daily, NEAR, "/daily", PAST, 0.0, {Origin.MEASURED}),
    "climate data": Source(
        climate_data.daily, Station("USC00251000"), "/access", PAST, 0.0, {Origin.MEASURED},
    ),
    "archive": Source(
        archive_days.daily, SPOT, "/v1/archive", (dt.date(2015, 7, 1), dt.date(2018, 4, 30)), 0.5,
        {Origin.MODEL},
    ),
    "forecast": Source(
        forecast_days.daily, SPOT, "/v1/forecast", (TODAY - 92 * DAY, TODAY + 15 * DAY), 0.5,
        {Origin.MODEL, Origin.FORECAST},
    ),
    "weather service": Source(
        weather_service.daily, SPOT, "/gridpoints", (TODAY, TODAY + 7 * DAY), 0.0,
        {Origin.FORECAST},
    ),
}  # fmt: skip
FAULTS: dict[str, tuple[played.Fault, str]] = {
    "refused": (played.refused, "could not be reached"),
    "stalled": (played.stalled, "did not answer in time"),
    "slow drip": (played.slow_drip, "did not answer in time"),
    "broken off": (played.broken_off, "broke off"),
    "server error": (played.status(500), "status 500"),
    "too many": (played.status(429, Retry_After="900"), "had enough requests"),
    "web page": (played.sign_in_page, "a web page came back"),
    "fahrenheit": (played.with_days(played.in_fahrenheit), "not in °C"),
    "swapped": (played.with_days(played.swapped), "minima above maxima"),
}


@pytest.fixture(params=SOURCES)
def source(request: pytest.FixtureRequest) -> Source:
    return SOURCES[request.param]


def test_days_are_right_local_and_marked(
    town: Played, session: WeatherSession, source: Source
) -> None:
    found = source.fetch(session)
    truth = town.series[NEAR.id].between(*source.days)
    assert (found.series.first, found.series.last) == source.days
    for ours, theirs in ((found.series.tmin, truth.tmin), (found.series.tmax, truth.tmax)):
        np.testing.assert_allclose(ours, theirs + source.warmer, rtol=0, atol=0.06)
    assert {Origin(code) for code in found.series.origin} == source.origins
    coming = found.series.dates >= np.datetime64(TODAY)
    assert (found.series.origin[coming] == Origin.FORECAST).all()
    assert (found.of_day == 0).all()


def test_each_source_says_who_when_and_on_what_terms(
    session: WeatherSession, source: Source
) -> None:
    (said,) = source.fetch(session).sources
    assert said.service
    assert said.terms
    assert said.day
    assert said.fetched.tzinfo is not None
    if source.path == "/gridpoints":
        assert said.issued == dt.datetime(2018, 6, 1, 9, 30, tzinfo=dt.UTC)


def test_a_second_run_asks_nobody(open_session: Opener, source: Source) -> None:
    good = source.fetch(open_session())
    again = open_session()
    found = source.fetch(again)
    assert again.requests == 0
    np.testing.assert_array_equal(found.series.tmax, good.series.tmax)


@pytest.mark.parametrize("fault", FAULTS)
def test_a_fault_ends_in_time_in_three_parts(
    town: Played, open_session: Opener, source: Source, fault: str
) -> None:
    kind, found = FAULTS[fault]
    town.faults[source.path] = kind
    with pytest.raises(Refusal, match=found) as caught:
        source.fetch(open_session(patience_with(kind)))
    assert caught.value.expected
    assert caught.value.cure
    assert caught.value.exit_code == 3


@pytest.mark.parametrize("name", ["station", "climate data"])
def test_blanks_filled_with_nought_are_no_days(
    town: Played, session: WeatherSession, name: str
) -> None:
    source = SOURCES[name]
    town.faults[source.path] = played.with_days(played.noughts)
    with pytest.raises(Refusal, match="noughts where readings should be"):
        source.fetch(session)


def test_a_year_of_noughts_is_unknown_and_the_others_stay(
    town: Played, session: WeatherSession
) -> None:
    source = SOURCES["station"]
    town.faults[source.path] = played.with_days(played.a_year_of_noughts)
    found = source.fetch(session).series
    truth = town.series[NEAR.id].between(*source.days)
    blank = found.dates.astype("datetime64[Y]") == np.datetime64("2017")
    assert not found.known[blank].any()
    np.testing.assert_allclose(found.tmax[~blank], truth.tmax[~blank], rtol=0, atol=0.06)


def test_a_fault_after_a_good_answer_gives_the_old_days_and_says_so(
    town: Played, open_session: Opener, source: Source
) -> None:
    session = open_session()
    good = source.fetch(session)
    age(session)
    for fault, _ in FAULTS.values():
        if fault in (played.stalled, played.slow_drip):
            continue  # tried on the session; slow
        town.faults[source.path] = fault
        found = source.fetch(open_session())
        np.testing.assert_array_equal(found.series.tmin, good.series.tmin)
        assert found.sources[0].stale
        assert any("as of" in note for note in found.notes)


def test_a_row_of_the_archive_without_a_date_costs_its_day() -> None:
    head = b'"STATION","DATE","TMAX","TMIN"\n'
    rows = b"".join(b'"X","1936-07-%02d","33.9","20.6"\n' % day for day in range(1, 31))

    found = climate_data.days_in(head + rows.replace(b"1936-07-12", b"1936-07-99"))
    assert dt.date(1936, 7, 12) not in found
    assert len(found) == 29
    with pytest.raises(Trouble, match="most dates in its table"):
        climate_data.days_in(head + rows.replace(b"1936-07-1", b"1936-13-1"))


@pytest.mark.parametrize("name", [name for name in SOURCES if name != "weather service"])
def test_a_few_impossible_days_are_unknown_not_believed(
    town: Played, session: WeatherSession, name: str
) -> None:
    """One swapped day is struck and the rest is good; in a week of forecast it is too many."""
    source = SOURCES[name]
    series = town.series[NEAR.id]
    at = series.index(source.days[0]) + 3
    low, high = series.tmin.copy(), series.tmax.copy()
    low[at], high[at] = high[at] + 1.0, low[at]
    town.series[NEAR.id] = type(series)(series.first, low, high)
    found = source.fetch(session)
    assert found.series.missing == 1
    assert found.of_day[3] == NOBODY
    assert np.isnan(found.series.tmin[3])
