"""The last day worth sowing a crop, for people and for programs."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Sequence

from gddcast import words
from gddcast.series import date_in
from gddcast.sowing import Need, SownBy
from gddcast.units import Unit, from_celsius, from_celsius_days


def as_text(
    crop: str, need: Need, rows: Sequence[SownBy], picking_days: int, frost_at: float, show: Unit
) -> str:
    """What the crop takes and how that is known, then one line a sowing day."""
    frost = words.temperature(frost_at, show)
    picked = f"{words.count(picking_days, 'day')} of picking"
    lines = [
        takes(crop, need, show) + ("" if need.counting else f" Using {need.used:.0f} days."),
        f"sown by       {picked} before the first {frost} night",
    ]
    for index, row in enumerate(rows):
        day = words.day(date_in(2023, row.month, row.day), weekday=False)
        fits = f"{row.fits} of {row.years}"
        total = fits if index else words.of_past_years(row.fits, row.years)
        lines.append(f"{day:<13} {total}")
    left_out = sorted({name for row in rows for name in row.left_out})
    if left_out:
        lines.append(f"Left out where a day is unknown: {words.listed(left_out)}.")
    lines.append(
        "Autumn frosts only, at the thermometer; leaves are colder on a still clear night."
    )
    return "\n".join(lines)


def takes(crop: str, need: Need, show: Unit) -> str:
    """One sentence on what a crop takes from seed to first pick, and how that is known."""
    if need.counting is None:
        whose = "your own rule" if need.basis == "your rule of days" else "its card"
        few = words.count(need.sowings, "own sowing") if need.sowings else "no own sowings"
        return (
            f"{crop}: {need.low:.0f}–{need.high:.0f} days from seed to first pick by {whose} "
            f"({need.source}); {few} on record. Days are the same in a warm year and a cold one."
        )
    above = words.temperature(need.counting.lower, show)
    how = f"above {above}, {need.counting.shape.name}"
    used = words.heat(need.used, show, unit=False)
    low, high = (words.heat(each, show, unit=False) for each in (need.low, need.high))
    if need.basis == "own sowings":
        return (
            f"{crop}: yours took {low}–{high} °{show}-days from seed to first pick "
            f"({need.sowings} sowings; {how}). Using {used}."
        )
    if need.basis == "your number":
        return f"{crop}: {used} °{show}-days from seed to first pick, as you say ({how})."
    printed = used if low == high else f"{low}–{high}"
    return (
        f"{crop}: {printed} °{show}-days from seed to first pick by its card "
        f"({need.source}; {how}). Using {used}."
    )


def as_json(
    crop: str,
    need: Need,
    rows: Sequence[SownBy],
    picking_days: int,
    frost_at: float,
    show: Unit,
    made: dt.datetime,
) -> str:
    """The same for programs."""
    low, used, high = (
        round(from_celsius_days(each, show), 3) if need.counting else each
        for each in (need.low, need.used, need.high)
    )
    answer = {
        "schema": "gddcast/sow-last/1",
        "made": made.isoformat(),
        "crop": crop,
        "need": {
            "basis": need.basis, "low": low, "used": used, "high": high,
            "unit": f"deg{show}-day" if need.counting else "day",
            "own_sowings": need.sowings, "source": need.source or None,
        },
        "picking_days": picking_days,
        "frost_at": {"value": round(from_celsius(frost_at, show), 3), "unit": f"deg{show}"},
        "sown_by": [
            {
                "day": f"{row.month:02d}-{row.day:02d}", "fits": row.fits, "years": row.years,
                "left_out": list(row.left_out),
            }
            for row in rows
        ],
    }  # fmt: skip
    return json.dumps(answer, indent=2, ensure_ascii=False, allow_nan=False)
