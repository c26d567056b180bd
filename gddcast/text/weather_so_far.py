"""How far the weather is known, how a forecast is trusted, how the season stands."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

import numpy as np

from gddcast.heat.counting import Counting
from gddcast.outlook.forecast import ENOUGH, StrangeForecasts
from gddcast.outlook.seasons import Standing
from gddcast.text.numbers import counted
from gddcast.today.beside_dates import ForecastTrust
from gddcast.today.plan import SeasonPlan
from gddcast.units import Unit, from_celsius_days, rounded
from gddcast.weather.series import Origin
from gddcast.words import capital, count, day, heat, listed, span, temperature


def weather_line(plan: SeasonPlan) -> str:
    """Place, day, and how far the weather is known: the first line of every surface."""
    return " · ".join([plan.place.name, day(plan.today, year=True), known_line(plan)])


def known_line(plan: SeasonPlan) -> str:
    """How far the weather is known, and how much of it is patched."""
    parts = list(known(plan))
    if plan.patched:
        parts.insert(1, f"{count(plan.patched, 'day')} patched")
    return " · ".join(parts)


def weather_briefly(plan: SeasonPlan) -> str:
    """The same at a glance: of a whole record only its last day."""
    return " · ".join([plan.place.name, day(plan.today, year=True), *known(plan, briefly=True)])


def behind(plan: SeasonPlan, stop: str = ".") -> str:
    """What a record that ends long before today can't tell; nothing of one that does not."""
    if not plan.is_stale:
        return ""
    many = f"the last {count(plan.days_behind, 'day')} are not on record"
    if not plan.verdict.usable_seasons:
        return f"No all-clear: {many}, and no past year can stand in for them{stop}"
    stands = "past years’ weather stands"
    if np.any(plan.series.before(plan.today).origin == Origin.FORECAST):
        stands = "forecasts and past years’ weather stand"
    return f"No all-clear: {many}; {stands} in for them{stop}"


def doubts(plan: SeasonPlan, *, patched: bool = True) -> Iterator[str]:
    """What makes dates less sure than the published way: the record, and a person's own method.

    A short answer leaves out that a record is ``patched``: its first line says how many days are.
    """
    if plan.verdict.trust != "sound" and (patched or plan.verdict.trust != "patched"):
        reasons = "; ".join(plan.verdict.reasons)
        yield f"Weather record: {plan.verdict.trust.upper()} ({reasons})."
    if plan.overrule.shape or plan.overrule.cutoff or plan.overrule.start:
        yield "Your own method stands in for the cards’: dates differ from the published way."
    yield from forecast_doubt(plan)


def forecast_doubt(plan: SeasonPlan) -> Iterator[str]:
    """What of a forecast is left out or trusted less, because it hardly is of this place."""
    gate = plan.gate
    if gate is None:
        return
    side = "warmer" if gate.off > 0.0 else "colder"
    if gate.extent == "none" and gate.struck:
        yield (
            f"Forecast left out: {count(len(gate.struck), 'day')} of it can’t be of this place. "
            "Check its unit and columns."
        )
    elif gate.extent == "none":
        yield (
            f"Forecast left out: it begins {_apart(gate.off)} {side} than the last days lead to "
            "expect. Check its unit and place."
        )
    elif gate.struck:
        days = listed([day(each, weekday=False) for each in gate.struck])
        yield f"Forecast of {days} left out: no day there is like that."
    elif gate.doubted:
        yield (
            f"The forecast begins {_apart(gate.off)} {side} than the last days lead to expect: "
            "trusted less."
        )


def _apart(celsius: float) -> str:
    size = abs(celsius)
    return f"{size:.0f} °C ({from_celsius_days(size, 'F'):.0f} °F)"


def known(plan: SeasonPlan, *, briefly: bool = False) -> Iterator[str]:
    """How far the weather is known, and how much of it is forecast.

    ``briefly`` without the weekday, with the patched days, and silent where none is missing.
    """
    other_year = plan.through.year != plan.today.year
    parts = [f"weather through {day(plan.through, year=other_year, weekday=not briefly)}"]
    if plan.through < plan.season.first:  # days of past seasons say nothing of this one
        parts.append("none of this season")
    elif plan.missing:
        parts.append(f"{count(plan.missing, 'day')} missing")
    elif not plan.days_behind and not briefly:
        parts.append("nothing missing")
    if briefly and plan.patched:
        parts.append(f"{count(plan.patched, 'day')} patched")
    if plan.days_behind:
        parts.append(f"{count(plan.days_behind, 'day')} behind")
    there = plan.through >= plan.series.first
    yield ", ".join(parts) if there else "no weather known yet"
    if plan.forecast:
        days = f"{count(plan.forecast, 'day')} of forecast"
        yield days if briefly else f"{days}, past years after that"


