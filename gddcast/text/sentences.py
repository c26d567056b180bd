"""The sentences a scouting window says: the same words on every surface, counts always with them.

Onset is said as *may start* or *could begin*, never as a length of time; a date never stands
without its span or its reason.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from gddcast.cards.model import Cue
from gddcast.journal.begun import Begun
from gddcast.journal.entries import Bracket
from gddcast.outlook.dates import FEWEST, InnerSpan, Outlook
from gddcast.outlook.mixture import Mixture
from gddcast.scouting.windows import ScoutingWindow
from gddcast.text import insect_dates
from gddcast.text.numbers import goal
from gddcast.today.day_counts import when as when_by_days
from gddcast.units import Unit
from gddcast.words import (
    Status,
    any_day,
    capital,
    count,
    day,
    heat,
    listed,
    per_cent,
    reached,
    sentence,
    span,
    temperature,
    with_weather_of,
)

#: Below this many past years, dots are shown and nothing is called a span.
FEW_YEARS = FEWEST
#: From this many on, the inner span is worded.
MANY_YEARS = 10


def title(window: ScoutingWindow) -> str:
    """Organism and stage.

    The first letter is raised, Latin names are left to the card.
    """
    return f"{capital(window.card.name)}: {window.event.words}"


def when(window: ScoutingWindow, show: Unit) -> str:
    """When it may start, with the count of past years in the same sentence."""
    if window.closed_on is not None:
        seen = (
            window.bracket and f"; you had seen it on {day(window.bracket.found_on, weekday=False)}"
        )
        return f"You closed it on {day(window.closed_on)}{seen or ''}."
    if window.bracket is not None:
        return _first_find(window, window.bracket)
    if window.over is not None:
        return f"Over: {window.over}."
    if window.begun is not None:
        return _under_way(window, window.begun)
    if window.early is None or window.late is None:
        said = window.reason or "no date: the card gives no number"
        return sentence(in_scale(window.cue, said, show) if window.cue else said)
    if window.status is Status.CANT_SAY:
        return _cannot_say(window)
    if window.status is Status.NOT_THIS_SEASON and window.reason:
        return sentence(window.reason)
    if window.goes_by_finds and window.own_finds is not None and window.insect is not None:
        return insect_dates.by_finds(window.own_finds, window.insect, window.clean_looks)
    if window.late.reached is not None:
        return _reached(window, show) + or_sooner(window)
    if window.status is Status.NOT_THIS_SEASON:
        return _not_this_season(window.late, show)
    if window.early.fastest is None and len(window.late.dots) >= FEW_YEARS:
        return sentence(window.reason or "no date")
    return years_say(window.early, window.late, window.mixed) + or_sooner(window)


def in_scale(cue: Cue, said: str, show: Unit) -> str:
    """What a cue says, with its temperature in the reader's scale beside the printed one."""
    if cue.air_above_c is None:
        return said
    own, printed = (
        temperature(cue.air_above_c, each) for each in (show, "C" if show == "F" else "F")
    )
    return said if own in said else said.replace(printed, f"{printed} ({own})", 1)


def or_sooner(window: ScoutingWindow) -> str:
    """Said where the start of the sum is known by a later stage only."""
    if window.clock is None or not window.clock.is_late:
        return ""
    return " Or sooner: only the latest day of its start is known."


def _first_find(window: ScoutingWindow, bracket: Bracket) -> str:
    """What was seen, and how long its card says it goes on: a length of time, said as one."""
    if bracket.sighting.trap:
        return _caught(bracket)
    if bracket.earliest is None:
        said = f"Seen {day(bracket.found_on)}; no clean look before it, so it may be older."
    elif bracket.earliest == bracket.found_on:
        said = f"Seen {day(bracket.found_on)}, none the day before."
    else:
        said = f"Began between {day(bracket.earliest)} and {day(bracket.found_on)}: you saw it."
    if window.goes_on_until is not None:
        until = window.goes_on_until
        said += f" By its card it goes on until {span(*until)}."
    return f"{said} Over: {window.over}." if window.over else said


def _caught(bracket: Bracket) -> str:
    """The catch that dates a stage, and the last visit with none before it."""
    said = f"In the trap on {day(bracket.found_on)}"
    if bracket.clean_on is None:
        return f"{said}; no empty trap on record before it, so it may be older."
    return f"{said}; none in it on {day(bracket.clean_on)}."


def _under_way(window: ScoutingWindow, begun: Begun) -> str:
    """That it has begun, by a find of a later stage, and the latest day that allows."""
    logged = f"you logged {window.card.stage_words(begun.by.event)} on {day(begun.by.seen_on)}"
    if not begun.counted:
        return f"Under way: {logged}, so it had begun by then."
    when = f"by {day(begun.latest)} at the latest"
    if begun.clean_on is not None:
        when += f", and after your clean look of {day(begun.clean_on, weekday=False)}"
    return f"Under way: {logged}; counted back by its card, it had begun {when}."


