"""The quick way through a large clean table gives what the careful way gives, or gives way."""

from unittest import mock

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gddcast.errors import Refusal
from gddcast.readers import sweeping
from gddcast.readers.reading import Options, Reading
from gddcast.readers.temperature_file import temperatures_in
from tests.readers.readings import SAMPLES, hourly_lines


def both_ways(raw: bytes, told: Options) -> tuple[Reading | str, Reading | str]:
    answers: list[Reading | str] = []
    for worth in (0, 10**9):
        with mock.patch.object(sweeping, "WORTH_SWEEPING", worth):
            try:
                answers.append(temperatures_in(raw, "bed3.csv", told))
            except Refusal as refusal:
                answers.append(str(refusal))
    return answers[0], answers[1]


def assert_same(swept: Reading | str, careful: Reading | str) -> None:
    if isinstance(swept, str) or isinstance(careful, str):
        assert swept == careful
        return
    assert swept.understood == careful.understood
    assert swept.notes == careful.notes
    assert swept.series.first == careful.series.first
    for name in ("tmin", "tmax", "origin"):
        np.testing.assert_array_equal(getattr(swept.series, name), getattr(careful.series, name))


@pytest.mark.parametrize("path", sorted(SAMPLES.glob("*.csv")), ids=lambda path: path.stem)
def test_every_sample_reads_the_same_both_ways(path) -> None:  # type: ignore[no-untyped-def]
    assert_same(*both_ways(path.read_bytes(), Options()))


@pytest.mark.parametrize("mark", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_a_log_is_swept(mark: str, end: str) -> None:
    raw = end.join(["time,temp_c", *hourly_lines(days=40)]).replace(",", mark).encode()
    found = sweeping.sweep(raw.decode(), "log.csv", Options())

    assert found is None  # 40 days are too few to be worth it
    with mock.patch.object(sweeping, "WORTH_SWEEPING", 0):
        assert sweeping.sweep(raw.decode(), "log.csv", Options()) is not None
    assert_same(*both_ways(raw, Options()))


NUMBERS = st.one_of(
    st.decimals(-60, 50, places=1).map(str),
    st.integers(-50, 45).map(str),
    st.sampled_from(
        ["-9999", "", "M", "-.5", "5.", ".", "-", "1e1", "--3", "1.2.3", "+4", "99999999"]
    ),
)


@settings(derandomize=True, max_examples=300, deadline=None)
@given(st.lists(st.tuples(NUMBERS, NUMBERS), min_size=1, max_size=30), st.integers(0, 40))
def test_any_cells_read_the_same_both_ways(cells: list[tuple[str, str]], odd: int) -> None:
    days = np.datetime64("2026-05-01") + np.arange(len(cells))
    lines = [f"{d},{x},{n}" for d, (x, n) in zip(days, cells, strict=True)]
    if odd < len(lines):
        lines[odd] = lines[odd].replace("-", "/", 1)
    assert_same(*both_ways("\n".join(["date,max_c,min_c", *lines]).encode(), Options()))


def test_plain_numbers_are_the_doubles_that_python_reads() -> None:
    texts = [f"{value / 100:.2f}" for value in range(-6000, 6000, 7)]
    letters = np.frombuffer((",".join(texts) + ",").encode(), np.uint8)
    ends = np.flatnonzero(letters == ord(","))
    begins = np.concatenate(([0], ends[:-1] + 1))

    numbers = sweeping._numbers(letters, begins, ends)

    np.testing.assert_array_equal(numbers, [float(text) for text in texts])


def test_a_sign_next_to_the_digits_is_none() -> None:
    """A colon stands right behind the nine in ASCII."""
    days = [f"2026-05-{day:02d},21.5,8.0" for day in range(1, 29)]
    days[9] = "2026-05-10,2:.5,8.0"
    swept, careful = both_ways("\n".join(["date,max_c,min_c", *days]).encode(), Options())
    assert_same(swept, careful)
    assert isinstance(swept, Reading)
    assert np.isnan(swept.series.tmax[9])


def test_decimal_commas_between_commas_are_asked_about_both_ways() -> None:
    """21,5 is no 21 beside a 5; a sweep that reads it so would be wrong in silence."""
    rows = [f"2026-05-{at + 1:02d},{20 + at % 9},{at % 10},{4 + at % 7},{at % 8}"
            for at in range(28)]  # fmt: skip
    raw = "\n".join(["date,max_c,min_c,rain,snow", *rows]).encode()
    swept, careful = both_ways(raw, Options())
    assert swept == careful
    assert "a decimal comma between commas" in str(careful)
