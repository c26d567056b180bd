"""When the last frost of spring was over in past years, for people and for programs."""

from __future__ import annotations

import datetime as dt

from gddcast import words
from gddcast.crops.frost import SpringFrosts
from gddcast.text import answer
from gddcast.text.terminal import PLAIN, Line, Terminal
from gddcast.units import Unit
from gddcast.weather.series import Season

_OF_AIR = (
    "Air says nothing about soil: measure where the seed lies. Low ground and leaves freeze on "
    "still clear nights while the thermometer stays some degrees above."
)


def as_text(
    frosts: SpringFrosts, season: Season, at: float, show: Unit, terminal: Terminal = PLAIN
) -> str:
    """The day by which most past years were through, then one line a year, earliest first."""
    night = words.temperature(at, show)
    years = len(frosts.last)
    lines: list[str | Line] = [Line(_through(frosts, season, night), rest="  "), ""]
    lines.append(f"last {night} night of spring   past years that had had it")
    for past, day in frosts.last:
        when = "none" if day is None else words.day(day, weekday=False)
        own = season.first if day is None else season.on(day.month, day.day)
        count = frosts.through(season, own)
        lines.append(f"{past.name:<8} {when:<20} {count} of {years}")
    if frosts.left_out:
        left = words.listed(frosts.left_out)
        lines.append(Line(f"Left out where a day is unknown: {left}.", rest="  "))
    lines.append(Line(_OF_AIR, rest="  "))
    return terminal.show(lines)


def _through(frosts: SpringFrosts, season: Season, night: str) -> str:
    by = frosts.over_in(season, frosts.most)
    share = words.of_past_years(frosts.through(season, by or season.first), len(frosts.last))
    if by is None:
        return f"{share} had no {night} night in spring."
    latest = words.day(frosts.last[-1][1] or by, weekday=False, year=True)
    return (
        f"{share} had had their last {night} night by {words.day(by, weekday=False)}; the latest "
        f"of all: {latest}."
    )


def as_json(
    frosts: SpringFrosts, season: Season, at: float, show: Unit, moment: dt.datetime
) -> str:
    """The same for programs."""
    by = frosts.over_in(season, frosts.most)
    parts = {
        "frost_at": answer.temperature(at, show),
        "last_frosts": [
            {"season": past.name, "day": day.isoformat() if day else None}
            for past, day in frosts.last
        ],
        "over": {
            "by": by.isoformat() if by else None,
            "years": frosts.through(season, by or season.first),
            "of": len(frosts.last),
        },
        "left_out": list(frosts.left_out),
    }  # fmt: skip
    return answer.as_json("sow-first", moment, parts)
