"""Sowings one after another, for people and for programs."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Sequence

from gddcast import words
from gddcast.handouts.sow_last_table import takes
from gddcast.sowing import Need
from gddcast.succession import Planned
from gddcast.units import Unit


def as_text(crop: str, need: Need, rows: Sequence[Planned], show: Unit) -> str:
    """What the crop takes, then a few lines a sowing."""
    lines = [takes(crop, need, show)]
    for row in rows:
        lines.append(f"Sown {words.day(row.sown)}")
        if row.flower:
            lines.append(f"  first flower   {words.span(*row.flower)}")
        lines += _picked(row)
        for clash in row.clashes:
            lines.append(
                f"  meets          {clash.pest}, {clash.stage} {words.span(*clash.span)}: "
                f"{words.listed(clash.meets)}"
            )
    lines.append("Sow-next and side-dress days are your own rules, counted from the middle pick.")
    return "\n".join(lines)


def _picked(row: Planned) -> list[str]:
    share = ""
    if row.ready is not None:
        share = f" ({words.of_past_years(*row.ready)} reach it)"
    if row.pick is None or row.middle is None or row.side_dress is None or row.sow_next is None:
        return [f"  first pick     not this season{share}"]
    first, last = row.pick
    when = words.span(first, last) if last else f"{words.day(first, weekday=False)} or later"
    return [
        f"  first pick     {when}, middle {words.day(row.middle, weekday=False)}{share}",
        f"  side-dress     {words.day(row.side_dress, weekday=False)}",
        f"  sow the next   {words.span(*row.sow_next)}",
    ]


def as_json(crop: str, need: Need, rows: Sequence[Planned], made: dt.datetime) -> str:
    """The same for programs."""
    answer = {
        "schema": "gddcast/sow-plan/1",
        "made": made.isoformat(),
        "crop": crop,
        "basis": need.basis,
        "own_sowings": need.sowings,
        "sowings": [
            {
                "sown": row.sown.isoformat(),
                "first_flower": _iso(row.flower),
                "first_pick": _iso(row.pick),
                "middle_pick": row.middle.isoformat() if row.middle else None,
                "side_dress": row.side_dress.isoformat() if row.side_dress else None,
                "sow_next": _iso(row.sow_next),
                "ready": list(row.ready) if row.ready else None,
                "clashes": [
                    {
                        "pest": clash.pest, "stage": clash.stage, "span": _iso(clash.span),
                        "meets": list(clash.meets),
                    }
                    for clash in row.clashes
                ],
            }
            for row in rows
        ],
    }  # fmt: skip
    return json.dumps(answer, indent=2, ensure_ascii=False, allow_nan=False)


def _iso(span: tuple[dt.date, dt.date | None] | None) -> list[str | None] | None:
    return None if span is None else [day.isoformat() if day else None for day in span]
