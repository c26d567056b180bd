"""Class files: faults where the key says, found by the checks, and nothing else found."""

from __future__ import annotations

import numpy as np
import pytest

from gddcast.lessons.planted import PlantedFault, line_words, plant_faults
from gddcast.quality import breaks
from gddcast.units import celsius

SEEDS = range(25)
KINDS = {
    "unit change", "swapped pair", "spike", "stuck run", "duplicate", "missing marker", "gap",
}  # fmt: skip


def fault_of(seed: int, kind: str) -> tuple[list[str], PlantedFault]:
    planted = plant_faults(seed)
    return list(planted.lines), next(each for each in planted.faults if each.kind == kind)


def cells(line: str) -> tuple[str, float, float]:
    day, high, low = line.split(",")
    return day, float(high), float(low)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_key_names_seven_faults_once_each(seed: int) -> None:
    """Every kind is planted once; the key runs in the order of the file."""
    planted = plant_faults(seed)
    assert planted.lines[0] == "date,high_F,low_F"
    assert {fault.kind for fault in planted.faults} == KINDS
    assert len(planted.faults) == 7
    lines = [fault.first_line for fault in planted.faults]
    assert lines == sorted(lines)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_lines_show_the_faults(seed: int) -> None:
    """At the lines of the key, counted from the header as line 1, stand the faults."""
    lines, swapped = fault_of(seed, "swapped pair")
    _, high, low = cells(lines[swapped.first_line - 1])
    assert high < low

    lines, spike = fault_of(seed, "spike")
    assert cells(lines[spike.first_line - 1])[1] > 130

    lines, stuck = fault_of(seed, "stuck run")
    run = {cells(line)[1] for line in lines[stuck.first_line - 1 : stuck.last_line]}
    assert len(run) == 1
    assert stuck.last_line - stuck.first_line + 1 == 7

    lines, twice = fault_of(seed, "duplicate")
    assert lines[twice.first_line - 1] == lines[twice.last_line - 1]
    assert twice.last_line == twice.first_line + 1

    lines, marker = fault_of(seed, "missing marker")
    assert ",-9999," in lines[marker.first_line - 1]

    lines, gap = fault_of(seed, "gap")
    before, after = (cells(lines[gap.first_line - 1 + more])[0] for more in (0, 1))
    assert (np.datetime64(after) - np.datetime64(before)).astype(int) == 7

    lines, unit = fault_of(seed, "unit change")
    assert unit.last_line == len(lines)
    assert all("." in line for line in lines[unit.first_line - 1 :])
    assert not any("." in line for line in lines[1 : unit.first_line - 1])


@pytest.mark.parametrize("seed", SEEDS)
def test_the_record_checks_see_run_and_unit(seed: int) -> None:
    """The checks of a weather record find the stuck run and the change of unit, on their days."""
    planted = plant_faults(seed)
    days = [cells(line) for line in planted.lines[1:]]
    readings = celsius(np.array([[low, high] for _, high, low in days]).T)

    (run,) = breaks.streaks(readings)
    change = breaks.unit_break(readings, "F")

    _, stuck = fault_of(seed, "stuck run")
    _, unit = fault_of(seed, "unit change")
    assert (run.begin + 2, run.end + 1) == (stuck.first_line, stuck.last_line)
    assert change is not None
    assert change.later_is == "C"
    assert change.day + 2 == unit.first_line


def test_same_seed_same_bytes() -> None:
    """A class file can be made again to the letter."""
    assert plant_faults(3).text == plant_faults(3).text
    assert plant_faults(3).text != plant_faults(4).text


def test_where_to_look_in_words() -> None:
    """One line, several lines, and the line before a hole."""
    words = {fault.kind: line_words(fault) for fault in plant_faults(3).faults}
    assert words["spike"].startswith("line ")
    assert words["stuck run"].startswith("lines ")
    assert words["gap"].startswith("after line ")


@pytest.mark.parametrize("seed", SEEDS)
def test_a_file_in_celsius_changes_to_fahrenheit(seed: int) -> None:
    """The other way round: the same faults, and the check names the day of the change."""
    planted = plant_faults(seed, "C")
    assert planted.lines[0] == "date,high_C,low_C"
    assert {fault.kind for fault in planted.faults} == KINDS
    (unit,) = (fault for fault in planted.faults if fault.kind == "unit change")
    assert all(
        "." in line for line in planted.lines[1 : unit.first_line - 1] if "-9999" not in line
    )
    assert not any("." in line for line in planted.lines[unit.first_line - 1 :])
    readings = np.array([cells(line)[:0:-1] for line in planted.lines[1:]]).T
    change = breaks.unit_break(readings, "C")
    assert change is not None
    assert (change.later_is, change.day + 2) == ("F", unit.first_line)


def test_the_unit_changes_in_another_place_each_time() -> None:
    lines = {fault_of(seed, "unit change")[1].first_line for seed in SEEDS}
    assert len(lines) > 10
