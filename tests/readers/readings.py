"""Ways for the reader tests to write a file and read it."""

import datetime as dt
from pathlib import Path
from typing import Any

import numpy as np

from gddcast.readers.reading import Options, Reading
from gddcast.readers.temperature_file import read_temperatures, temperatures_in

SAMPLES = Path(__file__).parent.parent / "samples"

#: Cells of 1–3 May 2026 that need no more than a header: 22/8, 19/4, 13/5 °C.
THREE_DAYS = ("2026-05-01,22,8", "2026-05-02,19,4", "2026-05-03,13,5")


def sample(number: int) -> Path:
    """Path of a numbered sample."""
    return next(SAMPLES.glob(f"{number:02d}_*"))


def read_sample(number: int, **told: Any) -> Reading:
    return read_temperatures(sample(number), **told)


def read_lines(*lines: str, name: str = "bed3.csv", **told: Any) -> Reading:
    """Read a file of these lines."""
    return temperatures_in("\n".join(lines).encode(), name, Options(**told))


def fahrenheit_of(reading: Reading) -> tuple[list[int], list[int]]:
    """Maxima and minima of a reading, whole °F."""
    high, low = reading.series.tmax * 9 / 5 + 32, reading.series.tmin * 9 / 5 + 32
    return np.round(high).astype(int).tolist(), np.round(low).astype(int).tolist()


def rules(reading: Reading) -> set[str]:
    """Rules that had something to say."""
    return {note.rule for note in reading.notes}


def note_of(reading: Reading, rule: str) -> str:
    """What one rule said."""
    (note,) = (note for note in reading.notes if note.rule == rule)
    return str(note)


def day(text: str) -> dt.date:
    return dt.date.fromisoformat(text)


def hourly_lines(
    first: str = "2026-05-01", days: int = 3, *, warmest: int = 15, step: int = 60
) -> list[str]:
    """A made-up log in °C: 10 at the coldest hour, 20 at the warmest, every day the same."""
    stamps = np.datetime64(first, "m") + np.arange(0, days * 1440, step)
    hour = (stamps - stamps.astype("datetime64[D]")).astype(np.int64) / 60
    warm = 15 + 5 * np.cos((hour - warmest) * np.pi / 12)
    return [
        f"{str(stamp).replace('T', ' ')},{value:.2f}"
        for stamp, value in zip(stamps, warm, strict=True)
    ]
