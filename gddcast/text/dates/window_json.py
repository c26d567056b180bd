"""A window, the place and its weather for programs; schemas stand in ``data/schemas``."""

from __future__ import annotations

from collections.abc import Mapping

from gddcast.journal.begun import Begun
from gddcast.outlook.bridging import BridgedDate
from gddcast.outlook.changes import Change, is_move
from gddcast.outlook.dates import Outlook
from gddcast.outlook.forecast import ENOUGH
from gddcast.outlook.season_so_far import OpenSpan
from gddcast.outlook.sightings import InsectDates
from gddcast.scouting.windows import ScoutingWindow
from gddcast.text import numbers, sentences, weather_so_far, why_moved
from gddcast.text.answer import Json, difference, iso, where
from gddcast.today.beside_dates import ForecastTrust, Stage, beside, forecast_trust, insect_date
from gddcast.today.plan import SeasonPlan
from gddcast.units import Unit, from_celsius_days


def about(plan: SeasonPlan) -> Json:
    """What every answer about a place starts with."""
    return {
        "today": plan.today.isoformat(),
        "place": where(plan.place),
        "weather": {
            "last_day": plan.through.isoformat(),
            "missing_days": plan.missing,
            "days_behind": plan.days_behind,
            "patched_days": plan.patched,
            "forecast_days": plan.forecast,
            "forecast_errors": _forecast_errors(forecast_trust(plan)),
            "trust": str(plan.verdict.trust),
            "reasons": list(plan.verdict.reasons),
        },
        "method": {
            "shape": plan.overrule.shape.name if plan.overrule.shape else "card",
            "cutoff": plan.overrule.cutoff.name if plan.overrule.cutoff else "card",
        },
        "notes": [
            {"slug": slug, "text": text}
            for slug, text in (
                ("days-behind", weather_so_far.behind(plan)),
                *(("forecast", said) for said in weather_so_far.forecast_doubt(plan)),
                ("old-forecast", weather_so_far.old_forecast(plan)),
                *(("note", note) for note in plan.notes),
            )
            if text
        ],
    }


def _forecast_errors(trust: ForecastTrust | None) -> Json | None:
    """What the forecast used is trusted by; null where none is used."""
    if trust is None:
        return None
    return {
        "from": "own"
        if trust.learnt == trust.days
        else "own and default"
        if trust.learnt
        else "default",
        "own_days": trust.learnt,
        "past_forecasts": trust.past,
        "needed": ENOUGH,
        "sd": [{"value": round(sd, 2), "unit": "degC"} for sd in trust.sd],
        "bias": {"value": round(trust.bias, 2), "unit": "degC"},
        "left_out": None
        if trust.strange is None
        else {
            "issued": [day.isoformat() for day in trust.strange.issued],
            "said": {"value": round(trust.strange.foretold, 1), "unit": "degC"},
            "came": {"value": round(trust.strange.measured, 1), "unit": "degC"},
        },
    }


def item(window: ScoutingWindow, show: Unit) -> Json:
    """One stage: status, words, and the two promises kept apart.

    ``sum_reached`` says when the heat is there; when the insect is seen is ``seen``, and only a
    person's own find fills it.
    """
    number = window.number
    return {
        "organism": window.card.key,
        "latin": window.card.latin,
        "stage": window.event.key,
        "words": sentences.title(window),
        "for": window.event.purpose,
        "status": window.status.key,
        "says": sentences.when(window, show),
        "look": {
            "from": iso(window.opens),
            "until": iso(window.closes),
            "every_days": window.every_days,
            "because": window.every_words,
            "where_on_plant": window.look.where_on_plant,
            "time_of_day": window.look.time_of_day,
            "looks_like": window.look.looks_like,
        },
        "sum_reached": _reached(window, show),
        "by_days": _by_days(window),
        "seen": iso(window.bracket.found_on) if window.bracket else None,
        "begun": _begun(window.begun),
        "clean_looks": window.clean_looks,
        "reason": window.reason,
        "number": _number(window) if number else None,
        "own_number": _finds_json(window, show),
        "closed": iso(window.closed_on),
        "over": window.over,
        "stand_ins": [_stand_in(window, name) for name in (number.not_stated if number else ())],
        "notes": list(window.notes),
    }


def _begun(begun: Begun | None) -> Json | None:
    """The latest day on which it had begun, by a find of a later stage."""
    if begun is None:
        return None
    return {
        "at_the_latest": begun.latest.isoformat(),
        "counted_back": begun.counted,
        "by": {"stage": begun.by.event, "seen": begun.by.seen_on.isoformat()},
    }


def item_since(
    plan: SeasonPlan, window: ScoutingWindow, changes: Mapping[Stage, Change], show: Unit
) -> Json:
    """One stage, when its insect is seen, and what moved its date since an earlier day."""
    return item(window, show) | {
        "insect_seen": insect_dates_json(insect_date(plan, window), show),
        "since": _change(beside(window, changes), show),
    }


def insect_dates_json(insect: InsectDates | None, show: Unit) -> Json | None:
    """The second promise: when the insect itself is seen, by the spread printed for its number."""
    if insect is None:
        return None
    return {
        "spread": quantity(insect.spread, show),
        "middle": iso(insect.middle),
        "spans": _spans(insect.spans),
        "begun_by_now": round(insect.by_now, 3),
        "this_season": round(insect.in_season, 3),
    }


