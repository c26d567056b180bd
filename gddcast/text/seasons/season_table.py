"""Seasons beside each other, for people and for programs."""

from __future__ import annotations

import datetime as dt
import math

from gddcast import words
from gddcast.heat.counting import Counting
from gddcast.outlook.dates import Outlook
from gddcast.outlook.seasons import Comparison, SeasonRow, Standing
from gddcast.text import answer, terminal, weather_so_far
from gddcast.text.terminal import PLAIN, Line, Terminal, narrowed
from gddcast.today.plan import SeasonPlan
from gddcast.units import Unit, from_celsius, from_celsius_days

_NONE = "–"
#: Before the row of the season under way, and before the others.
_HERE, _BLANK = "> ", "  "


def as_text(
    table: Comparison, plan: SeasonPlan, show: Unit, start: dt.date, find: str | None,
    screen: Terminal = PLAIN,
) -> str:  # fmt: skip
    """How this season stands in a sentence, then one line a season, its own marked and last.

    Parameters
    ----------
    table : Comparison
    plan : SeasonPlan
        Of the weather compared.
    show : {"F", "C"}
    start : datetime.date
        Day of any year on which the sums start.
    find : str, optional
        What the last column is a first find of; no such column where None.
    screen : Terminal, optional
        One too narrow for all of it goes without the sums of the fixed days.
    """
    cells = _cells(table, show, find)
    fixed = range(1, 1 + len(table.fixed))
    spare = [(at,) for at in fixed]
    if len(table.goals) > 1:  # the last goal is the one that dates go by
        spare += [(3 + len(table.fixed) + at,) for at in range(len(table.goals) - 1)]
    fitted = narrowed(cells, screen.width, spare)
    lines: list[str | Line] = []
    if table.standing is not None:
        lines += [Line(_stands(table.standing, show), rest="  "), ""]
    lines.append(Line(_heading(table.counting, show, start), rest="  "))
    for row in terminal.table(fitted):
        lines.append(Line(row, weight="bold") if row.startswith(_HERE) else row)
    if gone := len(cells[0]) - len(fitted[0]):
        what = words.count(gone, "column of sums", "columns of sums")
        lines.append(Line(f"A wider screen shows {what} more; --json has all of them."))
    if any(day is None for row in table.rows for day in row.reached[: len(row.ahead) or None]):
        lines += map(Line, _of_days(table))
    if table.left_out:
        left = (f"{name} ({words.count(days, 'unknown day')})" for name, days in table.left_out)
        lines.append(Line(f"Left out, because days are unknown: {words.listed(list(left))}."))
    if late := weather_so_far.behind(plan):
        lines.append(Line(late, rest="  "))
    return screen.show(lines)


def _of_days(table: Comparison) -> list[str]:
    """What stands in a column of days where no day of this season's own does."""
    *past, this = table.rows
    lines = []
    if any(each is not None and each.days for each in this.ahead):
        total = max(len(each.dots) for each in this.ahead if each is not None)
        lines.append(
            f"{this.season.name}: with the weather of {words.count(total, 'past year')} from here "
            "on, fastest to slowest."
        )
    if any(day is None for row in past for day in row.reached):
        lines.append(f"{_NONE} in a column of days: not reached by the end of what is on record.")
    return lines


def _heading(counting: Counting, show: Unit, start: dt.date) -> str:
    upper = ""
    if math.isfinite(counting.upper):
        upper = f" and up to {words.temperature(counting.upper, show)} ({counting.cutoff.name})"
    return (
        f"°{show}-days above {from_celsius(counting.lower, show):.4g}{upper} "
        f"({counting.shape.name}, from {words.day(start, weekday=False)}), as each day began"
    )


def _cells(table: Comparison, show: Unit, find: str | None) -> list[list[str]]:
    """Two lines of headings, then a row a season; this one's begins with a mark."""
    head = [("", words.day(dt.date(2023, *each), weekday=False)) for each in table.fixed]
    head += [("through", words.day(table.ranked_on, weekday=False)), ("", "rank")]
    head += [(words.heat(goal, show, unit=False), "on") for goal in table.goals]
    with_lag = bool(find) and any(row.lag is not None for row in table.rows)
    head += [(find, "seen")] if find else []
    last = words.heat(table.goals[-1], show, unit=False) if with_lag else ""
    head += [("days after", last)] if with_lag else []
    this = table.standing.season if table.standing else None
    rows = [
        [_HERE if row.season == this else _BLANK, *_line(row, show, bool(find), with_lag)]
        for row in table.rows
    ]
    names = [[mark + name, *cells] for mark, name, *cells in rows]
    return [["", *(each[line] for each in head)] for line in (0, 1)] + names


