"""Why a date moved: what it was on an earlier day, what it is now, and the causes between."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from gddcast.outlook.changes import Cause, Change, Dates, is_move
from gddcast.units import Unit, from_celsius_days
from gddcast.words import any_day, capital, count, day, listed, reached, span

_METHOD: Cause = "method or card"
#: Why a forecast moved a date.
_FORECASTS = {
    "none": "the forecast has run out",
    "old": "foretold days went by and their weather is not in yet",
    "new": "there is a new forecast",
}


def why(change: Change, show: Unit) -> str:
    """What a date was on an earlier day, and why it is another now.

    A start is doubtful by days, it does not last them: "any day" stands before every span.
    """
    when, opens = _when(change), _opens(change)
    if not is_move(change):
        return f"The same as {when}.{opens}"
    causes = [move.cause for move in change.moves if move.is_shift]
    why = listed([_cause(cause, change, show) for cause in causes])
    if causes == [_METHOD]:
        why += ", not the weather"
    then, now = dates_in_words(change.before), dates_in_words(change.after)
    return f"{capital(when)}: {then}; now {now}: {why}.{opens}"


def was(change: Change, what: str = "it") -> str:
    """What a date was, without the causes: for a line that stands beside the date now."""
    if not is_move(change):
        return f"The same as {_when(change)}.{_opens(change)}"
    then = dates_in_words(change.before)
    return f"{capital(_when(change))} {what} was {then}.{_opens(change)}"


def _when(change: Change) -> str:
    dates = (change.after.fastest, change.after.reached, change.before.fastest)
    other_year = change.day.year not in {each.year for each in dates if each is not None}
    return f"{'told ' if change.announced else ''}on {day(change.day, year=other_year)}"


def _opens(change: Change) -> str:
    """Of a day to start looking: once told it does not become later in silence."""
    if change.opens is None:
        return ""
    return " The day to start looking moved from {} to {}.".format(*map(day, change.opens))


def dates_in_words(dates: Dates) -> str:
    """The day something came, or any day on which it may."""
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
