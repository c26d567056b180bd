"""Door for rearing data: a CSV with a temperature, the days a stage took, and how many there were.

The scale is named in the header (``temperature_C``, ``Temp (°F)``) or stated by the caller; it is
never guessed. A rate column may stand for the days, and ``none`` for jars where nobody finished.
"""

from __future__ import annotations

import csv
import re
from pathlib import Path

from gddcast.errors import Refusal
from gddcast.readers.opening import bytes_of, is_remark
from gddcast.rearing.fit import Rearing
from gddcast.units import Unit, number_in, to_celsius

#: A line a jar; nobody keeps so many. [bytes]
LARGEST = 1_000_000

_TEMPERATURE = re.compile(r"^t(emp(erature)?)?\b[\s_(\[°]*(deg)?[\s_]*([cf])?(elsius|ahrenheit)?\b")
_DAYS = re.compile(r"^(days?|duration|time)\b")
_RATE = re.compile(r"^(rate|development rate)\b")
_COUNT = re.compile(r"^(n|number|count|insects|finished)\b")
#: What people write where no insect finished the stage.
_NOBODY = frozenset({"none", "nobody", "died", "all died", "no development"})


def read_rearing(path: str | Path, *, unit: Unit | None = None) -> Rearing:
    """Jars of a rearing file.

    Parameters
    ----------
    path : str or Path
        CSV with columns ``temperature``, ``days`` (or ``rate``) and, if known, ``n``; lines that
        begin with # are skipped.
    unit : {"F", "C"}, optional
        Scale of the temperatures, where the header does not name it.

    Raises
    ------
    Refusal
        If scale or columns cannot be settled, or a cell is not a number; with the line.
    """
    path = Path(path)
    rows = _rows(path)
    (header_line, header), body = rows[0], rows[1:]
    columns = _columns(path.name, header_line, header)
    scale = _scale(path.name, header[columns["temperature"]], unit)
    jars = []
    for line, cells in body:
        cells += [""] * (len(header) - len(cells))
        jars.append(_jar(path.name, line, cells, columns))
    if not jars:
        raise _refuse(path.name, "it has a header and no jars", "Each line below it is one jar.")
    temperatures, days, counts = zip(*jars, strict=True)
    return Rearing(
        [to_celsius(each, scale) for each in temperatures],  # type: ignore[arg-type]
        days,  # type: ignore[arg-type]
        None if None in counts else counts,  # type: ignore[arg-type]
        source=path.name,
    )


def _refuse(where: str, fault: str, expected: str, cure: str = "", **more: str) -> Refusal:
    cure = cure or "Columns: temperature, days, and n if you counted."
    return Refusal(where, fault, expected, cure, **{"slug": "rearing-file", **more})


def _rows(path: Path) -> list[tuple[int, list[str]]]:
    try:
        raw = bytes_of(path, LARGEST)
    except FileNotFoundError:
        raise _refuse(path.name, "there is no such file", f"Looked in {path.parent}.") from None
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        raise _refuse(path.name, f"it can’t be read: {why}", "A CSV file is expected.") from None
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = raw.decode("cp1252", errors="replace")
    lines = [
        (number, line)
        for number, line in enumerate(text.splitlines(), start=1)
        if line.strip() and not is_remark(line)
    ]
    if not lines:
        raise _refuse(path.name, "it is empty", "A header and one line for each jar are needed.")
    first = lines[0][1]
    comma = max(",;\t", key=first.count)
    rows = []
    for number, line in lines:
        try:
            cells = next(csv.reader([line], delimiter=comma))
        except csv.Error:
            raise _refuse(
                f"{path.name}, line {number}", "a cell there does not end",
                f"It begins with “{line[:40]}”.", "Correct the line, or put a # before it.",
            ) from None  # fmt: skip
        rows.append((number, [cell.strip() for cell in cells]))
    return rows


def _columns(name: str, line: int, header: list[str]) -> dict[str, int]:
    words = [re.sub(r"_", " ", cell.lower()) for cell in header]
    found: dict[str, int] = {}
    patterns = {"temperature": _TEMPERATURE, "days": _DAYS, "rate": _RATE, "n": _COUNT}
    for key, pattern in patterns.items():
        hits = [index for index, word in enumerate(words) if pattern.match(word)]
        if len(hits) > 1:
            raise _refuse(
                f"{name}, line {line}", f"{len(hits)} columns could be the {key}",
                f"They are {', '.join(header[hit] for hit in hits)}.", "Keep one of them.",
            )  # fmt: skip
        if hits:
            found[key] = hits[0]
    if "temperature" not in found or ("days" in found) == ("rate" in found):
        raise _refuse(
            f"{name}, line {line}",
            f"its columns are {', '.join(header)}",
            "A temperature and either days or a rate a day are needed.",
        )
    return found


def _scale(name: str, heading: str, unit: Unit | None) -> Unit:
    match = _TEMPERATURE.match(heading.lower().replace("_", " "))
    letter = match[4].upper() if match and match[4] else None
    if letter and unit and letter != unit:
        raise _refuse(
            name, f"you say °{unit} and its header says °{letter}",
            f"The column is called “{heading}”.", "Correct one of the two.", slug="unit-conflict",
        )  # fmt: skip
    stated = unit or letter
    if stated is None:
        raise _refuse(
            name,
            "it doesn’t say whether its temperatures are °F or °C",
            f"The column is called “{heading}”.",
            "Say which with --unit, or call the column temperature_C or temperature_F.",
            slug="unit-missing",
        )
    return "F" if stated == "F" else "C"


def _jar(
    name: str, line: int, cells: list[str], columns: dict[str, int]
) -> tuple[float, float, float | None]:
    def number(key: str) -> float:
        cell = cells[columns[key]]
        try:
            return number_in(cell.replace("−", "-").replace(",", "."))
        except ValueError:
            raise _refuse(
                f"{name}, line {line}", f"“{cell}” stands under {key}",
                "A number is expected; “none” where nobody finished the stage.",
                "Correct the cell, or put a # before the line to leave the jar out.",
            ) from None  # fmt: skip

    temperature = number("temperature")
    count = number("n") if "n" in columns and cells[columns["n"]] else None
    duration = "days" if "days" in columns else "rate"
    if cells[columns[duration]].lower() in _NOBODY:
        return temperature, float("inf"), count if count is None or count > 0 else 1.0
    value = number(duration)
    if duration == "rate":
        value = 1.0 / value if value > 0 else float("inf")
    if not value > 0:
        raise _refuse(
            f"{name}, line {line}", f"{value:g} days stands there", "A stage takes some time.",
            "Correct the cell; write “none” where nobody finished the stage.",
        )  # fmt: skip
    return temperature, value, count
