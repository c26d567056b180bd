"""What a file itself says against a row: forecast, normal, failed a check of its archive."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from gddcast.errors import Refusal
from gddcast.readers.columns import NO_DAYS, meaning, words_of
from gddcast.readers.reading import Note, named_lines
from gddcast.readers.tables import Table
from gddcast.weather.series import Origin

_WORDS = {
    Origin.MEASURED: "measured observed observation obs actual recorded gemessen beobachtet mesure "
    "mesuree observe observee medido observado misurato gemeten",
    Origin.FORECAST: "forecast fcst predicted prediction vorhersage prognose prevision previsione "
    "pronostico verwachting prognos",
    Origin.MODEL: "model modelled modeled reanalysis grid modell modele",
    Origin.PATCHED: "patched estimated interpolated filled infilled geschatzt interpoliert",
    Origin.UNKNOWN: "unknown",
}
_OF_WORD = {word: origin for origin, words in _WORDS.items() for word in words.split()}

#: A text with none of these in it calls no row anything but measured.
TELLING = (*NO_DAYS, *(word for word, each in _OF_WORD.items() if each > Origin.MEASURED))

_NAMED = ("how", "origin")

#: A column with more different words than this says nothing of the kind.
MOST_WORDS = 20


def origin_column(table: Table, name: str) -> int | None:
    """Position of the column that says how each row came about, or None.

    Raises
    ------
    Refusal
        If rows are called normals or averages, or forecasts beside words that say nothing.
    """
    for at, column in enumerate(table.names):
        named = column.strip().casefold() in _NAMED
        if not named and (not _may_tell(column) or _varies(table, at)):
            continue
        cells = {row[at] for row in table.rows}
        origins = {cell: origin_of(cell) for cell in cells if cell.strip()}
        odd = sorted(cell.strip() for cell, origin in origins.items() if origin is None)
        if named and not odd:
            return at
        options = any(_speaks(cell, origin) for cell, origin in origins.items())
        if len(cells) > MOST_WORDS or not options or _has_a_footer_only(odd, origins.values()):
            continue
        if not odd:
            return at
        raise _unclear(table, at, odd, name)
    return None


def _has_a_footer_only(odd: list[str], origins: Iterable[Origin | None]) -> bool:
    """Whether a column holds numbers, and words such as "Mean" only in front of its sums."""
    numbers = [cell for cell in odd if not any(map(str.isalpha, cell))]
    return 2 * len(numbers) > len(odd) and not any(origins)


def _may_tell(column: str) -> bool:
    """Whether a column of this name may say it: one of free remarks does not."""
    remarks = {"note", "notes", "remark", "remarks", "comment", "comments", "bemerkung", "event"}
    return meaning(column).kind == "other" and not remarks & {*words_of(column)}


def _varies(table: Table, at: int) -> bool:
    """Whether a column holds more words than such a column has, told from its first rows."""
    return len({row[at] for row in table.rows[:500]}) > MOST_WORDS


def origin_of(cell: str) -> Origin | None:
    """Origin that a cell of a word or three names, the least sure of several.

    Examples
    --------
    >>> origin_of("NWS forecast").name, origin_of("Observed").name, origin_of("hail at noon")
    ('FORECAST', 'MEASURED', None)
    """
    words = words_of(cell)
    return max((_OF_WORD[word] for word in words[:4] if word in _OF_WORD), default=None)


def _speaks(cell: str, origin: Origin | None) -> bool:
    """Whether a cell says that its row was not measured on the day."""
    words = words_of(cell)
    return len(words) <= 3 and (bool(NO_DAYS & {*words}) or (origin or 0) > Origin.MEASURED)


def _unclear(table: Table, at: int, odd: list[str], name: str) -> Refusal:
    cells = [row[at].strip() for row in table.rows]
    lines = [line for line, cell in zip(table.lines, cells, strict=True) if cell in odd]
    return Refusal(
        name,
        f"column '{table.names[at]}' calls some of its rows something other than measured",
        f"{named_lines(lines, 3).capitalize()}: {', '.join(odd)[:60]}.",
        "Leave out the rows that are no measured days, or write measured or forecast in each.",
        slug="origin-unclear",
    )


def origins_in(table: Table, column: int | None) -> NDArray[np.int8]:
    """Origin each row names, 0 where it names none."""
    if column is None:
        return np.zeros(len(table.rows), np.int8)
    cells = [row[column] for row in table.rows]
    code = {cell: int(origin_of(cell) or 0) for cell in set(cells)}
    return np.fromiter(map(code.__getitem__, cells), np.int8, len(cells))


def flagged_note(failed: int) -> Note:
    """Say how many readings the archive itself doubts."""
    verb = "reading" if failed == 1 else "readings"
    tail = "is taken" if failed == 1 else "are taken"
    text = (
        f"{failed:,} {verb} failed the archive’s own checks (quality flag) and {tail} as missing."
    )
    return Note("archive-flags", text)


def failed_quality(attributes: str) -> bool:
    """Whether an attributes cell of an NCEI table carries a quality flag.

    The cell holds measurement flag, quality flag, source flag and sometimes the hour.

    Examples
    --------
    >>> failed_quality(",I,W,2400"), failed_quality(",,W")
    (True, False)
    """
    flags = attributes.split(",")
    return len(flags) > 1 and bool(flags[1].strip())
