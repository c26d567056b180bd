"""Days that are known, files written from them, and what a reader may make of such a file."""

from __future__ import annotations

import shlex
from collections.abc import Callable, Iterable
from unittest import mock

import numpy as np

from gddcast.errors import Refusal
from gddcast.readers import sweeping
from gddcast.readers.reading import Options, Reading
from gddcast.readers.temperature_file import temperatures_in

#: Twenty days of May: what the thermometer showed. [°C]
DAYS = np.arange("2026-05-01", "2026-05-21", dtype="datetime64[D]")
_chance = np.random.default_rng(14)
HIGH = np.round(_chance.uniform(16, 27, DAYS.size), 1)
LOW = np.round(HIGH - _chance.uniform(7, 12, DAYS.size), 1)

#: Columns of something else beside them.
ABOVE, BELOW = HIGH + 3.0, LOW + 3.0


def fahrenheit(values: np.ndarray) -> np.ndarray:
    return np.round(values * 1.8 + 32, 2)


def rows(*columns: Iterable[object], days: Iterable[object] = DAYS, mark: str = ",") -> list[str]:
    """Lines of a day and its cells."""
    return [mark.join(str(cell) for cell in cells) for cells in zip(days, *columns, strict=True)]


def half_hours(change: Callable[[int], float] = lambda _: 0.0) -> list[tuple[str, float]]:
    """A log whose days have these extremes: lowest at 5 h, highest at 15 h. [°C]"""
    found = []
    for day, high, low in zip(DAYS, HIGH, LOW, strict=True):
        for half in range(48):
            warmth = {30: high, 10: low}.get(half, (high + low) / 2)
            found.append((f"{day} {half // 2:02d}:{half % 2 * 30:02d}", warmth + change(half)))
    return found


def outcome(lines: Iterable[str], *, name: str = "bed3.csv", **told: object) -> Reading | Refusal:
    """What becomes of a file, read both ways: swept where it can be, and cell by cell."""
    raw = "\n".join(lines).encode()
    answers: list[Reading | Refusal] = []
    for worth in (0, 10**9):
        with mock.patch.object(sweeping, "WORTH_SWEEPING", worth):
            try:
                answers.append(temperatures_in(raw, name, Options(**told)))  # type: ignore[arg-type]
            except Refusal as refusal:
                answers.append(refusal)
    swept, careful = answers
    assert isinstance(swept, Refusal) == isinstance(careful, Refusal), (swept, careful)
    if isinstance(swept, Reading) and isinstance(careful, Reading):
        np.testing.assert_array_equal(swept.series.tmax, careful.series.tmax)
        np.testing.assert_array_equal(swept.series.tmin, careful.series.tmin)
        np.testing.assert_array_equal(swept.series.origin, careful.series.origin)
    else:
        assert str(swept) == str(careful)
    return swept


def assert_true_days(read: Reading | Refusal, *, within: float = 0.006) -> None:
    """The days read are those written, all of them, to the rounding of the file."""
    assert isinstance(read, Reading), read
    np.testing.assert_array_equal(read.series.dates, DAYS)
    np.testing.assert_allclose(read.series.tmax, HIGH, rtol=0, atol=within)
    np.testing.assert_allclose(read.series.tmin, LOW, rtol=0, atol=within)


def assert_asked(read: Reading | Refusal, *flags: str) -> Refusal:
    """The file was not read, and the refusal names all of these flags as its cure."""
    assert isinstance(read, Refusal), read.understood
    assert read.cure
    assert shlex.split(read.flag or "") == list(flags), read
    return read
