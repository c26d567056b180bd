"""What a fetch brought, and which stations are near, as text."""

from __future__ import annotations

from collections.abc import Sequence

from gddcast import words
from gddcast.quality.revisions import Revision
from gddcast.text.terminal import table
from gddcast.units import Unit, from_celsius_days
from gddcast.weather.provenance import Sourced
from gddcast.weather.series import Origin
from gddcast.weather.stations import RULE, Near

_ORIGINS = (Origin.MEASURED, Origin.PATCHED, Origin.MODEL, Origin.FORECAST, Origin.UNKNOWN)


def fetched_text(record: Sourced, where: str) -> str:
    """One sentence: which days, how many of each origin."""
    series = record.series
    counts = [
        f"{series.count(origin):,} {origin.name.lower()}"
        for origin in _ORIGINS
        if series.count(origin)
    ]
    first, last = (words.day(day, weekday=False, year=True) for day in (series.first, series.last))
    return f"Wrote {where}: {first} – {last}, {words.listed(counts)}."


def revision_text(revision: Revision, show: Unit) -> str:
    """What moved since the last fetch; one line."""
    parts = []
    if revision.changed and revision.first and revision.last and revision.worst:
        worst = from_celsius_days(revision.worst_by, show)
        sign = "−" if revision.heat < 0 else "+"
        heat = f"{sign}{words.heat(abs(revision.heat), show)} above {words.temperature(10.0, show)}"
        parts.append(
            f"{words.count(revision.changed, 'past day')} changed, "
            f"{words.span(revision.first, revision.last)}; most on "
            f"{words.day(revision.worst, weekday=False)}, by {worst:.1f} °{show}; together {heat} "
            "this season"
        )
    if revision.lost:
        parts.append(f"{words.count(revision.lost, 'past day')} no longer given")
    if revision.added:
        parts.append(f"{words.count(revision.added, 'day')} new on record")
    return "; ".join(parts) + "." if parts else "No past day has changed."


def stations_text(near: Sequence[Near]) -> str:
    """Stations as a table, best first, and the rule beneath it."""
    head = ("id", "name", "km", "height", "years", "days", "last", "lacks")
    rows = [head, *(_row(each) for each in near)]
    return "\n".join([*table(rows, left=(0, 1, 6, 7)), "", RULE])


def station_words(near: Near) -> str:
    """One station in a phrase: how far, how high, what it holds, what keeps it from being good."""
    station = near.station
    parts = [f"{near.distance:.0f} km off"]
    if near.higher is not None:
        side = "higher" if near.higher >= 0 else "lower"
        parts.append(f"{abs(near.higher):.0f} m {side}")
    if station.last is not None:
        share = "" if station.share is None else f", {station.share:.0%} of days"
        parts.append(f"{station.years:.0f} years{share}, to {station.last:%Y-%m}")
    return " · ".join([*parts, ", ".join(near.lacks) or "good"])


def _row(near: Near) -> tuple[str, ...]:
    station = near.station
    height = "" if station.elevation is None else f"{station.elevation:.0f} m"
    if near.higher is not None:
        height = f"{near.higher:+.0f} m".replace("-", "−")
    return (
        station.id,
        station.name[:30],
        f"{near.distance:.0f}",
        height,
        f"{station.years:.0f}" if station.last else "–",
        "–" if station.share is None else f"{station.share:.0%}",
        "–" if station.last is None else f"{station.last:%Y-%m}",
        ", ".join(near.lacks) or "good",
    )
