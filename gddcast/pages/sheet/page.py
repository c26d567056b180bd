"""The scouting sheet: a side or two of paper to take into the garden, and to write on there.

What stands on a side is fixed by `sides`, by numbers of lines and letters; how big it is, and that
each side is filled, is the style sheet's.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gddcast import words
from gddcast.draw.shared_axis import SharedAxis
from gddcast.draw.svg import Svg
from gddcast.draw.year_dots import dot_rows, has_year_dots
from gddcast.errors import shell
from gddcast.pages.paper import Paper, fill
from gddcast.pages.sheet.plants import Plants, chore_notes, my_plants
from gddcast.pages.sheet.rows import SheetRow, sheet_rows
from gddcast.pages.sheet.sides import Side, sides_of
from gddcast.pages.sheet.strip import WEEKS, StripLine, strip_line
from gddcast.scouting.windows import ScoutingWindow, without_repeats
from gddcast.text import sentences, weather_so_far
from gddcast.text.dates.nothing_due import nothing_due, nothing_is_due
from gddcast.today.plan import SeasonPlan
from gddcast.today.today import Today
from gddcast.today.walk_week import WalkWeek
from gddcast.units import Unit
from gddcast.words import Status

#: How high dots may stand on the strip, in units of its drawing.
_TALLEST = 34.0


@dataclass(frozen=True, slots=True)
class SheetPage:
    """What ``sheet.html`` shows."""

    title: str
    foot: str
    large: bool
    place: str
    week: str
    weather: str
    sides: Sequence[Side]
    nothing_due: Sequence[str]
    head: Svg
    lines: Sequence[StripLine]
    has_ends: bool
    unit: str
    days: Sequence[tuple[str, int, bool]]
    changes: str
    unsaid: str
    plants: Plants
    chores: str
    is_dated: bool
    sources: str
    entry: str
    among: str
    cautions: str = words.CAUTIONS


@dataclass(frozen=True, slots=True)
class Sheets:
    """What ``sheets.html`` shows: the sheets of several places."""

    title: str
    large: bool
    sheets: Sequence[SheetPage]


def sheets_page(sheets: Sequence[SheetPage], title: str, *, size: Paper = "a4") -> str:
    """The sheets of several places as one HTML file made for print, each on a side of its own."""
    page = Sheets(title, any(each.large for each in sheets), tuple(sheets))
    return fill("sheets.html", page, paper=size)


def sheet_of(
    today: Today,
    week: WalkWeek,
    show: Unit,
    *,
    size: Paper = "a4",
    large: bool = False,
    changes: Sequence[tuple[ScoutingWindow, str]] = (),
    among: str = "",
) -> SheetPage:
    """What a place's sheet shows.

    Parameters
    ----------
    today : Today
    week : WalkWeek
        Not over yet.
    show : {"F", "C"}
        What the person reads.
    size : {"a4", "letter"}, default: "a4"
    large : bool, default: False
        Big print.
    changes : sequence of (ScoutingWindow, str)
        What moved since the last sheet, each in a sentence; nothing where no earlier one is known.
    among : str
        What tells it from other sheets in one file, for those who do not see them.
    """
    plan, day, rows = today.plan, max(today.day, week.first), rows_of(today, week, show)
    chores = " ".join(chore_notes(today.sowings, today.chores_again(max(today.day, week.last))))
    said, unsaid = _changes(changes, rows), _unsaid(today, week)
    drawn = _drawn(today, rows, week)
    words_of = [f"{label} {sentences.reason(each, show)}" for each, label in drawn]
    notes = (chores, said, unsaid)
    sides = sides_of(rows, words_of, len(today.sowings), notes, size, large=large)
    drawn = drawn[: sides.stages]
    axis = SharedAxis.of_weeks(
        week.first, WEEKS, today.day, [dot_rows(each) for each, _ in drawn], tallest=_TALLEST
    )
    watered = today.water_days(week)
    return SheetPage(
        title=f"{plan.place.name}, walks of {_week_of(week)}",
        foot=weather_so_far.weather_briefly(plan),
        large=large,
        place=plan.place.name,
        week=_week_of(week, weekday=True),
        weather=_weather(plan, week),
        sides=sides.sides,
        nothing_due=() if rows else tuple(_nothing_due(plan, show)),
        head=axis.head(),
        lines=[strip_line(each, label, axis, show, among) for each, label in drawn],
        has_ends=any(len(dot_rows(each)) > 1 for each, _ in drawn),
        unit=show,
        days=[(words.weekday(each), each.day, each in watered) for each in week.days],
        changes=said,
        unsaid=unsaid,
        plants=my_plants(today.sowings, day, today.day, today.practice.rules, today.sow_next),
        chores=chores,
        is_dated=any(each.fastest is not None for row in rows for each in row.windows),
        sources="; ".join(
            sorted({_source(row.windows[0]) for row in rows if _source(row.windows[0])})
        ),
        entry=shell(rows[0].pest, rows[0].stages[0]) if rows else "PEST STAGE",
        among=among,
    )


def rows_of(today: Today, week: WalkWeek, show: Unit) -> tuple[SheetRow, ...]:
    """The rows of a week's sheet, numbered as on paper."""
    day = max(today.day, week.first)
    return sheet_rows(today.by_bed_in(week), day, today.practice.habits, show)


