"""What was seen: between which days it began, and the clocks that restarted from it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gddcast import words
from gddcast.draw.find_brackets import brackets_drawn, find_brackets
from gddcast.journal.entries import Bracket, Journal, Sighting
from gddcast.pages.paper import Figure, PageTable
from gddcast.text import sentences
from gddcast.text.logged_catch import catch_words
from gddcast.today.plan import SeasonPlan
from gddcast.today.today import Today
from gddcast.units import Unit


@dataclass(frozen=True, slots=True)
class Finds:
    """The section; ``figure`` and ``table`` come together or not at all."""

    figure: Figure | None
    table: PageTable | None
    restarted: tuple[str, ...]
    unsure: tuple[str, ...]


def finds_section(today: Today, show: Unit) -> Finds | None:
    """The section; none where nothing was seen, heard or thought to be."""
    plan = today.plan
    windows = [each for each in plan.windows if each.bracket is not None]
    restarted = tuple(dict.fromkeys(_restarted(plan, show)))
    unsure = tuple(_unsure_finds(plan, today.journal))
    figure = table = None
    if windows:
        brackets = brackets_drawn(windows)
        many = words.count(len(brackets), "stage")
        takeaway = (
            f"{many} seen: each began no later than its dot, and no earlier than its line, "
            "which is dashed where no clean look came before."
        )
        figure, table = Figure(takeaway, find_brackets(windows, plan.today)), _table(brackets)
    return Finds(figure, table, restarted, unsure) if figure or restarted or unsure else None


def _table(brackets: Sequence[tuple[str, Bracket]]) -> PageTable:
    """The same days, with where it was and what was noted if anybody said."""
    columns = {
        "stage": [name for name, _ in brackets],
        "last clean look": [
            words.day(bracket.clean_on) if bracket.clean_on else "none before it"
            for _, bracket in brackets
        ],
        "first seen": [words.day(bracket.found_on) for _, bracket in brackets],
        "caught": [_caught(bracket.sighting) for _, bracket in brackets],
        "by": [bracket.sighting.by or "" for _, bracket in brackets],
        "where": [bracket.sighting.where or "" for _, bracket in brackets],
        "note": [bracket.sighting.note or "" for _, bracket in brackets],
    }
    filled = {heading: cells for heading, cells in columns.items() if any(cells)}
    rows = [[cell or "–" for cell in row] for row in zip(*filled.values(), strict=True)]
    return PageTable("What you have seen", tuple(filled), rows, css="words")


def _caught(find: Sighting) -> str:
    """The catch of a trap; nothing of a find on plants."""
    return catch_words(find) if find.trap else ""


def _restarted(plan: SeasonPlan, show: Unit) -> Iterator[str]:
    for window in plan.windows:
        clock = window.clock
        if clock is None or clock.kind != "find":
            continue
        yield (
            f"{sentences.title(window)}: counted from {clock.words}. {sentences.when(window, show)}"
        )


def _unsure_finds(plan: SeasonPlan, journal: Journal) -> Iterator[str]:
    names = {
        (window.card.key, window.event.key): sentences.title(window) for window in plan.windows
    }
    for each in sorted(journal.sightings, key=lambda each: each.seen_on):
        title = names.get((each.organism, each.event))
        in_season = plan.season.first <= each.seen_on <= plan.today
        if title is None or not in_season or not _is_unsure(each):
            continue
        kind = "heard of" if each.kind == "heard" else "seen, not sure"
        more = "".join(f"; {part}" for part in (each.where, each.note) if part)
        yield f"{title}: {kind}, {words.day(each.seen_on, weekday=False)}{more}."


def _is_unsure(sighting: Sighting) -> bool:
    return sighting.kind == "heard" or (sighting.kind == "saw" and not sighting.sure)