def _change(change: Change | None, show: Unit) -> Json | None:
    """What moved a date since an earlier day, each cause in days; null where nothing is known."""
    if change is None:
        return None
    came = change.new_days
    return {
        "day": change.day.isoformat(),
        "told": change.announced,
        "moved": is_move(change),
        "says": why_moved.why(change, show),
        "fastest_then": iso(change.before.fastest),
        "slowest_then": iso(change.before.slowest),
        "look_from_then": iso(change.opens[0]) if change.opens else None,
        "moves": [
            {"cause": move.cause, "fastest": move.fastest, "slowest": move.slowest}
            for move in change.moves
        ],
        "weather_since": came
        and {
            "first": came[0].isoformat(),
            "last": came[1].isoformat(),
            "beside": "forecast" if change.foretold else "usual",
            "warmer_by": None if change.warmth is None else difference(change.warmth, show, 1),
        },
        "revised_days": [day.isoformat() for day in change.revised],
    }


def quantity(celsius_days: float, show: Unit) -> Json:
    """A heat sum with its unit; null where it is not known."""
    value = from_celsius_days(celsius_days, show)
    return {"value": round(value, 1) if value == value else None, "unit": f"deg{show}-day"}


def _reached(window: ScoutingWindow, show: Unit) -> Json | None:
    if window.early is None or window.late is None or window.clock is None:
        return None
    inner = window.inner
    return {
        "clock_starts": {
            "earliest": iso(window.clock.earliest),
            "latest": iso(window.clock.latest),
        },
        "low_end": _outlook(window.early, show),
        "high_end": _outlook(window.late, show),
        "inner": inner
        and {
            "first": iso(inner.first),
            "last": iso(inner.last),
            "share": round(inner.share, 3),
            "years": inner.years,
            "of": inner.total,
        },
        "not_this_season": None if window.never is None else round(window.never, 3),
        "spans": _spans(window.spans),
        "across_the_gap": window.bridged and _across(*window.bridged),
    }


def _across(early: BridgedDate, late: BridgedDate) -> Json:
    """The date with the usual weather on unknown days, four times in five."""
    return {
        "first": iso(early.first),
        "last": iso(late.last),
        "unknown_days": max(early.unknown_days, late.unknown_days),
        "days_either_way_by_the_gap": max(early.give, late.give),
    }


def _by_days(window: ScoutingWindow) -> Json | None:
    """Days in the place of a sum: as printed, and between which dates they put the stage."""
    printed, counted = window.days, window.by_days
    if printed is None:
        return None
    begins = counted.begins if counted else (None, None)
    return {
        "printed": list(printed.days),
        "after": printed.starts_from.event or printed.starts_from.crop,
        "source": window.card.citation(printed.source),
        "evidence": printed.evidence,
        "begins": {"earliest": iso(begins[0]), "latest": iso(begins[1])},
        "earliest": iso(counted.earliest) if counted else None,
        "latest": iso(counted.latest) if counted else None,
    }


def _outlook(outlook: Outlook, show: Unit) -> Json:
    return {
        "heat": quantity(outlook.heat, show),
        "goal": quantity(outlook.goal, show),
        "reached": iso(outlook.reached),
        "unknown_days": [iso(day) for day in outlook.unknown] if outlook.unknown else None,
        "year_dots": [{"season": dot.season, "day": iso(dot.day)} for dot in outlook.dots],
        "left_out": [{"season": name, "because": why} for name, why in outlook.left_out],
        "spans": _spans(outlook.spans or {}),
        "rough": outlook.rough
        and {"first": iso(outlook.rough.first), "last": iso(outlook.rough.last)},
        "counted_from": iso(outlook.counted_from),
    }


def _spans(spans: Mapping[float, OpenSpan]) -> list[Json]:
    return [
        {"share": share, "first": iso(first), "last": iso(last)}
        for share, (first, last) in sorted(spans.items())
    ]


def _number(window: ScoutingWindow) -> Json:
    number, counting = window.number, window.counting
    if number is None:
        return {}
    source = window.card.sources.get(number.source)
    return {
        "printed": {
            "goal": list(number.goal) if number.goal else None,
            "lower": number.lower,
            "upper": number.upper if number.upper != float("inf") else "none",
            "unit": f"deg{number.unit}",
        },
        "counted": counting
        and {
            "lower_c": round(counting.lower, 3),
            "upper_c": None if counting.upper == float("inf") else round(counting.upper, 3),
            "shape": counting.shape.name,
            "cutoff": counting.cutoff.name,
        },
        "kind": number.kind,
        "found_in": number.found_in,
        "evidence": number.evidence,
        "source": source.citation if source else number.source,
    }


def _finds_json(window: ScoutingWindow, show: Unit) -> Json | None:
    """The sum by the person's own finds, and whether it stands in for the printed one."""
    own_finds = window.own_finds or window.finds_beside
    if own_finds is None:
        return None
    return {
        "used": window.own_finds is not None,
        "goal": quantity(own_finds.goal, show),
        "interval": [quantity(own_finds.sum.sum_at(share), show) for share in (0.1, 0.9)],
        "spread": quantity(own_finds.sum.spread, show),
        "seasons": own_finds.finds,
        "kept_on": None,
        "says": numbers.own_number(window, show),
    }


def _stand_in(window: ScoutingWindow, name: str) -> Json:
    return {
        "field": name,
        "used": numbers.used(window, name),
        "moves": [
            {"instead": move.instead, "days": list(move.days) if move.days else None}
            for move in window.moves
            if move.field == name
        ],
    }
