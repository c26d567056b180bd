"""The days of a record as a strip a season: sound, patched, suspect, missing, each by its shape."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from gddcast.draw import GREY, INK, svg
from gddcast.draw.scales import WIDTH, DayScale, month_axis
from gddcast.quality.record_days import DayKind, DayRun, SeasonDays

_ROW, _BOX, _THIN = 14.0, 8.0, 3.0
_AT_LEFT, _SMALL = 52.0, 11
#: Kinds in the order of the table and of the key.
KINDS = (DayKind.SOUND, DayKind.MODEL, DayKind.PATCHED, DayKind.SUSPECT, DayKind.MISSING)
#: More seasons than these make a drawing too tall to be read at a glance.
MOST = 30


def record_strip(seasons: Sequence[SeasonDays], takeaway: str) -> svg.Svg:
    """Draw the latest seasons, a row each, this one first as in the table."""
    shown = seasons[-MOST:]
    longest = max(shown, key=lambda each: each.season.days).season
    # A day is as wide as the way to the next: the last one ends at the right end.
    after = longest.last + dt.timedelta(days=1)
    scale = DayScale(longest.first, after, _AT_LEFT, WIDTH - 8)
    day_kinds = [kind for kind in KINDS if any(each.count(kind) for each in shown)]
    strokes = [svg.hatching("suspect-days", width=2.4), *_key(day_kinds)]
    y = 24.0
    for each in reversed(shown):
        strokes.append(svg.words(_AT_LEFT - 8, y + 4, each.season.name, anchor="end", size=_SMALL))
        strokes += [_drawn(run, scale, y) for run in each.runs]
        y += _ROW
    strokes += month_axis(scale, y, longest.first, longest.last)
    return svg.picture(WIDTH, round(y + 20), "Days of the weather record", takeaway, strokes)


def _drawn(run: DayRun, scale: DayScale, y: float) -> str:
    x, end = (scale.left + scale.step * place for place in (run.begin, run.end))
    if run.kind in (DayKind.SOUND, DayKind.MODEL):
        return _line(run.kind, x, end, y)
    return _boxed(run.kind, x, max(end - x, _THIN), y)


def _line(kind: DayKind, x: float, end: float, y: float) -> str:
    dash = "2 3" if kind is DayKind.MODEL else ""
    return svg.line([(x, y), (end, y)], colour=GREY, width=1.5, dash=dash)


def _boxed(kind: DayKind, x: float, width: float, y: float) -> str:
    fill = {DayKind.PATCHED: "#FFFFFF", DayKind.SUSPECT: "url(#suspect-days)"}.get(kind, INK)
    return svg.box(x, y - _BOX / 2, width, _BOX, fill=fill)


def _key(kinds: Sequence[DayKind]) -> Iterator[str]:
    x = 4.0
    for kind in kinds:
        lines = kind in (DayKind.SOUND, DayKind.MODEL)
        yield _line(kind, x, x + 16, 8) if lines else _boxed(kind, x + 2, 12, 8)
        yield svg.words(x + 21, 12, kind.word, size=_SMALL)
        x += 34 + 6.2 * len(kind.word)
