"""What was seen: between which days it began, and the clocks that restarted from it."""

from __future__ import annotations

from collections.abc import Iterator

from gddcast import words
from gddcast.handouts import paper
from gddcast.handouts.drawings.find_brackets import brackets_drawn, find_brackets
from gddcast.handouts.report.beside import Beside
from gddcast.journal.entries import Bracket, Sighting
from gddcast.text import sentences
from gddcast.today.plan import SeasonPlan
from gddcast.units import Unit


def what_was_seen(plan: SeasonPlan, show: Unit, beside: Beside) -> Iterator[str]:
    """The section; nothing where nothing was seen, heard or thought to be."""
    seen = [each for each in plan.windows if each.found is not None]
    if seen:
        brackets = brackets_drawn(seen)
        many = words.count(len(brackets), "stage")
        takeaway = (
            f"{many} seen: each began no later than its dot, and no earlier than its line, "
            "which is dashed where no clean look came before."
        )
        table = paper.wide(_table(brackets), "What you have seen")
        drawing = paper.figure(takeaway, find_brackets(seen, plan.today))
        yield f'<div class="side">{drawing}\n{table}</div>'
    restarted = list(dict.fromkeys(_restarted(plan, show)))
    if restarted:
        yield paper.heading("Clocks restarted from your finds", 3)
        yield paper.listed(restarted)
    unsure = list(_kept_beside(plan, beside))
    if unsure:
        yield paper.heading("Kept beside them; these start no clock", 3)
        yield paper.listed(unsure)


def _table(brackets: list[tuple[str, Bracket]]) -> str:
    """The same days, with where it was and what was noted if anybody said."""
    columns = {
        "stage": [name for name, _ in brackets],
        "last clean look": [
            words.day(found.clean_on) if found.clean_on else "none before it"
            for _, found in brackets
        ],
        "first seen": [words.day(found.found_on) for _, found in brackets],
        "where": [found.sighting.where or "" for _, found in brackets],
        "note": [found.sighting.note or "" for _, found in brackets],
    }
    said = {heading: cells for heading, cells in columns.items() if any(cells)}
    rows = [[cell or "–" for cell in row] for row in zip(*said.values(), strict=True)]
    return paper.table(tuple(said), rows, css="words")


def _restarted(plan: SeasonPlan, show: Unit) -> Iterator[str]:
    for window in plan.windows:
        clock = window.clock
        if clock is None or clock.kind != "find":
            continue
        yield (
            f"{sentences.title(window)}: counted from {clock.words}. {sentences.when(window, show)}"
        )


def _kept_beside(plan: SeasonPlan, beside: Beside) -> Iterator[str]:
    names = {
        (window.card.key, window.event.key): sentences.title(window) for window in plan.windows
    }
    for each in sorted(beside.journal.sightings, key=lambda each: each.seen_on):
        title = names.get((each.organism, each.event))
        in_season = plan.season.first <= each.seen_on <= plan.today
        if title is None or not in_season or not _is_unsure(each):
            continue
        kind = "heard of" if each.kind == "heard" else "seen, not sure"
        more = "".join(f"; {part}" for part in (each.where, each.note) if part)
        yield f"{title}: {kind}, {words.day(each.seen_on, weekday=False)}{more}."


def _is_unsure(each: Sighting) -> bool:
    return each.kind == "heard" or (each.kind == "saw" and not each.sure)
