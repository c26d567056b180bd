"""A judged record, a comparison and a mending for programs; schemas in ``data/schemas/``."""

from __future__ import annotations

import datetime as dt
import json
from typing import Any

import numpy as np

from gddcast.quality.consequence import Effect
from gddcast.quality.findings import Finding
from gddcast.quality.mending import Mended
from gddcast.quality.siting import Comparison
from gddcast.quality.verdict import Verdict
from gddcast.units import Unit, from_celsius, from_celsius_days
from gddcast.weather.gaps import share_patched
from gddcast.weather.series import DailySeries, Place

Json = dict[str, Any]
Notes = list[tuple[str, str]]


def verdict_json(
    verdict: Verdict, unit: str, unit_decided_by: str, notes: Notes, show: Unit, made: dt.datetime
) -> str:
    """What ``weather check`` found."""
    series = verdict.judged
    answer = _envelope("weather-check", series.place, made)
    answer["weather"] = {
        "source": series.source,
        "first_day": series.first.isoformat(),
        "last_day": series.last.isoformat(),
        "days": len(series),
        "missing_days": sum(each.days for each in verdict.of("missing")),
        "unknown_days": series.missing,
        "unit": unit,
        "unit_decided_by": unit_decided_by,
        "trust": str(verdict.trust),
        "reasons": list(verdict.reasons),
        "hottest": _extreme(series, show, "tmax"),
        "coldest": _extreme(series, show, "tmin"),
        "usable_seasons": list(verdict.usable_seasons),
        "lost_seasons": list(verdict.lost_seasons),
    }
    answer["items"] = [_finding(each, show) for each in verdict.findings]
    answer["notes"] = [{"slug": slug, "text": text} for slug, text in notes]
    return _text(answer)


def comparison_json(
    found: Comparison, first: DailySeries, second: DailySeries, show: Unit, made: dt.datetime
) -> str:
    """What ``weather compare`` found."""
    answer = _envelope("weather-compare", first.place, made)
    answer |= {
        "first": first.source,
        "second": second.source,
        "days_in_common": found.days,
        "first_day": found.first.isoformat(),
        "last_day": found.last.isoformat(),
        "identical": found.identical,
        "difference": _apart(found.tmax, found.tmin, show),
        "spread": _apart(found.tmax_spread, found.tmin_spread, show),
        "max_on_clear_days": _difference(found.clear, show),
        "max_on_dull_days": _difference(found.dull, show),
        "sun_on": found.sun_on,
        "first_books_later_days": found.lag,
        "effect": _effect(found.effect, show),
        "months": [
            {"month": each.month, "days": each.days} | _apart(each.tmax, each.tmin, show)
            for each in found.by_month
        ],
        "worst": [
            {"day": each.day.isoformat()} | _apart(each.tmax, each.tmin, show)
            for each in found.worst
        ],
    }
    return _text(answer)


def mended_json(mended: Mended, output: str, show: Unit, made: dt.datetime) -> str:
    """What ``weather patch`` did."""
    answer = _envelope("weather-patch", mended.series.place, made)
    loan = mended.loan
    answer |= {
        "wrote": output,
        "patched": _spans(mended.patched),
        "patched_days": mended.days_patched,
        "patched_share": round(share_patched(mended.series), 4),
        "left_unknown": _spans(mended.left),
        "left_unknown_days": mended.days_left,
        "struck": [_finding(each, show) for each in mended.verdict.findings if each.removed],
        "loan": loan
        and {"days": loan.lent, "days_in_common": loan.in_common}
        | _apart(loan.offset_max, loan.offset_min, show),
    }
    return _text(answer)


def _envelope(name: str, place: Place, made: dt.datetime) -> Json:
    return {
        "schema": f"gddcast/{name}/1",
        "made": made.isoformat(),
        "place": {
            "name": place.name,
            "latitude": place.latitude,
            "longitude": place.longitude,
            "timezone": place.timezone,
        },
    }


def _text(answer: Json) -> str:
    return json.dumps(answer, indent=2, ensure_ascii=False, allow_nan=False)


def _extreme(series: DailySeries, show: Unit, name: str) -> Json | None:
    values = series.tmax if name == "tmax" else series.tmin
    if np.isnan(values).all():
        return None
    at = int(np.nanargmax(values) if name == "tmax" else np.nanargmin(values))
    return {"day": series.date(at).isoformat()} | _temperature(float(values[at]), show)


def _temperature(celsius: float, show: Unit) -> Json:
    return {"value": round(from_celsius(celsius, show), 2), "unit": f"deg{show}"}


def _difference(celsius: float, show: Unit) -> Json:
    return {"value": round(from_celsius_days(celsius, show), 2), "unit": f"deg{show}"}


def _apart(tmax: float, tmin: float, show: Unit) -> Json:
    return {"max": _difference(tmax, show), "min": _difference(tmin, show)}


def _effect(effect: Effect | None, show: Unit) -> Json | None:
    if effect is None:
        return None
    return {"days": round(effect.days, 2), "event": effect.event(show)}


def _finding(finding: Finding, show: Unit) -> Json:
    # An excess is a difference, every other value a temperature: 8 °F wider is not 40 °F.
    value = _difference if finding.rule == "wide-range" else _temperature
    return {
        "rule": finding.rule,
        "level": finding.level,
        "first_day": finding.first.isoformat(),
        "last_day": finding.last.isoformat(),
        "days": finding.days,
        "values": [value(each, show) for each in finding.values],
        "words": finding.words,
        "cure": finding.cure,
        "removed": finding.removed,
        "effect": None
        if finding.effect_days is None
        else {"days": round(finding.effect_days, 2), "event": finding.event},
    }


def _spans(spans: tuple[tuple[dt.date, dt.date], ...]) -> list[Json]:
    return [{"first_day": first.isoformat(), "last_day": last.isoformat()} for first, last in spans]
