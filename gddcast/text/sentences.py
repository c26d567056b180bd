"""The sentences a scouting window says: the same words on every surface, counts always with them.

Onset is said as *may start* or *could begin*, never as a length of time; a date never stands
without its span or its reason.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

import numpy as np

from gddcast.cards.model import Number
from gddcast.errors import shell
from gddcast.heat.counting import Counting
from gddcast.journal.entries import Bracket
from gddcast.outlook.changes import Cause, Change, Dates, has_moved
from gddcast.outlook.dates import FEWEST, InnerSpan, Outlook
from gddcast.outlook.effects import Effect
from gddcast.outlook.forecast import ENOUGH
from gddcast.outlook.mixture import Mixture
from gddcast.outlook.seasons import Standing
from gddcast.outlook.sightings import Seen
from gddcast.scouting.windows import ScoutingWindow
from gddcast.today.hindsight import Trust
from gddcast.today.plan import SeasonPlan
from gddcast.units import Unit, from_celsius, from_celsius_days
from gddcast.weather.series import Origin
from gddcast.words import (
    Status,
    any_day,
    count,
    day,
    heat,
    listed,
    month,
    reached,
    span,
    temperature,
    with_weather_of,
)

#: Below this many past years, dots are shown and nothing is called a span.
FEW_YEARS = FEWEST
#: From this many on, the inner span is worded.
MANY_YEARS = 10

#: Fields of a published number, in words.
FIELDS = {
    "starts_from": "start",
    "upper": "upper threshold",
    "cutoff": "cut-off",
    "shape": "daily method",
    "lower": "lower threshold",
}


def title(window: ScoutingWindow) -> str:
    """Organism and stage.

    The first letter is raised, Latin names are left to the card.
    """
    name = window.card.name
    return f"{name[:1].upper()}{name[1:]}: {window.event.words}"


def when(window: ScoutingWindow, show: Unit) -> str:
    """When it may start, with the count of past years in the same sentence."""
    if window.closed_on is not None:
        seen = window.found and f"; you had seen it on {day(window.found.found_on, weekday=False)}"
        return f"You closed it on {day(window.closed_on)}{seen or ''}."
    if window.found is not None:
        return _found(window, window.found)
    if window.over is not None:
        return f"Over: {window.over}."
    if window.early is None or window.late is None:
        return _sentence(window.reason or "no date: the card gives no number")
    if window.status is Status.CANT_SAY:
        return _cannot_say(window)
    if window.late.reached is not None:
        return _reached(window, show)
    if window.status is Status.NOT_THIS_SEASON and window.reason:
        return _sentence(window.reason)
    if window.status is Status.NOT_THIS_SEASON:
        return _not_this_season(window.late, show)
    if window.early.fastest is None and len(window.late.dots) >= FEW_YEARS:
        return _sentence(window.reason or "no date")
    return years_say(window.early, window.late, window.mixed)


def _found(window: ScoutingWindow, bracket: Bracket) -> str:
    """What was seen, and how long its card says it goes on: a length of time, said as one."""
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


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}{'' if words.endswith('.') else '.'}"


def _cannot_say(window: ScoutingWindow) -> str:
    outlook = window.late
    if outlook is not None and outlook.unknown is not None:
        first, last = outlook.unknown
        late = window.clock is not None and first == window.clock.latest
        why = " (the record starts after the clock does)" if late else ""
        worth = f" (worth about {count(window.gap_worth, 'day')})" if window.gap_worth else ""
        return f"Can't say: {span(first, last)} missing{worth or why}."
    return "Can't say: no past year on file is complete enough to continue this season."


def _reached(window: ScoutingWindow, show: Unit) -> str:
    early, late = window.early, window.late
    if early is None or late is None or early.reached is None or late.reached is None:
        raise ValueError("nothing has been reached")
    looks = "No clean look is logged."
    if window.clean_looks:
        looks = f"You have logged {count(window.clean_looks, 'clean look')}."
    when = reached(early.reached, late.reached, weekday=True)
    return f"The sum of {_goal(window, show)} was {when}. {looks}"


def _goal(window: ScoutingWindow, show: Unit) -> str:
    if window.early is None or window.late is None:
        raise ValueError("a window without outlooks has no goal")
    low, high = window.early.goal, window.late.goal
    if low == high:
        return heat(low, show)
    return f"{heat(low, show, unit=False)} to {heat(high, show)}"


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
    late = late or early
    total, first = len(late.dots), early.fastest
    if total < FEW_YEARS or first is None:
        days = listed([day(each, weekday=False) for each in late.days])
        years = "the only past year" if total == 1 else f"the {total} past years"
        return f"With the weather of {years} on file from here on: {days}. Too few to call."
    missed = sum(dot.day is None for dot in late.dots)
    said = f"With past years' weather from here on: {any_day(first, late.slowest or late.days[-1])}"
    inner, never = late.inner, f"{missed} of {total}" if missed else ""
    if early is not late:
        inner, never = (mixed.inner, _share(mixed.never)) if mixed else (None, never)
    if inner is not None and total >= MANY_YEARS and inner.share < 1.0:
        said += f"; {inner_years(inner)} give {span(inner.first, inner.last)}"
    elif not never:
        said += f" in all {total}"
    if mixed is not None:
        one = f"the whole {mixed.of[0]}" if len(mixed.of) == 1 else " and ".join(mixed.of)
        said += f", over {one}"
    return f"{said}; {never} not this season." if never else f"{said}."


def inner_years(inner: InnerSpan) -> str:
    """How many of the past years an inner span holds; where they are mixed, which share."""
    return _share(inner.share) if inner.years is None else f"{inner.years} of {inner.total}"


def _share(share: float) -> str:
    """A share in whole per cent; nothing of nothing, and never all for less."""
    return f"{min(max(share, 0.01), 0.99):.0%}".replace("%", " %") if share else ""


def when_briefly(window: ScoutingWindow, show: Unit) -> str:
    """When it may start, in the fewest words that still carry the count of past years."""
    early, late = window.early, window.late
    if early is None or late is None or early.reached is None or late.reached is None:
        return when(window, show)
    if window.found is not None or window.closed_on is not None:
        return when(window, show)
    looks = count(window.clean_looks, "clean look") if window.clean_looks else "no clean look"
    return f"Sum {reached(early.reached, late.reached, weekday=True)}; {looks} logged."


def look(window: ScoutingWindow, today: dt.date) -> str:
    """From which day to look, where on the plant, when in the day, how often and why."""
    parts = []
    if window.opens is not None and window.status is not Status.SEEN:
        parts.append("look now" if window.opens <= today else f"look from {day(window.opens)}")
    else:
        parts.append("look")
    if window.look.where_on_plant:
        parts.append(_where(window.look.where_on_plant))
    if window.look.time_of_day and window.look.time_of_day != "not stated":
        parts.append(window.look.time_of_day)
    if window.every_days is not None:
        often = "every day" if window.every_days == 1 else f"every {window.every_days} days"
        parts.append(f"{often} ({window.every_words})" if window.every_words else often)
    return _sentence(", ".join(parts))


def _where(words: str) -> str:
    return words[:1].lower() + words[1:] if not words[:2].isupper() else words


def sum_so_far(window: ScoutingWindow, show: Unit) -> str:
    """Heat so far against the goal, and how it is counted."""
    early, late, clock = window.early, window.late, window.clock
    if early is None or late is None or window.counting is None or clock is None:
        return ""
    ends = [early, late] if clock.earliest not in (None, clock.latest) else [early]
    sums = (heat(each.heat, show, unit=False) if each.heat == each.heat else "?" for each in ends)
    now = " or ".join(sums)  # from the one day and from the other, as the clock names them
    return f"{now} of {_goal(window, show)}, {method(window, show)}, from {clock.words}"


def still_to_go(window: ScoutingWindow, show: Unit) -> str:
    """Heat still missing: at both ends, where a range or a bracket is carried."""
    early, late = window.early, window.late
    if early is None or late is None or late.reached is not None:
        return ""
    least, most = (max(end.goal - end.heat, 0.0) for end in (early, late))
    if most != most or least != least:
        return ""
    if early is late:
        return heat(most, show)
    return f"{heat(least, show, unit=False)} to {heat(most, show)}"


def method(window: ScoutingWindow, show: Unit) -> str:
    """Thresholds, day shape and cut-off in one phrase."""
    return "no method" if window.counting is None else counted(window.counting, show)


def counted(counting: Counting, show: Unit) -> str:
    """How heat is counted, in one phrase.

    Examples
    --------
    >>> counted(Counting(lower=10.0, upper=30.0), "F")
    'above 50 °F, horizontal cut-off at 86 °F, single sine'
    """
    limits = f"above {_threshold(counting.lower, show)}"
    if counting.upper != float("inf"):
        if counting.cutoff.caps_readings:
            limits += f", readings capped at {_threshold(counting.upper, show)}"
        elif counting.cutoff.rule is None:
            limits += f", no cut-off at the upper {_threshold(counting.upper, show)}"
        else:
            limits += f", {counting.cutoff.name} cut-off at {_threshold(counting.upper, show)}"
    return f"{limits}, {counting.shape.name}"


def _threshold(celsius: float, show: Unit) -> str:
    value = from_celsius(celsius, show)
    return temperature(celsius, show, 0 if abs(value - round(value)) < 0.05 else 1)


def basis(window: ScoutingWindow, show: Unit) -> str:
    """The sum so far, the number as printed, who printed it, and how far it was checked."""
    if window.cue is not None:
        return f"By a cue, not a heat sum: {_cited(window, window.cue.source)}."
    number = window.number
    if number is None or number.goal is None:
        return ""
    so_far = sum_so_far(window, show)
    start = f"{so_far}. " if so_far else ""
    if own := own_number(window, show):
        start += f"{own} "
    return f"{start}{printed(window)}"


def printed(window: ScoutingWindow) -> str:
    """The number as printed, who printed it, and how far it was checked."""
    number = window.number
    if number is None or number.goal is None:
        return ""
    low, high = number.goal
    amount = f"{low:,g}" if low == high else f"{low:,g} to {high:,g}"
    checked = {"compiled": "compiled, may be refitted"}.get(number.evidence, number.evidence)
    cited = f"{_cited(window, number.source)}; {checked}"
    return f"Printed: {amount} °{number.unit}-days, {number.found_in} ({cited})."


def as_printed(number: Number) -> str:
    """A published number with its whole method, as printed.

    What the source does not state is said to be so.
    """
    unit = number.unit
    low, high = number.goal or (float("nan"), float("nan"))
    amount = f"{low:,g}" if low == high else f"{low:,g} to {high:,g}"
    lower = f"above {number.lower:g} °{unit}" if number.lower is not None else "lower not stated"
    said = [f"{amount} °{unit}-days {lower}"]
    if number.upper is not None and number.upper != float("inf"):
        said.append(f"{number.cutoff or 'cut-off not stated'} at {number.upper:g} °{unit}")
    said.append(number.shape or "daily method not stated")
    if number.of != "air":
        said.append(f"of {number.of}")
    said.append(f"from {_start(number)}")
    said.append(number.found_in)
    return f"{', '.join(said)}; {number.kind}, {number.evidence}"


def _start(number: Number) -> str:
    start = number.starts_from
    if start is None:
        return "a start not stated"
    if start.date is not None:
        return f"{start.date[1]} {month(start.date[0])}"
    return (start.event or start.crop or "?").replace("-", " ")


def own_number(window: ScoutingWindow, show: Unit) -> str:
    """The person's own number beside the published one, or why it is not used; else nothing."""
    own = window.own or window.own_unused
    if own is None or window.number is None:
        return ""
    seasons = f" from {count(own.seasons, 'season')}" if own.seasons else ""
    kept = f"{heat(own.goal, show)}{seasons}, kept {day(own.kept_on, weekday=False, year=True)}"
    low, high = window.number.goal_c or (0.0, 0.0)
    printed = heat(low, show, unit=False)
    printed += "" if low == high else f"–{heat(high, show, unit=False)}"
    if window.own is not None:
        return f"Your own number {kept}; published {printed}."
    if own.lower is None or own.shape is None or own.starts is None:
        why = "the book does not say how it was counted"
    else:
        limits = f"above {_threshold(own.lower, show)}"
        if own.upper is not None:
            limits += f" and {own.cutoff} at {_threshold(own.upper, show)}"
        start = f"{int(own.starts[3:])} {month(int(own.starts[:2]))}"
        why = (
            f"it was fitted {limits}, {own.shape}, from {start}; now counted is "
            f"{method(window, show)}, from {window.clock.words if window.clock else '?'}"
        )
    return (
        f"Your own number {kept}, is not used: {why}. Fit it anew:  "
        f"gddcast tune {shell(window.card.key)} {window.event.key}"
    )


