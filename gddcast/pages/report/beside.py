"""What a report tells beside the plan: the book's own entries, track records, what has moved."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field

from gddcast.crops.standing import SowingToday
from gddcast.journal.entries import Journal
from gddcast.outlook.changes import Change
from gddcast.skill.track_record import LeadRecord
from gddcast.today.hindsight import Stage
from gddcast.today.sowing_courses import CropCourses


@dataclass(frozen=True, slots=True)
class Beside:
    """Nothing of it where only a file is given.

    Parameters
    ----------
    has_book : bool
        Whether what is missing can be written down.
    journal : Journal
    sowings : tuple of CropCourses
        Of this season.
    there : tuple of SowingToday
        Those that stand today.
    records : mapping of Stage to LeadRecord
        How such dates did at this place before.
    since : datetime.date or None
        The day dates are held against, and what has moved them since.
    changes : mapping of Stage to Change
    in_calendar : mapping of (organism, event, clock) to date
        Days to start looking that a calendar was told.
    """

    has_book: bool = False
    journal: Journal = field(default_factory=Journal)
    sowings: tuple[CropCourses, ...] = ()
    there: tuple[SowingToday, ...] = ()
    records: Mapping[Stage, LeadRecord] = field(default_factory=dict)
    since: dt.date | None = None
    changes: Mapping[Stage, Change] = field(default_factory=dict)
    in_calendar: Mapping[tuple[str, str, str], dt.date] = field(default_factory=dict)
