"""Forecasts brought into a book on many days, as a person does it, and what is learnt of them."""

from __future__ import annotations

import csv
import datetime as dt
import json
import sqlite3
from contextlib import closing
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner, Result

from gddcast.book.opening import open_book
from gddcast.book.weather_rows import WeatherSource
from gddcast.cli import main
from gddcast.outlook.forecast import ENOUGH
from gddcast.weather.series import DailySeries, Origin

WHOLE = Path(__file__).parents[1] / "samples" / "larkhollow_2014_to_31aug2026_f.csv"
BORER = "squash-vine-borer"
DAYS = 10
MOMENT = dt.datetime(2026, 5, 1, 7, 0, tzinfo=dt.UTC)


def run(*words: str) -> Result:
    """What a command answers."""
    return CliRunner().invoke(main, list(words))


def done(*words: str) -> str:
    """The same, where it has to succeed."""
    answer = run(*words)
    assert answer.exit_code == 0, answer.output
    return " ".join(answer.stdout.split())


def truth() -> dict[dt.date, tuple[float, float]]:
    """Maximum and minimum of every day, read without gddcast. [°F]"""
    with WHOLE.open(encoding="utf-8") as file:
        return {
            dt.date.fromisoformat(row["date"]): (float(row["max_f"]), float(row["min_f"]))
            for row in csv.DictReader(file)
        }


TRUTH = truth()


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Larkhollow's book, its weather to 30 April 2026."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("GDDCAST_BOOK", raising=False)
    done("setup", "--book", "patch", "--name", "Larkhollow", "--at", "41.2,-89.4", "--timezone",
         "America/Chicago", "--show", "F", "--no-input")  # fmt: skip
    rows = WHOLE.read_text(encoding="utf-8").splitlines(keepends=True)
    Path("past.csv").write_text("".join(row for row in rows if row < "2026-05-01" or "d" in row))
    done("weather", "add", "past.csv", "--book", "patch", "--on", "2026-05-01")
    return Path("patch")


def foretold(today: dt.date, wrong: float) -> list[tuple[dt.date, float, float]]:
    """What is said that morning of ten days: the farther, the more wrong. [°F]"""
    days = [today + dt.timedelta(days=ahead) for ahead in range(DAYS)]
    return [
        (day, *(value + wrong * (1 + ahead / 5) for value in TRUTH[day]))
        for ahead, day in enumerate(days)
    ]


def a_morning(book: Path, today: dt.date, wrong: float) -> str:
    """Yesterday measured, the coming days foretold, all in one file as a person keeps it."""
    yesterday = today - dt.timedelta(days=1)
    lines = ["date,max_f,min_f,how"]
    lines.append(f"{yesterday},{TRUTH[yesterday][0]},{TRUTH[yesterday][1]},measured")
    lines += [f"{day},{high:.2f},{low:.2f},forecast" for day, high, low in foretold(today, wrong)]
    Path("today.csv").write_text("\n".join(lines) + "\n")
    return done("weather", "add", "today.csv", "--book", str(book), "--on", str(today))


def mornings(book: Path, count: int) -> dt.date:
    """So many mornings from 1 May on, wrong by 3.6 °F either way; the last of them.

    All but the last are written as the command writes them, without waiting for it.
    """
    opened = open_book(book)
    for number in range(count - 1):
        today = dt.date(2026, 5, 1) + dt.timedelta(days=number)
        said = foretold(today, _wrong(number))
        yesterday = today - dt.timedelta(days=1)
        rows = [(yesterday, *TRUTH[yesterday]), *said]
        _, high, low = (np.array(column) for column in zip(*rows, strict=True))
        series = DailySeries(
            yesterday, (low - 32) / 1.8, (high - 32) / 1.8,
            [Origin.MEASURED] + [Origin.FORECAST] * DAYS, place=opened.place, unit="F",
        )  # fmt: skip
        with opened.writing(MOMENT, today, trust_clock=True) as pen:
            pen.weather(series, WeatherSource("today.csv", "F", "header"))
    last = dt.date(2026, 5, 1) + dt.timedelta(days=count - 1)
    a_morning(book, last, _wrong(count - 1))
    return last


def _wrong(number: int) -> float:
    return 3.6 if number % 2 else -3.6


