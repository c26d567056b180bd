"""What is said when the book's weather was brought in once more."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from gddcast.text.weather.brought import BroughtAnswer
from gddcast.units import Unit
from gddcast.weather.series import DailySeries
from gddcast.words import count, day, listed, span, temperature

#: Revised days named one by one.
_NAMED = 4


def again_text(
    name: str,
    brought: BroughtAnswer,
    before: DailySeries | None,
    after: DailySeries,
    show: Unit,
    undo: str,
) -> Iterator[str]:
    """New days, and each revised day with what it was.

    Parameters
    ----------
    name : str
        The file.
    brought : BroughtAnswer
    before, after : DailySeries
        The book's record.
    show : {"F", "C"}
    undo : str
        The command that takes it back.
    """
    if brought.entry is None:
        last = day(after.last_known, weekday=False, year=True) if after.last_known else "–"
        yield f"Nothing new in {name}: the book knows its days already, to {last}."
        return
    only_forecast = brought.foretold and not (brought.new or brought.changed)
    what = "a new forecast" if only_forecast else count(brought.new, "new day")
    yield f"Brought {what} of {name}.  [entry {brought.entry}]"
    if brought.changed and before is not None:
        days = brought.changed
        shown = [_revised(before, after, each, show) for each in days[:_NAMED]]
        if len(days) > _NAMED:
            shown.append(f"{len(days) - _NAMED} more, {span(days[_NAMED], days[-1])}")
        yield f"{count(len(days), 'past day')} revised: {'; '.join(shown)}.  Undo:  {undo}"


def _revised(before: DailySeries, after: DailySeries, date: dt.date, show: Unit) -> str:
    parts = []
    for word, then, now in (
        ("high", before.tmax, after.tmax),
        ("low", before.tmin, after.tmin),
    ):
        old, new = then[before.index(date)], now[after.index(date)]
        if old != new:
            one, other = (temperature(float(each), show, 1) for each in (old, new))
            parts.append(f"{word} {one} → {other}")
    return f"{day(date, weekday=False)} {listed(parts) or 'by origin'}"
