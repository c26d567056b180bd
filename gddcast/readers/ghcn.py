"""GHCN-Daily station files: the fixed-width ``.dly`` and the by-station CSV without a header.

Layout and flags: NOAA NCEI, GHCN-Daily readme.txt, sections III and by_station (from memory).
Values are tenths of °C; a letter as quality flag means the value failed a check of the archive.
"""

from __future__ import annotations

import re

import numpy as np

from gddcast.errors import Refusal
from gddcast.readers.date_cells import calendar_days
from gddcast.readers.days import Rows
from gddcast.readers.flags import flagged_note
from gddcast.readers.reading import Array, Days, Note, OpenQuestion, Options, Reading, named_lines
from gddcast.readers.settling import FileAbout, reading_of_rows

_FIXED = re.compile(r"^[A-Z]{2}[A-Z0-9_]{9}\d{6}[A-Z0-9]{4}(?:[ -]\d{1,4}| *-?\d+)")
_BY_STATION = re.compile(r"^[A-Z]{2}[A-Z0-9_-]{9},\d{8},[A-Z0-9]{4},-?\d+,[^,]?,[^,]?,[^,]?")

#: Length of a fixed-width line without the blanks behind a last missing day. [letters]
_WHOLE = 21 + 31 * 8 - 3

_WANTED = ("TMAX", "TMIN")

#: One reading: day, element (0 TMAX, 1 TMIN), tenths of °C, passed the archive's checks, line.
_Element = tuple[int, int, int, int, int, bool, int]


def is_station_file(text: str) -> bool:
    """Whether a text is a GHCN-Daily station file."""
    first = text[:400].lstrip("\ufeff").split("\n", 1)[0].rstrip("\r")
    return bool(_BY_STATION.match(first) or (len(first) > 200 and _FIXED.match(first)))


def read_station(text: str, name: str, options: Options) -> Reading:
    """Read a GHCN-Daily station file.

    Raises
    ------
    Refusal
        If it holds no daily maxima and minima, or several stations and nobody said which.
    """
    lines = text.lstrip("\ufeff").splitlines()
    fixed = not _BY_STATION.match(lines[0])
    station = _one_station(lines, name, options.site)
    readings = [
        reading
        for number, line in enumerate(lines, start=1)
        if line.startswith(station)
        for reading in (_fixed_width(line, number) if fixed else _by_station(line, number))
    ]
    if {each[3] for each in readings} != {0, 1}:
        raise Refusal(
            name,
            f"station {station} has no daily {' or '.join(_absent(readings))}",
            "Lines with the elements TMAX and TMIN are expected.",
            "Choose a station that measures temperature.",
            slug="column-unclear",
        )
    rows, failed = _rows(readings)
    notes = [flagged_note(failed)] if failed else []
    if broken := [at for at, line in enumerate(lines, 1) if line and not _is_whole(line, fixed)]:
        text = f"{named_lines(broken).capitalize()} breaks off: what is not whole was left out."
        notes.append(Note("cut-end", text, tuple(broken), cure="Fetch the file once more."))
    layout = "GHCN-Daily .dly" if fixed else "GHCN-Daily CSV by station"
    about = FileAbout(
        name,
        ("day", "TMAX", "TMIN"),
        (f"{layout}, station {station}", "Dates year first"),
        tuple(notes),
        "tenths-C",
        "format",
        site=station,
        sites=(station,),
    )
    return reading_of_rows(rows, about, options)


def _is_whole(line: str, fixed: bool) -> bool:
    return len(line) >= _WHOLE if fixed else len(line.split(",")) > 6


def _absent(readings: list[_Element]) -> list[str]:
    elements = {each[3] for each in readings}
    return [word for at, word in enumerate(("maxima", "minima")) if at not in elements]


def _one_station(lines: list[str], name: str, wanted: str | None) -> str:
    stations = list(dict.fromkeys(line[:11] for line in lines if len(line) > 20))
    if wanted is not None and wanted.strip().upper() in stations:
        return wanted.strip().upper()
    if len(stations) == 1 and wanted is None:
        return stations[0]
    raise OpenQuestion(
        name,
        f"it holds {len(stations)} stations" if wanted is None else f"it has no station '{wanted}'",
        f"They are {', '.join(stations[:8])}. Two thermometers are never averaged.",
        "Say which one:",
        option="site",
        answer=stations[0],
        choices=stations,
        conflict=wanted is not None,
        slug="several-sites",
    )


def _by_station(line: str, number: int) -> list[_Element]:
    cells = line.split(",")
    if len(cells) < 7 or cells[2] not in _WANTED or not cells[6].strip():
        return []  # a reading always names its source: without one the line is broken off
    try:
        year, month, day = int(cells[1][:4]), int(cells[1][4:6]), int(cells[1][6:8])
        value = int(cells[3])
    except ValueError:
        return []
    passed = not cells[5].strip() and abs(value) < 9999
    return [(year, month, day, _WANTED.index(cells[2]), value, passed, number)]


def _fixed_width(line: str, number: int) -> list[_Element]:
    """A month of one element: 31 values of five digits, each with three flags."""
    element = line[17:21]
    if element not in _WANTED:
        return []
    readings: list[_Element] = []
    for day in range(31):
        field = line[21 + 8 * day : 29 + 8 * day]
        try:
            year, month, value = int(line[11:15]), int(line[15:17]), int(field[:5])
        except ValueError:
            continue
        # A reading always has a source flag behind it: a shorter field is a line broken off.
        if value != -9999 and len(field) == 8:
            passed = field[6] == " "
            readings.append((year, month, day + 1, _WANTED.index(element), value, passed, number))
    return readings


def _rows(readings: list[_Element]) -> tuple[Rows, int]:
    """Rows of one extreme each, which the days bring together; how many failed the checks."""
    year, month, day, element, _, passed, line = (
        np.array([each[at] for each in readings]) for at in range(7)
    )
    value = np.array([each[4] for each in readings], np.float64)
    days: Days = calendar_days(year.astype(np.int64), month.astype(np.int64), day.astype(np.int64))
    real = ~np.isnat(days)
    value = np.where(passed.astype(bool), value, np.nan)
    high: Array = np.where(element == 0, value, np.nan)
    low: Array = np.where(element == 1, value, np.nan)
    rows = Rows(days, high, low, line.tolist(), np.zeros(days.size, np.int8)).where(real)
    return rows, int(np.count_nonzero(~passed.astype(bool)))
