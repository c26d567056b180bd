"""A find on 24 June, none on 22 June: the eggs' clock runs from it, and undo undoes it."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pandas as pd
import pytest

from gddcast.heat.counting import Counting
from gddcast.heat.shapes import SHAPES
from gddcast.outlook.dates import outlook_of
from gddcast.outlook.ensemble import PLAIN_GRAFT
from gddcast.readers.temperature_file import read_temperatures
from gddcast.units import celsius, celsius_days
from tests.acceptance import second_opinion
from tests.acceptance.second_opinion import CARD, SINE, Way
from tests.acceptance.terminal import (
    BORER,
    WHOLE,
    flat,
    programs,
    refused,
    run,
    stage_of,
    year_dots,
)

TODAY = dt.date(2026, 6, 25)
ON = ("--on", "2026-06-25")
FIND = ("saw", BORER, "moths", "--seen", "2026-06-24", "--clean", "2026-06-22", "--where", "row 2")
#: 245 °F-days from the day after the clean look; 300 from the day after the find.
ENDS = ((245.0, dt.date(2026, 6, 23)), (300.0, dt.date(2026, 6, 25)))


def test_egg_hatch_carries_both_ends_to_the_day(book: Path, days: pd.DataFrame) -> None:
    """South Dakota State University Extension, 2021: 245 to 300 °F-days after laying.

    The plain graft ends on 10 July; shifted for warming and begun from this warm June, on the 8th.
    """
    said = flat(run(*FIND, *ON).stdout)
    assert (
        "Logged: squash vine borer (Melittia cucurbitae), moths, row 2, began 23–24 June 2026 "
        "(clean look 22 June). [entry 2026-002]"
    ) in said
    early, late = (
        second_opinion.full_outlook(days, CARD, goal, start, TODAY).dots for goal, start in ENDS
    )
    first, last = min(early.values()), max(late.values())
    assert (first, last) == (dt.date(2026, 6, 30), dt.date(2026, 7, 8))
    assert (
        "Clock restarts for EGGS HATCHING, LARVAE BORING IN: "
        f"{second_opinion.any_day(first, last)}. Look from Sat 27 June, every 3 days."
    ) in said
    said = flat(run("why", BORER, "egg-hatch", *ON).stdout)
    assert "What the card says 245 to 300 °F-days above 50 °F, floor the mean, from eggs" in said
    assert (
        f"With past years’ weather from here on: {second_opinion.any_day(first, last)}; 91 % give "
        "1–5 July, over range and bracket."
    ) in said
    hatch = stage_of(programs("walk", *ON), "egg-hatch")
    assert (year_dots(hatch, "low_end"), year_dots(hatch)) == (early, late)
    assert hatch["sum_reached"]["clock_starts"] == {
        "earliest": "2026-06-23",
        "latest": "2026-06-25",
    }
    assert hatch["number"]["printed"]["goal"] == [245.0, 300.0]


@pytest.mark.parametrize("way", [CARD, SINE], ids=lambda way: way.method)
def test_by_the_plain_graft_30_june_to_10_july(days: pd.DataFrame, way: Way) -> None:
    series = read_temperatures(WHOLE).series
    counting = Counting(celsius(50.0), shape=SHAPES[way.method])
    found = []
    for goal, start in ENDS:
        one = outlook_of(
            series, counting, celsius_days(goal), start=start, today=TODAY, steps=PLAIN_GRAFT
        )
        ours = second_opinion.plain_graft(days, way, goal, start, TODAY)
        assert {int(dot.season): dot.day for dot in one.dots} == ours
        found.append(one)
    assert found[0].fastest == dt.date(2026, 6, 30)
    assert found[1].slowest == dt.date(2026, 7, 10)


def test_what_the_calendar_said_stays_in_sight(book: Path, days: pd.DataFrame) -> None:
    """The moths' own forecast of that morning, beside the day they were seen."""
    before = stage_of(programs("walk", *ON), "moths")
    ours = second_opinion.full_outlook(days, CARD, 1000.0, dt.date(2026, 1, 1), TODAY).dots
    assert year_dots(before) == ours
    first, last = min(ours.values()), max(ours.values())
    said = flat(run(*FIND, *ON).stdout)
    told = second_opinion.span(first, last)
    assert f"The book expected them on {told}, with past years’ weather" in said
    after = stage_of(programs("walk", *ON), "moths")
    assert after["status"] == "seen"
    assert after["seen"] == "2026-06-24"


def everything() -> list[str]:
    """What programs and people are told of the book, but for the moment of telling."""
    told = run("walk", *ON, "--json").stdout.splitlines()
    return [*(line for line in told if '"made"' not in line), run("walk", *ON).stdout]


def test_undo_restores_every_byte(book: Path) -> None:
    before = everything()
    run(*FIND, *ON)
    assert everything() != before
    undone = run("undo", "--note", "was a wasp", *ON).stdout
    assert "Withdrawn: squash vine borer moths, row 2, Wed 24 June 2026.  [entry 2026-002]" in (
        undone
    )
    assert everything() == before
    # It stays in the book, with its trace.
    run("export", "out")
    assert "was a wasp" in Path("out/withdrawal.csv").read_text(encoding="utf-8")
    assert "2026-06-24" in Path("out/sighting.csv").read_text(encoding="utf-8")


def test_a_find_that_cannot_be_is_refused_and_nothing_is_written(book: Path) -> None:
    run("did", "sown", "pumpkin", "--done", "2026-05-20", *ON)
    told = everything()  # what a walk tells, the book remembers
    before = (book / "book.sqlite").read_bytes()
    for day, why in (("2027-06-24", "it is in the future"), ("2026-05-01", "was sown after it")):
        assert why in refused("saw", BORER, "moths", "--seen", day, *ON)
    assert (book / "book.sqlite").read_bytes() == before
    assert everything() == told
