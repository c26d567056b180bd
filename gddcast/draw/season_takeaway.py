"""What a drawing of seasons over each other shows, and what its lines mean, in words."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

import numpy as np

from gddcast import words
from gddcast.draw.season_curve import calendar_of, days_ahead_words
from gddcast.outlook.dates import Outlook
from gddcast.outlook.seasons import SeasonCurves, SeasonHeat, Standing
from gddcast.text.sentences import years_say
from gddcast.units import Unit


def season_takeaway(
    curves: SeasonCurves, show: Unit, *, goals: Sequence[float], what: str,
    standing: Standing | None = None, ahead: Sequence[Outlook | None] = (),
) -> str:  # fmt: skip
    """What a drawing with goals shows, in a sentence or two.

    Parameters
    ----------
    curves : SeasonCurves
    show : {"F", "C"}
    goals : sequence of float
        One, or the two ends of a range. [°C·d]
    what : str
        What it stands for, or nothing.
    standing : Standing, optional
        How far this season is ahead, where that is drawn.
    ahead : sequence of Outlook or None, optional
        When it may reach each goal, where that is drawn.
    """
    low, high, calendar = goals[0], goals[-1], calendar_of(curves)
    stands = _stands(curves.current, show, goals, standing)
    said = f"{what}: {stands}" if what else stands
    early, late = (ahead[0], ahead[-1]) if ahead else (None, None)
    if early is not None and late is not None and late.days:
        said += f" {years_say(early, late)}"
    past = curves.whole
    days = [
        sorted((calendar.at(day), words.day(day, weekday=False)) for day in reached if day)
        for reached in ([each.reached(goal) for each in past] for goal in (low, high))
    ]
    if not past:
        return said
    if not days[1]:
        return f"{said} None of {words.count(len(past), 'past year')} reached it."
    first, last = days[0][0][1], days[1][-1][1]
    when = f"on {first}" if first == last else f"between {first} and {last}"
    return f"{said} {words.of_past_years(len(days[1]), len(past))} themselves reached it {when}."


def whole_takeaway(curves: SeasonCurves, show: Unit) -> str:
    """What a drawing of whole seasons shows where this one can't be held beside them."""
    fastest, slowest = curves.fastest, curves.slowest
    if fastest is None or slowest is None:
        return "No two past seasons have all their days; each line ends at its first unknown day."
    most, least = (words.heat(each.heat[-1], show) for each in (fastest, slowest))
    return (
        f"{words.count(len(curves.whole), 'whole season')}: from {least} "
        f"({slowest.season.name}) to {most} ({fastest.season.name})."
    )


def season_note(
    curves: SeasonCurves, *, goals: Sequence[float] = (), ahead: Sequence[Outlook | None] = ()
) -> str:
    """What the lines and marks of the drawing mean."""
    said = "Bold: this season. " if curves.current is not None else ""
    if curves.forecast is not None:
        said += "Dotted: the weather forecast. "
    said += f"Grey: {words.count(len(curves.past), 'past season')}"
    short = len(curves.past) - len(curves.whole)
    if short:
        said += f", {short} of them to the first unknown day only"
    if not goals:
        return f"{said}; a ring where a whole one had as much." if curves.current else f"{said}."
    said += "; a ring where a whole one got there"
    if any(each is not None and each.days for each in ahead):
        said += "; filled: this season with each of their weathers from here on"
    return f"{said}."


def _stands(
    current: SeasonHeat | None, show: Unit, goals: Sequence[float], standing: Standing | None
) -> str:
    *lower, high = dict.fromkeys(goals)
    wanted = "".join(f"{words.heat(each, show, unit=False)} to " for each in lower)
    wanted += words.heat(high, show)
    if current is None or not current.heat.size or not np.isfinite(current.heat[-1]):
        unknown = "" if current is None else f" {current.season.name}’s own sum is not known."
        return f"{wanted}.{unknown}"
    name, day = current.season.name, current.reached(high)
    if day is not None:
        return f"{name} reached {wanted} on {words.day(day, weekday=False)}."
    through = current.season.first + dt.timedelta(days=current.heat.size - 1)
    so_far = words.heat(float(current.heat[-1]), show, unit=False)
    said = f"{name} has {so_far} of {wanted} by {words.day(through, weekday=False)}"
    far = days_ahead_words(standing)
    return (
        f"{said}, {far}{' of' * far.endswith('ahead')} the middle past year." if far else f"{said}."
    )
