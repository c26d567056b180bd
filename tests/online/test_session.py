"""The cache is checked before it is written, and every exchange ends in time."""

from __future__ import annotations

import base64
import datetime as dt
import gzip
import json
import sqlite3
from collections.abc import Callable
from contextlib import closing

import pytest

from gddcast.online import cache_file, climate_data
from gddcast.online import session as session_room
from gddcast.online.services import Patience, Services
from gddcast.online.session import NEVER, USER_AGENT, WeatherSession
from gddcast.online.station_days import days_in
from gddcast.online.trouble import Trouble
from tests.online import played
from tests.online.conftest import age, patience_with
from tests.online.played import NEAR, Played

HOUR = dt.timedelta(hours=1)
Opener = Callable[..., WeatherSession]


def year(session: WeatherSession, number: int = 2017, keep: dt.timedelta | None = HOUR) -> object:
    url = session.services.station_years.format(station=NEAR.id, year=number)
    return session.get(url, read=days_in, keep=keep, absent_is_an_answer=True)


def test_a_second_run_asks_nobody(town: Played, open_session: Opener) -> None:
    first = year(open_session())
    again = open_session()
    assert year(again).value == first.value == 365
    assert again.requests == 0
    assert len(town.seen) == 1


def test_we_say_who_we_are(town: Played, session: WeatherSession) -> None:
    year(session)
    assert town.agents == {USER_AGENT}
    assert USER_AGENT.startswith("gddcast/")


def test_the_cache_holds_json_and_no_pickle(session: WeatherSession) -> None:
    """A pickle runs code when it is read; a cache folder may be anybody's."""
    year(session)
    session.close()
    rows = sqlite3.connect(session.folder / "http.sqlite").execute("SELECT value FROM responses")
    values = [row[0] for row in rows]
    assert values
    for value in values:
        json.loads(value)


@pytest.mark.parametrize(
    ("fault", "found"),
    [
        (played.refused, "could not be reached"),
        (played.stalled, "did not answer in time"),
        (played.slow_drip, "did not answer in time"),
        (played.broken_off, "could not be reached, or the answer broke off"),
        (played.cut_short, "broke off on the way"),
        (played.sign_in_page, "a web page came back"),
        (played.status(500), "status 500"),
        (played.status(403), "status 403"),
        (played.status(429, Retry_After="3600"), "had enough requests"),
        (played.changed("tmin,tmin_source", "low,low_source"), "changed its form"),
        (played.with_days(played.in_fahrenheit), "not in °C"),
        (played.with_days(played.swapped), "minima above maxima"),
    ],
)
def test_a_fault_ends_in_time_and_leaves_the_good_answer(
    town: Played, open_session: Opener, fault: played.Fault, found: str
) -> None:
    """First without anything kept: trouble. Then with an old answer kept: that one, said so."""
    town.faults["/daily"], patience = fault, patience_with(fault)
    with pytest.raises(Trouble, match=found):
        year(open_session(patience))
    town.faults.clear()
    session = open_session()
    good = year(session)
    assert good.stale is None
    age(session)
    town.faults["/daily"] = fault
    for _ in range(2):  # the second run shows that the first has not spoiled the cache
        old = year(open_session(patience))
        assert old.body == good.body
        assert abs(old.fetched - good.fetched) < dt.timedelta(seconds=1)
        assert found in (old.stale or "")
    town.faults.clear()
    assert year(open_session()).stale is None


def test_a_file_that_vanishes_does_not_push_the_good_one_out(
    town: Played, open_session: Opener
) -> None:
    session = open_session()
    good = year(session)
    age(session)
    town.faults["/daily"] = played.status(404)
    old = year(open_session())
    assert (old.body, old.stale) == (good.body, "a file it had before is gone")


def test_an_absent_year_is_an_answer_that_is_asked_again_some_day(open_session: Opener) -> None:
    """A year that is final is kept for ever; that it is absent, for a month."""
    assert year(open_session(), 1950, NEVER).value is None
    again = open_session()
    assert year(again, 1950, NEVER).value is None
    assert again.requests == 0
    year(again, 2010, NEVER)
    cache = again._http.cache
    held = [cache.get_response(key) for key in cache.responses]
    kept = {response.status_code: response.expires for response in held}
    assert kept[200] is None
    assert dt.timedelta(days=29) < kept[404] - dt.datetime.now(dt.UTC) < dt.timedelta(days=31)


def test_an_answer_that_still_holds_is_not_sent_again(town: Played, open_session: Opener) -> None:
    """A service that knows its answers says 304: nothing is transferred, nothing is stale."""

    def knows(handler: played.Handler, body: bytes) -> bool:
        same = handler.headers.get("If-None-Match") == '"v1"'
        handler.send(304 if same else 200, b"" if same else body, ETag='"v1"')
        return True

    town.faults["/daily"] = knows
    session = open_session()
    good = year(session)
    age(session)
    again = open_session()
    assert (year(again).body, year(again).stale, again.requests) == (good.body, None, 1)


