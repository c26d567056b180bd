"""The day a calendar was told, where it is another than today's answer."""

from __future__ import annotations

import datetime as dt

from gddcast.scouting.windows import ScoutingWindow
from gddcast.words import day

#: A date that moves by less is left as it was told: a reminder a stage, and one a real change.
NEWS_DAYS = 3


def calendar_says(window: ScoutingWindow, was: dt.date | None) -> str:
    """What a calendar that was told another day says: no day moves without a word."""
    if was is None or window.found is not None or window.opens in (None, was):
        return ""
    said = f"Your calendar says {day(was)}, told before the last weather came in"
    if window.opens is not None and abs((window.opens - was).days) < NEWS_DAYS:
        return f"{said}; for less than {NEWS_DAYS} days it is left so."
    return f"{said}. Write it again:  gddcast calendar -o reminders.ics"
