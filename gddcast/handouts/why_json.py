"""The reasons behind dates, for programs."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Sequence

from gddcast.handouts.ahead_json import Json, envelope, item, quantity
from gddcast.hindsight import insect_seen
from gddcast.plan import SeasonPlan, other_readings
from gddcast.scouting import ScoutingWindow
from gddcast.sightings_ahead import Seen
from gddcast.units import Unit


def why_json(
    plan: SeasonPlan, windows: Sequence[ScoutingWindow], show: Unit, made: dt.datetime
) -> str:
    """Each stage with the effect of every other reading of its card."""
    answer = envelope("why", plan, made)
    answer["items"] = [
        item(window, show)
        | {
            "other_readings": [
                {
                    "field": move.field,
                    "used": move.used,
                    "instead": move.instead,
                    "days": list(move.days) if move.days else None,
                }
                for move in other_readings(plan, window)
            ],
            "insect_seen": _seen(insect_seen(plan, window), show),
        }
        for window in windows
    ]
    return json.dumps(answer, indent=2, ensure_ascii=False, allow_nan=False)


def _seen(seen: Seen | None, show: Unit) -> Json | None:
    """The second promise: when the insect itself is seen, by the spread printed for its number."""
    if seen is None:
        return None
    return {
        "spread": quantity(seen.spread, show),
        "middle": seen.middle.isoformat() if seen.middle else None,
        "spans": [
            {"share": share, "first": first.isoformat(), "last": last.isoformat() if last else None}
            for share, (first, last) in sorted(seen.spans.items())
        ],
        "begun_by_now": round(seen.by_now, 3),
        "this_season": round(seen.in_season, 3),
    }
