"""Is the weather record sound: the strip of its days, what was found, and what it costs in days."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gddcast import words
from gddcast.draw.record_strip import KINDS, MOST, record_strip
from gddcast.pages.paper import Figure, PageTable
from gddcast.quality.findings import effect_words
from gddcast.quality.record_days import DayKind, SeasonDays, season_days
from gddcast.today.plan import SeasonPlan

_NOTES = 5


@dataclass(frozen=True, slots=True)
class RecordSection:
    """The section; ``figure`` and ``table`` are missing where no day is on record."""

    verdict: str
    figure: Figure | None
    table: PageTable | None
    facts: tuple[str, ...]
    findings: tuple[str, ...]
    notes: str


def weather_record(plan: SeasonPlan, *, commands: bool = True) -> RecordSection:
    """The section; without ``commands`` for people who have no terminal."""
    verdict = plan.verdict
    reasons = f": {'; '.join(verdict.reasons)}" if verdict.reasons else ""
    stop = "" if reasons.endswith("?") else "."
    seasons = season_days(verdict, plan.series, plan.through + dt.timedelta(days=1))
    figure = table = None
    if seasons:
        takeaway = in_words(seasons)
        if len(seasons) > MOST:
            takeaway += f" Drawn: the latest {MOST} seasons."
        figure = Figure(takeaway, record_strip(seasons, takeaway))
        table = days_table(seasons)
    grave = [each for each in verdict.findings if each.level == "finding"]
    notes = [each.sentence for each in verdict.findings if each.level == "note"]
    more = len(notes) - _NOTES
    told = "are told by  gddcast weather check" if commands else "are not told here"
    rest = f" The other {more} {told}." if more > 0 else ""
    return RecordSection(
        verdict=f"The record is {verdict.trust}{reasons}{stop}",
        figure=figure,
        table=table,
        facts=tuple(_facts(plan)),
        findings=tuple(
            " ".join(
                filter(None, (each.sentence, effect_words(each), each.cure if commands else ""))
            )
            for each in grave
        ),
        notes=f"Worth knowing: {' '.join(notes[:_NOTES])}{rest}" if notes else "",
    )


def in_words(seasons: Sequence[SeasonDays]) -> str:
    """What the strip shows, in one sentence."""
    counts = {kind: sum(each.count(kind) for each in seasons) for kind in KINDS}
    faulty = [
        f"{days:,} {kind.word}"
        for kind, days in counts.items()
        if days and kind is not DayKind.SOUND
    ]
    rest = f": {words.listed(faulty)}" if faulty else ""
    total = words.count(sum(counts.values()), "day")
    return f"{counts[DayKind.SOUND]:,} of {total} are sound{rest}."


def days_table(seasons: Sequence[SeasonDays]) -> PageTable:
    """The days drawn, counted, a row a season; days from a model only where there are any."""
    kinds = [
        kind
        for kind in KINDS
        if kind is not DayKind.MODEL or any(each.count(kind) for each in seasons)
    ]
    rows = []
    for each in reversed(seasons):
        lends = "so far" if each.lends is None else "yes" if each.lends else "no"
        rows.append([each.season.name, *(f"{each.count(kind)}" for kind in kinds), lends])
    headings = ("season", *(kind.word for kind in kinds), "usable")
    return PageTable("Days of the weather record", headings, rows, caption="Days of each season")


def _facts(plan: SeasonPlan) -> Iterator[str]:
    verdict = plan.verdict
    usable = words.count(len(verdict.usable_seasons), "past season")
    yield f"{usable} can be used." if verdict.usable_seasons else "No past season can be used."
    kinds = (plan.missing, "missing"), (plan.patched, "patched"), (plan.forecast, "of forecast")
    so_far = ", ".join(f"{words.count(days, 'day')} {kind}" for days, kind in kinds)
    yield f"This season: {so_far}."
    if verdict.lost_seasons:
        yield f"Too many days missing in {words.listed(verdict.lost_seasons)}."
