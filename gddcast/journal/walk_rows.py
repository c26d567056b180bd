"""The rows of a scouting sheet to fill in: what each column holds, and what a filled row says.

The number of a row is the one printed on the sheet, so that paper and table agree.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import replace

from gddcast.cards.model import Card
from gddcast.journal.entries import Sighting
from gddcast.journal.finds import WANDERING

#: Columns of the table, in order.
COLUMNS = ("number", "pest", "stage", "bed", "day", "looked", "saw", "count", "note")
#: Nobody counts further.
MOST = 1_000_000

_NONE = ("no", "none", "n", "-", "–")
_SOME = ("yes", "y", "x")


def is_empty(cells: Mapping[str, str]) -> bool:
    """Whether nothing was filled in: nobody looked."""
    return not any(cells.get(name) for name in ("looked", "saw", "count"))


def sighting_in(cells: Mapping[str, str], card: Card, day: dt.date) -> Sighting:
    """What a filled row says.

    Parameters
    ----------
    cells : mapping of str to str
        By column, without spaces around.
    card : Card
        Of its pest.
    day : datetime.date
        Of looking.

    Returns
    -------
    Sighting

    Raises
    ------
    ValueError
        If the row contradicts itself or leaves out what it needs: "found …; expected …".
    """
    looked, count = (_number(cells, name) for name in ("looked", "count"))
    saw = cells.get("saw", "").lower()
    found = None if saw in (*_NONE, *_SOME) else _number(cells, "saw")
    none = saw in _NONE or found == 0
    if not saw and not count:
        raise ValueError("found saw empty; expected how many plants had it, 0 for none")
    if none and count:
        raise ValueError(f"found saw {saw} and count {count}; expected one of them")
    if found and looked is None:
        raise ValueError(f"found saw {saw} and looked empty; expected on how many plants, or yes")
    if found is not None and looked is not None and found > looked:
        raise ValueError(f"found saw {found} of {looked} looked at; expected no more than these")
    with_ = (0 if none else found) if looked else None
    row = Sighting(
        card.key, "", day, where=cells.get("bed") or None, note=cells.get("note") or None,
        plants_looked=looked or None, plants_with=with_,
    )  # fmt: skip
    if none:
        return replace(row, kind="none")
    stage = _stage(cells.get("stage", ""), card)
    stray = count == 1 and stage in WANDERING  # as of one logged alone
    return replace(row, event=stage, sure=not stray, count=count)


def _number(cells: Mapping[str, str], name: str) -> int | None:
    cell = cells.get(name, "")
    if not cell:
        return None
    if not (cell.isascii() and cell.isdigit() and int(cell[:8]) <= MOST and len(cell) <= 8):
        words = " (or yes, or no)" if name == "saw" else ""
        raise ValueError(f'found {name} "{cell}"; expected a whole number{words}')
    return int(cell)


def _stage(word: str, card: Card) -> str:
    key = word.lower().replace(" ", "-").replace("_", "-")
    event = card.event(key)
    if event is None or not (event in card.finds or any(card.follows(key))):
        finds = ", ".join(each.key for each in card.finds)
        raise ValueError(f'found stage "{word}"; expected one of {finds}')
    return key