def weather(book: Path, today: dt.date, command: str = "ahead", *words: str) -> dict[str, object]:
    """What JSON says of the weather."""
    answer = run(command, *words, "--book", str(book), "--on", str(today), "--json")
    assert answer.exit_code == 0, answer.output
    return json.loads(answer.stdout)["weather"]  # type: ignore[no-any-return]


def test_a_forecast_is_kept_as_issued_and_used_until_its_day_has_come(book: Path) -> None:
    said = a_morning(book, dt.date(2026, 5, 1), 2.0)
    assert "10 days of forecast, issued Fri 1 May: kept as issued" in said
    assert "[entry 2026-002]" in said
    again = done("weather", "add", "today.csv", "--book", "patch", "--on", "2026-05-01")
    assert "nothing was written" in again
    assert "Its forecast, issued Fri 1 May, is on record already" in again
    a_morning(book, dt.date(2026, 5, 2), -2.0)
    kept = open_book(book).forecasts()
    assert len(kept) == 20
    assert sorted(set(kept.issued.astype(str).tolist())) == ["2026-05-01", "2026-05-02"]
    high = (TRUTH[dt.date(2026, 5, 3)][0] + 2.0 * 1.4 - 32) / 1.8  # the third day ahead
    np.testing.assert_allclose(kept.tmax[2], high, rtol=0, atol=0.01)
    # What was said on the 1st is still there on the 2nd; the newer word is used.
    series = open_book(book).series(dt.date(2026, 5, 2))
    assert series.count(Origin.FORECAST) == 10
    assert weather(book, dt.date(2026, 5, 2))["forecast_days"] == 10
    # It is no reading: without it the record ends on the evening before.
    assert open_book(book).series().last == dt.date(2026, 5, 1)


def test_undo_takes_a_forecast_back(book: Path) -> None:
    a_morning(book, dt.date(2026, 5, 1), 2.0)
    done("undo", "--yes", "--book", "patch", "--on", "2026-05-01")
    assert len(open_book(book).forecasts()) == 0
    assert weather(book, dt.date(2026, 5, 1))["forecast_days"] == 0


def test_from_thirty_forecasts_on_the_place_tells_its_own_errors(book: Path) -> None:
    """And why says so; below that the stated default stays."""
    today = mornings(book, ENOUGH)
    few = weather(book, today)["forecast_errors"]
    assert isinstance(few, dict)
    assert (few["from"], few["own_days"], few["past_forecasts"]) == ("default", 0, ENOUGH - 1)
    said = done("why", BORER, "moths", "--book", "patch", "--on", str(today))
    assert (
        "Weather forecast 10 days used; forecast errors: the stated default, "
        "until 30 past forecasts can be held against measured days (29 so far)."
    ) in said
    today = mornings(book, ENOUGH + 1)
    some = weather(book, today)["forecast_errors"]
    assert isinstance(some, dict)
    assert (some["from"], some["own_days"]) == ("own and default", 1)
    assert "past forecasts for 1 of them" in done(
        "why", BORER, "moths", "--book", "patch", "--on", str(today)
    )
    today = mornings(book, ENOUGH + 11)
    own = weather(book, today, "walk")["forecast_errors"]
    assert isinstance(own, dict)
    assert (own["from"], own["own_days"], own["past_forecasts"]) == ("own", 10, 40)
    # Wrong by 2 °C on the first day, more by a fifth a day: forty and ten of the usual size.
    spread = few["sd"][0]["value"] / 1.5 * 4.5
    for ahead in (0, 4):
        compared = 40 - ahead
        usual = (1.5 + ahead / 3) * spread / 4.5
        expected = np.sqrt((compared * (2.0 * (1 + ahead / 5)) ** 2 + 10 * usual**2)
                           / (compared + 10))  # fmt: skip
        np.testing.assert_allclose(own["sd"][ahead]["value"], expected, rtol=0, atol=0.02)
    assert "forecast errors: this place’s own 40 past forecasts." in done(
        "why", BORER, "moths", "--book", "patch", "--on", str(today)
    )


def spans(book: Path, today: dt.date, command: tuple[str, ...]) -> list[str]:
    """The 90 % span of the borer's moths, as days."""
    answer = json.loads(run(*command, "--book", str(book), "--on", str(today), "--json").stdout)
    moths = next(each for each in answer["items"] if each["stage"] == "moths" and each["number"])
    (span,) = [s for s in moths["sum_reached"]["high_end"]["spans"] if s["share"] == 0.9]
    return [span["first"], span["last"]]