def _cited(window: ScoutingWindow, key: str) -> str:
    source = window.card.sources.get(key)
    return source.short if source else key


def stand_ins(window: ScoutingWindow, moves: tuple[Effect, ...]) -> str:
    """What the source does not state, what stood in for it, and what that does to the date."""
    if window.counting is None or window.number is None or not window.number.not_stated:
        return ""
    said = []
    for name in window.number.not_stated:
        words = f"{FIELDS[name]} not stated, {used(window, name)} used"
        shifts = [move for move in moves if move.field == name and move.days is not None]
        if shifts:
            words += f" ({'; '.join(effect(move) for move in shifts)})"
        said.append(words)
    return _sentence("; ".join(said))


def used(window: ScoutingWindow, name: str) -> str:
    """What stood in for a field its source does not state."""
    if window.counting is None or window.clock is None:
        return "nothing"
    if name == "starts_from":
        return window.clock.words.removesuffix(" (start not stated)")
    if name == "upper":
        return "none"
    return window.counting.shape.name if name == "shape" else window.counting.cutoff.name


def effect(move: Effect) -> str:
    """How far a date moves under another reading.

    Examples
    --------
    >>> effect(Effect("shape", "single sine", "floor the mean", (2, 6)))
    'floor the mean: 2–6 days later'
    """
    if move.days is None:
        return f"{move.instead}: not this season"
    low, high = move.days
    if low == high == 0:
        return f"{move.instead}: no change"
    if low >= 0:
        return f"{move.instead}: {_days(low, high)} later"
    if high <= 0:
        return f"{move.instead}: {_days(-high, -low)} earlier"
    return f"{move.instead}: {-low} earlier to {count(high, 'day')} later"


