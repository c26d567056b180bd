"""The scouting sheet: one side of paper to take into the garden, and to write on there.

What stands on a side is fixed here by numbers of rows, letters and stages; how big it is, and what
of the strip still finds room beside the rows, is the style sheet's.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from gddcast import words
from gddcast.crops.standing import OwnChore, SowingToday
from gddcast.crops.succession import Rules, Span
from gddcast.draw.svg import Svg
from gddcast.draw.three_weeks import ThreeWeeks
from gddcast.draw.year_dots import has_year_dots
from gddcast.errors import shell
from gddcast.pages.paper import Paper, fill
from gddcast.pages.sheet.plants import Plants, chore_notes, my_plants
from gddcast.pages.sheet.rows import Row, sheet_row
from gddcast.pages.sheet.strip import StripLine, falls_into, strip_line
from gddcast.scouting.windows import Habits, ScoutingWindow, without_repeats
from gddcast.text import sentences, weather_so_far
from gddcast.text.dates.nothing_due import nothing_due, nothing_is_due
from gddcast.today.plan import SeasonPlan
from gddcast.today.walk_week import WalkWeek
from gddcast.units import Unit
from gddcast.words import Status

#: Rows of one side; of big print, which takes a side for two.
ROWS, LARGE_ROWS = 3, 5
#: Letters of a row after each of its leads: on A4; on Letter, or beside many sowings; on both.
_LETTERS = (120, 64, 48)
_MANY_SOWINGS = 3
#: The same in big print.
_LARGE_LETTERS = 72
#: Stages without a row that are drawn where the strip has room.
_MORE_LINES = 4
#: Names told in the line of what has no row: due ones, and those going on.
_DUE, _GOING = 5, 3


@dataclass(frozen=True, slots=True)
class SheetContents:
    """What a sheet is made of besides the plan.

    Parameters
    ----------
    week : WalkWeek
    due : tuple of ScoutingWindow
        What there is to look for, as of `walk_week.due_in_week`.
    there : tuple of SowingToday
        Sowings in the ground.
    habits : Habits
    rules : Rules
    chores : tuple of OwnChore
        What the grower's own rules ask by the end of the week.
    water : tuple of datetime.date
        Days of the week to water on; all seven unless the grower set a rule.
    moved : tuple of (ScoutingWindow, str)
        What moved since the last sheet, each in a sentence; nothing where no earlier one is known.
    sow_next : mapping of str to (datetime.date, datetime.date)
        Days to sow the next one, by the name of a sowing in the ground.
    """

    week: WalkWeek
    due: tuple[ScoutingWindow, ...]
    there: tuple[SowingToday, ...] = ()
    habits: Habits = field(default_factory=Habits)
    rules: Rules = field(default_factory=Rules)
    chores: tuple[OwnChore, ...] = ()
    water: tuple[dt.date, ...] | None = None
    moved: tuple[tuple[ScoutingWindow, str], ...] = ()
    sow_next: Mapping[str | None, Span] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class SheetPage:
    """What ``sheet.html`` shows."""

    title: str
    foot: str
    large: bool
    place: str
    week: str
    weather: str
    rows: Sequence[Row]
    nothing_due: Sequence[str]
    head: Svg
    lines: Sequence[StripLine]
    more_lines: Sequence[StripLine]
    unit: str
    days: Sequence[tuple[str, int, bool]]
    moved: str
    also: str
    plants: Plants
    chores: str
    is_dotted: bool
    is_dated: bool
    sources: str
    entry: str
    cautions: str = words.CAUTIONS


def scouting_sheet(
    plan: SeasonPlan, sheet: SheetContents, show: Unit, *, size: Paper = "a4", large: bool = False
) -> str:
    """The whole sheet as one HTML file made for print.

    Parameters
    ----------
    plan : SeasonPlan
    sheet : SheetContents
    show : {"F", "C"}
        What the person reads.
    size : {"a4", "letter"}, default: "a4"
    large : bool, default: False
        Big print: two items a side.
    """
    count = LARGE_ROWS if large else ROWS
    items, left_out = sheet.due[:count], sheet.due[count:]
    full = (size == "letter") + (len(sheet.there) >= _MANY_SOWINGS)
    most = _LARGE_LETTERS if large else _LETTERS[full]
    day = max(plan.today, sheet.week.first)
    water = sheet.week.days if sheet.water is None else sheet.water
    strip = ThreeWeeks(sheet.week.first, plan.today, large)
    more = list(_without_row(plan, sheet, items, strip))[:_MORE_LINES]
    first = items[0] if items else None
    page = SheetPage(
        title=f"{plan.place.name}, walks of {_week_of(sheet)}",
        foot=weather_so_far.weather_line(plan),
        large=large,
        place=plan.place.name,
        week=_week_of(sheet, weekday=True),
        weather=_weather(plan),
        rows=[sheet_row(each, n, day, sheet.habits, most) for n, each in enumerate(items, 1)],
        nothing_due=() if items else tuple(_nothing_due(plan, show)),
        head=strip.head(),
        lines=[strip_line(each, str(n), strip, show) for n, each in enumerate(items, 1)],
        more_lines=[strip_line(each, sentences.title(each), strip, show) for each in more],
        unit=show,
        days=[(words.weekday(each), each.day, each in water) for each in sheet.week.days],
        moved=_moved(sheet, items),
        also=_also(plan, left_out) if items else "",
        plants=my_plants(sheet.there, day, plan.today, sheet.rules, sheet.sow_next),
        chores=" ".join(chore_notes(sheet.there, sheet.chores)),
        is_dotted=any(has_year_dots(each) for each in sheet.due),
        is_dated=any(each.fastest is not None for each in sheet.due),
        sources="; ".join(sorted({source for each in items if (source := _source(each))})),
        entry=shell(first.card.key, first.event.key) if first else "PEST STAGE",
    )
    return fill("sheet.html", page, paper=size)


def _nothing_due(plan: SeasonPlan, show: Unit) -> Iterator[str]:
    """The all-clear of the week, where it can be given, and what comes next."""
    if clear := nothing_is_due(plan):
        yield words.sentence(f"{clear} this week")
    yield from nothing_due(plan, show)


def _weather(plan: SeasonPlan) -> str:
    """How far the weather is known and how far to trust it, on the day of printing."""
    trust = plan.verdict.trust
    parts = [f"printed {words.day(plan.today, year=True)}", *weather_so_far.known(plan)]
    why = f" ({'; '.join(plan.verdict.reasons)})" if trust in ("shaky", "unusable") else ""
    parts.append(f"record {trust}{why}")
    if plan.watches_all:
        parts.append("no watch list: every card is watched")
    parts.append(weather_so_far.behind(plan, stop=""))
    return " · ".join(filter(None, parts))


def _week_of(sheet: SheetContents, *, weekday: bool = False) -> str:
    """Days of the week with its year, or with both where it has two."""
    first, last = sheet.week.first, sheet.week.last
    year = f" {last.year}" if first.year == last.year else ""
    return f"{words.span(first, last, weekday=weekday)}{year}"


def _without_row(
    plan: SeasonPlan, sheet: SheetContents, items: Sequence[ScoutingWindow], strip: ThreeWeeks
) -> Iterator[ScoutingWindow]:
    """Stages with dots in these weeks that have no row: due ones first, then those building."""
    building = [each for each in plan.windows if each.status is Status.BUILDING]
    rows = {id(each) for each in items}
    for window in without_repeats([*sheet.due, *building]):
        if id(window) not in rows and falls_into(window, strip):
            yield window


def _moved(sheet: SheetContents, items: Sequence[ScoutingWindow]) -> str:
    """What moved of the stages that have a row, by its number."""
    moved = {id(window): sentence for window, sentence in sheet.moved}
    return " ".join(f"{n}: {moved[id(w)]}" for n, w in enumerate(items, 1) if id(w) in moved)


def _also(plan: SeasonPlan, left_out: Sequence[ScoutingWindow]) -> str:
    """One line that names what has no row: due but not fitting, going on, or not to be said."""
    stages: dict[str, dict[str, None]] = {}
    for each in left_out:
        stages.setdefault(each.card.name, {})[each.event.words] = None
    due = list(stages)
    if len(due) == 1:  # one alone is told with its stages
        due = [f"{name} ({words.listed(list(each))})" for name, each in stages.items()]
    going = without_repeats(each for each in plan.windows if each.status is Status.SEEN)
    # What no air record could ever say is no news of this week.
    unsaid = (
        each.card.name
        for each in plan.windows
        if each.status is Status.CANT_SAY and each.reason is None
    )
    parts = (
        _named("also due", due, _DUE),
        _named("still going", [each.card.name for each in going], _GOING),
        _named("can't say of", unsaid, 1),
    )
    line = "; ".join(filter(None, parts))
    return f"{words.capital(line)}; see  gddcast walk." if line else ""


def _named(lead: str, names: Iterable[str], most: int) -> str:
    once = list(dict.fromkeys(names))
    more = f" and {len(once) - most} more" if len(once) > most else ""
    return f"{lead}: {', '.join(once[:most])}{more}" if once else ""


def _source(window: ScoutingWindow) -> str:
    key = next(iter(window.sources), "")
    source = window.card.sources.get(key)
    return source.short if source else key