def test_every_surface_uses_what_was_learnt(book: Path) -> None:
    """The same span in ahead, why and walk; the same forecast trusted as usual gives another."""
    today = mornings(book, ENOUGH + 10)
    ahead = spans(book, today, ("ahead", "--watch", BORER))
    assert ahead == spans(book, today, ("why", BORER, "moths"))
    done("report", "--book", "patch", "--watch", BORER, "--on", str(today), "-o", "r.html")
    done("calendar", "--book", "patch", "--watch", BORER, "--on", str(today), "-o", "r.ics")
    from gddcast.readers.card_files import load_cards
    from gddcast.today.plan import season_plan

    kept = open_book(book)
    plans = [
        season_plan(kept.series(today), load_cards(), today, watch=[BORER], forecasts=forecasts)
        for forecasts in (kept.forecasts(), None)
    ]
    learnt, usual = (next(w.late for w in plan.windows if w.late) for plan in plans)
    assert learnt is not None and usual is not None  # noqa: PT018
    assert learnt.spans is not None
    assert [str(day) for day in learnt.spans[0.9]] == ahead
    assert learnt.dots != usual.dots


def test_an_older_forecast_of_a_file_says_when_it_was_issued(book: Path) -> None:
    """By its own line, by --issued, and never in the future."""
    Path("old.csv").write_text(
        "# forecast issued: 2026-04-28\ndate,max_f,min_f,origin\n"
        "2026-04-27,70,50,forecast\n2026-04-29,72,51,forecast\n2026-05-02,74,52,forecast\n"
    )
    said = done("weather", "add", "old.csv", "--book", "patch", "--on", "2026-05-01")
    assert "2 days of forecast, issued Tue 28 April" in said
    assert "1 day marked as forecast before Tue 28 April" in said
    assert open_book(book).forecasts().lead.tolist() == [1, 4]
    done("weather", "add", "old.csv", "--book", "patch", "--on", "2026-05-01",
         "--issued", "2026-04-27")  # fmt: skip
    assert open_book(book).forecasts().lead.tolist() == [1, 4, 0, 2, 5]
    early = run("weather", "add", "old.csv", "--book", "patch", "--on", "2026-04-20")
    assert early.exit_code == 3
    assert "which is in the future" in early.stderr
    Path("odd.csv").write_text(Path("old.csv").read_text().replace("04-28", "April"))
    odd = run("weather", "add", "odd.csv", "--book", "patch", "--on", "2026-05-01")
    assert odd.exit_code == 3
    assert "names no day" in odd.stderr
    assert "--issued DATE" in odd.stderr


def past_forecasts(count: int) -> str:
    """A file of past forecasts, each with its day of issue."""
    lines = ["issued,date,max_f,min_f"]
    for number in range(count):
        issued = dt.date(2026, 3, 1) + dt.timedelta(days=number)
        for ahead in range(DAYS):
            day = issued + dt.timedelta(days=ahead)
            wrong = 3.6 if number % 2 else -3.6
            lines.append(f"{issued},{day},{TRUTH[day][0] + wrong:.1f},{TRUTH[day][1] + wrong:.1f}")
    return "\n".join(lines) + "\n"


def test_past_forecasts_kept_elsewhere_come_in_as_one_file(book: Path) -> None:
    Path("kept.csv").write_text(past_forecasts(40))
    said = done("weather", "add", "kept.csv", "--book", "patch", "--on", "2026-05-01")
    assert "Read 400 days foretold in 40 forecasts, issued 1 March – 9 April." in said
    assert "Kept 400 days as issued. [entry 2026-002]" in said
    again = done("weather", "add", "kept.csv", "--book", "patch", "--on", "2026-05-01")
    assert "held every one of them" in again
    a_morning(book, dt.date(2026, 5, 1), 2.0)
    errors = weather(book, dt.date(2026, 5, 1))["forecast_errors"]
    assert isinstance(errors, dict)
    assert (errors["from"], errors["past_forecasts"]) == ("own", 40)


