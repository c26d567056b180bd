"""A class file with errors planted in it: a student's plain rules, the key and the check agree."""

from __future__ import annotations

import csv
import datetime as dt
import itertools
import re
from pathlib import Path

import pytest

from tests.acceptance.terminal import flat, refused, run

Marks = dict[str, tuple[int, int]]
SEEDS = range(12)


def marked(file: Path) -> Marks:
    """What a student finds with a ruler: each kind with its first and last line."""
    with file.open(encoding="utf-8") as lines:
        rows = list(csv.DictReader(lines))
    days = [dt.date.fromisoformat(row["date"]) for row in rows]
    highs, lows = ([float(row[name]) for row in rows] for name in ("high_F", "low_F"))
    found: Marks = {}
    # A header, and lines counted from 1.
    for place, (high, low) in enumerate(zip(highs, lows, strict=True)):
        line = place + 2
        if high == -9999:
            found["missing marker"] = (line, line)
        elif high < low:
            found["swapped pair"] = (line, line)
        elif high > 130:
            found["spike"] = (line, line)
    for place, (early, late) in enumerate(itertools.pairwise(days)):
        if late == early:
            found["duplicate"] = (place + 2, place + 3)
        elif (late - early).days > 1:
            found["gap"] = (place + 2, place + 3)
    place = 0
    for _, alike in itertools.groupby(highs):
        length = len(list(alike))
        if length >= 5:
            found["stuck run"] = (place + 2, place + 1 + length)
        place += length
    # In °C a June afternoon is below 45: the longest tail of such days.
    tail = list(itertools.takewhile(lambda high: high < 45, reversed(highs)))
    found["unit change"] = (len(rows) + 2 - len(tail), len(rows) + 1)
    return found


def key_of(text: str) -> tuple[int, Marks]:
    """The number announced, and each kind with the lines the key gives it."""
    rows = re.findall(r"^  (after )?lines? (\d+)(?:–(\d+))? +([a-z ]+?): ", text, re.M)
    marks = {
        kind: (int(first), int(first) + 1 if after else int(last or first))
        for after, first, last, kind in rows
    }
    return int(re.search(r"(\d+) planted faults", text)[1]), marks


@pytest.mark.parametrize("seed", SEEDS)
def test_a_student_s_marks_can_be_held_against_the_key(here: Path, seed: int) -> None:
    run("lesson", "errors", "--seed", str(seed), "-o", "class.csv")
    announced, key = key_of(run("lesson", "errors", "--seed", str(seed), "--answers").stdout)
    assert announced == 7
    assert key == marked(Path("class.csv"))


@pytest.mark.parametrize("seed", SEEDS)
def test_weather_check_finds_all_of_them(here: Path, seed: int) -> None:
    """It refuses what is in two scales, by its day; without those lines it names the other six."""
    run("lesson", "errors", "--seed", str(seed), "-o", "class.csv")
    marks = marked(Path("class.csv"))
    lines = Path("class.csv").read_text(encoding="utf-8").splitlines()

    def on(line: int) -> dt.date:
        return dt.date.fromisoformat(lines[line - 1].split(",")[0])

    def short(day: dt.date) -> str:
        return f"{day.day} {day:%b} {day.year}"

    first = marks["unit change"][0]
    said = refused("weather", "check", "class.csv", "--on", "2026-12-01")
    assert f"from °F to °C on {short(on(first))}" in said

    Path("part.csv").write_text("\n".join(lines[: first - 1]) + "\n", encoding="utf-8")
    report = flat(run("weather", "check", "part.csv", "--on", "2026-12-01").stdout)
    spike, stuck, gap = (marks[kind] for kind in ("spike", "stuck run", "gap"))
    missing = (on(gap[1]) - on(gap[0])).days - 1
    wanted = {
        "missing marker": f"(line {marks['missing marker'][0]}): '-9999'",
        "swapped pair": f"maximum below the minimum and is taken as missing: "
        f"{short(on(marks['swapped pair'][0]))}",
        "spike": f"{on(spike[0]).day} {on(spike[0]):%B} {on(spike[0]).year}: maximum 1",
        "stuck run": f"on {stuck[1] - stuck[0] + 1} days running: stuck, or not reset?",
        "duplicate": f"1 day stands twice with the same readings (line {marks['duplicate'][1]})",
        "gap": f"({missing} days) missing",
    }
    assert [kind for kind, words in wanted.items() if words not in report] == []


def test_the_file_to_hand_out_holds_no_key(here: Path) -> None:
    said = run("lesson", "errors", "--seed", "3", "-o", "class.csv").stderr
    assert "7 faults are planted in it" in said
    text = Path("class.csv").read_text(encoding="utf-8")
    assert not re.search("swapped|spike|stuck|planted|seed", text)
