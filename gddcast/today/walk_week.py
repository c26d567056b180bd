"""One week of walks: its seven days, and which stages it has to look for."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace

from gddcast.crops.standing import SowingToday
from gddcast.scouting.statuses import status_on
from gddcast.scouting.windows import ScoutingWindow, without_repeats
from gddcast.today.plan import SeasonPlan
from gddcast.words import Status

#: Statuses that send a person out, in the order of walking.
_LOOK = (Status.LOOK_NOW, Status.OVERDUE)
_DUE = (*_LOOK, Status.COMING_UP)
#: The same of a week's beds: what comes up stands before what is overdue, and so a week old.
OF_WEEK = (
    Status.LOOK_NOW, Status.SEEN, Status.UNDER_WAY, Status.COMING_UP, Status.OVERDUE,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class WalkWeek:
    """Monday to Sunday.

    Examples
    --------
    >>> WalkWeek.of(dt.date(2026, 6, 18))
    WalkWeek(first=datetime.date(2026, 6, 15), last=datetime.date(2026, 6, 21))
    """

    first: dt.date
    last: dt.date

    @classmethod
    def of(cls, day: dt.date) -> WalkWeek:
        """The week a day lies in."""
        first = day - dt.timedelta(days=day.weekday())
        return cls(first, first + dt.timedelta(days=6))

    @property
    def days(self) -> tuple[dt.date, ...]:
        """Its seven days."""
        return tuple(self.first + dt.timedelta(days=ahead) for ahead in range(7))


def due_in_week(
    plan: SeasonPlan, week: WalkWeek, sowings: Sequence[SowingToday], *, lead_days: int
) -> tuple[ScoutingWindow, ...]:
    """Windows to look for in a week: look now and overdue first, then those coming up.

    Each bears the status it has when the week begins, or today's once it has begun. No date
    moves: weather that has yet to come is foretold for every week alike. A cue by the age of a
    sowing comes up in the week in which one gets that old.

    Parameters
    ----------
    plan : SeasonPlan
    week : WalkWeek
        Not over yet.
    sowings : sequence of SowingToday
        Sowings in the ground.
    lead_days : int
        As of the plan's habits.

    Returns
    -------
    tuple of ScoutingWindow
        In the plan's order; where nobody chose what to watch, first what lives on something sown.
    """
    scouting_windows = without_repeats(windows_in_week(plan, week, sowings, lead_days=lead_days))
    due = [each for each in scouting_windows if each.event.opens_looks and each.status in _DUE]
    sown = sowings if plan.watches_all else ()
    return tuple(sorted(due, key=lambda each: (each.status not in _LOOK, not _on_one(each, sown))))


def windows_in_week(
    plan: SeasonPlan, week: WalkWeek, sowings: Sequence[SowingToday], *, lead_days: int
) -> tuple[ScoutingWindow, ...]:
    """All windows of the plan, each with the status it has when the week begins, or today's."""
    day = max(plan.today, week.first)
    return tuple(_on(window, day, week, plan.today, sowings, lead_days) for window in plan.windows)


def is_of_week(window: ScoutingWindow, week: WalkWeek) -> bool:
    """Whether a stage that comes up is one to look for in the week, not after it."""
    if window.status is not Status.COMING_UP or window.opens is None:
        return True
    return window.opens <= week.last


def _on(
    window: ScoutingWindow,
    day: dt.date,
    week: WalkWeek,
    today: dt.date,
    sowings: Sequence[SowingToday],
    lead_days: int,
) -> ScoutingWindow:
    cue = window.cue
    if cue is None:
        status = status_on(window, day, lead_days=lead_days)
        return window if status is window.status else replace(window, status=status)
    if cue.after_sowing_days is None or not cue.by_age_alone or window.status is not Status.QUIET:
        return window
    later = (week.last - today).days
    hosts = (each for each in sowings if window.card.lives_on(each.names))
    if any(each.age_days + later >= cue.after_sowing_days for each in hosts):
        return replace(window, status=Status.COMING_UP)
    return window


def _on_one(window: ScoutingWindow, sowings: Sequence[SowingToday]) -> bool:
    card = window.card
    named = bool(card.hosts) or card.group == "crop"  # one without hosts lives on all, so on none
    return named and any(card.lives_on(each.names) for each in sowings)
