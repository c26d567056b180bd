"""Is the weather record sound: the strip of its days, what was found, and what it costs in days."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from gddcast import words
from gddcast.handouts import paper
from gddcast.handouts.drawings.record_strip import (
    MOST,
    in_words,
    kinds_shown,
    record_strip,
    rows_of,
)
from gddcast.quality.findings import effect_words
from gddcast.quality.record_days import season_days
from gddcast.today.plan import SeasonPlan

_NOTES = 5
_MOST_BESIDE = 6


def weather_record(plan: SeasonPlan) -> Iterator[str]:
    """The section."""
    verdict = plan.verdict
    reasons = f": {'; '.join(verdict.reasons)}" if verdict.reasons else ""
    stop = "" if reasons.endswith("?") else "."
    yield paper.paragraph(f"The record is {verdict.trust}{reasons}{stop}")
    seasons = season_days(verdict, plan.series, plan.through + dt.timedelta(days=1))
    if seasons:
        takeaway = in_words(seasons)
        if len(seasons) > MOST:
            takeaway += f" Drawn: the latest {MOST} seasons."
        headings = ("season", *(kind.word for kind in kinds_shown(seasons)), "usable")
        table = paper.table(headings, rows_of(seasons), caption="Days of each season")
        # With a column more the two have no room side by side on paper.
        side = "side" if len(headings) <= _MOST_BESIDE else "below"
        yield (
            f'<div class="{side}">{paper.figure(takeaway, record_strip(seasons, takeaway))}\n'
            f"{paper.wide(table, 'Days of the weather record')}</div>"
        )
    yield paper.listed(_facts(plan))
    grave = [each for each in verdict.findings if each.level == "finding"]
    if grave:
        yield paper.heading("What was found, and what it would do to the dates", 3)
        yield paper.listed(
            " ".join(part for part in (each.words, effect_words(each), each.cure) if part)
            for each in grave
        )
    notes = [each.words for each in verdict.findings if each.level == "note"]
    if notes:
        more = len(notes) - _NOTES
        rest = f" The other {more} are told by  gddcast weather check." if more > 0 else ""
        yield paper.paragraph(f"Worth knowing: {' '.join(notes[:_NOTES])}{rest}")


def _facts(plan: SeasonPlan) -> Iterator[str]:
    verdict = plan.verdict
    usable = words.count(len(verdict.usable_seasons), "past season")
    yield f"{usable} can be used." if verdict.usable_seasons else "No past season can be used."
    kinds = (plan.missing, "missing"), (plan.patched, "patched"), (plan.forecast, "of forecast")
    so_far = ", ".join(f"{words.count(days, 'day')} {kind}" for days, kind in kinds)
    yield f"This season: {so_far}."
    if verdict.lost_seasons:
        yield f"Too many days missing in {words.listed(verdict.lost_seasons)}."
