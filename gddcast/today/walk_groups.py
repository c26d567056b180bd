"""Headings of a walk, which stages stand under each, and which are near no longer."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping

from gddcast.outlook.changes import Change, is_move
from gddcast.scouting.statuses import NEAR_DAYS
from gddcast.scouting.windows import ScoutingWindow, without_repeats
from gddcast.today.beside_dates import Stage, beside
from gddcast.today.plan import SeasonPlan
from gddcast.words import Status

#: Headings of the walk, and the statuses that stand under each.
GROUPS = {
    "look now": (Status.LOOK_NOW, Status.OVERDUE),
    "coming up": (Status.COMING_UP,),
    "still going": (Status.SEEN, Status.UNDER_WAY),
    "can't say": (Status.CANT_SAY,),
}


def grouped(plan: SeasonPlan) -> Iterator[tuple[str, list[ScoutingWindow]]]:
    """Every heading with what stands under it."""
    scouting_windows = without_repeats(plan.windows)
    for heading, statuses in GROUPS.items():
        yield heading, [each for each in scouting_windows if each.status in statuses]


def no_longer_near(
    plan: SeasonPlan, changes: Mapping[Stage, Change]
) -> Iterator[tuple[ScoutingWindow, Change]]:
    """Stages that people were told are near, and are not: they would drop out in silence."""
    shown = {status for statuses in GROUPS.values() for status in statuses}
    soon = plan.today + dt.timedelta(days=NEAR_DAYS)
    for window in plan.windows:
        change = beside(window, changes)
        if change is None or not change.announced or not is_move(change):
            continue
        if window.status in (*shown, Status.CLOSED):
            continue
        if change.before.fastest is not None and change.before.fastest <= soon:
            yield window, change
