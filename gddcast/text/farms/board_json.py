"""Who is due where, for programs; the schema is ``data/schemas/farms.json``."""

from __future__ import annotations

import datetime as dt

from gddcast.farms.board import Board, FarmDay
from gddcast.farms.likeness import Alike
from gddcast.text.answer import Json, as_json, difference, iso, refusal_json, where
from gddcast.text.dates.window_json import insect_dates_json, item
from gddcast.text.farms.doubt_words import cure, reason
from gddcast.units import Unit


def board_json(board: Board, show: Unit, folder: str, moment: dt.datetime) -> str:
    """The whole board, the farms in their order; only dated ones have a rank."""
    ranks = {id(row): rank for rank, row in board.ranked}
    parts = {
        "today": board.day.isoformat(),
        "days": board.days,
        "counts": {
            "farms": len(board.farms) + board.not_asked,
            **{each: len(board.of(each)) for each in ("dated", "eye", "refused")},
            "not_asked": board.not_asked,
        },
        "farms": [
            {"rank": ranks.get(id(row)), **farm_json(row, show, folder)} for row in board.farms
        ],
    }
    return as_json("farms", moment, parts)


def farm_json(row: FarmDay, show: Unit, folder: str) -> Json:
    """One farm: its status, weather and items as ``ahead`` has them, doubts, or its refusal."""
    weather, looked = row.weather, row.looked
    items = zip(row.due, row.insects, strict=True)
    return {
        "name": row.farm.name,
        "status": row.state,
        "file": row.farm.file,
        "place": where(row.farm.place),
        "today": iso(row.day),
        "weather": weather
        and {
            "last_day": weather.through.isoformat(),
            "days_behind": weather.days_behind,
            "missing_days": weather.missing,
            "patched_days": weather.patched,
            "forecast_days": weather.forecast,
            "past_years": weather.past_years,
            "trust": str(weather.trust),
            "reasons": list(weather.reasons),
        },
        "items": [
            item(due.window, show)
            | {"insect_seen": insect_dates_json(insect, show), "since": None}
            | {"look_next": due.day.isoformat()}
            for due, insect in items
        ],
        "later": row.later
        and item(row.later.window, show) | {"look_next": row.later.day.isoformat()},
        "doubts": [
            {"slug": each.kind, "says": reason(row, each), "cure": cure(row, each, folder)}
            for each in row.doubts
        ],
        "same_readings": [alike_json(each, show) for each in row.same_as],
        "notes": list(row.notes),
        "last_look": looked
        and {"day": looked.day.isoformat(), "days_since": row.days_since_look, "by": looked.by},
        "refusal": row.refusal and refusal_json(row.refusal),
    }


def alike_json(alike: Alike, show: Unit) -> Json:
    """How another farm's last year of readings compares."""
    return {
        "farm": alike.farm,
        "days_in_common": alike.days,
        "days_the_same": alike.same,
        "exactly": alike.exact,
        "offset": difference(alike.offset, show),
        "scatter": difference(alike.scatter, show),
    }
