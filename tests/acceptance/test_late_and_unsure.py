"""Small nymphs on 20 July, perhaps: counted back to their eggs, kept as a guess, no clock moved."""

from __future__ import annotations

import csv
import datetime as dt
from pathlib import Path

import pandas as pd
import pytest

from tests.acceptance import second_opinion
from tests.acceptance.terminal import flat, programs, run, setting, stage_of

FOUND = dt.date(2026, 7, 20)
FIND = ("saw", "squash-bug", "egg-hatch", "--seen", "2026-07-20", "--unsure")
#: Eggs to hatch 108.58 °C-days above 14.39 °C (Fargo and Bonjour, 1988, as Buckley et al., 2017,
#: print them), the day shape "any": single sine stands in, and no cut-off.
GOAL, LOWER = 108.58 * 1.8, 14.39 * 1.8 + 32


def laid(days: pd.DataFrame, known_through: dt.date) -> dt.date:
    """Last day on which eggs could be laid and hatch by the find: the days after it add up."""
    heat = second_opinion.Way("single sine", LOWER).heat(days[: str(known_through)])
    if known_through < FOUND:  # the day is not over: as warm as the one before
        heat[pd.Timestamp(FOUND)] = heat.iloc[-1]
    day = FOUND
    while heat[str(day) : str(FOUND)].sum() < GOAL:
        day -= second_opinion.DAY
    return day - second_opinion.DAY


@pytest.mark.parametrize("today", [dt.date(2026, 7, 20), dt.date(2026, 7, 22)], ids=str)
def test_it_is_counted_back_and_held_against_the_clean_look(
    book: Path, days: pd.DataFrame, today: dt.date
) -> None:
    on = ("--on", str(today))
    back = laid(days, min(FOUND, today - second_opinion.DAY))
    run("saw", "none", "squash-bug", "--seen", "2026-06-18", *on)
    said = flat(run(*FIND, *on).stdout)
    assert "Kept as 'think so': no clock starts from it, and it replaces no sure find." in said
    assert f"Counted back: first egg masses about {second_opinion.said(back)}," in said
    assert "your last clean look was 18 June, so that fits" in said


def test_a_clean_look_after_the_laying_means_missed_eggs_and_no_refusal(
    book: Path, days: pd.DataFrame
) -> None:
    on = ("--on", "2026-07-22")
    clean = laid(days, FOUND) + 2 * second_opinion.DAY
    run("saw", "none", "squash-bug", "--seen", str(clean), *on)
    said = flat(run(*FIND, *on).stdout)
    assert f"Your clean look of {second_opinion.said(clean)} came after that: probably missed" in (
        said
    )


def test_without_a_clean_look_it_says_that_it_cannot_bracket(book: Path) -> None:
    said = flat(run(*FIND, "--on", "2026-07-22").stdout)
    assert "no clean look before it, so it may be older" in said
    assert "no clean look says how much earlier" in said


def test_it_replaces_no_sure_find_and_starts_no_clock(book: Path) -> None:
    setting(book, 'watch = ["squash-vine-borer"]', 'watch = ["squash-bug"]')
    on = ("--on", "2026-07-22")
    assert waiting(on) == "the clock starts when you see eggs hatching, first small nymphs"
    run(*FIND, *on)
    assert waiting(on) == "the clock starts when you see eggs hatching, first small nymphs"
    run("export", "one")
    with Path("one/sighting.csv").open(encoding="utf-8") as lines:
        (kept,) = csv.DictReader(lines)
    assert (kept["event"], kept["seen_on"], kept["sure"]) == ("egg-hatch", "2026-07-20", "no")
    # A sure find, earlier or later, runs the clock, and goes on running it.
    run("saw", "squash-bug", "egg-hatch", "--seen", "2026-07-21", "--clean", "2026-07-19", *on)
    sure = clock(on)
    assert sure == {"earliest": "2026-07-20", "latest": "2026-07-22"}
    run("saw", "squash-bug", "egg-hatch", "--seen", "2026-07-10", "--unsure", *on)
    assert clock(on) == sure


def waiting(on: tuple[str, str]) -> str:
    """Why the second adults have no date."""
    return stage_of(programs("ahead", *on), "second-adults")["reason"]


def clock(on: tuple[str, str]) -> dict[str, str]:
    """Where the clock of the second adults starts."""
    answer = programs("ahead", *on)
    return stage_of(answer, "second-adults")["sum_reached"]["clock_starts"]