def test_past_forecasts_kept_in_the_wrong_unit_are_left_out_by_name(book: Path) -> None:
    """°C under a header that says °F: they teach nothing, and why says what they said."""
    header, *rows = past_forecasts(40).splitlines()
    mistaken = [header]
    for row in rows:
        issued, day, *pair = row.split(",")
        if issued < "2026-03-04":
            pair = [f"{(float(each) - 32) / 1.8:.1f}" for each in pair]
        mistaken.append(",".join([issued, day, *pair]))
    Path("kept.csv").write_text("\n".join(mistaken) + "\n")
    done("weather", "add", "kept.csv", "--book", "patch", "--on", "2026-05-01")
    a_morning(book, dt.date(2026, 5, 1), 2.0)
    errors = weather(book, dt.date(2026, 5, 1))["forecast_errors"]
    assert isinstance(errors, dict)
    assert errors["past_forecasts"] == 37
    left = errors["left_out"]
    assert left["issued"] == ["2026-03-01", "2026-03-02", "2026-03-03"]
    assert left["came"]["value"] - left["said"]["value"] > 15.0
    said = done("why", BORER, "moths", "--book", "patch", "--on", "2026-05-01")
    assert "Left out: 3 past forecasts of 1–3 March said " in said
    assert "came; check the unit and place." in said


def test_a_forecast_too_old_to_be_used_is_named(book: Path) -> None:
    a_morning(book, dt.date(2026, 5, 1), 2.0)
    for today, used in (("2026-05-10", True), ("2026-05-11", False)):
        said = done("why", BORER, "moths", "--book", "patch", "--on", today)
        assert ("No forecast is used: the newest one, of 1 May, is too old." in said) is not used
    notes = json.loads(
        run("ahead", "--book", "patch", "--on", "2026-05-11", "--json").stdout
    )["notes"]  # fmt: skip
    assert [each["slug"] for each in notes if "forecast" in each["slug"]] == ["old-forecast"]


def test_a_bare_file_learns_from_a_file_of_past_forecasts(book: Path) -> None:
    """For ahead and why; a book keeps its own and says how to bring them in."""
    Path("kept.csv").write_text(past_forecasts(40))
    a_morning(book, dt.date(2026, 5, 1), 2.0)
    rows = Path("past.csv").read_text().rstrip().splitlines()
    today = Path("today.csv").read_text().splitlines()[2:]  # yesterday stands in past.csv
    Path("garden.csv").write_text(
        "\n".join([f"{rows[0]},how", *(f"{row},measured" for row in rows[1:]), *today]) + "\n"
    )
    bare = ("why", "garden.csv", BORER, "moths", "--on", "2026-05-01")
    assert "stated default" in done(*bare)
    assert "this place’s own 40 past forecasts" in done(*bare, "--forecasts", "kept.csv")
    both = run("why", BORER, "moths", "--book", "patch", "--forecasts", "kept.csv")
    assert both.exit_code == 3
    assert "gddcast weather add kept.csv" in both.stderr


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("issued,date,max_f", "issued,date,peak", "no column is the maximum"),
        ("max_f,min_f", "max_f,min_c", "one of its columns is in °F and one in °C"),
        ("2026-03-01,2026-03-02", "2026-03-01,2026-02-20", "the day lies before the day it was"),
        ("2026-03-01,2026-03-02", "2026-03-01,2 March", "a day is written as 2026-06-11"),
        ("2026-03-01,2026-03-03,", "2026-03-01,2026-03-03,9", "no day of that minimum and max"),
        ("2026-03-01,2026-03-03,", "2026-03-01,2026-03-03,x", "a temperature is a number"),
    ],
)
def test_what_is_no_past_forecast_is_refused_with_its_line(
    book: Path, old: str, new: str, told: str
) -> None:
    text = past_forecasts(2)
    assert old in text
    Path("kept.csv").write_text(text.replace(old, new, 1))
    answer = run("weather", "add", "kept.csv", "--book", "patch", "--on", "2026-05-01")
    assert answer.exit_code == 3
    assert told in answer.stderr
    assert len(answer.stderr.strip().splitlines()) >= 3
    assert len(open_book(book).forecasts()) == 0


def test_an_export_carries_the_archive_and_brings_it_back_exactly(book: Path) -> None:
    mornings(book, 3)
    done("undo", "--yes", "--book", "patch", "--on", "2026-05-03")
    done("export", "copy", "--book", "patch")
    head, *rows = Path("copy/forecast_day.csv").read_text().splitlines()
    assert head == "entry,issued_on,day,tmin_c,tmax_c"
    assert len(rows) == 30
    done("import", "copy", "--book", "again")
    one, two = open_book("patch").forecasts(), open_book("again").forecasts()
    assert len(one) == len(two) == 20
    for name in ("issued", "day", "tmin", "tmax"):
        np.testing.assert_array_equal(getattr(one, name), getattr(two, name))
    done("export", "second", "--book", "again")
    for file in Path("copy").iterdir():
        if file.name != "export.toml":
            assert file.read_bytes() == (Path("second") / file.name).read_bytes()


