"""Day first or month first: refused where nothing settles it, proved where one line does."""

from __future__ import annotations

import csv
import datetime as dt
import itertools
from pathlib import Path

import pytest

from tests.acceptance.terminal import SAMPLES, flat, programs, refused, run

AMBIGUOUS, PROVED = SAMPLES / "04_ambiguous_dates.csv", SAMPLES / "03_dayfirst.csv"
ON = ("--on", "2026-06-11")


def cells(file: Path) -> list[tuple[int, int, int]]:
    """The three numbers of every date, in the order they stand in."""
    with file.open(encoding="utf-8") as lines:
        return [
            tuple(int(part) for part in row["Date"].split("/")) for row in csv.DictReader(lines)
        ]


def runs_on(days: list[dt.date]) -> int:
    """How many days follow the one before."""
    return sum((late - early).days == 1 for early, late in itertools.pairwise(days))


@pytest.mark.parametrize("command", [("weather", "check"), ("weather", "add"), ("ahead",)])
def test_it_is_refused_with_the_reason_and_a_proposal(command: tuple[str, ...], book: Path) -> None:
    read = cells(AMBIGUOUS)
    assert max(number for first, second, _ in read for number in (first, second)) <= 12
    day_first = [dt.date(year, second, first) for first, second, year in read]
    month_first = [dt.date(year, first, second) for first, second, year in read]
    assert (runs_on(day_first), runs_on(month_first)) == (10, 0)
    said = refused(*command, str(AMBIGUOUS), "--no-input")
    assert "Its dates can be read day first or month first" in said
    assert "no line has a number above 12 to settle it" in said
    assert "Read day first, the days run on one after another." in said
    assert said.rstrip().endswith("--no-input --dates day-first --unit F")


YEARS_IN_FRONT = [
    "date,max_c,min_c",
    *(f"26-05-{at:02d},{20 + at % 5}.5,9.5" for at in range(1, 32)),
]


@pytest.mark.parametrize("command", [("weather", "check"), ("weather", "add"), ("ahead",)])
def test_years_of_two_digits_in_front_are_asked_and_the_answer_is_taken(
    command: tuple[str, ...], book: Path, tmp_path: Path
) -> None:
    file = tmp_path / "garden.csv"
    file.write_text("\n".join(YEARS_IN_FRONT) + "\n", encoding="utf-8")
    said = refused(*command, str(file), "--no-input")
    assert "'26-05-01' on line 2 is 1 May 2026 or 26 May 2001" in said
    assert said.rstrip().endswith("--no-input --dates year-first")

    answer = run(*command, str(file), "--no-input", "--dates", "year-first", *ON)
    assert "May 2001" not in answer.stdout


def test_what_is_told_holds_for_the_whole_file() -> None:
    """No guessing row by row: twelve rows, twelve dates, either way."""
    for order, place in (("day-first", (1, 0)), ("month-first", (0, 1))):
        told = programs("heat", str(AMBIGUOUS), "--lower", "50F", "--unit", "F", "--dates", order,
                        "--season-begins", "01-01", *ON)  # fmt: skip
        known = [day["date"] for day in told["days"] if day["max"] is not None]
        meant = sorted(
            f"{row[2]}-{row[place[0]]:02d}-{row[place[1]]:02d}" for row in cells(AMBIGUOUS)
        )
        assert known == [day for day in meant if day <= "2026-06-11"]


def test_one_line_settles_it_and_is_named() -> None:
    line = 2 + next(at for at, (first, _, _) in enumerate(cells(PROVED)) if first > 12)
    said = flat(run("weather", "check", str(PROVED), *ON).stdout)
    assert f"day first: line {line} has 13 in front" in said
    assert "Read 41 days, 1 May 2026 to 10 June 2026." in said


def test_the_order_it_cannot_have_is_refused() -> None:
    assert "Line 14 has '13/05/2026'" in refused(
        "weather", "check", str(PROVED), "--dates", "month-first"
    )