def forecast_errors(trust: ForecastTrust, show: Unit) -> str:
    """What the errors of the forecast used are taken from."""
    days, usual = count(trust.days, "day"), "the stated default"
    local = f"this place’s own {count(trust.past, 'past forecast')}"
    if trust.learnt == trust.days:
        words = f"{days} used; forecast errors: {local}."
    elif trust.learnt:
        others = f"{usual} for the others"
        words = f"{days} used; forecast errors: {local} for {trust.learnt} of them, {others}."
    else:
        words = (
            f"{days} used; forecast errors: {usual}, until {ENOUGH} past forecasts can be held "
            f"against measured days ({trust.past} so far)."
        )
    if trust.past:
        words += f" {_bias(trust, show)}"
    return f"{words} {_strange(trust.strange, show)}" if trust.strange else words


def _strange(past: StrangeForecasts, show: Unit) -> str:
    """Past forecasts that teach nothing, by their days of issue and their numbers."""
    first, *others = past.issued
    when = f"that of {day(first, weekday=False)}"
    if others:
        many = count(len(past.issued), "past forecast")
        when = f"{many} of {span(first, others[-1])}"
    return (
        f"Left out: {when} said {temperature(past.foretold, show)} on average where "
        f"{temperature(past.measured, show)} came; check the unit and place."
    )


def old_forecast(plan: SeasonPlan) -> str:
    """That the newest forecast on record says nothing of the days to come, where it is so."""
    if plan.old_forecast is None:
        return ""
    issued = day(plan.old_forecast, weekday=False)
    return f"No forecast is used: the newest one, of {issued}, is too old."


def _bias(trust: ForecastTrust, show: Unit) -> str:
    """The lasting error that past forecasts show."""
    size = rounded(abs(from_celsius_days(trust.bias, show)), 1)  # a difference scales like heat
    if not size:
        return "They came neither too warm nor too cold."
    side = "warm" if trust.bias > 0.0 else "cold"
    return f"Past ones came too {side}: {size:.1f} °{show} of it is taken off."


def season_line(plan: SeasonPlan, show: Unit) -> str:
    """How the season stands beside the past ones."""
    return standing_line(plan.standing, plan.season_sum.counting, show, plan.season_sum.start)


def standing_line(
    standing: Standing | None, counting: Counting, show: Unit, start: tuple[int, int]
) -> str:
    """How a season stands beside the past ones, counted in one way."""
    if standing is None:
        return (
            "The season so far can’t be compared: its own days are not all known. A record near "
            "by may lend them:  gddcast weather patch FILE --from OTHER --extend"
        )
    other: Unit = "C" if show == "F" else "F"
    method = f"{counted(counting, show)}, from {day(dt.date(2024, *start), weekday=False)}"
    words = f"The season: {heat(standing.heat, show)} ({heat(standing.heat, other)}) {method}"
    if standing.rank is None or standing.middle is None:
        return (
            f"{words}; no past season to compare with. Borrow past years:  gddcast weather fetch, "
            "or  gddcast weather patch FILE --from OTHER --extend"
        )
    if not standing.has_begun:
        return f"{words}; the middle past year had none by then either."
    words += f": {rank_words(standing.rank)} of {standing.compared} seasons"
    if standing.days_ahead is not None:
        if standing.days_ahead == 0:
            words += ", level with the middle past year"
        else:
            side = "ahead of" if standing.days_ahead > 0 else "behind"
            words += f", about {count(abs(standing.days_ahead), 'day')} {side} the middle past year"
    return f"{words}."


def in_days(standing: Standing | None) -> str:
    """How a season stands in days, and its rank; nothing where neither is known."""
    if standing is None or standing.rank is None:
        return ""
    if not standing.has_begun:
        return "No heat yet, as in the middle past year."
    rank = f"{rank_words(standing.rank)} of {standing.compared} seasons"
    if standing.days_ahead is None:
        return f"{capital(rank)}."
    if standing.days_ahead == 0:
        return f"Level with the middle past year: {rank}."
    side = "ahead of" if standing.days_ahead > 0 else "behind"
    much = count(abs(standing.days_ahead), "day")
    return f"About {much} {side} the middle past year: {rank}."


def rank_words(rank: int) -> str:
    """A season's place among others, from the warmest.

    Examples
    --------
    >>> rank_words(1), rank_words(4)
    ('warmest', '4th warmest')
    """
    if rank == 1:
        return "warmest"
    ending = {1: "st", 2: "nd", 3: "rd"}.get(rank % 10 if rank % 100 not in (11, 12, 13) else 0)
    return f"{rank}{ending or 'th'} warmest"
