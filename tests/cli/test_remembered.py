"""What a book told of a date, what has moved it since, and why: as a person meets it."""

from __future__ import annotations

import csv
import datetime as dt
import json
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from gddcast.book import faults, store
from gddcast.book.opening import open_book
from gddcast.cli import clock, main

WHOLE = Path(__file__).parents[1] / "samples" / "larkhollow_2014_to_31aug2026_f.csv"
BORER = "squash-vine-borer"
WATCH = ("--watch", BORER)
MOMENT = dt.datetime(2026, 6, 11, 7, 0, tzinfo=dt.timezone(dt.timedelta(hours=-5)))


def run(*words: str) -> Result:
    """What a command answers."""
    return CliRunner().invoke(main, list(words))


def done(*words: str) -> str:
    """The same, where it has to succeed."""
    answer = run(*words)
    assert answer.exit_code == 0, answer.output
    return " ".join(answer.stdout.split())


class Clock:
    """A clock that is put forward by hand: every entry of a book has its moment."""

    def __init__(self) -> None:
        self.at = MOMENT

    def now(self) -> dt.datetime:
        """Its time."""
        return self.at


@pytest.fixture(autouse=True)
def hand(monkeypatch: pytest.MonkeyPatch) -> Clock:
    made = Clock()
    monkeypatch.setattr(clock, "now", made.now)
    monkeypatch.setattr("gddcast.cli.book_here.now", made.now)
    return made


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Larkhollow's book on the morning of 11 June 2026, the borer watched."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("GDDCAST_BOOK", raising=False)
    done("setup", "--book", "patch", "--name", "Larkhollow", "--at", "41.2,-89.4", "--timezone",
         "America/Chicago", "--show", "F", "--no-input")  # fmt: skip
    settings = Path("patch/book.toml")
    text = settings.read_text(encoding="utf-8")
    assert "watch = []" in text
    settings.write_text(text.replace("watch = []", f'watch = ["{BORER}"]'), encoding="utf-8")
    bring("2026-06-11")
    return Path("patch")


def rows() -> list[list[str]]:
    with WHOLE.open(encoding="utf-8") as file:
        return list(csv.reader(file))


