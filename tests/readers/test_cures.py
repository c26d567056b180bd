"""Every cure that a reader prints is one that the commands which read files accept."""

from __future__ import annotations

import ast
import re
import shlex
from pathlib import Path

import click
import numpy as np
import pytest
from click.testing import CliRunner

import gddcast.readers
from gddcast.cli import main
from gddcast.cli.opening import read_asking
from gddcast.errors import Refusal
from gddcast.readers.temperature_file import read_temperatures
from tests.readers.known_days import ABOVE, BELOW, HIGH, LOW, fahrenheit, half_hours, rows
from tests.readers.readings import SAMPLES

SETUP = (
    "setup", "--name", "Larkhollow Patch", "--at", "41.2,-89.4", "--timezone", "America/Chicago",
    "--show", "F", "--no-input",
)  # fmt: skip

#: Rooms of the readers that open other things than temperature files.
OTHER_FILES = (
    "walk_sheet", "card_", "toml_lines", "rearing_file", "forecast_file", "packaged", "class_files",
    "farms_",
)  # fmt: skip

#: What stands for a word that only the person knows.
PLACEHOLDERS = {"AREA/CITY": "America/Chicago", "NAME": "max °C"}


def flags_printed() -> list[tuple[str, str]]:
    """Room and text of every flag that a refusal or note of the readers can print."""
    found = []
    folder = Path(gddcast.readers.__file__).parent
    for room in sorted(folder.glob("*.py")):
        if room.stem.startswith(OTHER_FILES):
            continue
        tree = ast.parse(room.read_text(encoding="utf-8"))
        texts = [node.value for node in ast.walk(tree) if isinstance(node, ast.Constant)]
        for text in texts:
            if isinstance(text, str):
                found += [(room.stem, flag) for flag in re.findall(r"--[a-z][a-z-]+", text)]
    return sorted(set(found))


def options_of(command: click.Command) -> set[str]:
    return {name for each in command.params for name in each.opts}


def file_commands() -> list[tuple[str, click.Command]]:
    """Every command that takes a file of temperatures and says how it is to be read.

    ``thresholds`` reads rearing jars, which have a reader and a ``--unit`` of their own.
    """
    found = []

    def walk(name: str, command: click.Command) -> None:
        if isinstance(command, click.Group):
            context = click.Context(command)
            for child in command.list_commands(context):
                inner = command.get_command(context, child)
                assert inner is not None
                walk(f"{name} {child}".strip(), inner)
        elif (
            {"--max-column", "--unit"} & options_of(command)
            and name != "thresholds"
            and any(isinstance(each, click.Argument) for each in command.params)
        ):
            found.append((name, command))

    walk("", main)
    return found


def test_the_walk_meets_the_flags_and_the_commands() -> None:
    flags = {flag for _, flag in flags_printed()}
    assert {"--unit", "--site", "--dates", "--stamps", "--timezone", "--reading-hour", "--yes",
            "--sheet", "--max-column", "--min-column"} <= flags  # fmt: skip
    assert {"weather add", "weather check", "heat", "lesson methods"} <= dict(
        file_commands()
    ).keys()


@pytest.mark.parametrize(("room", "flag"), flags_printed())
def test_every_flag_of_a_reader_is_one_of_every_command_that_reads(room: str, flag: str) -> None:
    without = [name for name, command in file_commands() if flag not in options_of(command)]
    assert without == [], f"{flag}, printed by {room}"


@pytest.mark.parametrize("unit", ["F", "C", "K", "tenths-C"])
def test_every_scale_of_a_reader_can_be_said(unit: str) -> None:
    for name, command in file_commands():
        (option,) = (each for each in command.params if "--unit" in each.opts)
        assert unit in getattr(option.type, "choices"), name  # noqa: B009


# --- the cures themselves, followed to the end --------------------------------------------------


def kelvin(values: np.ndarray) -> np.ndarray:
    return np.round(values + 273.15, 2)


def tenths(values: np.ndarray) -> np.ndarray:
    return np.round(values * 10).astype(int)


def in_utc() -> list[str]:
    return [f"{stamp.replace(' ', 'T')}Z,{warmth:.2f}" for stamp, warmth in half_hours()]


