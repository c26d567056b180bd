"""The rows of a sheet as a table to fill in at a desk; their numbers are those on the paper."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from gddcast.crops.standing import SowingToday, beds_with
from gddcast.journal.walk_rows import COLUMNS
from gddcast.scouting.windows import ScoutingWindow

#: A spreadsheet runs a cell that begins so; an apostrophe makes it words again (OWASP, "CSV
#: injection", read from memory).
_FORMULA = tuple("=+-@\t\r'")


def sheet_table(due: Iterable[ScoutingWindow], there: Sequence[SowingToday]) -> str:
    """A row for each pest to look for, and each bed it lives in; what was seen is left empty.

    Parameters
    ----------
    due : iterable of ScoutingWindow
        In the order of the sheet: the first ones have a row on paper.
    there : sequence of SowingToday
        Sowings in the ground.
    """
    page = io.StringIO(newline="")
    writer = csv.writer(page)
    writer.writerow(COLUMNS)
    for number, window in enumerate(due, 1):
        if window.card.group != "pest":
            continue
        for bed in beds_with(window.card, there) or ("",):
            cell = f"'{bed}" if bed.startswith(_FORMULA) else bed
            given = (str(number), window.card.key, window.event.key, cell)
            writer.writerow((*given, *[""] * (len(COLUMNS) - len(given))))
    return page.getvalue()
