"""How past outlooks did, for programs."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Sequence
from dataclasses import asdict

from gddcast.skill.backtest import Target
from gddcast.skill.track_record import LeadRecord
from gddcast.weather.series import DailySeries


def backtest_json(
    series: DailySeries,
    targets: Sequence[Target],
    records: Sequence[LeadRecord],
    protocol: str,
    reached: tuple[float, float],
    made: dt.datetime,
) -> str:
    """The whole answer as one object."""
    answer = {
        "schema": "gddcast/backtest/1",
        "made": made.isoformat(),
        "place": {"name": series.place.name},
        "record": {"first": series.first.isoformat(), "last": series.last.isoformat()},
        "protocol": protocol,
        "covers": "weather only, not how well a published number fits this place",
        "goals": [
            {"name": each.name, "goal_c_days": round(each.goal, 2), "from": each.start}
            for each in targets
        ],
        "reached_brier": {"outlook": reached[0], "mean_share": reached[1]},
        "leads": [_lead(each) for each in records],
    }
    return json.dumps(answer, indent=2, ensure_ascii=False, allow_nan=False)


def _lead(record: LeadRecord) -> dict[str, object]:
    found = asdict(record) | {"sentence": record.sentence}
    for name in ("held", "held_interval", "width"):
        found[name] = {f"{share:.0%}": value for share, value in found[name].items()}
    return {key: _short(value) for key, value in found.items()}


def _short(value: object) -> object:
    """Four decimals are plenty for a score."""
    if isinstance(value, float):
        return round(value, 4)
    if isinstance(value, dict):
        return {str(key): _short(each) for key, each in value.items()}
    if isinstance(value, tuple):
        return [_short(each) for each in value]
    return value
