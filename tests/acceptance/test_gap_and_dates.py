"""Two weeks of May missing: can't say, then lent by a neighbour and marked; never zero."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from tests.acceptance import second_opinion
from tests.acceptance.second_opinion import CARD, SINE
from tests.acceptance.terminal import (
    BORER,
    SAMPLES,
    TO_JUNE,
    flat,
    programs,
    run,
    setting,
    stage_of,
    year_dots,
)

GAP = ("2026-05-12", "2026-05-25")
TODAY, START = dt.date(2026, 6, 11), dt.date(2026, 1, 1)
ON = ("--on", "2026-06-11")


@pytest.fixture
def gappy(here: Path) -> Path:
    """Past years with the sample of the gap behind them, in the book and as one file."""
    past = [line for line in TO_JUNE.read_text().splitlines() if not line.startswith(("2026-05",
            "2026-06"))]  # fmt: skip
    gap = (SAMPLES / "11_gap_14_days.csv").read_text().splitlines()
    (here / "whole.csv").write_text("\n".join(past + gap[1:]) + "\n")
    run("setup", "--book", "patch", "--name", "Patch", "--at", "41.2,-89.4", "--timezone",
        "America/Chicago", "--show", "F", "--no-input")  # fmt: skip
    setting(here / "patch", "watch = []", f'watch = ["{BORER}"]')
    run("weather", "add", "whole.csv", *ON)
    return here


def moths() -> dict:
    """The moths of the borer, as ``walk`` has them."""
    return stage_of(programs("walk", *ON), "moths")


def test_dates_across_the_gap_cannot_be_said(gappy: Path, days: pd.DataFrame) -> None:
    item = moths()
    assert item["status"] == "can't say"
    ends = item["sum_reached"]
    for end in (ends["low_end"], ends["high_end"]):
        assert end["unknown_days"] == list(GAP)
        assert end["year_dots"] == []
        assert end["heat"]["value"] is None
    across = ends["across_the_gap"]
    whole = second_opinion.full_outlook(days.loc[: str(TODAY - second_opinion.DAY)], CARD, 1000.0,
                                        START, TODAY)  # fmt: skip
    assert across["unknown_days"] == 14
    middle = sorted(whole.dots.values())[len(whole.dots) // 2]
    assert across["first"] < str(middle) < across["last"]
    said = flat(run("walk", *ON).stdout)
    assert "14 days missing" in said
    assert "Days missing; with usual weather on them, four times in five" in said
    assert "Squash vine borer, first moths; any day 21–29 June, about ± 3 days by the gap" in said
    assert "Come back" not in said
    assert "still to come" not in said
    said = flat(run("walk", "--full", *ON).stdout)
    assert "12–25 May missing (worth about" in said
    told = int(said.split("(worth about ")[1].split(" day")[0])
    assert told == pytest.approx(worth(days), abs=1)
    assert 5 <= told <= 9  # about a week


def worth(days: pd.DataFrame) -> int:
    """Days that 900 °F-days come later with the usual heat of the gap counted as nothing.

    The goal the record is judged by; past years' mean heat stands for the days nobody knows,
    and for those still to come.
    """
    heat = SINE.heat(days)
    usual = heat[heat.index.year < 2026].groupby(lambda day: (day.month, day.day)).mean()
    whole = heat[: str(TODAY - second_opinion.DAY)].copy()
    for day in pd.date_range(*GAP):
        whole[day] = usual[day.month, day.day]
    for day in pd.date_range(TODAY, "2026-12-31"):
        whole[day] = usual[day.month, day.day]
    zero = whole.copy()
    zero[GAP[0] : GAP[1]] = 0.0
    reached = [second_opinion.day_of(each, START, 900.0) for each in (whole, zero)]
    return (reached[1] - reached[0]).days


def test_a_neighbour_lends_and_the_dates_return_marked(gappy: Path, days: pd.DataFrame) -> None:
    neighbour = str(SAMPLES / "farm_two_ponds_f.csv")
    patch = ("weather", "patch", "whole.csv", "--from", neighbour, "-o", "patched.csv")
    lent = flat(run(*patch, *ON).stdout)
    # Two Ponds was made 2 °F warmer than Larkhollow.
    assert "lent 14 days, moved by −2.0 °F (max) and −2.0 °F (min)" in lent
    run("weather", "add", "patched.csv", *ON)
    patched = second_opinion.read(Path("patched.csv"))
    np.testing.assert_allclose(patched, days.loc[: patched.index[-1]], rtol=0, atol=0.6)
    item = moths()
    ours = second_opinion.full_outlook(patched, CARD, 1000.0, START, TODAY)
    assert year_dots(item) == ours.dots
    answer = programs("walk", *ON)
    assert answer["weather"]["patched_days"] == 14
    assert answer["weather"]["trust"] == "patched"
    for words in (("walk",), ("why", BORER, "moths")):
        assert "14 days patched" in flat(run(*words, *ON).stdout), words
    # Marked for ever: in what is handed on as well.
    run("export", "out")
    marks = pd.read_csv("out/weather_day.csv").set_index("day")["origin"]
    assert set(marks[marks == "patched"].index) == set(pd.date_range(*GAP).astype(str))


def test_it_is_never_counted_as_nothing(gappy: Path, days: pd.DataFrame) -> None:
    """Left as it is, no sum and no date is told; with nothing for the gap it would be a week."""
    known = days.loc[: str(TODAY - second_opinion.DAY)].copy()
    zero = CARD.heat(known)
    zero[GAP[0] : GAP[1]] = 0.0
    as_nothing = f"{zero['2026-01-01':].sum():,.0f}"
    for words in (("walk",), ("why", BORER, "moths"), ("seasons", "--lower", "50F")):
        assert as_nothing not in run(*words, *ON).stdout, words
    seasons = programs("seasons", "--lower", "50F", *ON)
    this = [row for row in seasons["seasons"] if row["season"] == "2026"]
    assert this == [] or this[0]["through"] is None