def under_way(windows: Iterable[ScoutingWindow]) -> Iterator[str]:
    """The same of several stages of one organism, a sentence for each find that says so."""
    finds: dict[str, list[str]] = {}
    for window in sorted(windows, key=lambda each: each.card.events.index(each.event)):
        begun = window.begun
        if begun is None:
            continue
        by = f"{window.card.stage_words(begun.by.event)} on {day(begun.by.seen_on)}"
        when = f" by {day(begun.latest, weekday=False)}" if begun.counted else ""
        finds.setdefault(by, []).append(f"{window.event.words}{when}")
    for by, stages in finds.items():
        yield f"You logged {by}, so these had begun, at the latest: {'; '.join(stages)}."


def _cannot_say(window: ScoutingWindow) -> str:
    outlook = window.late
    if outlook is not None and outlook.unknown is not None:
        first, last = outlook.unknown
        late = window.clock is not None and first == window.clock.latest
        why = " (the record starts after the clock does)" if late else ""
        worth = f" (worth about {count(window.gap_worth, 'day')})" if window.gap_worth else ""
        return (
            f"Can’t say: {span(first, last)} missing{worth or why}."
            f"{_bridged(window) or _roughly(window)}"
        )
    return (
        "Can’t say: no past year on file is complete enough to continue this season."
        f"{_roughly(window)}"
    )


def _bridged(window: ScoutingWindow) -> str:
    """The date with the usual weather on the unknown days, and what these add to its doubt."""
    if window.bridged is None:
        return ""
    unknown = max(each.unknown_days for each in window.bridged)
    days = f"those {unknown} days" if unknown > 1 else "that day"
    when, cost = across_gap(window)
    return f" With usual weather on {days}: {when}, four times in five; of that {cost}."


def across_gap(window: ScoutingWindow) -> tuple[str, str]:
    """The days four times in five, with usual weather on unknown ones, and what these cost."""
    if window.bridged is None:
        return "", ""
    early, late = window.bridged
    give = count(max(early.give, late.give), "day")
    return any_day(early.first, late.last), f"about ± {give} by the gap"


def rough_days(window: ScoutingWindow) -> str:
    """The days at this season's own pace, where there is nothing better to go by; else nothing."""
    early = window.early.rough if window.early else None
    late = window.late.rough if window.late else None
    return "" if early is None or late is None else any_day(early.first, late.last)


def _roughly(window: ScoutingWindow) -> str:
    days = rough_days(window)
    return f" Roughly, at this season’s pace and the usual warming: {days}." if days else ""


def _reached(window: ScoutingWindow, show: Unit) -> str:
    early, late = window.early, window.late
    if early is None or late is None or early.reached is None or late.reached is None:
        raise ValueError("nothing has been reached")
    when = reached(early.reached, late.reached, weekday=True)
    said = f"The sum of {goal(window, show)} was {when}."
    if not window.event.opens_looks:
        return said
    looks = count(window.clean_looks, "clean look") if window.clean_looks else ""
    return f"{said} {f'You have logged {looks}.' if looks else 'No clean look is logged.'}"


def _not_this_season(outlook: Outlook, show: Unit) -> str:
    missed = sum(dot.day is None for dot in outlook.dots)
    best = max(dot.heat for dot in outlook.dots)
    return (
        f"Not this season {with_weather_of(missed, len(outlook.dots))}; "
        f"the warmest got to {heat(best, show)} of {heat(outlook.goal, show)}."
    )


def years_say(early: Outlook, late: Outlook | None = None, mixed: Mixture | None = None) -> str:
    """What past years' weather, after this season's own so far, makes of a date.

    "Any day" of a span, for it is doubtful by days and does not last them. Its middle is said by
    the count of years, or by the share of past years, range and bracket together.

    Parameters
    ----------
    early : Outlook
    late : Outlook, optional
        Of the other end, where a range or a bracket is carried.
    mixed : Mixture, optional
        What lies between them.
    """
    days = _days_given(early, late, mixed)
    if days is None:
        late = late or early
        few = listed([day(each, weekday=False) for each in late.days])
        total = len(late.dots)
        years = "the only past year" if total == 1 else f"the {total} past years"
        return f"With the weather of {years} on file from here on: {few}. Too few to call."
    return f"With past years’ weather from here on: {days}."


