"""What every answer for programs is made of; the schemas stand in ``data/schemas/``."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Mapping
from typing import Any

from gddcast.errors import Refusal
from gddcast.units import Unit, from_celsius, from_celsius_days
from gddcast.weather.series import Place

Json = dict[str, Any]


def as_json(name: str, moment: dt.datetime, parts: Mapping[str, Any], *, version: int = 1) -> str:
    """An answer whole: its schema, when it was made, and its parts."""
    answer = {"schema": f"gddcast/{name}/{version}", "made": moment.isoformat(), **parts}
    return json.dumps(answer, indent=2, ensure_ascii=False, allow_nan=False)


def refusal_json(refusal: Refusal) -> Json:
    """Why something can't be used, as ``refusal/1`` has it."""
    return {
        "slug": refusal.slug,
        "where": refusal.where,
        "found": refusal.problem,
        "expected": refusal.expected,
        "cure": refusal.cure,
        "flag": refusal.flag,
    }


def where(place: Place) -> Json:
    """A place."""
    return {
        "name": place.name,
        "latitude": place.latitude,
        "longitude": place.longitude,
        "timezone": place.timezone,
    }


def temperature(celsius: float, show: Unit, digits: int = 3) -> Json:
    """A temperature with its unit."""
    return {"value": round(from_celsius(celsius, show), digits), "unit": f"deg{show}"}


def difference(celsius: float, show: Unit, digits: int = 2) -> Json:
    """A difference of temperatures: it scales, and has no 32."""
    return {"value": round(from_celsius_days(celsius, show), digits), "unit": f"deg{show}"}


def differences(tmax: float, tmin: float, show: Unit) -> Json:
    """Differences of maxima and of minima."""
    return {"max": difference(tmax, show), "min": difference(tmin, show)}


def iso(day: dt.date | None) -> str | None:
    """A day as ISO 8601 writes it; null where there is none."""
    return day.isoformat() if day else None
