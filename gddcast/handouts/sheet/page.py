"""The scouting sheet: one side of paper to take into the garden, and to write on there."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from html import escape
from itertools import product

from gddcast import words
from gddcast.crops.standing import OwnChore, SowingToday
from gddcast.crops.succession import Rules
from gddcast.errors import shell
from gddcast.handouts import paper
from gddcast.handouts.dates.nothing_due import nothing_due, nothing_is_due
from gddcast.handouts.drawings.year_dot_strip import has_year_dots
from gddcast.handouts.paper import Paper
from gddcast.handouts.sheet.beds import chores, my_plants, weather_rows
from gddcast.handouts.sheet.room import Block, height, line_height, lines, width
from gddcast.handouts.sheet.rows import sheet_row, write_in
from gddcast.handouts.sheet.strip import DayStrip, falls_into, strip_head, strip_line
from gddcast.handouts.sheet.style import CLOSER, GAP, INSIDE, LARGE, ORDINARY, Print, sheet_style
from gddcast.scouting.windows import Habits, ScoutingWindow, told_once
from gddcast.text import sentences
from gddcast.today.plan import SeasonPlan
from gddcast.today.walk_week import WalkWeek
from gddcast.units import Unit
from gddcast.words import Status

#: Rows at most, on however many sides.
MOST_ROWS = 5
#: A side is not filled to the last millimetre: printers differ.
_SPARE = 2.0
#: Less is no room for another stage on the strip. [mm]
_LEAST_LINE = 14.0
_MOVED = "Moved since the last sheet"
_DOTS = "Each dot is the day one past year would bring."
_SPANS = (
    "Spans cover the weather only; away from where it was found, a published number misses by a "
    "further 5–7 days until your own finds say otherwise."
)


@dataclass(frozen=True, slots=True)
class Sheet:
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
    """

    week: WalkWeek
    due: tuple[ScoutingWindow, ...]
    there: tuple[SowingToday, ...] = ()
    habits: Habits = field(default_factory=Habits)
    rules: Rules = field(default_factory=Rules)
    chores: tuple[OwnChore, ...] = ()
    water: tuple[dt.date, ...] | None = None
    moved: tuple[tuple[ScoutingWindow, str], ...] = ()


@dataclass(frozen=True, slots=True)
class _Frame:
    """One paper, one print, how long words may be, and the widths they leave. [mm]"""

    paper: Paper
    size: Print
    most: int | None = None
    notes_below: bool = False  # or beside the rows, where there is more room

    @property
    def wide(self) -> float:
        return INSIDE[self.paper][0]

    @property
    def high(self) -> float:
        return INSIDE[self.paper][1] - _SPARE

    @property
    def rows(self) -> float:
        return round(self.wide * self.size.share, 1)

    @property
    def strip(self) -> float:
        return self.wide if self.size.large else round(self.wide - self.rows - GAP, 1)


def scouting_sheet(
    plan: SeasonPlan, sheet: Sheet, show: Unit, *, size: Paper = "a4", large: bool = False
) -> str:
    """The whole sheet as one HTML file made for print.

    Parameters
    ----------
    plan : SeasonPlan
    sheet : Sheet
    show : {"F", "C"}
        What the person reads.
    size : {"a4", "letter"}, default: "a4"
    large : bool, default: False
        Big print: two items a side.
    """
    if large:
        frame, count = _fitting_large(plan, sheet, size), min(MOST_ROWS, len(sheet.due))
    else:
        frame, count = _fitting(plan, sheet, show, size)
    body = "".join(each.html for each in _blocks(plan, sheet, count, show, frame))
    return paper.page(
        f"{plan.place.name}, walks of {_week_of(sheet)}", [body],
        paper=size, style=sheet_style(size, frame.size, sentences.weather_line(plan)),
    )  # fmt: skip


def _fitting(plan: SeasonPlan, sheet: Sheet, show: Unit, size: Paper) -> tuple[_Frame, int]:
    """As many rows as one side holds, in full where as many fit; where two do not, all of them."""
    most_rows = min(MOST_ROWS, len(sheet.due))
    for count in range(most_rows, min(most_rows, 2) - 1, -1):
        for (most, close), below in product(CLOSER[ORDINARY], (False, True)):
            frame = _Frame(size, close, most, below)
            tall = sum(each.height for each in _blocks(plan, sheet, count, show, frame))
            if tall <= frame.high:
                return frame, count
    return _Frame(size, ORDINARY), most_rows


def _fitting_large(plan: SeasonPlan, sheet: Sheet, size: Paper) -> _Frame:
    """Words cut no more than lets two rows stand on a side."""
    for most, close in CLOSER[LARGE]:
        frame = _Frame(size, close, most)
        tall = [row.height for row in _rows(plan, sheet, sheet.due[:MOST_ROWS], frame)]
        tall[:1] = [each + _band(plan, sheet, frame).height for each in tall[:1]]
        if all(sum(tall[at : at + 2]) <= frame.high for at in range(0, len(tall), 2)):
            break
    return frame


