"""Rows that a file itself calls forecast, model or normal are not taken for measured."""

import numpy as np
import pytest

from gddcast.readers.reading import Reading
from gddcast.weather.series import Origin
from tests.readers.known_days import HIGH, LOW, assert_asked, assert_true_days, outcome, rows


def lines_with(column: str, late: str, early: str = "observed") -> list[str]:
    words = [early] * 15 + [late] * 5
    return [f"date,max_c,min_c,{column}", *rows(HIGH, LOW, words)]


@pytest.mark.parametrize("column", ["type", "source", "status", "how", "origin", "kind"])
@pytest.mark.parametrize(
    ("word", "origin"),
    [
        ("forecast", Origin.FORECAST),
        ("Forecast", Origin.FORECAST),
        ("county forecast", Origin.FORECAST),
        ("Vorhersage", Origin.FORECAST),
        ("prévision", Origin.FORECAST),
        ("model", Origin.MODEL),
        ("estimated", Origin.PATCHED),
    ],
)
@pytest.mark.parametrize("early", ["observed", ""])
def test_rows_are_what_the_file_calls_them(
    column: str, word: str, origin: Origin, early: str
) -> None:
    read = outcome(lines_with(column, word, early))

    assert_true_days(read)
    assert isinstance(read, Reading)
    assert read.series.origin.tolist() == [Origin.MEASURED] * 15 + [origin] * 5


@pytest.mark.parametrize("word", ["normal", "average", "climatology", "30-yr normal"])
def test_rows_called_normals_are_refused(word: str) -> None:
    refusal = assert_asked(outcome(lines_with("type", word)))
    assert "Lines 17, 18, 19 and 2 more" in refusal.expected


@pytest.mark.parametrize("column", ["notes", "remark", "weather"])
def test_remarks_say_nothing_of_origins(column: str) -> None:
    remark = "hail; the forecast had said so"
    read = outcome(lines_with(column, remark, ""))

    assert_true_days(read)
    assert isinstance(read, Reading)
    assert (read.series.origin == Origin.MEASURED).all()


def test_words_far_below_in_a_large_file_are_read_too() -> None:
    """A large clean file is swept: a word below its first rows must not be passed over."""
    days = np.arange("2020-01-01", "2026-01-01", dtype="datetime64[D]")
    words = [""] * (days.size - 3) + ["forecast"] * 3
    high = np.full(days.size, 20.5)
    read = outcome(["date,max_c,min_c,type", *rows(high, high - 9, words, days=days)])

    assert isinstance(read, Reading)
    assert np.flatnonzero(read.series.origin == Origin.FORECAST).tolist() == [
        days.size - 3, days.size - 2, days.size - 1,
    ]  # fmt: skip
