"""What puts a stage away: a person, the time its card says it lasts, its plants, hard frost."""

from __future__ import annotations

from dataclasses import replace

from gddcast.scouting.windows import ScoutingWindow
from gddcast.today.garden import Garden
from gddcast.words import Status, day, of_past_years


def closed(window: ScoutingWindow, garden: Garden) -> ScoutingWindow:
    """The window, put away where a person closed its stage, or it has lasted its time."""
    until, over = window.goes_on_until, window.over or _over(window, garden)
    if over or (until is not None and until[1] < garden.today):
        window = replace(window, status=Status.CLOSED, over=over)
    closing = garden.journal.closing(
        window.card.key, window.event.key, garden.season.first, garden.today
    )
    if closing is None:
        return window
    return replace(window, status=Status.CLOSED, closed_on=closing.closed_on)


def _over(window: ScoutingWindow, garden: Garden) -> str | None:
    """Why a stage that was found, or goes by a cue, is over though its card says no end."""
    freeze = garden.record.freeze
    by = window.bracket.sighting if window.bracket else window.begun.by if window.begun else None
    if by is None and window.cue is None:
        return None
    pulled = garden.hosts_pulled(window.card)
    if by is not None and pulled is not None and pulled >= by.seen_on:
        return f"the last of the plants it lives on was pulled on {day(pulled)}"
    if freeze is None or (by is not None and by.seen_on >= freeze.day):
        return None
    if freeze.years is None:
        return f"hard frost on {day(freeze.day)}"
    return f"{of_past_years(*freeze.years)} had a hard frost by {day(freeze.day, weekday=False)}"