def _blocks(
    plan: SeasonPlan, sheet: Sheet, count: int, show: Unit, frame: _Frame
) -> Iterator[Block]:
    items, left_out = sheet.due[:count], sheet.due[count:]
    yield _band(plan, sheet, frame)
    yield _walk(plan, sheet, items, show, frame)
    moved = _moved(sheet, items)
    if moved and frame.notes_below:
        text = f"{_MOVED}: {moved}"
        tall = height(f"{text}iii", frame.wide, frame.size.words)  # its lead is bold
        yield Block(f"<p><b>{_MOVED}</b> {escape(moved)}</p>", tall)
    if items:
        yield _also(plan, left_out, frame)
    day = max(plan.today, sheet.week.first)
    yield my_plants(sheet.there, day, plan.today, sheet.rules, frame.size, frame.wide)
    water = sheet.week.days if sheet.water is None else sheet.water
    yield chores(sheet.there, sheet.chores, water, sheet.week, frame.size, frame.wide)
    yield _foot(sheet, items, frame)


def _band(plan: SeasonPlan, sheet: Sheet, frame: _Frame) -> Block:
    """Place and week, how far the weather is known and how far to trust it, and who walks."""
    size = frame.size
    span = f"week {_week_of(sheet, weekday=True)}"
    said = " · ".join([f"printed {words.day(plan.today, year=True)}", *sentences.known(plan)])
    trust = plan.verdict.trust
    said += f" · record {trust}"
    if trust in ("shaky", "unusable"):
        said += f" ({'; '.join(plan.verdict.reasons)})"
    if plan.watches_all:
        said += " · no watch list: every card is watched"
    if late := sentences.behind(plan):
        said += f" · {late.removesuffix('.')}"
    name = f"<h1>{escape(plan.place.name)}</h1>"
    rest = f'<b class="week">{span}</b><div class="fill scout">{write_in("scout")}</div>'
    room = frame.wide - width(span, size.head, bold=True) - 52
    longest = max(width(each, size.head, bold=True) for each in plan.place.name.split() or [""])
    if longest > room:  # it stands above, or the printer would make the whole sheet smaller
        top, tall = f"{name}<div>{rest}</div>", line_height(size.head)
        tall += height(plan.place.name, frame.wide, size.head, bold=True)
    else:
        top, tall = f"<div>{name}{rest}</div>", height(plan.place.name, room, size.head, bold=True)
    html = f'<header class="top">{top}<p>{escape(said)}</p></header>'
    return Block(html, tall + height(said, frame.wide, size.words) + 3.5)


def _week_of(sheet: Sheet, *, weekday: bool = False) -> str:
    """Days of the week with its year, or with both where it has two."""
    first, last = sheet.week.first, sheet.week.last
    year = f" {last.year}" if first.year == last.year else ""
    return f"{words.span(first, last, weekday=weekday)}{year}"


def _walk(
    plan: SeasonPlan, sheet: Sheet, items: Sequence[ScoutingWindow], show: Unit, frame: _Frame
) -> Block:
    """Rows on the left, and on the right when: the strip of days, what moved, weather."""
    rows = _rows(plan, sheet, items, frame)
    if not rows:
        clear = nothing_is_due(plan)
        said = [f"{clear[0].upper()}{clear[1:]} this week."] if clear else []
        said += nothing_due(plan, show)
        wide = frame.rows
        rows = [
            Block(paper.paragraph(each), height(each, wide, frame.size.words) + 3) for each in said
        ]
    left = "\n".join(row.html for row in rows)
    room = frame.high * 0.85 if frame.size.large else sum(row.height for row in rows)
    beside = _beside(plan, sheet, items, show, frame, room)
    right = "\n".join(each.html for each in beside)
    html = (
        f'<div class="walk"><section aria-label="What to look for">{left}</section>\n'
        f'<section class="ahead" aria-label="When">{right}</section></div>'
    )
    heights = [sum(each.height for each in column) for column in (rows, beside)]
    return Block(html, max(heights))


def _rows(
    plan: SeasonPlan, sheet: Sheet, items: Sequence[ScoutingWindow], frame: _Frame
) -> list[Block]:
    day = max(plan.today, sheet.week.first)
    return [
        sheet_row(window, number, day, sheet.habits, frame.size, frame.rows, most=frame.most)
        for number, window in enumerate(items, 1)
    ]


def _beside(
    plan: SeasonPlan, sheet: Sheet, items: Sequence[ScoutingWindow], show: Unit, frame: _Frame,
    room: float,
) -> list[Block]:  # fmt: skip
    """The strip of days, what it means and what moved, weather; more stages while there is room."""
    points = frame.size.words
    strip = DayStrip(sheet.week.first, plan.today, frame.strip, points)
    lines_ = [strip_line(each, str(n), strip, show) for n, each in enumerate(items, 1)]
    notes = [] if frame.notes_below else list(_notes(sheet, items, frame))
    notes.append(weather_rows(sheet.week, show, frame.size))
    free = room - sum(each.height for each in (*lines_, *notes, _strip_title(strip)))
    for window in _without_row(plan, sheet, items, strip):
        if free < _LEAST_LINE:
            break
        line = strip_line(window, sentences.title(window), strip, show)
        if line.height <= free:
            lines_.append(line)
            free -= line.height
    return [*([_strip_title(strip)] if lines_ else []), *lines_, *notes]