def _nothing_due(plan: SeasonPlan, show: Unit) -> Iterator[str]:
    """The all-clear of the week, where it can be given, and what comes next."""
    if clear := nothing_is_due(plan):
        yield words.sentence(f"{clear} this week")
    yield from nothing_due(plan, show)


def _weather(plan: SeasonPlan, week: WalkWeek) -> str:
    """Which week it is, how far the weather is known, how far to trust it."""
    trust = plan.verdict.trust
    parts = ["next week’s sheet"] if week.first > plan.today else []
    parts += [
        f"printed {words.day(plan.today, year=True)}",
        *weather_so_far.known(plan, briefly=True),
    ]
    why = f" ({'; '.join(plan.verdict.reasons)})" if trust in ("shaky", "unusable") else ""
    if trust != "patched":  # that it is, was said with how many days are
        parts.append(f"record {trust}{why}")
    if plan.watches_all:
        parts.append("no watch list: every card is watched")
    parts.append(weather_so_far.behind(plan, stop=""))
    return words.capital(" · ".join(filter(None, parts)))


def _week_of(week: WalkWeek, *, weekday: bool = False) -> str:
    """Days of the week with its year, or with both where it has two."""
    first, last = week.first, week.last
    year = f" {last.year}" if first.year == last.year else ""
    return f"{words.span(first, last, weekday=weekday)}{year}"


def _drawn(
    today: Today, rows: Sequence[SheetRow], week: WalkWeek
) -> list[tuple[ScoutingWindow, str]]:
    """Stages with dots in these weeks: those of rows by number, then what comes after them."""
    axis = SharedAxis.of_weeks(week.first, WEEKS, today.day, [])
    numbers = {id(w): f"{row.number} " for row in reversed(rows) for w in row.windows}
    near = (Status.COMING_UP, Status.BUILDING)
    later = [each for each in today.plan.windows if each.status in near]
    every = without_repeats([*(w for row in rows for w in row.windows), *later])
    found: dict[tuple[str, str], tuple[ScoutingWindow, str]] = {}
    for each in every:
        if has_year_dots(each) and axis.shows(dot_rows(each)):
            label = f"{numbers.get(id(each), '')}{sentences.title(each)}"
            found.setdefault((each.card.key, each.event.key), (each, label))
    return list(found.values())


def _changes(changes: Sequence[tuple[ScoutingWindow, str]], rows: Sequence[SheetRow]) -> str:
    """What moved: of a stage that has a row by its number, of others by name."""
    numbers = {(row.pest, stage): str(row.number) for row in reversed(rows) for stage in row.stages}
    return " ".join(
        f"{numbers.get((each.card.key, each.event.key), sentences.title(each))}: {sentence}"
        for each, sentence in changes
    )


def _unsaid(today: Today, week: WalkWeek) -> str:
    """Stages of which a gap in the weather hides the date: silence would read as "not about"."""
    hidden = today.by_bed_in(week).unsaid
    dates = {sentences.title(each): sentences.across_gap(each)[0] for each in hidden}
    if not dates:
        return ""
    stages = "; ".join(f"{stage}, {when}" if when else stage for stage, when in dates.items())
    usual = " Dates take the usual weather on days that are missing; they hold four times in five."
    return f"{stages}. The weather is not known.{usual if any(dates.values()) else ''}"


def _source(window: ScoutingWindow) -> str:
    key = next(iter(window.sources), "")
    source = window.card.sources.get(key)
    return source.short if source else key