def _days_given(
    early: Outlook, late: Outlook | None, mixed: Mixture | None, *, middle: bool = True
) -> str | None:
    """The days that past years' weather gives, with their middle; None where years are too few."""
    late = late or early
    total, first = len(late.dots), early.fastest
    if total < FEW_YEARS or first is None:
        return None
    missed = sum(dot.day is None for dot in late.dots)
    said = any_day(first, late.slowest or late.days[-1])
    inner, never = late.inner, f"{missed} of {total}" if missed else ""
    if early is not late:
        inner, never = (mixed.inner, per_cent(mixed.never)) if mixed else (None, never)
    if not middle:
        return f"{said}; {never} not this season" if never else said
    if inner is not None and total >= MANY_YEARS and inner.share < 1.0:
        said += f"; {inner_years(inner)} give {span(inner.first, inner.last)}"
    elif not never:
        said += f" in all {total}"
    if mixed is not None:
        one = f"the whole {mixed.of[0]}" if len(mixed.of) == 1 else " and ".join(mixed.of)
        said += f", over {one}"
    return f"{said}; {never} not this season" if never else said


def inner_years(inner: InnerSpan) -> str:
    """How many of the past years an inner span holds; where they are mixed, which share."""
    return per_cent(inner.share) if inner.years is None else f"{inner.years} of {inner.total}"


def when_briefly(window: ScoutingWindow, show: Unit, *, middle: bool = True) -> str:
    """When it may start, in the fewest words that still carry the count of past years.

    For a page whose legend says once for all whose weather it rests on; without the middle of
    the dates where its dots are drawn beside the words.
    """
    early, late = window.early, window.late
    whole = when(window, show)
    if window.cue is not None and window.status is not Status.CANT_SAY and not window.is_answered:
        return sentence(in_scale(window.cue, window.cue.words, show))
    if window.by_days is not None and window.bracket is None and window.closed_on is None:
        return sentence(f"{when_by_days(window.by_days)}; by days, not a heat sum")
    if early is None or late is None:
        return whole
    if early.reached is None or late.reached is None:
        days = _days_given(early, late, window.mixed)
        dated = days is not None and whole == years_say(early, late, window.mixed)
        days = days if middle else _days_given(early, late, window.mixed, middle=False)
        return sentence(days) if dated and days else whole
    if window.goes_by_finds or window.is_answered or window.closed_on is not None:
        return whole
    said = f"Sum {reached(early.reached, late.reached, weekday=True)}"
    if not window.event.opens_looks:
        return f"{said}."
    looks = count(window.clean_looks, "clean look") if window.clean_looks else "no clean look"
    return f"{said}; {looks} logged."


def reason(window: ScoutingWindow, show: Unit) -> str:
    """Why to look for it, in the fewest words that are true: what was seen, reached, foretold."""
    due = due_words(window, show)
    return f"OVERDUE, {due}" if window.status is Status.OVERDUE else due


def due_words(window: ScoutingWindow, show: Unit) -> str:
    """The same where a mark beside it says what is overdue."""
    late = window.status is Status.OVERDUE
    if window.bracket is not None:
        return f"seen {day(window.bracket.found_on, weekday=False)}"
    if window.begun is not None:
        by = window.begun.by
        logged = window.card.stage_words(by.event)
        return f"under way: {logged} seen {day(by.seen_on, weekday=False)}"
    if window.cue is not None:
        return _by_cue(window.cue, show)
    if window.by_days is not None:
        last = window.by_days.latest
        if late and last is not None:
            return f"due by {day(last, weekday=False)}, by days"
        return f"{when_by_days(window.by_days)}, by days"
    if window.early is None or window.late is None:
        return window.reason or "no date"
    if window.goes_by_finds and window.insect is not None:
        return insect_dates.by_finds_briefly(window.insect)
    if window.early.reached is not None and window.late.reached is not None:
        surely = "on" if window.early.reached == window.late.reached else "by"
        came = "due" if late else "sum reached"
        return f"{came} {surely} {day(window.late.reached, weekday=False)}"
    if window.early.fastest is None:
        return "not this season in any past year"
    if len(window.late.dots) < FEW_YEARS:
        few = listed([day(each, weekday=False) for each in window.late.days])
        return f"{few}, too few past years to call"
    when = any_day(window.early.fastest, window.late.slowest)
    if late:  # the record ends before it
        return f"by past years’ weather {when}"
    return when if when.startswith("any day") else f"due {when}"


def _by_cue(cue: Cue, show: Unit) -> str:
    """What a cue goes by, in a few words; a day may ask for warmth too."""
    if cue.air_above_c is not None:
        return f"may be about, air above {temperature(cue.air_above_c, show)}"
    if cue.after_sowing_days:
        return f"looked for from day {cue.after_sowing_days} after sowing"
    if cue.after_sowing_days is not None:
        return "looked for from sowing on"
    return "by the time of year" if cue.by_dates else "by its sign"
