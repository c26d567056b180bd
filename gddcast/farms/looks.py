"""Which stages of a farm wait for a look, from which day, and when somebody last looked."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from gddcast.journal.entries import Journal
from gddcast.scouting.windows import WEEKLY, ScoutingWindow, without_repeats
from gddcast.today.plan import SeasonPlan
from gddcast.weather.series import Season
from gddcast.words import Status

_DUE = (Status.LOOK_NOW, Status.OVERDUE)
_TO_COME = (Status.COMING_UP, Status.BUILDING, Status.QUIET)


@dataclass(frozen=True, slots=True)
class Due:
    """A stage to look for.

    Parameters
    ----------
    window : ScoutingWindow
    day : datetime.date
        From which to look; where somebody looked and found none, on which to look again.
    looked_on : datetime.date, optional
        Last clean look since its window opened.
    """

    window: ScoutingWindow
    day: dt.date
    looked_on: dt.date | None = None


@dataclass(frozen=True, slots=True)
class LastLook:
    """The last day somebody looked, and who, where that was logged."""

    day: dt.date
    by: str | None = None


def due_looks(plan: SeasonPlan) -> tuple[Due, ...]:
    """Stages that open a look and were not found yet, by the day to look.

    A clean look puts a stage off by the days between two looks.
    """
    dues = []
    for window in without_repeats(plan.windows):
        now = window.status in _DUE
        coming = window.status in _TO_COME and window.event.opens_looks
        opens = window.opens or (plan.today if now else None)
        if opens is None or not (now or coming):
            continue
        if now and window.looked and window.clean_on is not None:
            again = window.clean_on + dt.timedelta(days=window.every_days or WEEKLY)
            dues.append(Due(window, again, window.clean_on))
        else:
            dues.append(Due(window, opens))
    return tuple(sorted(dues, key=lambda each: (each.day, each.looked_on is not None)))


def last_look(journal: Journal, season: Season, today: dt.date) -> LastLook | None:
    """The last look of this season, at plants or into a trap; what was only heard is none."""
    looks = [
        (each.seen_on, each.by) for each in journal.sightings
        if each.kind in ("saw", "none") and season.first <= each.seen_on <= today
    ]  # fmt: skip
    return LastLook(*max(looks, key=lambda each: each[0])) if looks else None
