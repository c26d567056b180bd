"""``gddcast weather fetch`` and ``weather stations`` as a person types them, against loopback."""

from __future__ import annotations

import datetime as dt
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner, Result

from gddcast.book.opening import open_book
from gddcast.cli import main
from gddcast.cli import weather_fetch as face
from gddcast.readers.temperature_file import read_temperatures
from gddcast.weather.series import Origin
from tests import interrupts
from tests.online import played
from tests.online.conftest import patience_with
from tests.online.played import NEAR, Played, playing

AT = "40.41,-101.70"
TODAY = "2018-06-01"
Run = Callable[..., Result]


@pytest.fixture
def town() -> Iterator[Played]:
    with playing() as server:
        yield server


@pytest.fixture
def run(town: Played, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    """A command on 1 June 2018, in a folder to write in, with a cache that lasts."""
    monkeypatch.chdir(tmp_path)

    def command(*words: str, on: str = TODAY, **more: str) -> Result:
        env = {
            "GDDCAST_CACHE": str(tmp_path / "cache"), "GDDCAST_WEATHER_FROM": town.address,
            "COLUMNS": "200", "TZ": "America/Denver", **more,
        }  # fmt: skip
        return CliRunner().invoke(main, ["weather", *words, "--on", on], env=env)

    return command


def fetch(run: Run, *more: str, **how: str) -> Result:
    return run("fetch", "--at", AT, "--years", "3", "-o", "w.csv", *more, **how)


def requests_said(answer: Result) -> int:
    (line,) = [line for line in answer.stderr.splitlines() if " requests. Next:" in line]
    return int(line.split()[0])


def test_a_place_on_the_map_becomes_a_record_every_command_reads(town: Played, run: Run) -> None:
    answer = fetch(run, "--forecast")
    assert answer.exit_code == 0, answer.output
    assert answer.stdout.startswith(
        "Wrote w.csv: 1 January 2015 – 16 June 2018, 1,247 measured and 16 forecast."
    )
    assert "Station 72911, Champion, 2 km off." in answer.stderr
    assert "CC BY 4.0" in answer.stderr
    reading = read_temperatures("w.csv", today=dt.date(2018, 6, 1))
    truth = town.series[NEAR.id].between(dt.date(2015, 1, 1), dt.date(2018, 5, 31))
    ours = reading.series.between(truth.first, truth.last)
    np.testing.assert_allclose(ours.tmin, truth.tmin, rtol=0, atol=1e-9)
    np.testing.assert_allclose(ours.tmax, truth.tmax, rtol=0, atol=1e-9)
    assert reading.series.count(Origin.FORECAST) == 16
    assert (reading.unit, reading.unit_decided_by) == ("C", "header")
    said = dict(reading.provenance)
    assert said["place"] == "40.41,-101.7"
    assert said["timezone"] == "America/Denver"
    assert said["forecast issued"] == TODAY
    assert "issued not stated, fetched 20" in said[f"source {NEAR.id}"]
    assert said["day of open-meteo"] == "24 local hours of America/Denver"
    assert "non-commercial" in said["terms of open-meteo"]
    assert not [note for note in reading.notes if note.rule != "forecast-rows"]
    for command in (["check", "w.csv"], ["patch", "w.csv", "-o", "p.csv"]):
        assert run(*command).exit_code == 0


def test_what_was_fetched_goes_into_a_book_its_forecast_as_issued(run: Run) -> None:
    fetch(run, "--forecast")
    place = ("--name", "Champion", "--at", AT, "--timezone", "America/Denver", "--show", "C")
    made = CliRunner().invoke(main, ["setup", "--book", "b", *place, "--no-input"])
    assert made.exit_code == 0, made.output
    for on in (TODAY, "2018-06-02"):  # brought in a day late, it is a day old
        answer = run("add", "w.csv", "--book", "b", on=on)
        assert answer.exit_code == 0, answer.output
    kept = open_book("b").forecasts()
    assert set(kept.issued.astype(str).tolist()) == {TODAY}
    assert kept.lead.tolist() == list(range(16))
    assert open_book("b").series(dt.date(2018, 6, 2)).count(Origin.FORECAST) == 9


def test_a_second_run_makes_no_request(run: Run) -> None:
    first = fetch(run, "--forecast")
    text = Path("w.csv").read_text("utf-8")
    again = fetch(run, "--forecast")
    assert requests_said(first) > 0
    assert requests_said(again) == 0
    assert "No past day has changed." in again.stdout
    assert Path("w.csv").read_text("utf-8") == text


def test_a_file_knows_how_to_be_brought_up_to_date_without_the_list(
    town: Played, run: Run, tmp_path: Path
) -> None:
    """Its own lines keep station, place and zone: no list, no flags, no scale asked again."""
    fetch(run, "--unit", "F")
    (tmp_path / "cache" / "stations.db").unlink()
    town.faults["/stations.db"] = played.status(500)
    again = run("fetch", "-o", "w.csv", on="2018-06-03")
    assert again.exit_code == 0, again.output
    assert read_temperatures("w.csv").unit == "F"


def test_fahrenheit_is_written_to_the_digit(town: Played, run: Run) -> None:
    fetch(run, "--unit", "F")
    series = read_temperatures("w.csv").series
    truth = town.series[NEAR.id].between(series.first, series.last)
    np.testing.assert_allclose(series.tmax, truth.tmax, rtol=0, atol=0.003)


def test_revised_days_are_named(town: Played, run: Run, tmp_path: Path) -> None:
    """Twelve days in May 3 °C higher by day: 1.5 °C-days each where the whole day is warm."""
    fetch(run)
    (tmp_path / "cache" / "http.sqlite").unlink()
    series = town.series[NEAR.id]
    high = series.tmax.copy()
    at = series.index(dt.date(2018, 5, 10))
    high[at : at + 12] += 3.0
    high[at + 2] += 1.0
    town.series[NEAR.id] = type(series)(series.first, series.tmin, high)
    again = fetch(run)
    assert "12 past days changed, 10–21 May; most on 12 May, by 4.0 °C; together +" in again.stdout
    assert "above 10 °C this season" in again.stdout


def test_offline_after_a_fetch_the_same_days(town: Played, run: Run) -> None:
    fetch(run, "--forecast")
    good = read_temperatures("w.csv").series
    Path("w.csv").unlink()
    for path in ("/daily", "/v1", "/points", "/gridpoints", "/stations"):
        town.faults[path] = played.refused
    answer = fetch(run, "--forecast")
    assert answer.exit_code == 0
    again = read_temperatures("w.csv").series
    np.testing.assert_array_equal(again.tmin, good.tmin)
    assert again.last == good.last


@pytest.mark.parametrize(
    "fault", [played.refused, played.stalled, played.cut_short, played.sign_in_page,
              played.status(429, Retry_After="60"), played.status(500), played.status(404)],
)  # fmt: skip
def test_a_first_fetch_that_fails_writes_nothing(
    town: Played, run: Run, fault: played.Fault
) -> None:
    town.faults["/daily"] = fault
    answer = fetch(run, GDDCAST_WAIT=str(patience_with(fault).whole))
    assert answer.exit_code == 3
    assert len(answer.stderr[answer.stderr.index("Can’t use") :].splitlines()) == 3
    assert not Path("w.csv").exists()
    assert not list(Path().glob(".w.csv*"))


def test_a_fetch_that_fails_leaves_the_file_of_the_last_one(
    town: Played, run: Run, tmp_path: Path
) -> None:
    fetch(run)
    text = Path("w.csv").read_text("utf-8")
    (tmp_path / "cache" / "http.sqlite").unlink()
    town.faults["/daily"] = played.sign_in_page
    assert fetch(run).exit_code == 3
    assert Path("w.csv").read_text("utf-8") == text


def test_a_file_no_fetch_made_is_not_written_over(town: Played, run: Run) -> None:
    Path("w.csv").write_text("date,max_f,min_f\n2018-05-01,70,40\n", "utf-8")
    answer = fetch(run)
    assert answer.exit_code == 3
    assert "a file of that name that no fetch made" in answer.stderr
    assert not town.seen
    assert fetch(run, "--force").exit_code == 0
    assert "1,247 measured" in fetch(run).stdout


def test_one_record_never_joins_two_stations(run: Run) -> None:
    fetch(run)
    text = Path("w.csv").read_text("utf-8")
    answer = run("fetch", "--station", "72912", "-o", "w.csv")
    assert answer.exit_code == 3
    assert "its days are of 72911, not of 72912" in answer.stderr
    assert Path("w.csv").read_text("utf-8") == text


def test_interrupted_nothing_is_half_written(
    town: Played, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    fetch(run)
    text = Path("w.csv").read_text("utf-8")

    def ctrl_c(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("gddcast.online.station_days.put", ctrl_c)
    answer = fetch(run, "--years", "5")
    assert answer.exit_code == 130
    assert Path("w.csv").read_text("utf-8") == text
    assert "Interrupted; nothing half-written." in answer.stderr


def test_ctrl_c_ends_a_wait_at_once(town: Played, tmp_path: Path) -> None:
    """A real signal, in a real process, while a service keeps it waiting."""
    town.faults["/stations.db"] = played.stalled
    command = [sys.executable, "-m", "gddcast", "weather", "fetch", "--at", AT, "-o", "w.csv"]
    env = {
        **os.environ, "GDDCAST_CACHE": str(tmp_path / "cache"),
        "GDDCAST_WEATHER_FROM": town.address, "GDDCAST_WAIT": "300",
        "PYTHONPATH": str(Path(face.__file__).parents[2]),
    }  # fmt: skip
    with (
        interrupts.heard(),
        subprocess.Popen(command, cwd=tmp_path, env=env, stderr=subprocess.PIPE) as process,
    ):
        while not town.seen:
            time.sleep(0.02)
            assert process.poll() is None
        process.send_signal(signal.SIGINT)
        _, said = process.communicate(timeout=60)
    assert process.returncode == 130
    assert said.decode() == "Interrupted; nothing half-written.\n"
    assert not list(tmp_path.glob("*w.csv*"))


def test_stations_are_listed_with_the_rule(run: Run) -> None:
    answer = run("stations", "--at", AT, "--elevation", "1000")
    assert answer.exit_code == 0, answer.output
    lines = answer.stdout.splitlines()
    assert lines[0].split() == ["id", "name", "km", "height", "years", "days", "last", "lacks"]
    assert lines[1].split() == [
        "72911",
        "Champion",
        "2",
        "+29",
        "m",
        "32",
        "99%",
        "2018-06",
        "good",
    ]
    assert "100 m of height counting as 10 km" in answer.stdout
    assert "CC BY 4.0" in answer.stderr


@pytest.mark.parametrize(
    ("at", "said"),
    [
        ("-101.70,40.41", "are the two swapped?"),
        ("40.41,101.70", "minus of the longitude may be lost: --at 40.41,-101.7"),
        ("30.0,-45.0", "open sea?"),
    ],
)
def test_a_wrong_point_is_told_in_plain_words(run: Run, at: str, said: str) -> None:
    answer = run("fetch", "--at", at, "-o", "w.csv")
    assert answer.exit_code in (2, 3)
    assert said in answer.stderr
    assert not Path("w.csv").exists()


def test_a_point_worlds_away_from_this_computer_is_asked_back(run: Run) -> None:
    answer = run("stations", "--at", AT, TZ="Asia/Tokyo")
    assert answer.exit_code == 0
    assert "hours from Asia/Tokyo" in answer.stderr
    assert "was a sign lost" in answer.stderr


def test_strict_says_when_old_days_stand_in(town: Played, run: Run, tmp_path: Path) -> None:
    from gddcast.online.session import WeatherSession
    from tests.online.conftest import age

    assert fetch(run, "--strict").exit_code == 0
    with WeatherSession(tmp_path / "cache") as session:
        age(session)
    town.faults["/daily"] = played.status(500)
    answer = fetch(run, "--strict")
    assert answer.exit_code == 4
    assert "Meteostat: it answers with status 500; 2015–2018 as of" in answer.stderr


def test_a_grid_fetch_needs_no_station(town: Played, run: Run) -> None:
    answer = fetch(run, "--grid")
    assert answer.exit_code == 0, answer.output
    assert "1,247 model." in answer.stdout
    assert not [path for path in town.seen if "stations" in path or "daily/" in path]


def test_no_place_and_no_file_asks_where(run: Run) -> None:
    answer = run("fetch", "-o", "none.csv")
    assert answer.exit_code == 3
    assert "it does not know for which place" in answer.stderr


def test_settings_of_the_machine_are_refused_in_words(run: Run, tmp_path: Path) -> None:
    answer = fetch(run, GDDCAST_WAIT="soon")
    assert (answer.exit_code, "It is a number of seconds." in answer.stderr) == (3, True)
    (tmp_path / "file").write_text("", "utf-8")
    answer = fetch(run, GDDCAST_CACHE=str(tmp_path / "file"))
    assert answer.exit_code == 3
    assert "Name another in GDDCAST_CACHE." in answer.stderr


def test_bringing_up_to_date_keeps_the_years_there_are(run: Run) -> None:
    """Three years stay three; more are fetched when asked for, and none is ever dropped."""
    fetch(run)
    for more, first in ((), 2015), (("--years", "5"), 2013), (("--years", "1"), 2013):
        run("fetch", "-o", "w.csv", *more)
        assert read_temperatures("w.csv").series.first == dt.date(first, 1, 1)


def test_examples_in_help_stand_on_lines_of_their_own(run: Run) -> None:
    help_text = CliRunner().invoke(main, ["weather", "fetch", "--help"]).stdout
    assert "\n  gddcast weather fetch --station 72530 --years 30 -o weather.csv\n" in help_text


def test_thirty_years(town: Played, run: Run, capsys: pytest.CaptureFixture[str]) -> None:
    """Once from the services, once from the cache."""
    words = ("fetch", "--at", AT, "--years", "30", "--forecast", "-o", "w.csv")
    took = []
    for _ in range(2):
        begun = time.perf_counter()
        answer = run(*words)
        took.append((time.perf_counter() - begun, requests_said(answer)))
    assert took[0][1] == 1 + 31 + 1 + 2  # list, years, forecast, the Weather Service's two
    assert took[1][1] == 0
    with capsys.disabled():
        for (seconds, asked), what in zip(took, ("first", "second"), strict=True):
            print(f"\n30 years and a forecast, {what} run: {seconds:.2f} s, {asked} requests")


def test_only_fetching_and_the_page_s_stations_know_the_network() -> None:
    """Nobody else imports the door to it."""
    package = Path(face.__file__).parents[1]
    users = {
        path.relative_to(package).as_posix()
        for path in package.rglob("*.py")
        if "gddcast.online" in path.read_text("utf-8") and "online" not in path.parts[-2]
    }
    assert users == {
        "cli/page_station.py", "cli/weather_fetch.py", "cli/weather_network.py",
        "cli/weather_wanted.py",
    }  # fmt: skip
