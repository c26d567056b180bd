"""The week ahead: what to look for today, most urgent first; the rest behind a line that opens."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gddcast import words
from gddcast.outlook.changes import is_move
from gddcast.pages.report.beside import Beside
from gddcast.scouting.windows import ScoutingWindow
from gddcast.text import sentences, weather_so_far
from gddcast.text.dates.nothing_due import nothing_due, nothing_is_due
from gddcast.text.watching import how_to_change
from gddcast.today.beds import hosts_in_flower
from gddcast.today.plan import SeasonPlan
from gddcast.today.walk_groups import grouped
from gddcast.units import Unit
from gddcast.words import Status

#: Headings, most urgent first, and how many of each are told before the line that opens the rest.
_OPEN = {"look now": 3, "coming up": 3}
#: One more than that is still told: a line that opens a single item saves nothing.
_SPARE = 1


@dataclass(frozen=True, slots=True)
class Item:
    """One stage to look for: its status and title, its date, how to look, what else to know."""

    title: str
    when: str
    look: str
    more: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Group:
    """Stages under one heading, and those behind the line that opens them."""

    heading: str
    items: tuple[Item, ...]
    line: str
    rest: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class Week:
    """The section: about the weather, how many stand where, the stages, what moved."""

    weather: tuple[str, ...]
    tally: str
    groups: tuple[Group, ...]
    nothing_due: tuple[str, ...]
    moved: str
    watches_all: bool


def this_week(plan: SeasonPlan, show: Unit, beside: Beside) -> Week:
    """The section, its first items within the first screen of a small phone."""
    groups = dict(grouped(plan))
    opened = [heading for heading in _OPEN if groups[heading]]
    return Week(
        tuple(_about_weather(plan)),
        _tally(plan, [each for chosen in groups.values() for each in chosen]),
        tuple(_group(heading, groups[heading], plan, show, beside) for heading in opened),
        () if opened else tuple(nothing_due(plan, show)),
        _moved(beside),
        plan.watches_all,
    )


def _about_weather(plan: SeasonPlan) -> Iterator[str]:
    if late := weather_so_far.behind(plan):
        yield late
    if plan.verdict.trust in ("shaky", "unusable"):
        yield f"Weather record: {plan.verdict.trust}, see below."
    if said := how_to_change(plan.watching):
        yield said


def _tally(plan: SeasonPlan, windows: Sequence[ScoutingWindow]) -> str:
    """How many stand where, the worst first, each with its shape."""
    many = {
        Status.LOOK_NOW: "to look for now", Status.OVERDUE: "overdue",
        Status.COMING_UP: "coming up", Status.CANT_SAY: "can’t be said",
    }  # fmt: skip
    counts = {status: sum(each.status is status for each in windows) for status in many}
    parts = [
        f"{status.shape} {number} {many[status]}" for status, number in counts.items() if number
    ]
    if clear := nothing_is_due(plan):
        parts.insert(0, words.capital(f"{clear} today"))
    return " · ".join(parts)


def _moved(beside: Beside) -> str:
    if beside.since is None or not beside.changes:
        return ""
    moved = sum(map(is_move, beside.changes.values()))
    many = words.count(moved, "date") if moved else "no date"
    why = "" if not moved else ": why is said beside it" if moved == 1 else ": each says why"
    return (
        f"Since {words.day(beside.since, weekday=False)} {many} "
        f"{'have' if moved > 1 else 'has'} moved{why}."
    )


def _group(
    heading: str, windows: Sequence[ScoutingWindow], plan: SeasonPlan, show: Unit, beside: Beside
) -> Group:
    most = _OPEN[heading]
    items = tuple(_item(each, plan, show, beside) for each in windows)
    many = len(items) if len(items) <= most + _SPARE else most
    line = "to look for now" if heading == "look now" else heading
    return Group(
        heading.capitalize(), items[:many], f"{len(items) - many} more {line}", items[many:]
    )


def _item(window: ScoutingWindow, plan: SeasonPlan, show: Unit, beside: Beside) -> Item:
    late = " (overdue)" if window.status is Status.OVERDUE else ""
    more = []
    if window.look.looks_like and window.event.opens_looks:
        more.append(f"Look for: {window.look.looks_like}")
    flowering = hosts_in_flower(window, beside.there)
    if flowering:
        names = words.listed([each.sowing.name or each.sowing.crop for each in flowering])
        more.append(f"In flower: {names}. Nothing on flowers; stem base and outer leaves only.")
    return Item(
        f"{window.status.shape} {sentences.title(window)}{late}",
        sentences.when(window, show),
        sentences.look(window, plan.today),
        tuple(more),
    )
