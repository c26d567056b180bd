"""The week ahead: what to look for today, most urgent first; the rest behind a line that opens."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape

from gddcast import words
from gddcast.handouts import paper
from gddcast.handouts.dates.nothing_due import nothing_due, nothing_is_due
from gddcast.handouts.dates.walk_text import grouped, hosts_in_flower
from gddcast.handouts.report.beside import Beside
from gddcast.outlook.changes import has_moved
from gddcast.scouting.windows import ScoutingWindow
from gddcast.text import sentences
from gddcast.today.plan import SeasonPlan
from gddcast.units import Unit
from gddcast.words import Status

#: Headings, most urgent first, and how many of each are told before the line that opens the rest.
_OPEN = {"look now": 3, "coming up": 3}
#: One more than that is still told: a line that opens a single item saves nothing.
_SPARE = 1


def this_week(plan: SeasonPlan, show: Unit, beside: Beside) -> Iterator[str]:
    """The section, its first items within the first screen of a small phone."""
    yield from _about_weather(plan)
    groups = dict(grouped(plan))
    yield from _tally(plan, [each for chosen in groups.values() for each in chosen])
    for heading, chosen in groups.items():
        if heading in _OPEN and chosen:
            yield paper.heading(f"{heading[0].upper()}{heading[1:]}", 3)
            yield from _items(chosen, _OPEN[heading], heading, plan, show, beside)
    if not any(groups[heading] for heading in _OPEN):
        yield from map(paper.paragraph, nothing_due(plan, show))
    moved = sum(map(has_moved, beside.changes.values()))
    if beside.since is not None and beside.changes:
        many = words.count(moved, "date") if moved else "no date"
        yield paper.paragraph(
            f"Since {words.day(beside.since, weekday=False)} {many} "
            f"{'have' if moved > 1 else 'has'} moved{_where_why(moved)}."
        )
    if plan.watches_all:
        yield paper.paragraph("Watching every card that has a date or a cue.")


def _where_why(moved: int) -> str:
    return "" if not moved else ": why is said beside it" if moved == 1 else ": each says why"


def _about_weather(plan: SeasonPlan) -> Iterator[str]:
    if late := sentences.behind(plan):
        yield paper.paragraph(late)
    if plan.verdict.trust in ("shaky", "unusable"):
        yield paper.paragraph(f"Weather record: {plan.verdict.trust}, see below.")


def _tally(plan: SeasonPlan, told: Sequence[ScoutingWindow]) -> Iterator[str]:
    """How many stand where, the worst first, each with its shape."""
    many = {
        Status.LOOK_NOW: "to look for now", Status.OVERDUE: "overdue",
        Status.COMING_UP: "coming up", Status.CANT_SAY: "can’t be said",
    }  # fmt: skip
    counts = {status: sum(each.status is status for each in told) for status in many}
    said = [
        f"{status.shape} {number} {many[status]}" for status, number in counts.items() if number
    ]
    if clear := nothing_is_due(plan):
        said.insert(0, f"{clear[0].upper()}{clear[1:]} today")
    if said:
        yield f'<p class="tally"><b>{escape(" · ".join(said))}</b></p>'


def _items(
    chosen: Sequence[ScoutingWindow], most: int, heading: str,
    plan: SeasonPlan, show: Unit, beside: Beside,
) -> Iterator[str]:  # fmt: skip
    shown = chosen if len(chosen) <= most + _SPARE else chosen[:most]
    yield _list(shown, plan, show, beside)
    rest = chosen[len(shown) :]
    if rest:
        line = "to look for now" if heading == "look now" else heading
        yield paper.fold(f"{len(rest)} more {line}", _list(rest, plan, show, beside))


def _list(windows: Sequence[ScoutingWindow], plan: SeasonPlan, show: Unit, beside: Beside) -> str:
    items = "".join(f"<li>{_item(each, plan, show, beside)}</li>" for each in windows)
    return f'<ul class="due">{items}</ul>'


def _item(window: ScoutingWindow, plan: SeasonPlan, show: Unit, beside: Beside) -> str:
    late = " (overdue)" if window.status is Status.OVERDUE else ""
    lines = [
        f"<b>{window.status.shape} {escape(sentences.title(window))}{late}</b>",
        escape(sentences.when(window, show)),
    ]
    if look := sentences.look(window, plan.today):
        lines.append(f'<span class="look">{escape(look)}</span>')
    if not window.event.opens_looks:
        return f"{lines[0]}<br>{' '.join(lines[1:])}"
    if window.look.looks_like:
        lines.append(escape(f"Look for: {window.look.looks_like}"))
    flowering = hosts_in_flower(window, beside.there)
    if flowering:
        names = words.listed([each.sowing.name or each.sowing.crop for each in flowering])
        lines.append(
            escape(f"In flower: {names}. Nothing on flowers; stem base and outer leaves only.")
        )
    return f"{lines[0]}<br>{lines[1]} {'<br>'.join(lines[2:])}"