def test_a_short_wait_is_sat_out_once(town: Played, open_session: Opener) -> None:
    answers = iter([True, False])

    def busy_once(handler: played.Handler, body: bytes) -> bool:
        return next(answers) and played.status(429, Retry_After="0")(handler, body)

    town.faults["/daily"] = busy_once
    session = open_session()
    assert year(session).value == 365
    assert session.requests == 2


def test_an_answer_that_never_ends_is_cut(open_session: Opener) -> None:
    session = open_session()
    small = WeatherSession(session.folder, session.services, Patience(largest=500))
    with small, pytest.raises(Trouble, match="far too large"):
        year(small)


def test_nobody_at_home_is_trouble(open_session: Opener) -> None:
    session = open_session()
    session.services = Services.behind("http://127.0.0.1:9")
    with pytest.raises(Trouble, match="could not be reached") as caught:
        year(session)
    assert caught.value.expected == "The connection was refused."


def test_the_cache_is_cut_back_oldest_first(
    open_session: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = open_session()
    for number in range(2008, 2018):
        year(session, number, NEVER)
    before = (session.folder / "http.sqlite").stat().st_size
    monkeypatch.setattr(session_room, "LARGEST_CACHE", before // 2)
    again = open_session()  # closes the first
    assert (again.folder / "http.sqlite").stat().st_size < before
    year(again, 2017, NEVER)
    assert again.requests == 0
    year(again, 2008, NEVER)
    assert again.requests == 1


def test_a_broken_cache_is_begun_anew(open_session: Opener) -> None:
    session = open_session()
    year(session)
    session.close()
    (session.folder / "http.sqlite").write_bytes(b"SQLite format 3\x00 and nothing more" * 99)
    again = open_session()
    assert year(again).value == 365
    assert again.requests == 1


def test_a_cache_damaged_in_its_middle_is_begun_anew(open_session: Opener) -> None:
    """Its first page is sound, so that it opens as ever; an answer of it is not."""
    session = open_session()
    for number in range(2008, 2018):
        year(session, number, NEVER)
    session.close()
    file = session.folder / "http.sqlite"
    whole = bytearray(file.read_bytes())
    whole[4096:] = b"\x55" * len(whole[4096:])
    file.write_bytes(whole)
    again = open_session()
    assert year(again, 2012, NEVER).value == 366
    assert again.requests == 1


def test_a_kept_answer_that_changed_on_the_disk_is_asked_for_again(open_session: Opener) -> None:
    """A reading that became another is as good a number: only the checksum knows."""
    asked = {
        "units": "metric",
        "stations": "USC00381770",
        "startDate": "2017-07-04",
        "endDate": "2017-07-05",
    }

    def body(session: WeatherSession) -> bytes:
        address = session.services.climate_data
        return session.get(address, params=asked, read=climate_data.days_in, keep=NEVER).body

    session = open_session()
    came = body(session)
    session.close()
    with closing(sqlite3.connect(session.folder / "http.sqlite")) as cache, cache:
        (value,) = cache.execute("SELECT value FROM responses").fetchone()
        other = came.replace(b'"2017-07-04","    3', b'"2017-07-04","    1')
        before, after = (base64.b64encode(each).decode() for each in (came, other))
        assert before in value
        assert before != after
        cache.execute("UPDATE responses SET value = ?", (value.replace(before, after),))
    again = open_session()
    assert body(again) == came
    assert again.requests == 1
    later = open_session()
    assert body(later) == came
    assert later.requests == 0


def test_a_cache_that_another_run_is_at_is_not_damaged(open_session: Opener) -> None:
    session = open_session()
    year(session, 2017, NEVER)
    session.close()
    file = session.folder / "http.sqlite"
    with closing(sqlite3.connect(file)) as other:
        other.execute("BEGIN EXCLUSIVE")
        cache_file.drop_if_damaged(file, wait=0.05)
        assert file.exists()


LONG = b"9" * 200_000


@pytest.mark.parametrize(
    ("read", "body", "found"),
    [
        (
            days_in,
            gzip.compress(b"year,month,day,tmin,tmax\n" + b"\n" * 80_000_000, 1),
            "too large",
        ),
        (days_in, b"year,month,day,tmin,tmax\n2020,5,1,4," + LONG, "can’t be read"),
        (days_in, b"year,month,day,tmin," + LONG, "can’t be read"),
        (climate_data.days_in, b"DATE,TMAX,TMIN\n2020-05-01,3," + LONG, "can’t be read"),
    ],
    ids=["swells", "cell", "heading", "table"],
)
def test_an_answer_that_fills_the_memory_is_trouble(
    read: Callable[[bytes], object], body: bytes, found: str
) -> None:
    """A year of days takes 20 kB; 131,072 letters a cell is Python's own limit."""
    with pytest.raises(Trouble, match=found):
        read(body)