def _strip_title(strip: DayStrip) -> Block:
    title, head = "Next three weeks", strip_head(strip)
    tall = height(title, strip.room, strip.points, bold=True) + head.height + 0.5
    return Block(f"<h2>{title}</h2>{head.html}", tall)


def _without_row(
    plan: SeasonPlan, sheet: Sheet, items: Sequence[ScoutingWindow], strip: DayStrip
) -> Iterator[ScoutingWindow]:
    """Stages with dots in these weeks that have no row: due ones first, then those building."""
    building = [each for each in plan.windows if each.status is Status.BUILDING]
    rows = {id(each) for each in items}
    for window in told_once([*sheet.due, *building]):
        if id(window) not in rows and falls_into(window, strip):
            yield window


def _notes(sheet: Sheet, items: Sequence[ScoutingWindow], frame: _Frame) -> Iterator[Block]:
    points = frame.size.words
    legend, moved = _legend(sheet), _moved(sheet, items)
    if legend:
        html = f'<p class="legend">{escape(legend)}</p>'
        yield Block(html, height(legend, frame.strip, points) + 2.0)
    if moved:
        html = f'<h2>{_MOVED}</h2><p class="moved">{escape(moved)}</p>'
        tall = height(moved, frame.strip, points) + line_height(points) + 2.0
        yield Block(html, tall)


def _legend(sheet: Sheet) -> str:
    """What dots mean and what spans leave out, where there are any."""
    dotted = any(has_year_dots(each) for each in sheet.due)
    dated = any(each.fastest is not None for each in sheet.due)
    return " ".join([_DOTS] * dotted + [_SPANS] * dated)


def _moved(sheet: Sheet, items: Sequence[ScoutingWindow]) -> str:
    """What moved of the stages that have a row, by its number."""
    said = {id(window): sentence for window, sentence in sheet.moved}
    return " ".join(f"{n}: {said[id(w)]}" for n, w in enumerate(items, 1) if id(w) in said)


def _also(plan: SeasonPlan, left_out: Sequence[ScoutingWindow], frame: _Frame) -> Block:
    """One line that names what has no row: due but not fitting, going on, or not to be said."""
    going = told_once(each for each in plan.windows if each.status is Status.SEEN)
    on = list(dict.fromkeys(each.card.name for each in going))
    # What no air record could ever say is no news of this week.
    unsaid = (
        each.card.name
        for each in plan.windows
        if each.status is Status.CANT_SAY and each.reason is None
    )
    unknown = _named("can't say of", list(dict.fromkeys(unsaid)), 1)
    text = ""
    for due, shown, kept in _shortened(left_out, len(on)):
        parts = (_named("also due", due, shown), _named("still going", on, kept), unknown)
        said = "; ".join(filter(None, parts))
        text = f"{said[:1].upper()}{said[1:]}; see  gddcast walk." if said else ""
        if lines(text, frame.wide, frame.size.words) == 1:
            break
    return Block(f"<p>{escape(text)}</p>" if text else "", _tall(text, frame))


def _shortened(
    left_out: Sequence[ScoutingWindow], going: int
) -> Iterator[tuple[list[str], int, int]]:
    """Names of what is due and how many of each list are told: first with stages, then fewer."""
    stages: dict[str, list[str]] = {}
    for each in left_out:
        stages.setdefault(each.card.name, []).append(each.event.words)
    told = [f"{name} ({words.listed(list(dict.fromkeys(said)))})" for name, said in stages.items()]
    yield told, len(told), going
    for names in (told, list(stages)):
        for kept in range(going - 1, 0, -1):
            yield names, len(names), kept
    for shown in range(len(stages), 0, -1):
        yield list(stages), shown, min(1, going)


def _named(lead: str, names: Sequence[str], shown: int) -> str:
    more = f" and {len(names) - shown} more" if shown < len(names) else ""
    return f"{lead}: {', '.join(names[:shown])}{more}" if names else ""


def _tall(text: str, frame: _Frame) -> float:
    return height(text, frame.wide, frame.size.words) if text else 0.0


def _foot(sheet: Sheet, items: Sequence[ScoutingWindow], frame: _Frame) -> Block:
    """Who printed the numbers, how to enter what was found, and the cautions."""
    first = items[0] if items else None
    stage = shell(first.card.key, first.event.key) if first else "PEST STAGE"
    cited = sorted({source for each in items if (source := _source(each))})
    sources = f"Sources: {'; '.join(cited)}." if cited else ""
    enter = f"Enter later:  gddcast saw {stage}  or  gddcast saw none."
    legend = _legend(sheet) if frame.notes_below else ""
    said = [legend, sources, enter, words.CAUTIONS]
    text = " ".join(filter(None, said))
    html = f"<footer><p>{escape(text)}</p></footer>"
    return Block(html, height(text, frame.wide, frame.size.words) + 3.5)


def _source(window: ScoutingWindow) -> str:
    key = window.cue.source if window.cue else window.number.source if window.number else ""
    source = window.card.sources.get(key)
    return source.short if source else key
