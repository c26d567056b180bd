"""One terminal room: lines keep to the width, and nothing is said by emphasis alone."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gddcast.text.terminal import PLAIN, WIDEST, Beside, Line, Terminal, table, under
from gddcast.words import Status

words = st.lists(st.text("abcdef-°–", min_size=1, max_size=12), min_size=1, max_size=40)


@given(words, st.integers(30, 120), st.sampled_from(["", "  ", "  Note: "]))
@settings(max_examples=200, deadline=None, derandomize=True)
def test_a_line_keeps_to_the_width_and_loses_no_word(said: list[str], wide: int, at: str) -> None:
    """Every word in its order; the lines after the first stand under it."""
    shown = Terminal(wide).show([Line(" ".join(said), at)]).split("\n")
    assert all(len(line) <= wide for line in shown)
    assert [word for line in shown for word in line.removeprefix(at).split()] == said
    assert all(line.startswith(" " * len(at)) for line in shown[1:])


def test_an_address_and_a_hyphenated_word_are_never_cut() -> None:
    """What is copied stays whole, though it may pass the edge."""
    address = "https://example.org/" + "x" * 60
    assert Terminal(40).show([Line(f"See {address}")]).split("\n") == ["See", address]
    assert "--add-max" in Terminal(24).show([Line("gddcast weather patch --add-max")]).split("\n")


def test_a_wide_screen_is_not_used_whole() -> None:
    """The eye loses its way back from the end of long lines; a narrow one is obeyed."""
    assert Terminal.of(200).width == WIDEST == 92
    assert Terminal.of(60).width == 60


def test_emphasis_is_written_only_where_the_screen_takes_it() -> None:
    """Without it the same words and marks stand there: it carries no meaning."""
    lines = ["LOOK NOW", Line("Squash bug: eggs", status=Status.LOOK_NOW, weight="bold"),
             Line("Printed: 600 °F-days", "  ", weight="dim"), under("Look now.")]  # fmt: skip
    plain, styled = PLAIN.show(lines), Terminal(styled=True).show(lines)
    assert "\x1b" not in plain
    assert set(re.findall(r"\x1b\[(\d+)m", styled)) == {"0", "1", "2"}  # bold, dim; no colour
    assert re.sub(r"\x1b\[\d+m", "", styled) == plain


@pytest.mark.parametrize("status", Status)
def test_every_status_has_a_mark_of_its_own_in_ascii(status: Status) -> None:
    assert Terminal(shapes=False).mark(status).isascii()
    marks = [Terminal(shapes=False).mark(each) for each in Status]
    assert len(set(marks)) == len(marks)


def test_an_empty_line_of_words_is_no_line() -> None:
    """A sentence that has nothing to say leaves no gap; a gap that is wanted stays."""
    assert PLAIN.show([Line("One."), under(""), "", Line("Two.")]) == "One.\n\nTwo."


def test_columns_stand_in_line() -> None:
    assert list(table([["", "heat"], ["2026", "1,204"]], indent="  ")) == [
        "         heat",
        "  2026  1,204",
    ]


OURS = re.compile("\x1b\\[[012]m")


@given(st.text(max_size=60), st.text(max_size=20))
@settings(max_examples=300, deadline=None, derandomize=True)
def test_words_are_made_visible_before_one_is_emphasised(text: str, name: str) -> None:
    """Whatever a cell holds, what is left without our bold and dim is what a plain screen shows."""
    lines = [Line(text, strong=name), Line(f"{name} {text}", weight="dim"), text,
             Beside(name, 20, (text.replace("\n", ""),), Line(text, strong=text[:9]))]  # fmt: skip
    styled, plain = Terminal(60, styled=True).show(lines), Terminal(60).show(lines)
    assert OURS.sub("", styled) == plain
    assert "\x1b" not in plain


def test_emphasis_in_a_cell_is_no_emphasis() -> None:
    shown = Terminal(styled=True).show([Line("\x1b[1mbed\x1b[0m 3", weight="bold"), "\x1b[2mx"])
    assert shown == "\x1b[1m\\u001b[1mbed\\u001b[0m 3\x1b[0m\n\\u001b[2mx"


def test_a_date_in_a_sentence_stands_out_wherever_it_is_folded() -> None:
    line = Line("Look from Tue 16 June, on stems.", strong="Tue 16 June")
    assert Terminal(styled=True).show([line]) == "Look from \x1b[1mTue 16 June\x1b[0m, on stems."
    folded = Terminal(14, styled=True).show([line]).split("\n")
    assert folded == ["Look from \x1b[1mTue\x1b[0m", "\x1b[1m16 June\x1b[0m, on", "stems."]
    assert Terminal(styled=True).show([Line("Look now.", strong="Tue 16 June")]) == "Look now."


def test_a_name_and_what_is_said_of_it_stand_side_by_side() -> None:
    row = Beside("squash bug: eggs hatching", 14, ("..|",), Line("Look from 20 June, if warm."))
    assert Terminal(40).show([row]).split("\n") == [
        "squash bug:   ..|",
        "  eggs        Look from 20 June, if",
        "  hatching    warm.",
    ]


def test_a_screen_too_narrow_to_read_is_not_obeyed() -> None:
    assert Terminal.of(12).width == 40
