"""What to say where nothing is to be looked for: what can't be said and why, what comes next."""

from __future__ import annotations

from collections.abc import Iterator

from gddcast import words
from gddcast.scouting.windows import told_once
from gddcast.text import sentences
from gddcast.today.plan import SeasonPlan
from gddcast.units import Unit
from gddcast.words import Status

#: So many stages that can't be said are told with their reason.
_MOST = 3


def nothing_is_due(plan: SeasonPlan) -> str:
    """That nothing is due, as far as it is known; no words where something is, or nobody knows.

    A record that ends long before today gives no all-clear: `sentences.behind` says so.
    """
    statuses = {each.status for each in plan.windows}
    if plan.is_stale or statuses & {Status.LOOK_NOW, Status.OVERDUE}:
        return ""
    if Status.CANT_SAY in statuses:
        return "nothing of what can be said is due"
    return "nothing on your list is due"


def nothing_due(plan: SeasonPlan, show: Unit) -> Iterator[str]:
    """Sentences instead of items: an empty list alone would read as "no pest is about"."""
    unsaid = [each for each in told_once(plan.windows) if each.status is Status.CANT_SAY]
    for each in unsaid[:_MOST]:
        yield f"{each.status.shape} {sentences.title(each)}. {sentences.when(each, show)}"
    if len(unsaid) > _MOST:
        yield f"Of {len(unsaid) - _MOST} more nothing can be said."
    ahead = [each for each in plan.windows if each.opens is not None and each.opens > plan.today]
    first = min(ahead, key=lambda each: each.opens or plan.season.last, default=None)
    if first is not None and first.opens is not None:
        yield f"Next: {sentences.title(first)}. Look from {words.day(first.opens)}."
    elif not unsaid:
        yield "No stage on your list has a date still to come this season."