def bring(
    on: str, *, off: tuple[str, str, float] | None = None, foretold: tuple[int, float] = (0, 0.0)
) -> str:
    """The record to the evening before, some of its days off by so much, and days of forecast."""
    head, *days = rows()
    lines = [",".join([*head, "how"])]
    for day, high, low in days:
        extra = off[2] if off and off[0] <= day <= off[1] else 0.0
        ahead = (dt.date.fromisoformat(day) - dt.date.fromisoformat(on)).days
        if ahead < 0:
            lines.append(f"{day},{float(high) + extra},{float(low) + extra},measured")
        elif ahead < foretold[0]:
            lines.append(f"{day},{float(high) + foretold[1]},{float(low) + foretold[1]},forecast")
    Path("garden.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    return done("weather", "add", "garden.csv", "--book", "patch", "--on", on)


def walk(hand: Clock, on: str) -> str:
    """A whole walk on a later morning."""
    hand.at += dt.timedelta(days=1)
    return done("walk", "--full", "--book", "patch", "--on", on)


def by_bed(on: str) -> str:
    """The walk by bed, on the morning of a whole one."""
    return done("walk", "--book", "patch", "--on", on)


def since(on: str, command: str = "ahead") -> dict[str, Any]:
    """What programs are told has moved the borer's moths."""
    answer = json.loads(run(command, "--book", "patch", "--on", on, "--json").stdout)
    (moths,) = [
        each["since"]
        for each in answer["items"]
        if each["stage"] == "moths" and each["sum_reached"]
    ]
    return moths  # type: ignore[no-any-return]


def causes(change: dict[str, Any]) -> list[str]:
    return [
        move["cause"] for move in change["moves"] if (move["fastest"], move["slowest"]) != (0, 0)
    ]


def told() -> list[tuple[str, ...]]:
    """Everything the book has told, as it stands in its table."""
    with closing(sqlite3.connect("patch/book.sqlite")) as record:
        return record.execute(
            "SELECT told_by, told_on, organism, event, opens, earliest, latest FROM announcement"
        ).fetchall()


def test_a_date_never_told_is_held_against_a_week_ago(book: Path, hand: Clock) -> None:
    """On 4 June it said 19–30 June: the plan of that morning, made apart, says the same."""
    said = (
        "On Thu 4 June: any day 19–30 June; now any day 19–27 June: 4–10 June ran 3 °F warmer than "
        "usual."
    )
    assert said in walk(hand, "2026-06-11")
    then = json.loads(run("ahead", "garden.csv", *WATCH, "--on", "2026-06-04", "--json").stdout)
    (moths,) = [
        each["sum_reached"]
        for each in then["items"]
        if each["stage"] == "moths" and each["sum_reached"]
    ]
    dots = [dot["day"] for dot in moths["high_end"]["year_dots"]]
    assert (dots[0], dots[-1]) == ("2026-06-19", "2026-06-30")
    assert said in done("ahead", "--full", "--book", "patch", "--on", "2026-06-11")
    short = done("ahead", "--book", "patch", "--on", "2026-06-11")
    assert "Any day 19–27 June. On Thu 4 June it was any day 19–30 June." in short


def test_a_bare_file_says_what_moved_only_when_asked(book: Path) -> None:
    bare = ("ahead", "garden.csv", *WATCH, "--on", "2026-06-11")
    assert "any day 19–30 June" not in done(*bare)
    assert "On Thu 4 June: any day 19–30 June; now any day 19–27 June" in done(
        *bare, "--since", "2026-06-04"
    )


def test_weather_since_the_last_walk(book: Path, hand: Clock) -> None:
    """A cold week: later dates, and the start of looking with them, never in silence."""
    walk(hand, "2026-06-11")
    hand.at += dt.timedelta(days=5)
    bring("2026-06-17", off=("2026-06-11", "2026-06-16", -18.0))
    text = walk(hand, "2026-06-17")
    assert "NO LONGER NEAR ◔ Squash vine borer: first moths With past years’ weather" in text
    assert "Told on Thu 11 June: any day 19–27 June; now " in text
    assert "11–16 June ran" in text
    assert "cooler than usual" in text
    assert "The day to start looking moved from Tue 16 June to " in text
    assert "look from Fri 26 June, not Tue 16 June" in by_bed("2026-06-17")
    change = since("2026-06-17")
    assert (change["told"], change["day"], causes(change)) == (True, "2026-06-11", ["weather"])
    assert change["look_from_then"] == "2026-06-16"
    assert change["weather_since"]["beside"] == "usual"
    assert change["weather_since"]["warmer_by"]["value"] < -10


def test_revised_days_are_named(book: Path, hand: Clock) -> None:
    walk(hand, "2026-06-11")
    hand.at += dt.timedelta(hours=20)
    bring("2026-06-12", off=("2026-05-20", "2026-05-25", -9.0))
    text = walk(hand, "2026-06-12")
    assert (
        "Told on Thu 11 June: any day 19–27 June; now any day 22 June – 1 July: 20–25 May "
        "were revised and 11 June is known now. The day to start looking moved from Tue 16 June to "
        "Fri 19 June."
    ) in text
    change = since("2026-06-12")
    assert "revised days" in causes(change)
    assert change["revised_days"] == [f"2026-05-{day}" for day in range(20, 26)]
    # Told again with the days as they are, it is news no more.
    assert "revised" not in walk(hand, "2026-06-13")


def test_days_revised_in_the_second_of_telling_are_told_apart(book: Path, hand: Clock) -> None:
    """Moments are kept to the second; the fingerprint says what had been read."""
    hand.at += dt.timedelta(seconds=1)
    done("walk", "--book", "patch", "--on", "2026-06-11")
    bring("2026-06-11", off=("2026-06-02", "2026-06-02", -30.0))
    change = since("2026-06-12")
    assert causes(change) == ["revised days"]
    assert "2 June was revised" in change["says"]


def test_another_method_is_not_called_weather(book: Path, hand: Clock) -> None:
    walk(hand, "2026-06-11")
    settings = book / "book.toml"
    text = settings.read_text(encoding="utf-8")
    assert 'shape = "card"' in text
    settings.write_text(text.replace('shape = "card"', 'shape = "single-sine"'), encoding="utf-8")
    text = walk(hand, "2026-06-12")
    assert "the method, the card or gddcast itself changed, not the weather" in text
    assert "by another method or card, not by the weather" in by_bed("2026-06-12")
    assert causes(since("2026-06-12")) == ["method or card"]


def test_a_forecast_and_what_came_of_it(book: Path, hand: Clock) -> None:
    """A week foretold 12 °F too cold: it is the forecast, then it ran warmer than foretold."""
    walk(hand, "2026-06-11")
    hand.at += dt.timedelta(minutes=5)
    bring("2026-06-11", foretold=(10, -12.0))
    hand.at += dt.timedelta(minutes=5)
    change = since("2026-06-12")
    assert causes(change) == ["forecast"]
    assert "a new forecast" in change["says"]
    walk(hand, "2026-06-12")
    hand.at += dt.timedelta(days=6)
    bring("2026-06-18", foretold=(10, 0.0))
    change = since("2026-06-18")
    assert change["weather_since"]["beside"] == "usual"  # 11 June was the evening before, unknown
    assert "weather" in causes(change)


def test_days_known_are_held_against_their_forecast(book: Path, hand: Clock) -> None:
    bring("2026-06-11", foretold=(10, -12.0))
    walk(hand, "2026-06-11")
    hand.at += dt.timedelta(days=6)
    bring("2026-06-18", foretold=(10, 0.0))
    change = since("2026-06-18")
    came = change["weather_since"]
    assert (came["first"], came["last"], came["beside"]) == (
        "2026-06-11", "2026-06-17", "forecast",
    )  # fmt: skip
    assert came["warmer_by"] == {"value": 12.0, "unit": "degF"}
    assert "11–17 June ran 12 °F warmer than foretold" in change["says"]


def test_who_looks_up_writes_nothing_and_who_tells_is_remembered(book: Path, hand: Clock) -> None:
    before = told()
    for words in (
        ("ahead",), ("ahead", "--json"), ("ahead", "--since", "2026-06-01"), ("walk", "--json"),
        ("why", BORER, "moths"),
    ):  # fmt: skip
        done(*words, "--book", "patch", "--on", "2026-06-11")
    assert told() == before == []
    row = (BORER, "moths", "2026-06-16", "2026-06-19", "2026-06-27")
    for surface, more in (
        ("walk", ()), ("report", ("-o", "r.html")), ("sheet", ("-o", "s.html")),
        ("calendar", ("-o", "c.ics")),
    ):  # fmt: skip
        done(surface, *more, "--book", "patch", "--on", "2026-06-11")
        organism, event, *dates = row
        assert (surface, "2026-06-11", organism, event, *dates) in told(), surface
    count = len(told())
    done("walk", "--book", "patch", "--on", "2026-06-11")  # twice on one morning is once
    assert len(told()) == count
    assert "Told on" not in done("walk", "--book", "patch", "--on", "2026-06-11")


def test_a_sheet_is_held_against_the_last_sheet_alone(book: Path, hand: Clock) -> None:
    """A walk since then is another matter; without an earlier sheet nothing is said to move."""
    for on, out in (("2026-06-11", "one.html"), ("2026-06-12", "two.html")):
        hand.at += dt.timedelta(days=1)
        bring(on)
        done("walk", "--book", "patch", "--on", on)
        done("sheet", "--book", "patch", "--on", on, "-o", out)
    assert "Told on" not in Path("one.html").read_text(encoding="utf-8")
    hand.at += dt.timedelta(days=5)
    bring("2026-06-18", off=("2026-06-12", "2026-06-17", -9.0))
    done("sheet", "--book", "patch", "--on", "2026-06-18", "-o", "three.html")
    said = " ".join(Path("three.html").read_text(encoding="utf-8").split())
    assert "Told on Fri 12 June: " in said


def test_a_book_that_takes_no_writing_is_walked_all_the_same(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(file: Path, wait: float = 0.0) -> None:
        raise faults.unwritable(file, "read-only file system")

    monkeypatch.setattr(store, "writing", refuse)
    answer = run("walk", "--book", "patch", "--on", "2026-06-11")
    assert answer.exit_code == 0
    assert "squash vine borer, first moths" in answer.stdout
    assert "The next walk will not know what this one said" in answer.stderr
    assert told() == []


def test_a_find_is_no_moved_date(book: Path, hand: Clock) -> None:
    walk(hand, "2026-06-11")
    done("saw", BORER, "moths", "--seen", "2026-06-11", "--clean", "2026-06-09", "--book", "patch",
         "--on", "2026-06-12", "--no-input")  # fmt: skip
    text = walk(hand, "2026-06-12")
    assert "and your find of 11 June" in text
    assert "Told on" not in text


def test_every_move_is_the_sum_of_its_causes(book: Path, hand: Clock) -> None:
    """Told, then days revised, weather and a forecast at once: nothing is left over."""
    walk(hand, "2026-06-11")
    hand.at += dt.timedelta(days=3)
    bring("2026-06-15", off=("2026-05-20", "2026-06-12", 6.0), foretold=(8, 9.0))
    change = since("2026-06-15", "walk")
    assert {"revised days", "weather", "forecast"} <= set(causes(change))
    answer = json.loads(run("walk", "--book", "patch", "--on", "2026-06-15", "--json").stdout)
    (moths,) = [each for each in answer["items"] if each["since"]]
    ends = moths["sum_reached"]
    for name, day in (
        ("fastest", ends["low_end"]["year_dots"][0]["day"]),
        ("slowest", ends["high_end"]["year_dots"][-1]["day"]),
    ):
        then = dt.date.fromisoformat(change[f"{name}_then"])
        moved = sum(move[name] for move in change["moves"])
        assert then + dt.timedelta(days=moved) == dt.date.fromisoformat(day)


def test_the_last_word_counts_whoever_said_it(book: Path, hand: Clock) -> None:
    """A calendar written after a walk is what a later walk is held against."""
    walk(hand, "2026-06-11")
    hand.at += dt.timedelta(days=1)
    done("calendar", "--book", "patch", "--on", "2026-06-12", "-o", "c.ics")
    assert {str(each.day) for each in open_book(book).announced(None, "2026")} == {
        "2026-06-11", "2026-06-12",
    }  # fmt: skip
    assert since("2026-06-13")["day"] == "2026-06-12"
