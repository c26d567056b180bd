"""A find long before any past year would bring it: early indeed, or a slip of the day or the name.

Kept when the person is sure, for the first of a year is worth most; asked, for a wrong one
restarts every clock behind it.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from gddcast.journal.entries import Sighting
from gddcast.today.plan import SeasonPlan

#: So many days before the fastest past year a find is asked about (our own choice, no source).
EARLY_DAYS = 20


@dataclass(frozen=True, slots=True)
class EarlyFind:
    """The day the fastest past year gives, and how many days the find lies before it."""

    fastest: dt.date
    days: int


def early_find(plan: SeasonPlan, find: Sighting) -> EarlyFind | None:
    """Whether a find lies far before its stage; None too where no date says so.

    Parameters
    ----------
    plan : SeasonPlan
        As it stood before the find.
    find : Sighting

    Returns
    -------
    EarlyFind or None
    """
    days = [
        window.fastest
        for window in plan.windows
        if (window.card.key, window.event.key) == (find.organism, find.event)
        and window.fastest is not None
    ]
    if find.kind != "saw" or not days or not plan.season.first <= find.seen_on <= plan.season.last:
        return None
    early = (min(days) - find.seen_on).days
    return EarlyFind(min(days), early) if early >= EARLY_DAYS else None
