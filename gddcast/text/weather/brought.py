"""What is said when a file of weather was brought into the book."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from typing import Protocol

import numpy as np

from gddcast.outlook.forecast_archive import ForecastArchive
from gddcast.quality.verdict import Verdict
from gddcast.text.weather.check import extremes, usable_seasons
from gddcast.units import Unit
from gddcast.weather.series import DailySeries, Origin
from gddcast.words import count, day, span


class Understood(Protocol):
    """A file of weather that was read."""

    @property
    def series(self) -> DailySeries: ...  # noqa: D102
    @property
    def understood(self) -> tuple[str, ...]: ...  # noqa: D102
    @property
    def notes(self) -> Sequence[object]: ...  # noqa: D102


class BroughtAnswer(Protocol):
    """What it brought."""

    @property
    def entry(self) -> str | None: ...  # noqa: D102
    @property
    def new(self) -> int: ...  # noqa: D102
    @property
    def changed(self) -> tuple[dt.date, ...]: ...  # noqa: D102
    @property
    def unchanged(self) -> int: ...  # noqa: D102
    @property
    def known_better(self) -> int: ...  # noqa: D102
    @property
    def foretold(self) -> int: ...  # noqa: D102


def brought_text(
    reading: Understood,
    brought: BroughtAnswer,
    verdict: Verdict,
    show: Unit,
    *,
    issued: dt.date,
    spot: str,
    means_only: bool,
    other_day_ends: Sequence[str],
    walk: str,
    undo: str,
    setup: str,
) -> str:
    """Days, units and how they were decided, extremes to check by eye, and the verdict."""
    series = reading.series
    first, last = (day(each, weekday=False, year=True) for each in (series.first, series.last))
    lines = [f"Read {count(len(series), 'day')}, {first} to {last}."]
    lines += [f"  {line}" for line in reading.understood]
    if extreme := extremes(verdict.judged, show):
        hot, cold = extreme
        lines.append(f"  Hottest {hot}, coldest {cold}: does that sound right?")
    lines += [f"  {note}" for note in reading.notes]
    lines += _changes(brought, undo)
    lines += forecast_lines(brought, series, issued)
    if verdict.usable_seasons:
        lines.append(usable_seasons(verdict))
    if verdict.lost_seasons:
        lines.append(f"Left out, too many days missing: {', '.join(verdict.lost_seasons)}")
    lines.append(verdict_line(verdict))
    lines += _cautions(spot, setup, means_only, other_day_ends)
    lines.append(f"Next:  {walk}")
    return "\n".join(lines)


def verdict_line(verdict: Verdict) -> str:
    """How far the record can be trusted, and why no further."""
    reasons = f" ({'; '.join(verdict.reasons)})" if verdict.reasons else ""
    return f"Weather record: {verdict.trust.upper()}{reasons}"


def _changes(brought: BroughtAnswer, undo: str) -> Iterator[str]:
    if brought.entry is None:
        yield "The book knew every one of these days: nothing was written."
    elif brought.new or brought.changed or not brought.foretold:
        yield f"Brought {count(brought.new, 'new day')}.  [entry {brought.entry}]"
    else:
        yield f"Brought a forecast; no day of the record is new.  [entry {brought.entry}]"
    if brought.changed:
        days = len(brought.changed)
        which = span(brought.changed[0], brought.changed[-1])
        yield (
            f"{count(days, 'past day')} changed ({which}): dates may move because the data did, "
            f"not the weather.  Undo:  {undo}"
        )
    if brought.known_better:
        left = count(brought.known_better, "day")
        yield f"{left} left as the book had it: measured beats the rest."


def forecast_lines(brought: BroughtAnswer, series: DailySeries, issued: dt.date) -> Iterator[str]:
    """What became of its forecast days."""
    promised = (series.origin == Origin.FORECAST) & series.known
    before = int(np.count_nonzero(promised & (series.dates < np.datetime64(issued, "D"))))
    ahead = int(np.count_nonzero(promised)) - before
    when = day(issued)
    if brought.foretold:
        yield (
            f"{count(ahead, 'day')} of forecast, issued {when}: kept as issued, beside the "
            "record, never as measured."
        )
    elif ahead:
        yield f"Its forecast, issued {when}, is on record already."
    if before:
        yield (
            f"{count(before, 'day')} marked as forecast before {when}, when it was issued, left "
            "out. If it is older:  --issued DATE"
        )


def forecasts_text(archive: ForecastArchive, brought: BroughtAnswer) -> str:
    """What is said when past forecasts were brought into the book."""
    issues = np.unique(archive.issued).tolist()
    when = span(issues[0], issues[-1])
    days, forecasts = count(len(archive), "day"), count(len(issues), "forecast")
    lines = [f"Read {days} foretold in {forecasts}, issued {when}."]
    if brought.entry is None:
        lines.append("The book held every one of them: nothing was written.")
    else:
        lines.append(f"Kept {count(brought.foretold, 'day')} as issued.  [entry {brought.entry}]")
    lines.append("How far they were off is learnt from the days measured since:  gddcast why PEST")
    return "\n".join(lines)


def _cautions(
    spot: str, setup: str, means_only: bool, other_day_ends: Sequence[str]
) -> Iterator[str]:
    if spot == "unknown":
        yield (
            "Not known: where the thermometer hangs. If it stands in the sun, dates can come out "
            f"two weeks early.\n  Set it:  {setup} --sensor-spot open-shade"
            f"\n  Read and reset by hand? Say when:  {setup} --reading-hour 7"
        )
    elif spot != "open-shade":
        yield f"The thermometer hangs: {spot}. For pests outside, dates can be weeks off."
    if means_only:
        yield "Only daily means: spring heat is undercounted; minima and maxima would say more."
    if other_day_ends:
        yield (
            f"Its days end otherwise than those on record ({', '.join(other_day_ends)}): a day or "
            "so may be off where the two meet."
        )
