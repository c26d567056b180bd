"""Beside a date: its record at this place, what moved it, and when the insect itself is seen."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np

from gddcast.outlook.dates import Outlook
from gddcast.outlook.forecast import StrangeForecasts, usual_errors
from gddcast.outlook.season_so_far import forecast_behind
from gddcast.outlook.sightings import InsectDates, PrintedSums, insect_dates
from gddcast.scouting.windows import ScoutingWindow
from gddcast.skill.backtest import backtest
from gddcast.skill.targets import Target
from gddcast.skill.track_record import LeadRecord, by_lead, of_lead
from gddcast.today.plan import SeasonPlan
from gddcast.units import to_celsius_days
from gddcast.words import Status

#: One stage of one organism, and the day of the sowing where each sowing has its own clock.
Stage = tuple[str, str, str]
T = TypeVar("T")
#: Statuses whose date is near enough for its record to matter today.
_NEAR = (Status.LOOK_NOW, Status.COMING_UP)
#: Fewer past seasons than these say nothing about an outlook.
_FEWEST = 5
#: The most recent seasons a record is made of.
_MOST = 30


def stage_of(window: ScoutingWindow) -> Stage:
    """Key of a window's stage."""
    clock = window.clock
    sown = clock.latest.isoformat() if clock is not None and clock.kind == "sowing" else ""
    return window.card.key, window.event.key, sown


def beside(window: ScoutingWindow, known: Mapping[Stage, T]) -> T | None:
    """What is known beside a window's date; nothing beside a cue, which has none."""
    return None if window.late is None else known.get(stage_of(window))


def records(plan: SeasonPlan, near: tuple[Status, ...] = _NEAR) -> Mapping[Stage, LeadRecord]:
    """The track record of each near date, at the lead it stands at today.

    Every past season of the place is foretold from the seasons before it, by the same steps.

    Parameters
    ----------
    plan : SeasonPlan
    near : tuple of Status
        Statuses whose dates are tried.
    """
    wanted = {}
    for window in plan.windows:
        outlook, target = window.late, _target(window, near)
        if outlook is not None and target is not None and outlook.middle is not None:
            wanted[stage_of(window)] = target, (outlook.middle - plan.today).days
    if not wanted:
        return {}
    past = plan.series.before(plan.season.first)
    targets = [target for target, _ in wanted.values()]
    foretold = backtest(past, targets, at_least=_FEWEST, at_most=_MOST)
    found = {}
    for place, (stage, (_, lead)) in enumerate(wanted.items()):
        record = of_lead(by_lead(foretold.where(foretold.target == place)), lead)
        if record is not None and record.seasons >= _FEWEST:
            found[stage] = record
    return found


def _target(window: ScoutingWindow, near: tuple[Status, ...]) -> Target | None:
    if window.status not in near or window.counting is None or window.clock is None:
        return None
    if window.clock.kind not in ("date", "stand-in") or window.late is None:
        return None
    start = window.clock.latest
    name = f"{window.card.name}: {window.event.words}"
    return Target(name, window.counting, window.late.goal, (start.month, start.day))


@dataclass(frozen=True, slots=True)
class ForecastTrust:
    """What the forecast behind a plan is trusted by.

    Parameters
    ----------
    days : int
        Forecast days used.
    learnt : int
        Those of them for which this place's own past forecasts tell the error; the others take
        the stated one.
    past : int
        Past forecasts held against measured days.
    sd : tuple of float
        Error used for each day, what is not known of the lasting one with it. [°C]
    bias : float
        Lasting error of the daily mean, learnt from them and taken off: above 0 they were too
        warm. [°C]
    strange : StrangeForecasts or None
        Past ones that teach nothing, as they cannot have been of this place.
    """

    days: int
    learnt: int
    past: int
    sd: tuple[float, ...]
    bias: float
    strange: StrangeForecasts | None


def forecast_trust(plan: SeasonPlan) -> ForecastTrust | None:
    """What the forecast is trusted by; None where none is used."""
    used = ~np.isnan(forecast_behind(plan.series, plan.through)[0])
    if not used.any() or plan.climate is None:
        return None
    errors = plan.errors or usual_errors(plan.climate.spread)
    errors = errors.at(np.flatnonzero(used))
    return ForecastTrust(
        int(used.sum()), int(errors.learnt.sum()), errors.forecasts,
        tuple(np.hypot(errors.sd, errors.bias_sd).tolist()), float(errors.bias.mean()),
        errors.strange,
    )  # fmt: skip


def insect_date(plan: SeasonPlan, window: ScoutingWindow) -> InsectDates | None:
    """When the insect is seen, beside when its sum is reached; only where the sum has a spread.

    The spread is that of the place's own finds where there are any, else the one printed.
    """
    number, counting, clock = window.number, window.counting, window.clock
    if number is None or counting is None or clock is None or window.late is None:
        return None
    if window.insect is not None:
        return window.insect
    if number.spread is None:
        return None
    sums = PrintedSums(window.late.goal, to_celsius_days(number.spread, number.unit))
    found = insect_dates(
        plan.series, counting, sums, start=clock.latest, today=plan.today,
        climate=plan.climate, errors=plan.errors,
    )  # fmt: skip
    return None if found is None else _no_narrower(found, window.late)


def insect_dates_of(plan: SeasonPlan) -> dict[Stage, InsectDates]:
    """The same of every date still to come that does not go by it already.

    A cue beside a date promises nothing of its own.
    """
    ahead = (each for each in plan.windows if not each.is_answered and each.own_finds is None)
    answers = ((stage_of(each), insect_date(plan, each)) for each in ahead)
    return {stage: answer for stage, answer in answers if answer is not None}


def _no_narrower(insect: InsectDates, outlook: Outlook) -> InsectDates:
    """An insect is never promised more closely than its sum, whose spans allow for few years."""
    spans = {}
    for share, (first, last) in insect.spans.items():
        sum_first, sum_last = (outlook.spans or {}).get(share, (first, last))
        late = None if last is None or sum_last is None else max(last, sum_last)
        spans[share] = min(first, sum_first), late
    return replace(insect, spans=spans)