def _line(row: SeasonRow, show: Unit, with_find: bool, with_lag: bool) -> list[str]:
    sums = [
        _NONE if value is None else words.heat(value, show, unit=False)
        for value in (*row.sums, row.through)
    ]
    ahead = row.ahead or (None,) * len(row.reached)
    days = [_reached(day, later) for day, later in zip(row.reached, ahead, strict=True)]
    find = [_find(row)] if with_find else []
    lag = [_lag(row.lag)] if with_lag else []
    return [row.season.name, *sums, str(row.rank or _NONE), *days, *find, *lag]


def _lag(days: int | None) -> str:
    if days is None:
        return _NONE
    return f"{days:+d}".replace("-", "−") if days else "0"


def _reached(day: dt.date | None, ahead: Outlook | None) -> str:
    """The day, or the span of past years where it is still to come."""
    if day is not None:
        return words.day(day, weekday=False)
    if ahead is None or ahead.fastest is None:
        return _NONE
    return words.any_day(ahead.fastest, ahead.slowest)


def _find(row: SeasonRow) -> str:
    if row.bracket is None:
        return _NONE
    if row.bracket.earliest is None:
        return f"by {words.day(row.bracket.found_on, weekday=False)}"
    return words.span(row.bracket.earliest, row.bracket.found_on)


def _stands(standing: Standing, show: Unit) -> str:
    text = (
        f"{standing.season.name} so far: {words.heat(standing.heat, show)} "
        f"through {words.day(standing.through, weekday=False)}"
    )
    if standing.rank is None:
        return f"{text}; there is no past season to compare it with."
    if not standing.has_begun:
        return f"{text}; the middle past season had none by then either."
    text += f", number {standing.rank} of {standing.compared} from the warmest"
    if standing.days_ahead is not None:
        away = words.count(abs(standing.days_ahead), "day")
        side = "ahead of" if standing.days_ahead > 0 else "behind"
        text += "; level with" if standing.days_ahead == 0 else f"; {away} {side}"
        text += " the middle past season"
    return f"{text}."


def as_json(
    table: Comparison, plan: SeasonPlan, show: Unit, start: dt.date, moment: dt.datetime
) -> str:
    """The same for programs; the schema stands in ``data/schemas``."""
    counting = table.counting
    parts = {
        "method": {
            "lower": answer.temperature(counting.lower, show),
            "upper": round(from_celsius(counting.upper, show), 3)
            if math.isfinite(counting.upper)
            else None,
            "shape": counting.shape.name,
            "cutoff": counting.cutoff.name,
            "starts": f"{start:%m-%d}",
        },
        "units": {"heat": f"deg{show}-day"},
        "goals": [_heat(goal, show) for goal in table.goals],
        "ranked_on": table.ranked_on.isoformat(),
        "days_behind": plan.days_behind,
        "seasons": [_season(table, row, show) for row in table.rows],
        "left_out": [{"season": name, "unknown_days": days} for name, days in table.left_out],
    }
    return answer.as_json("seasons", moment, parts)


def _season(table: Comparison, row: SeasonRow, show: Unit) -> dict[str, object]:
    days = (f"{month:02d}-{day:02d}" for month, day in table.fixed)
    earliest = row.bracket.earliest if row.bracket else None
    return {
        "season": row.season.name,
        "sums": {day: _heat(value, show) for day, value in zip(days, row.sums, strict=True)},
        "through": _heat(row.through, show),
        "rank": row.rank,
        "reached": [None if day is None else day.isoformat() for day in row.reached],
        "ahead": [_outlook(each) for each in row.ahead],
        "seen": None
        if row.bracket is None
        else {
            "earliest": earliest.isoformat() if earliest else None,
            "latest": row.bracket.found_on.isoformat(),
        },
        "days_after": row.lag,
    }


def _outlook(ahead: Outlook | None) -> dict[str, object] | None:
    if ahead is None:
        return None
    return {
        "fastest": ahead.fastest.isoformat() if ahead.fastest else None,
        "slowest": ahead.slowest.isoformat() if ahead.slowest else None,
        "years": len(ahead.days),
        "of": len(ahead.dots),
    }


def _heat(value: float | None, show: Unit) -> float | None:
    return None if value is None else round(from_celsius_days(value, show), 3)
