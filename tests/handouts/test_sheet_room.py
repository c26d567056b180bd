"""Room on paper: words are never taken for shorter than the widest usual face sets them."""

from __future__ import annotations

from pathlib import Path

import matplotlib
import pytest
from hypothesis import given
from hypothesis import strategies as st
from matplotlib.ft2font import FT2Font, LoadFlags

from gddcast.handouts.sheet.room import POINT, height, line_height, lines, width
from gddcast.readers.card_files import load_cards

_FONTS = Path(matplotlib.get_data_path()) / "fonts" / "ttf"
#: Everything a row may say.
SAID = sorted(
    {
        text
        for card in load_cards().values()
        for event in card.events
        for text in (
            card.look_at(event).looks_like, card.look_at(event).where_on_plant,
            card.look_at(event).plants, event.words, card.name,
        )
        if text
    }
)  # fmt: skip


def set_width(words: str, face: str) -> float:
    """Length at 10 points by the font's own advance widths, without kerning. [mm]"""
    font = FT2Font(str(_FONTS / face))
    font.set_size(1000, 72)
    advances = (
        font.load_char(ord(letter), flags=LoadFlags.NO_HINTING).linearHoriAdvance / 65536
        for letter in words
    )
    return sum(advances) / 1000 * 10 * POINT


def test_widths_are_those_of_dejavu_sans_and_never_less() -> None:
    """Against the font matplotlib carries (DejaVu Sans 2.37): at most 3 % too much."""
    for words in SAID:
        taken, real = width(words, 10), set_width(words, "DejaVuSans.ttf")
        assert real - 0.01 <= taken <= real * 1.03 + 0.2, words


def test_bold_widths_are_never_less() -> None:
    for words in SAID:
        taken, real = width(words, 10, bold=True), set_width(words, "DejaVuSans-Bold.ttf")
        assert real - 0.01 <= taken <= real * 1.14 + 0.2, words


@given(st.lists(st.text("abcdefgij", min_size=1, max_size=12), min_size=1, max_size=60))
def test_lines_are_the_fewest_that_greedy_breaking_gives(parts: list[str]) -> None:
    """Each line holds what fits and the next word would not have: broken by hand here."""
    room, wanted, line = 30.0, 1, ""
    for part in parts:
        longer = f"{line} {part}" if line else part
        if width(longer, 10) <= room + 1e-9:
            line = longer
        else:
            wanted, line = wanted + 1, part
    assert abs(lines(" ".join(parts), room, 10) - wanted) == 0


def test_lines_beside_a_picture_are_shorter() -> None:
    text = " ".join(["word"] * 40)
    assert lines(text, 60, 10) < lines(text, 60, 10, beside=(4, 30)) < lines(text, 30, 10)


@pytest.mark.parametrize("room", [-5.0, 0.0, 0.01])
def test_no_room_is_no_endless_loop(room: float) -> None:
    assert lines("a long place name", room, 10) >= 3


def test_height_is_lines_by_leading() -> None:
    assert height("one", 50, 10) == pytest.approx(line_height(10), rel=0, abs=1e-9)
    assert line_height(10) == pytest.approx(10 * 25.4 / 72 * 1.18, rel=0, abs=1e-9)
