"""What a crop takes, said in one sentence with how it is known; shared by what plans sowings."""

from __future__ import annotations

from typing import Any

from gddcast import words
from gddcast.crops.needs import Need
from gddcast.units import Unit, from_celsius_days

_START = {"sowing": "seed", "transplanting": "planting out"}


def takes(need: Need, show: Unit, until: str = "first pick") -> str:
    """What it takes from seed, or planting out, to an event, and how that is known."""
    stretch = f"from {_START[need.start]} to {until}"
    if need.counting is None:
        whose = "your own rule" if need.basis == "your rule of days" else "its card"
        few = words.count(need.sowings, "own sowing") if need.sowings else "no own sowings"
        span = _range(f"{need.low:.0f}", f"{need.high:.0f}")
        return f"{span} days {stretch} by {whose} ({need.source}); {few} on record"
    above = words.temperature(need.counting.lower, show)
    how = f"above {above}, {need.counting.shape.name}"
    low, used, high = (
        words.heat(each, show, unit=False) for each in (need.low, need.used, need.high)
    )
    if need.basis == "own sowings":
        return (
            f"yours took {_range(low, high)} °{show}-days {stretch} "
            f"({need.sowings} sowings; {how}). Using {used}"
        )
    if need.basis == "your number":
        return f"{used} °{show}-days {stretch}, as you say ({how})"
    mean = f". Using {used}" if low != high else ""
    return f"{_range(low, high)} °{show}-days {stretch} by its card ({need.source}; {how}){mean}"


def _range(low: str, high: str) -> str:
    return low if low == high else f"{low}–{high}"


def need_json(need: Need, show: Unit) -> dict[str, Any]:
    """The same for programs: heat in the reader's scale, or days."""
    low, used, high = (
        round(from_celsius_days(each, show), 3) if need.counting else each
        for each in (need.low, need.used, need.high)
    )
    return {
        "basis": need.basis,
        "from": need.start,
        "low": low,
        "used": used,
        "high": high,
        "unit": f"deg{show}-day" if need.counting else "day",
        "own_sowings": need.sowings,
        "source": need.source or None,
    }
