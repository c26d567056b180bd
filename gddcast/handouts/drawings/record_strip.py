"""The days of a record as a strip a season: sound, patched, suspect, missing, each by its shape."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from gddcast import words
from gddcast.handouts.drawings import svg
from gddcast.handouts.drawings.day_axis import WIDTH, DayScale, month_axis
from gddcast.quality.record_days import DayKind, Run, SeasonDays

_ROW, _BOX, _THIN = 14.0, 8.0, 3.0
_AT_LEFT, _SMALL = 52.0, 11
#: Kinds in the order of the table and of the key.
KINDS = (DayKind.SOUND, DayKind.MODEL, DayKind.PATCHED, DayKind.SUSPECT, DayKind.MISSING)
#: More seasons than these make a drawing too tall to be read at a glance.
MOST = 30


class _Across(DayScale):
    """A season's days across the drawing, to the right of its name."""

    def __init__(self, first: dt.date, last: dt.date) -> None:
        self.first, self.last = first, last
        self.step = (WIDTH - 8 - _AT_LEFT) / ((last - first).days + 1)

    def __call__(self, day: dt.date) -> float:
        return self.at((day - self.first).days)

    def at(self, place: int) -> float:
        return _AT_LEFT + self.step * place


def record_strip(seasons: Sequence[SeasonDays], takeaway: str) -> str:
    """Draw the latest seasons, a row each, this one first as in the table."""
    shown = seasons[-MOST:]
    longest = max(shown, key=lambda each: each.season.days).season
    across = _Across(longest.first, longest.last)
    there = [kind for kind in KINDS if any(each.count(kind) for each in shown)]
    strokes = [svg.hatching("suspect-days", width=2.4), *_key(there)]
    y = 24.0
    for each in reversed(shown):
        strokes.append(svg.words(_AT_LEFT - 8, y + 4, each.season.name, anchor="end", size=_SMALL))
        strokes += [_drawn(run, across, y) for run in each.runs]
        y += _ROW
    strokes += month_axis(across, y, across.first, across.last)
    return svg.picture(WIDTH, round(y + 20), "Days of the weather record", takeaway, strokes)


def _drawn(run: Run, across: _Across, y: float) -> str:
    x, end = across.at(run.begin), across.at(run.end)
    if run.kind in (DayKind.SOUND, DayKind.MODEL):
        return _line(run.kind, x, end, y)
    return _boxed(run.kind, x, max(end - x, _THIN), y)


def _line(kind: DayKind, x: float, end: float, y: float) -> str:
    dash = "2 3" if kind is DayKind.MODEL else ""
    return svg.line([(x, y), (end, y)], colour="#767676", width=1.5, dash=dash)


def _boxed(kind: DayKind, x: float, width: float, y: float) -> str:
    fill = {DayKind.PATCHED: "#FFFFFF", DayKind.SUSPECT: "url(#suspect-days)"}.get(kind, svg.INK)
    return svg.box(x, y - _BOX / 2, width, _BOX, fill=fill)


def _key(there: Sequence[DayKind]) -> Iterator[str]:
    x = 4.0
    for kind in there:
        lines = kind in (DayKind.SOUND, DayKind.MODEL)
        yield _line(kind, x, x + 16, 8) if lines else _boxed(kind, x + 2, 12, 8)
        yield svg.words(x + 21, 12, kind.word, size=_SMALL)
        x += 34 + 6.2 * len(kind.word)


def rows_of(seasons: Sequence[SeasonDays]) -> Iterator[list[str]]:
    """The days drawn, counted: a row a season."""
    kinds = kinds_shown(seasons)
    for each in reversed(seasons):
        lends = "so far" if each.lends is None else "yes" if each.lends else "no"
        yield [each.season.name, *(f"{each.count(kind)}" for kind in kinds), lends]


def kinds_shown(seasons: Sequence[SeasonDays]) -> list[DayKind]:
    """Columns of `rows_of`: days from a model only where there are any."""
    return [
        kind
        for kind in KINDS
        if kind is not DayKind.MODEL or any(each.count(kind) for each in seasons)
    ]


def in_words(seasons: Sequence[SeasonDays]) -> str:
    """What the strip shows, in one sentence."""
    counts = [(kind, sum(each.count(kind) for each in seasons)) for kind in KINDS]
    total = sum(days for _, days in counts)
    sound = dict(counts)[DayKind.SOUND]
    faulty = [
        f"{days:,} {kind.word}" for kind, days in counts if days and kind is not DayKind.SOUND
    ]
    rest = f": {words.listed(faulty)}" if faulty else ""
    return f"{sound:,} of {words.count(total, 'day')} are sound{rest}."
