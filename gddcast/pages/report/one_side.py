"""The report on one side of paper: what to do by bed, the next four weeks, where the season stands.

What fits is fixed by numbers of lines, as on the sheet: pests, then stages, then names of the rest.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from gddcast import words
from gddcast.pages.paper import Paper
from gddcast.pages.report.ahead import Axis, dated_stages, next_weeks
from gddcast.pages.report.due import DueSection, due_today
from gddcast.text import sentences, weather_so_far
from gddcast.today.today import Today
from gddcast.units import Unit

#: Lines of one side behind its head and before its foot.
_LINES = {"a4": 43, "letter": 37}
_LETTERS = 92  # of a line
_PESTS, _COMING = 8, 4
#: Lines that a stage takes on the axis, and how high its dots may stand in them.
_STAGE, _DOTS = 2.9, 42.0


@dataclass(frozen=True, slots=True)
class OneSide:
    """What ``report_side.html`` shows."""

    title: str
    day: str
    place: str
    known: str
    weather: str
    due: DueSection
    more_pests: int
    weeks: Axis | None
    later: str
    season: str
    cautions: str = words.CAUTIONS


def one_side(today: Today, show: Unit, size: Paper) -> OneSide:
    """The page, its stages as many as the pests leave room for.

    Parameters
    ----------
    today : Today
    show : {"F", "C"}
    size : {"a4", "letter"}
    """
    plan = today.plan
    due, more = _first(due_today(today, show), _PESTS)
    stages = dated_stages(today)
    weeks = next_weeks(stages, today, show, tallest=_DOTS)
    if weeks is not None:
        most = max(int((_LINES[size] - _lines(due)) / _STAGE), 1)
        weeks = replace(weeks, rows=weeks.rows[:most])
    drawn = 0 if weeks is None else len(weeks.rows)
    names = {(row.pest, row.stage) for row in weeks.rows} if weeks else set()
    later = [
        f"{sentences.title(each)}, {words.any_day(each.fastest, each.slowest)}"
        for each in stages
        if each.fastest and (words.capital(each.card.name), each.event.words) not in names
    ]
    room = 4
    rest = f"; and {len(later) - room} more" if len(later) > room else ""
    return OneSide(
        title=f"{plan.place.name}, {words.day(plan.today, year=True)}",
        day=words.day(plan.today, year=True),
        place=plan.place.name,
        known=weather_so_far.known_line(plan),
        weather=weather_so_far.weather_line(plan),
        due=due,
        more_pests=more,
        weeks=weeks if drawn else None,
        later=f"Later: {'; '.join(later[:room])}{rest}." if later else "",
        season=weather_so_far.season_line(plan, show),
    )


def _first(due: DueSection, most: int) -> tuple[DueSection, int]:
    """The first pests, and how many are left out."""
    stops, left = [], most
    for stop in due.stops:
        items = (*stop.items, *stop.rest)
        stops.append(replace(stop, items=items[:left], rest=()))
        left = max(left - len(items), 0)
    total = sum(len(each.items) + len(each.rest) for each in due.stops)
    coming = due.coming[:_COMING]
    more = due.more_coming + len(due.coming) - len(coming)
    shown = replace(due, stops=tuple(stops), roomy=False, coming=coming, more_coming=more)
    return shown, max(total - most, 0)


def _lines(due: DueSection) -> int:
    """Lines of what there is to do."""
    said = [due.to_do, *due.about_record, *due.chores, *due.changes, *due.nothing_due]
    said += [text for _, text in due.coming]
    many = sum(len(each) // _LETTERS + 1 for each in said)
    for stop in due.stops:
        many += 2 + sum(len(each) // _LETTERS + 1 for each in (*stop.asks, stop.again) if each)
        for item in stop.items:
            look = "".join((item.pest.where, item.pest.many, item.pest.often, item.pest.hour))
            many += len(item.pest.name + item.pest.why) // (_LETTERS - 8) + 1
            many += len(look) // _LETTERS + 1
    return many
