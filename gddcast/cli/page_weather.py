"""Weather as the browser brings it: a file handed over, and a reading typed in."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from gddcast.errors import Refusal
from gddcast.web.season_book import Examined, FileQuestion, Logged
from gddcast.words import capital

if TYPE_CHECKING:
    from gddcast.cli.book_here import OpenedBook
    from gddcast.quality.verdict import Verdict
    from gddcast.units import Unit
    from gddcast.weather.series import DailySeries


def noted(
    opened: OpenedBook, high: float | None, low: float | None, day: dt.date, *, sure: bool
) -> Logged:
    """Write one day's reading."""
    from gddcast.cli.weather_add import record_reading

    before = opened.book.weather()
    brought, said = record_reading(opened, high, low, day, sure=sure)
    for each in brought.changed:
        said.append(f"It takes the place of {_had(before, each, opened.book.show)}.")
    return Logged((brought.entry,) if brought.entry else (), tuple(said))


def _had(before: DailySeries | None, day: dt.date, show: Unit) -> str:
    """What the book had for a day."""
    from gddcast.words import temperature

    known = before is not None and before.first <= day <= before.last
    if before is None or not known:
        return f"what was noted of {_day(day)} meanwhile"
    place = before.index(day)
    low, high = (temperature(float(each[place]), show, 1) for each in (before.tmin, before.tmax))
    return f"high {high}, low {low}, which the book had for {_day(day)}"


def examined(opened: OpenedBook, file: Path, answers: Mapping[str, Any]) -> Examined:
    """Read a file as the book would, and judge it."""
    from gddcast.cli.weather_add import read_for
    from gddcast.cli.weather_check import judged
    from gddcast.readers.reading import OpenQuestion, OpenQuestions

    try:
        reading = read_for(opened, file, **answers)
    except (OpenQuestion, OpenQuestions) as asked:
        return Examined(
            questions=tuple(
                FileQuestion(each.option, capital(each.problem), each.expected, each.choices,
                         each.answer or "")
                for each in asked.questions
            )
        )  # fmt: skip
    except Refusal as refusal:
        return Examined(fault=(capital(f"{refusal.problem}."), refusal.expected))
    series, verdict = judged(reading)
    days = f"{len(series):,} days, {_day(series.first)} to {_day(series.last)}."
    read = map(capital, reading.understood)
    return Examined(
        (days, *read, *_to_check(verdict, opened.book.show)),
        _verdict(verdict), tuple(_findings(verdict)), tuple(note.text for note in reading.notes),
    )  # fmt: skip


def bring(opened: OpenedBook, file: Path, called: str | None, answers: Mapping[str, Any]) -> Logged:
    """Bring a file into the book; one that was handed over and stands nowhere has a name only."""
    from gddcast.cli.weather_add import bring, verdict_on
    from gddcast.words import count

    _, what, _ = bring(opened, file, called=called, **answers)
    lines = ["The book knew every one of these days: nothing was written."]
    if what.entry is not None:
        lines = [f"Brought {count(what.new, 'new day')}.  [entry {what.entry}]"]
    if what.changed:
        changed = count(len(what.changed), "past day")
        lines.append(f"{changed} changed: dates may move because the data did, not the weather.")
    if what.known_better:
        left = count(what.known_better, "day")
        lines.append(f"{left} left as the book had it: measured beats the rest.")
    if what.foretold:
        lines.append(f"{count(what.foretold, 'day')} of forecast kept as issued.")
    lines.append(_verdict(verdict_on(opened)))
    return Logged((what.entry,) if what.entry else (), tuple(lines))


def _day(day: dt.date) -> str:
    from gddcast.words import day as said

    return said(day, weekday=False, year=True)


def _to_check(verdict: Verdict, show: Unit) -> list[str]:
    """What its owner's eye checks best."""
    from gddcast.text.weather.check import extremes, usable_seasons

    said = []
    if extreme := extremes(verdict.judged, show):
        said.append(f"Hottest {extreme[0]}, coldest {extreme[1]}: does that sound right?")
    return [*said, f"{usable_seasons(verdict)}."]


def _verdict(verdict: Verdict) -> str:
    from gddcast.text.weather.brought import verdict_line

    return f"{verdict_line(verdict)}."


def _findings(verdict: Verdict) -> list[tuple[str, str]]:
    """What is grave, gravest first."""
    from gddcast.quality.findings import effect_words
    from gddcast.text.weather.check import IN_FULL, gravest_first

    grave = gravest_first(verdict)
    told = [(each.words, effect_words(each) or "") for each in grave[:IN_FULL]]
    more = len(grave) - len(told)
    return [*told, *([(f"And {more} more.", "")] if more else [])]