def test_a_damaged_forecast_is_refused_with_its_cure(book: Path) -> None:
    """In the record itself, and in the sheets of an export, each by its place."""
    mornings(book, 1)
    done("export", "copy", "--book", "patch")
    sheet = Path("copy/forecast_day.csv")
    whole = sheet.read_text()
    for old, new, told in (
        (",2026-05-01,2026-05-02,", ",2026-05-09,2026-05-02,", "what the record allows"),
        (",2026-05-01,2026-05-02,", ",2026-05-01,soon,", "expected a day such as"),
    ):
        sheet.write_text(whole.replace(old, new, 1))
        answer = run("import", "copy", "--book", "again")
        assert answer.exit_code == 3
        assert "forecast_day.csv, line 3" in answer.stderr
        assert told in answer.stderr
    with closing(sqlite3.connect("patch/book.sqlite")) as record:
        record.execute("PRAGMA ignore_check_constraints = ON")
        record.execute(
            "INSERT INTO forecast_day VALUES (2, '2026-05-01', '2026-06-01', 99.0, -99.0)"
        )
        record.commit()
    answer = run("walk", "--book", "patch", "--on", "2026-05-02")
    assert answer.exit_code == 3
    assert "it is damaged (CHECK constraint failed in forecast_day)" in answer.stderr
    assert "gddcast import DIR --book NEWDIR" in answer.stderr


@pytest.fixture
def old_book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A book of the version before, its forecasts laid among the readings."""
    from gddcast.book import schema, store
    from tests.book.places import new_book

    new_book(tmp_path).records.unlink()
    with monkeypatch.context() as past:
        past.setattr(schema, "STEPS", schema.STEPS[:3])
        past.setattr(schema, "VERSION", 3)
        store.create(tmp_path / "book.sqlite")
    with closing(sqlite3.connect(tmp_path / "book.sqlite")) as record:
        for number, (at, first) in enumerate(
            [("2026-06-11T20:30:00-05:00", 12), ("2025-01-01T08:00:00-06:00", 20)], start=1
        ):
            record.execute("INSERT INTO entry VALUES (?, ?, ?)", (number, f"2026-00{number}", at))
            record.execute(
                "INSERT INTO weather_source VALUES (?, 'x', 'F', 'you', 'midnight')", (number,)
            )
            for day in range(first - 2, first + 2):
                origin = 4 if day >= first else 1
                record.execute(
                    "INSERT INTO weather_day VALUES (?, ?, ?, ?, ?)",
                    (number, f"2026-06-{day}", 10.0 + day, 20.0 + day, origin),
                )
        record.commit()
    return tmp_path


def test_an_old_book_keeps_its_forecasts_as_issued(old_book: Path) -> None:
    """On the day they were written down; where that is far off, on their own first day."""
    kept = open_book(old_book).forecasts()
    assert list(zip(kept.issued.astype(str), kept.day.astype(str), strict=True)) == [
        ("2026-06-11", "2026-06-12"), ("2026-06-11", "2026-06-13"),
        ("2026-06-20", "2026-06-20"), ("2026-06-20", "2026-06-21"),
    ]  # fmt: skip
    assert kept.tmin.tolist() == [22.0, 23.0, 30.0, 31.0]
    assert (old_book / "book-before-version-4.sqlite").exists()
    series = open_book(old_book).series(dt.date(2026, 6, 12))
    assert series.between(dt.date(2026, 6, 10), dt.date(2026, 6, 13)).origin.tolist() == [
        1, 1, 4, 4,
    ]  # fmt: skip


def test_an_export_of_an_old_book_brings_its_forecasts_too(old_book: Path, tmp_path: Path) -> None:
    """Its sheets have none of forecasts: they stand among the readings."""
    from gddcast.book.exchange import export_book, import_book
    from tests.book.places import NOW

    book = open_book(old_book)
    export_book(book, tmp_path / "copy", NOW)
    (tmp_path / "copy" / "forecast_day.csv").unlink()
    about = tmp_path / "copy" / "export.toml"
    about.write_text(about.read_text().replace("forecast_day = 4\n", ""))
    again = import_book(tmp_path / "copy", tmp_path / "again")
    assert again.forecasts().as_rows() == book.forecasts().as_rows()
