"""Season by farm, for people and for programs."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence

from gddcast import words
from gddcast.farms.compare import FarmSeasons, FarmTable
from gddcast.text.answer import Json, as_json, iso, refusal_json
from gddcast.text.dates.window_json import quantity
from gddcast.text.terminal import PLAIN, Line, Terminal, narrowed, table
from gddcast.units import Unit, from_celsius

_NONE = "–"
#: Of a farm's name: seasons beside each other are what is asked for.
_LETTERS = 20


def compare_text(farm_table: FarmTable, show: Unit, *, terminal: Terminal = PLAIN) -> str:
    """The sum in words, then a row a farm and a column a season, as many as the screen takes."""
    by = farm_table.by
    lines: list[str | Line] = []
    if by is not None and by.card is not None and by.event is not None:
        start = words.day(dt.date(2024, *by.start), weekday=False)
        lines.append(
            Line(
                f"{words.capital(by.card.name)}: {by.event.words}. Day on which "
                f"{_goal(by.goals, show)} were reached, above "
                f"{words.threshold(by.counting.lower, show)}, {by.counting.shape.name}, from "
                f"{start}; every farm by this one method.",
                rest="  ",
            )
        )
        past = [each for each in farm_table.seasons if each != farm_table.season]
        cells = [["", "so far", *past, farm_table.season, "middle"]]
        counted = [each for each in farm_table.farms if each.refusal is None]
        newest = max((each.through for each in counted if each.through), default=None)
        seasons = [*past, farm_table.season]
        cells += [_cells(each, seasons, show, newest) for each in counted]
        fitted = narrowed(cells, terminal.width, [(at,) for at in range(2, 2 + len(past))])
        lines += table(fitted)
        if gone := len(cells[0]) - len(fitted[0]):
            what = words.count(gone, "earlier season")
            lines.append(Line(f"A wider screen shows {what} more; --json has all of them."))
    lines += [
        Line(f"{each.farm.name}: {words.sentence(each.refusal.problem)} {each.refusal.cure}", "  ")
        for each in farm_table.farms if each.refusal is not None
    ]  # fmt: skip
    return terminal.show(lines)


def _goal(goals: Sequence[float], show: Unit) -> str:
    """The sum whose day is shown; of a range its low end, and that it is one."""
    low = words.heat(goals[0], show)
    if goals[0] == goals[-1]:
        return low
    return f"{low}, the low end of a range that goes to {words.heat(goals[-1], show)},"


def _cells(farm: FarmSeasons, seasons: list[str], show: Unit, newest: dt.date | None) -> list[str]:
    """A row; a sum that ends before the newest record does says where."""
    heat = words.heat(farm.heat, show, unit=False) if math.isfinite(farm.heat) else _NONE
    if farm.through != newest and heat != _NONE:
        heat += f" by {_day(farm.through)}"
    doubtful = "" if farm.trust in ("sound", "patched", None) else f" ({farm.trust})"
    days = (farm.reached.get(name) for name in seasons)
    return [
        f"{words.shortened(farm.farm.name, _LETTERS)}{doubtful}",
        heat,
        *map(_day, days),
        _day(farm.middle),
    ]


def _day(day: dt.date | None) -> str:
    return words.short_day(day) if day else _NONE


def compare_json(farm_table: FarmTable, show: Unit, when: dt.datetime) -> str:
    """The same for programs."""
    by = farm_table.by
    method: Json | None = None
    if by is not None and by.card is not None and by.event is not None:
        upper = by.counting.upper
        method = {
            "organism": by.card.key,
            "stage": by.event.key,
            "goals": [quantity(goal, show) for goal in by.goals],
            "reached_is_of": quantity(by.goals[0], show),
            "lower": {"value": round(from_celsius(by.counting.lower, show), 2),
                      "unit": f"deg{show}"},
            "upper": None if math.isinf(upper) else
            {"value": round(from_celsius(upper, show), 2), "unit": f"deg{show}"},
            "shape": by.counting.shape.name,
            "cutoff": by.counting.cutoff.name,
            "starts": "{:02d}-{:02d}".format(*by.start),
        }  # fmt: skip
    parts = {
        "method": method,
        "season": farm_table.season,
        "farms": [
            {
                "name": each.farm.name,
                "trust": each.trust and str(each.trust),
                "so_far": quantity(each.heat, show),
                "through": iso(each.through),
                "reached": [
                    {"season": name, "day": iso(day)} for name, day in each.reached.items()
                ],
                "middle": iso(each.middle),
                "refusal": each.refusal and refusal_json(each.refusal),
            }
            for each in farm_table.farms
        ],
    }
    return as_json("farms-compare", when, parts)
