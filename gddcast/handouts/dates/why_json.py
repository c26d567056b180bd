"""The reasons behind dates, for programs."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Sequence

from gddcast.handouts.dates.ahead_json import envelope, item, seen_as_data
from gddcast.scouting.windows import ScoutingWindow
from gddcast.today.hindsight import insect_seen
from gddcast.today.plan import SeasonPlan, other_readings
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
            "insect_seen": seen_as_data(insect_seen(plan, window), show),
        }
        for window in windows
    ]
    return json.dumps(answer, indent=2, ensure_ascii=False, allow_nan=False)
