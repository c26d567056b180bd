"""A new grower with one file: three commands, seven questions, a dated line with its source."""

from __future__ import annotations

import datetime as dt
import os
import re
from pathlib import Path

import pandas as pd
import pytest

from tests.acceptance import second_opinion
from tests.acceptance.second_opinion import CARD
from tests.acceptance.terminal import TO_JUNE, at_a_terminal, flat

pytestmark = pytest.mark.skipif(os.name != "posix", reason="terminals are opened as POSIX does")


def test_three_commands_and_seven_questions(here: Path, days: pd.DataFrame) -> None:
    """An empty answer settles three of them; what is grown is what is looked for."""
    typed = ["Larkhollow Patch", "41.2,-89.4", "America/Chicago", "F", "", "", "courgettes"]
    code, screen, first = at_a_terminal(["setup"], typed, here)
    assert code == 0, screen
    assert "Wrote larkhollow-patch/book.toml.  Next:  gddcast weather add YOURFILE.csv" in screen
    assert re.findall(r"^(.*?\?)", screen, re.M) == [
        "Place name?", "Latitude, longitude?", "Timezone?", "Show temperatures in F or C?",
        "Where does the thermometer hang?",
        "Is it read by hand in the morning, in the evening, or automatic?", "What do you grow?",
    ]  # fmt: skip
    assert re.search(r"Watching \d\d pests of 1 crop:  gddcast watch", screen)

    add = ["weather", "add", str(TO_JUNE), "--on", "2026-06-11"]
    code, screen, second = at_a_terminal(add, [], here)
    assert code == 0, screen
    assert "Read 4,544 days, 1 January 2014 to 10 June 2026." in screen
    assert "Past seasons that can be used: 12 (2014–2025)" in screen
    assert "Weather record: SOUND" in screen
    assert screen.rstrip().endswith("Next:  gddcast walk")

    code, screen, third = at_a_terminal(["walk", "--full", "--on", "2026-06-11"], [], here)
    assert code == 0, screen
    assert (first, second, third) == (7, 0, 0)
    today, start = dt.date(2026, 6, 11), dt.date(2026, 1, 1)
    ours = second_opinion.full_outlook(days, CARD, 1000.0, start, today)
    item = flat(screen[screen.index("Squash vine borer: first moths") :].split("\n●")[0])
    assert second_opinion.may_start(ours.dots) in item
    # The card's source, as its card cites it.
    assert "South Dakota State University Extension, 2021" in item
    assert "stem bases" in item


def test_a_question_that_was_misunderstood_is_put_again(here: Path) -> None:
    typed = ["Hollow", "95,-89", "41.2,-89.4", "America/Chicago", "K", "F", "roof", "sun", "", ""]
    code, screen, asked = at_a_terminal(["setup"], typed, here)
    assert code == 0, screen
    assert asked == 10
    assert "Latitude comes first" in screen
    assert (here / "hollow" / "book.toml").exists()


def test_without_a_terminal_nothing_is_asked(here: Path) -> None:
    """The same words where nobody can answer name the flag instead."""
    from tests.acceptance.terminal import refused

    assert "--name TEXT" in refused("setup", "--no-input")
    assert list(here.iterdir()) == []
