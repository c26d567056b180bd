"""Visits and counts of farms as a table: who looked, when, for what, and what was found."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator

from gddcast.journal.entries import Journal, Sighting
from gddcast.text.csv_table import table_csv

COLUMNS = (
    "farm", "day", "who", "pest", "stage", "found", "sure", "bed", "plants_looked", "plants_with",
    "count", "in_trap", "nights", "note",
)  # fmt: skip
_FOUND = {"saw": "yes", "none": "no", "heard": "heard of"}


def visits_csv(farms: Iterable[tuple[str, Journal]], since: dt.date | None = None) -> str:
    """A line a look, by farm and day; what was not said is empty.

    Parameters
    ----------
    farms : iterable of (str, Journal)
        Name and journal of each.
    since : datetime.date, optional
        Earlier looks are left out.
    """
    lines: list[tuple[str, ...]] = [COLUMNS]
    for name, journal in farms:
        looks = [each for each in journal.sightings if since is None or each.seen_on >= since]
        lines += [(name, *_row(look)) for look in sorted(looks, key=lambda each: each.seen_on)]
    return table_csv(lines)


def _row(look: Sighting) -> Iterator[str]:
    yield look.seen_on.isoformat()
    yield look.by or ""
    yield look.organism
    yield look.event
    yield _FOUND[look.kind]
    yield ("yes" if look.sure else "no") if look.kind == "saw" else ""
    yield look.where or ""
    for number in (look.plants_looked, look.plants_with, look.count):
        yield "" if number is None else str(number)
    yield "yes" if look.trap else "no"
    yield "" if look.nights is None else str(look.nights)
    yield look.note or ""