FILES = {
    "no unit, °F": (["date,max,min", *rows(fahrenheit(HIGH), fahrenheit(LOW))], ()),
    "no unit, °C": (["date,max,min", *rows(HIGH, LOW)], ()),
    "kelvin": (["date,max,min", *rows(kelvin(HIGH), kelvin(LOW))], ()),
    "tenths": (["date,max,min", *rows(tenths(HIGH), tenths(LOW))], ()),
    "°C said to be °F": (["date,max,min", *rows(HIGH, LOW)], ("--unit", "F")),
    "°F said to be °C": (
        ["date,max,min", *rows(fahrenheit(HIGH), fahrenheit(LOW))], ("--unit", "C"),
    ),
    "cells against the header": (
        ["date,max_f,min_f", *rows([f"{x} C" for x in HIGH], [f"{n} C" for n in LOW])], (),
    ),
    "swapped": (["date,max_c,min_c", *rows(LOW, HIGH)], ()),
    "no header": (rows(HIGH, LOW), ("--unit", "C")),
    "two maxima": (
        ["date,soil max C,air max C,air min C", *rows(ABOVE, HIGH, LOW)], (),
    ),
    "two of one name": (["date,Max,Max,min_c", *rows(HIGH, ABOVE, LOW)], ("--unit", "C")),
    "soil": (["date,soil max C,soil min C", *rows(HIGH, LOW)], ()),
    "forecast": (["date,forecast max C,forecast min C", *rows(HIGH, LOW)], ()),
    "a word unknown": (["date,vlaga $(x) max C,vlaga $(x) min C", *rows(HIGH, LOW)], ()),
    "two sites": (
        ["site,date,max_c,min_c", *(f"a,{r}" for r in rows(HIGH, LOW)),
         *(f"b,{r}" for r in rows(ABOVE, BELOW))], (),
    ),
    "days and months": (
        ["date,max_c,min_c", *(f"{d:02d}/05/2026,{20 + d},8" for d in range(1, 12))], (),
    ),
    "stamps in UTC": (["time,temp_c", *in_utc()], ()),
}  # fmt: skip


@pytest.mark.parametrize("name", FILES)
def test_a_cure_that_is_printed_brings_the_file_into_the_book(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("GDDCAST_BOOK", raising=False)
    runner = CliRunner()
    assert runner.invoke(main, SETUP).exit_code == 0
    lines, said = FILES[name]
    Path("garden.csv").write_text("\n".join(lines), encoding="utf-8")
    words = ["weather", "add", "garden.csv", "--on", "2026-06-01", *said]
    followed = 0
    while (answer := runner.invoke(main, words)).exit_code == 3:
        assert followed < 4, answer.output
        command = next(
            (line.partition("gddcast ")[2] for line in answer.output.splitlines()
             if "gddcast weather add" in line), "",
        )  # fmt: skip
        flag = command.removeprefix(shlex.join(words)).strip()
        assert flag.startswith("--"), answer.output
        for placeholder, value in PLACEHOLDERS.items():
            flag = flag.replace(placeholder, value)
        words += shlex.split(flag)
        followed += 1
    assert answer.exit_code == 0, answer.output
    assert followed or name == "stamps in UTC", "this file was to be asked about"


@pytest.mark.parametrize("said", [(), ("--other-unit", "F")])
def test_a_cure_for_the_second_file_of_a_comparison_speaks_of_that_file(
    said: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("one.csv").write_text("\n".join(["date,max_c,min_c", *rows(HIGH, LOW)]))
    Path("other.csv").write_text("\n".join(["date,max,min", *rows(HIGH, LOW)]))
    words = ["weather", "compare", "one.csv", "other.csv", *said]
    answer = CliRunner().invoke(main, words)
    assert answer.exit_code == 3
    assert f"gddcast {shlex.join(words)} --other-unit C" in answer.stderr
    cured = CliRunner().invoke(main, [*words, "--other-unit", "C"])
    assert "days in common" in cured.output, "read, and too few to compare"


@pytest.mark.parametrize("number", range(1, 29))
def test_the_samples_cures_are_accepted(number: int) -> None:
    """Whatever a sample's refusal offers is a flag of ``weather add``, with a value it takes."""
    sample = next(SAMPLES.glob(f"{number:02d}_*"))
    try:
        read_temperatures(sample)
    except Refusal as refusal:
        if refusal.flag is None:
            return
        flag = refusal.flag
        for placeholder, value in PLACEHOLDERS.items():
            flag = flag.replace(placeholder, value)
        (add,) = (command for name, command in file_commands() if name == "weather add")
        add.make_context("add", [str(sample), *shlex.split(flag)])


def test_a_doubtful_unit_is_asked_on_a_terminal_and_the_answer_holds(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "garden.csv"
    file.write_text("\n".join(["date,max,min", *rows(HIGH, LOW)]))
    monkeypatch.setattr("sys.stdin.isatty", lambda: True, raising=False)
    asked: list[str] = []

    def answer(question: str, **_: object) -> str:
        asked.append(question)
        return "F"

    monkeypatch.setattr(click, "prompt", answer)
    reading = read_asking(file, no_input=False, unit="F")

    assert len(asked) == 1
    np.testing.assert_allclose(reading.series.tmax, (HIGH - 32) / 1.8, rtol=0, atol=1e-9)