def _days(low: int, high: int) -> str:
    return count(high, "day") if low == high else f"{low}–{count(high, 'day')}"


_METHOD: Cause = "method or card"
#: Why a forecast moved a date.
_FORECASTS = {
    "none": "the forecast has run out",
    "old": "foretold days went by and their weather is not in yet",
    "new": "there is a new forecast",
}


def moved(change: Change, show: Unit) -> str:
    """What a date was on an earlier day, and why it is another now.

    A start is doubtful by days, it does not last them: "any day" stands before every span.
    """
    dates = (change.after.fastest, change.after.reached, change.before.fastest)
    other_year = change.day.year not in {each.year for each in dates if each is not None}
    when = f"{'told ' if change.told else ''}on {day(change.day, year=other_year)}"
    opens = ""
    if change.opens is not None:  # once told it does not become later in silence
        opens = " The day to start looking moved from {} to {}.".format(*map(day, change.opens))
    if not has_moved(change):
        return f"The same as {when}.{opens}"
    causes = [move.cause for move in change.moves if move.moved]
    why = listed([_cause(cause, change, show) for cause in causes])
    if causes == [_METHOD]:
        why += ", not the weather"
    then, now = _dates(change.before), _dates(change.after)
    return f"{when[0].upper()}{when[1:]}: {then}; now {now}: {why}.{opens}"


