"""What is said where nothing is to be looked for, and of a calendar that says another day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from gddcast import words
from gddcast.errors import Command, command
from gddcast.scouting.windows import ScoutingWindow, without_repeats
from gddcast.text import sentences
from gddcast.text.watching import nothing_watched
from gddcast.today.plan import SeasonPlan
from gddcast.units import Unit
from gddcast.words import Status, day

#: So many stages that can't be said are told with their reason.
_MOST = 3


def nothing_is_due(plan: SeasonPlan) -> str:
    """That nothing is due, as far as it is known; no words where something is, or nobody knows.

    A record that ends long before today gives no all-clear: `weather_so_far.behind` says so.
    """
    if not plan.watched:
        return "nothing is watched"
    statuses = {each.status for each in plan.windows}
    if plan.is_stale or statuses & {Status.LOOK_NOW, Status.OVERDUE}:
        return ""
    if Status.CANT_SAY in statuses:
        return "nothing is due, as far as can be told"
    return "nothing on your list is due"


def nothing_due(plan: SeasonPlan, show: Unit, command: Command = command) -> Iterator[str]:
    """Sentences instead of items: an empty list alone would read as "no pest is about"."""
    if not plan.watched:
        yield nothing_watched(command)
        return
    unsaid = [each for each in without_repeats(plan.windows) if each.status is Status.CANT_SAY]
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


#: A date that moves by less is left as it was told: a reminder a stage, and one a real change.
NEWS_DAYS = 3


def calendar_says(window: ScoutingWindow, was: dt.date | None, command: Command = command) -> str:
    """What a calendar that was told another day says: no day moves without a word."""
    if was is None or window.is_answered or window.opens in (None, was):
        return ""
    said = f"Your calendar says {day(was)}, told before the last weather came in"
    if window.opens is not None and abs((window.opens - was).days) < NEWS_DAYS:
        return f"{said}; for less than {NEWS_DAYS} days it is left so."
    return f"{said}. Write it again:  {command('calendar', '-o', 'reminders.ics')}"
