"""The invented year, told, and counted by six methods."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from gddcast import words
from gddcast.heat.shapes import single_sine
from gddcast.lessons.invented import InventedYear
from gddcast.lessons.rounding import heat_shown
from gddcast.lessons.season_methods import SeasonByMethod, SeasonByMethods
from gddcast.text.terminal import table
from gddcast.units import Unit


def story_text(invented: InventedYear) -> str:
    """The invented year, told."""
    opening = (
        f"An invented year at {invented.series.place.name}, seed {invented.seed}: "
        f"{words.count(len(invented.series), 'day')} of no real place."
    )
    return "\n".join([opening, *(f"  {sentence}" for sentence in invented.story)])


def season_methods_text(season: SeasonByMethods, unit: Unit) -> str:
    """The same season by each method, and what a number printed by it would do."""
    return "\n".join(_lines(season, unit))


def _lines(season: SeasonByMethods, unit: Unit) -> Iterator[str]:
    goal, lower = words.heat(season.goal, unit), words.threshold(season.lower, unit)
    yield f"{goal} above {lower}, counted from 1 January by six methods:"
    rows = [("", "reached on", "days after the first")]
    first = min(row.reached for row in season.rows if row.reached is not None)
    for row in sorted(season.rows, key=lambda each: each.reached or dt.date.max):
        day = "not this year" if row.reached is None else words.day(row.reached)
        rows.append((row.method, day, "–" if row.reached is None else _after(first, row.reached)))
    yield from table(rows, left=(0, 1), indent="  ")
    came = words.day(season.came, weekday=False)
    yield ""
    yield f"Say an insect came on {came}. A study by each method prints its own sum of that day;"
    yield f"used with the {single_sine.name}, each gives:"
    yield from table([_printed(season, row, unit) for row in season.rows], left=(0, 2), indent="  ")
    yield "One insect, one day, six numbers: a published number goes with its own method only."


def _after(first: dt.date, day: dt.date) -> str:
    days = (day - first).days
    return "–" if days == 0 else f"{days:+d}"


def _printed(season: SeasonByMethods, row: SeasonByMethod, unit: Unit) -> tuple[str, str, str]:
    printed = words.heat(row.printed, unit)
    if unit == "C":  # half a degree-day parts two methods by a day
        printed = f"{heat_shown(row.printed, unit)} °C-days"
    if row.method == single_sine.name:
        return row.method, printed, "the day itself"
    if row.used is None:
        return row.method, printed, "no day of this year"
    away = (row.used - season.came).days
    side = "late" if away > 0 else "early"
    day = words.day(row.used, weekday=False)
    said = f", {words.count(abs(away), 'day')} {side}" if away else ", the same day"
    return row.method, printed, day + said