def _dates(dates: Dates) -> str:
    if dates.reached is not None:
        return reached(dates.fastest or dates.reached, dates.reached)
    if dates.fastest is None:
        return "no date"
    if dates.slowest is None:
        return f"{any_day(dates.fastest, None)}, in some years not at all"
    return any_day(dates.fastest, dates.slowest)


def _cause(cause: Cause, change: Change, show: Unit) -> str:
    if cause == _METHOD:
        return "the method, the card or gddcast itself changed"
    if cause == "forecast":
        return _FORECASTS[change.forecast]
    if cause == "revised days":
        return _revised(change.revised)
    if change.new_days is None or change.warmth is None:
        return "weather"
    days, beside = span(*change.new_days), "foretold" if change.foretold else "usual"
    degrees = round(abs(from_celsius_days(change.warmth, show)))
    if not degrees:
        return f"{days} came about as {beside}"
    warmer = change.warmth > 0
    if not _explains(warmer, change):
        one = change.new_days[0] == change.new_days[1]
        return f"{days} {'is' if one else 'are'} known now"
    return f"{days} ran {degrees} °{show} {'warmer' if warmer else 'cooler'} than {beside}"


def _explains(warmer: bool, change: Change) -> bool:
    """Whether warmth moved dates earlier, or cold later: days known may also just narrow a span."""
    (move,) = (each for each in change.moves if each.cause == "weather")
    later = (move.fastest or 0) + (move.slowest or 0)
    return later < 0 if warmer else later > 0


def _revised(days: Sequence[dt.date]) -> str:
    """Which past days have other readings now."""
    if not days:
        return "missing days have come in"
    if len(days) <= 3:
        which = listed([day(each, weekday=False) for each in days])
        return f"{which} {'was' if len(days) == 1 else 'were'} revised"
    all_of_them = (days[-1] - days[0]).days == len(days) - 1
    many = "" if all_of_them else f"{count(len(days), 'past day')} of "
    return f"{many}{span(days[0], days[-1])} were revised"


def insect_seen(answer: Seen, show: Unit, *, own: bool = False) -> str:
    """The second promise, kept apart from the first: not the sum, the insect."""
    spread = _spread(answer, show, own)
    if answer.middle is None:
        return f"Not this season, by the {spread}."
    return (
        f"by the {spread}, 8 times in 10 on one day of {_eight_in_ten(answer, answer.middle)}; "
        f"as likely as not by {day(answer.middle)}. The dots above say only when the sum is "
        "reached."
    )


