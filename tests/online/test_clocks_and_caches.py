"""A clock a year off, answers for another place, a cache that two use or somebody spoiled."""

from __future__ import annotations

import datetime as dt
import os
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing

import pytest

from gddcast.errors import Refusal
from gddcast.online.session import NEVER, WeatherSession
from tests.online import played
from tests.online.conftest import age
from tests.online.played import TODAY, Played
from tests.online.test_every_source import SOURCES
from tests.online.test_session import HOUR, year

Opener = Callable[..., WeatherSession]
YEAR = dt.timedelta(days=365)


@pytest.mark.parametrize("off", [-YEAR, YEAR])
@pytest.mark.parametrize("name", ["forecast", "weather service"])
def test_a_machine_a_year_off_gets_no_forecast_and_is_told_why(
    session: WeatherSession, name: str, off: dt.timedelta
) -> None:
    source, today = SOURCES[name], TODAY + off
    with pytest.raises(Refusal, match=r"By this machine today is 1|today is 01") as caught:
        source.daily(source.where, today, today + dt.timedelta(days=7), session, today)
    assert caught.value.slug in ("clock-wrong", "too-old")


def test_what_was_kept_while_the_clock_ran_ahead_does_not_count_as_fresh(
    town: Played, open_session: Opener
) -> None:
    session = open_session()
    good = year(session)
    (held,) = session._http.cache.filter()
    held.created_at += YEAR
    session._http.cache.save_response(held, held.cache_key, held.created_at + HOUR)
    again = open_session()
    assert year(again).stale is None
    assert again.requests == 1
    (held,) = again._http.cache.filter()
    held.created_at += YEAR
    again._http.cache.save_response(held, held.cache_key, held.created_at + HOUR)
    town.faults["/daily"] = played.refused
    old = year(open_session())
    assert old.body == good.body
    assert "could not be reached" in (old.stale or "")


@pytest.mark.parametrize(
    ("name", "fault"),
    [
        ("climate data", played.changed("USC00251000", "USC00999999")),
        ("archive", played.changed('"latitude": 40.4', '"latitude": -40.4')),
        ("forecast", played.changed('"longitude": -101.7', '"longitude": 101.7')),
    ],
)
def test_days_of_another_place_are_refused_and_the_old_ones_stand(
    town: Played, open_session: Opener, name: str, fault: played.Fault
) -> None:
    source = SOURCES[name]
    town.faults[source.path] = fault
    with pytest.raises(Refusal, match=r"of another station|for another place"):
        source.fetch(open_session())
    town.faults.clear()
    session = open_session()
    good = source.fetch(session)
    age(session)
    town.faults[source.path] = fault
    found = source.fetch(open_session())
    assert found.series.tmax.tobytes() == good.series.tmax.tobytes()
    assert "another" in (found.sources[0].stale or "")


def test_a_cache_somebody_spoiled_is_asked_past(town: Played, open_session: Opener) -> None:
    """Under its right name a sign-in page, as a cache of before the checksums might have kept."""
    session = open_session()
    good = year(session, 2017, NEVER)
    (held,) = session._http.cache.filter()
    del held.headers["X-Gddcast-Checksum"]
    held._content = b"<!DOCTYPE html><html>Sign in</html>"
    session._http.cache.save_response(held, held.cache_key, None)
    assert year(open_session(), 2017, NEVER).body == good.body
    assert len(town.seen) == 2


def test_another_run_that_keeps_the_cache_to_itself_is_said_not_shown(
    open_session: Opener,
) -> None:
    session = open_session()
    year(session)
    file = session.folder / "http.sqlite"
    with closing(sqlite3.connect(file)) as other:
        other.execute("BEGIN EXCLUSIVE")
        with pytest.raises(Refusal, match="another run of gddcast is using it"):
            SOURCES["climate data"].fetch(session)
        other.rollback()
    SOURCES["climate data"].fetch(session)


_RUN = """
import datetime as dt, sys
from pathlib import Path
from gddcast.online.services import Services
from gddcast.online.session import NEVER, WeatherSession
from gddcast.online.station_days import days_in
for _ in range(2):
    with WeatherSession(Path(sys.argv[1]), Services.behind(sys.argv[2])) as session:
        for year in range(1990, 2018):
            url = session.services.station_years.format(station="72911", year=year)
            assert session.get(url, read=days_in, keep=NEVER).value >= 365
"""


def test_two_runs_on_one_cache_both_get_their_days(town: Played, open_session: Opener) -> None:
    folder = open_session().folder
    words = [sys.executable, "-c", _RUN, str(folder), town.address]
    runs = [
        subprocess.Popen(words, stderr=subprocess.PIPE, text=True, env=dict(os.environ))
        for _ in range(2)
    ]
    for each in runs:
        _, said = each.communicate(timeout=600)
        assert each.returncode == 0, said
    last = open_session()
    for number in range(1990, 2018):
        year(last, number, NEVER)
    assert last.requests == 0
