"""How days, spans, heat and counts are said."""

from __future__ import annotations

import datetime as dt

import pytest

from gddcast import words
from gddcast.words import Status


@pytest.mark.parametrize(
    ("first", "last", "said"),
    [
        ((2026, 6, 18), (2026, 6, 26), "18–26 June"),
        ((2026, 6, 18), (2026, 6, 18), "18 June"),
        ((2026, 6, 25), (2026, 7, 2), "25 June – 2 July"),
        ((2025, 12, 30), (2026, 1, 2), "30 December 2025 – 2 January 2026"),
    ],
)
def test_a_span_names_its_months_as_words(first: tuple, last: tuple, said: str) -> None:
    """Never 06/07."""
    assert words.span(dt.date(*first), dt.date(*last)) == said


def test_every_status_has_a_word_and_two_shapes_of_its_own() -> None:
    """Colour is never the only difference, on any terminal."""
    for pick in (lambda s: s.word, lambda s: s.shape, lambda s: s.ascii_shape):
        assert len({pick(status) for status in Status}) == len(Status)
    assert all(status.ascii_shape.isascii() for status in Status)


def test_both_units_stand_where_a_number_will_be_quoted() -> None:
    """757 °F-days are 420 °C-days: no 32 anywhere."""
    assert words.heat_both(420.37, "F") == "757 °F-days (420 °C-days)"
    assert words.heat_both(420.37, "C") == "420 °C-days (757 °F-days)"


def test_minus_is_a_minus_and_zero_has_no_sign() -> None:
    """−2 °F, and 0 °C rather than −0."""
    assert words.temperature(-18.889, "F") == "−2 °F"
    assert words.temperature(-0.2, "C") == "0 °C"