def _spread(answer: Seen, show: Unit, own: bool) -> str:
    width = heat(answer.spread, show)
    if own:
        return f"spread of ± {width} of your own finds"
    return f"printed spread of ± {width} between fields and years"


def insect_seen_briefly(answer: Seen, show: Unit, *, own: bool = False) -> str:
    """The second promise in one line, its label first."""
    spread = _spread(answer, show, own)
    if answer.middle is None:
        return f"The insect itself, by the {spread}: not this season."
    return (
        f"The insect itself, by the {spread}: seen 8 times in 10 on one day of "
        f"{_eight_in_ten(answer, answer.middle)}. The dates above are of its heat sum."
    )


def _eight_in_ten(answer: Seen, middle: dt.date) -> str:
    first, last = answer.spans.get(0.8, (middle, None))
    return span(first, last) if last else f"{day(first, weekday=False)} or later"


def forecast_errors(trust: Trust) -> str:
    """What the errors of the forecast used are taken from."""
    days, usual = count(trust.days, "day"), "the stated default, widened by a quarter"
    own = f"this place's own {count(trust.past, 'past forecast')}"
    if trust.own == trust.days:
        return f"{days} used; forecast errors: {own}."
    if trust.own:
        return (
            f"{days} used; forecast errors: {own} for {trust.own} of them, {usual}, for the others."
        )
    return (
        f"{days} used; forecast errors: {usual}, until {ENOUGH} past forecasts can be held against "
        f"measured days ({trust.past} so far)."
    )


def weather_line(plan: SeasonPlan) -> str:
    """Place, day, and how far the weather is known: the first line of every surface."""
    parts = list(known(plan))
    if plan.patched:
        parts.insert(1, f"{count(plan.patched, 'day')} patched")
    return " · ".join([plan.place.name, day(plan.today, year=True), *parts])


def behind(plan: SeasonPlan) -> str:
    """What a record that ends long before today can't tell; nothing of one that does not."""
    if not plan.is_stale:
        return ""
    many = f"the last {count(plan.days_behind, 'day')} are not on record"
    stands = "past years' weather stands"
    if np.any(plan.series.before(plan.today).origin == Origin.FORECAST):
        stands = "forecasts and past years' weather stand"
    return f"No all-clear: {many}; {stands} in for them."


def known(plan: SeasonPlan) -> Iterator[str]:
    """How far the weather is known, and how much of it is forecast."""
    through = day(plan.through, year=plan.through.year != plan.today.year)
    parts = [f"weather through {through}"]
    if plan.through < plan.season.first:  # days of past seasons say nothing of this one
        parts.append("none of this season")
    elif plan.missing:
        parts.append(f"{count(plan.missing, 'day')} missing")
    elif not plan.days_behind:
        parts.append("nothing missing")
    if plan.days_behind:
        parts.append(f"{count(plan.days_behind, 'day')} behind")
    there = plan.through >= plan.series.first
    yield ", ".join(parts) if there else "no weather known yet"
    if plan.forecast:
        yield f"{count(plan.forecast, 'day')} of forecast, past years after that"


def season_line(plan: SeasonPlan, show: Unit) -> str:
    """How the season stands beside the past ones."""
    return standing_line(plan.standing, plan.standing_counting, show)


def standing_line(here: Standing | None, counting: Counting, show: Unit) -> str:
    """How a season stands beside the past ones, counted in one way."""
    if here is None:
        return "The season so far can't be compared: its own days are not all known."
    lower = _threshold(counting.lower, show)
    other: Unit = "C" if show == "F" else "F"
    words = f"The season: {heat(here.heat, show)} above {lower} ({heat(here.heat, other)})"
    if here.rank is None or here.middle is None:
        return f"{words}; no past season to compare with."
    words += f", {_ordinal(here.rank)} of {here.compared} seasons"
    if here.days_ahead is not None:
        if here.days_ahead == 0:
            words += ", level with the middle past year"
        else:
            side = "ahead of" if here.days_ahead > 0 else "behind"
            words += f", about {count(abs(here.days_ahead), 'day')} {side} the middle past year"
    return f"{words}."


def _ordinal(rank: int) -> str:
    if rank == 1:
        return "warmest"
    ending = {1: "st", 2: "nd", 3: "rd"}.get(rank % 10 if rank % 100 not in (11, 12, 13) else 0)
    return f"{rank}{ending or 'th'} warmest"
