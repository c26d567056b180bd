"""Door for past forecasts: a CSV that says, beside each day foretold, when that was issued.

``issued,date,max_f,min_f`` (or ``_c``), days as 2026-06-11, one row for each day of each forecast;
lines that begin with # are skipped. The sheet ``forecast_day.csv`` of an exported book is one.
"""

from __future__ import annotations

import csv
import datetime as dt
import re
from pathlib import Path

from gddcast.errors import Refusal
from gddcast.limits import COLDEST_AIR, HOTTEST_AIR
from gddcast.outlook.forecast_archive import ForecastArchive
from gddcast.readers.opening import bytes_of, decoded, is_remark
from gddcast.units import Unit, number_in, to_celsius

_COLUMNS = "Its columns are to be issued, date, max_f and min_f (or max_c and min_c)."
_NAMES = {
    "issued": re.compile(r"issued(_on)?"),
    "day": re.compile(r"date|day"),
    "max": re.compile(r"(t?max|high)_([cf])"),
    "min": re.compile(r"(t?min|low)_([cf])"),
}
_WORDS = {
    "issued": "day of issue", "day": "day foretold", "max": "maximum", "min": "minimum",
}  # fmt: skip

Row = tuple[str, str, float, float]


def says_when_issued(path: str | Path) -> bool:
    """Whether a file is one of past forecasts: its header has a column ``issued``."""
    path = Path(path)
    if path.suffix.casefold() not in (".csv", ".txt") or not path.is_file():
        return False
    with path.open("rb") as file:
        head = file.read(10_000).decode("utf-8-sig", errors="replace")
    header = next((line for line in head.splitlines() if not line.startswith("#")), "")
    return any(_NAMES["issued"].fullmatch(cell) for cell in _cells(header))


def read_forecasts(path: str | Path) -> ForecastArchive:
    """Every forecast of a file.

    Raises
    ------
    Refusal
        If columns or the scale cannot be settled, or a row makes no sense: with its line.
    """
    path = Path(path)
    try:
        raw = bytes_of(path)
    except OSError as error:
        raise _refused(str(path), (error.strerror or "it can’t be read").lower()) from None
    lines = [
        (number, line)
        for number, line in enumerate(decoded(raw, path.name, _COLUMNS).text.splitlines(), start=1)
        if line.strip() and not is_remark(line)
    ]
    header = _cells(lines[0][1]) if lines else []
    place, unit = _places(path.name, header)
    found, faults = [], []
    for number, line in lines[1:]:
        cells = next(csv.reader([line]))
        try:
            found.append(_row([cells[at].strip() for at in place], unit))
        except (ValueError, IndexError) as wrong:
            faults.append(f"line {number} “{line}”: {_problem(wrong)}")
    if faults:
        more = f"; and {len(faults) - 3} lines more" if len(faults) > 3 else ""
        raise Refusal(
            path.name,
            "it has a row that is no forecast" if len(faults) == 1 else
            f"{len(faults)} of its rows are no forecast",
            "; ".join(faults[:3]) + more + ".",
            "Mend those rows, or put a # before them.",
            slug="forecast-rows",
        )  # fmt: skip
    if not found:
        raise _refused(path.name, "it has no row")
    return ForecastArchive.of(found)


def _cells(header: str) -> list[str]:
    return [cell.strip().casefold() for cell in next(csv.reader([header]), [])]


def _places(name: str, header: list[str]) -> tuple[list[int], Unit]:
    """Where issue, day, maximum and minimum stand, and their scale."""
    place, scales = [], set()
    for wanted, pattern in _NAMES.items():
        hits = [at for at, cell in enumerate(header) if pattern.fullmatch(cell)]
        if len(hits) != 1:
            some = f"{len(hits)} columns could be" if hits else "no column is"
            raise _refused(name, f"{some} the {_WORDS[wanted]}")
        place.append(hits[0])
        if wanted in ("max", "min"):
            scales.add(header[hits[0]][-1])
    if len(scales) > 1:
        raise _refused(name, "one of its columns is in °F and one in °C")
    return place, "F" if scales == {"f"} else "C"


def _row(cells: list[str], unit: Unit) -> Row:
    issued, day = (dt.date.fromisoformat(cell) for cell in cells[:2])
    high, low = (float(to_celsius(number_in(cell), unit)) for cell in cells[2:])
    if day < issued:
        raise ValueError("the day lies before the day it was issued")
    if not COLDEST_AIR <= low <= high <= HOTTEST_AIR:
        raise ValueError("no day of that minimum and maximum")
    return issued.isoformat(), day.isoformat(), low, high


def _problem(wrong: Exception) -> str:
    if isinstance(wrong, IndexError):
        return "too few cells"
    text = str(wrong)
    if "isoformat" in text:
        return "a day is written as 2026-06-11"
    return "a temperature is a number" if "convert" in text else text


def _refused(where: str, fault: str) -> Refusal:
    return Refusal(
        where, fault, _COLUMNS,
        "Name the columns so, one row for each day of each forecast.", slug="forecast-file",
    )  # fmt: skip
