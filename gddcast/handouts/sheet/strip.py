"""The next three weeks as one strip of days: a line a stage, a dot a past year, never a bar."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from html import escape

from gddcast import words
from gddcast.handouts.drawings import svg
from gddcast.handouts.drawings.year_dot_strip import described, dot_rows, has_year_dots
from gddcast.handouts.sheet.room import POINT, Block, height
from gddcast.outlook.dates import YearDot
from gddcast.scouting.windows import ScoutingWindow
from gddcast.text import sentences
from gddcast.units import Unit

#: Days shown.
DAYS = 21
#: Distance of dots, the widest that keeps a stack of years below `_TALLEST`. [mm]
_PITCHES = (2.4, 1.3, 0.9)
_TALLEST = 15.0
_SIDE = 1.5  # kept free left and right, so that no dot is cut


class DayStrip:
    """Where each day stands, the same for every line of one strip.

    Parameters
    ----------
    first, today : datetime.date
    room : float
        Width of the strip. [mm]
    points : float
        Size of its words.
    """

    def __init__(self, first: dt.date, today: dt.date, room: float, points: float) -> None:
        self.first, self.today, self.room, self.points = first, today, room, points
        self.last = first + dt.timedelta(days=DAYS - 1)
        self.step = (room - 2 * _SIDE) / DAYS

    def __call__(self, day: dt.date) -> float:
        """Middle of a day across the strip. [mm]"""
        return _SIDE + self.step * ((day - self.first).days + 0.5)

    def __contains__(self, day: dt.date) -> bool:
        return self.first <= day <= self.last

    def weeks(self, tall: float) -> str:
        """Lines that part the weeks, and today's, so tall. [mm]"""
        at = [_SIDE + self.step * 7 * week for week in range(1, 3)]
        parted = "".join(f"M{x:.2f} 0V{tall:.2f}" for x in at)
        drawn = f'<path d="{parted}" stroke="#666" stroke-width="0.2"/>'
        if self.today in self:
            x = self(self.today)
            drawn += (
                f'<path class="today" d="M{x:.2f} 0V{tall:.2f}" stroke="{svg.INK}" '
                'stroke-width="0.35" stroke-dasharray="1.2 0.8"/>'
            )
        return drawn


def strip_head(strip: DayStrip) -> Block:
    """Day and month under which each week begins, and where today stands."""
    size = strip.points * POINT
    texts = []
    for week in range(3):
        monday = strip.first + dt.timedelta(weeks=week)
        x = _SIDE + strip.step * 7 * week
        texts.append(f'<text x="{x:.2f}" y="{size:.2f}">{escape(words.short_day(monday))}</text>')
    tall = size * 1.3
    if strip.today in strip:
        x = strip(strip.today)
        end = "end" if x > strip.room / 2 else "start"
        texts.append(f'<text x="{x:.2f}" y="{size * 2.2:.2f}" text-anchor="{end}">today</text>')
        tall = size * 2.5
    drawn = (
        f'<svg viewBox="0 0 {strip.room:g} {tall:.2f}" aria-hidden="true" '
        f'font-size="{size:.2f}">{"".join(texts)}</svg>'
    )
    return Block(drawn, tall)


def strip_line(window: ScoutingWindow, label: str, strip: DayStrip, show: Unit) -> Block:
    """What is said of one stage's date, and its dots as far as they fall into the strip.

    Parameters
    ----------
    window : ScoutingWindow
    label : str
        The number of its row, else its name.
    strip : DayStrip
    show : {"F", "C"}
    """
    said = sentences.when_briefly(window, show)
    drawn, tall = [], 0.0
    for end, dots in dot_rows(window):
        inside = [dot for dot in dots if dot.day is not None and dot.day in strip]
        said += (_labelled(end) if inside else "") + _outside(end, dots, strip)
        if inside:
            line, high = _dots(inside, end, strip, f"Strip {label}")
            drawn.append(line)
            tall += high
    bold = "i" * (len(label) // 6)  # which is wider
    caption = f"<figcaption><b>{escape(label)}</b> {escape(said)}</figcaption>"
    html = f"<figure>{caption}{''.join(drawn)}</figure>"
    return Block(html, height(f"{label}{bold} {said}", strip.room, strip.points) + tall + 2.0)


def falls_into(window: ScoutingWindow, strip: DayStrip) -> bool:
    """Whether any dot of a stage does."""
    return has_year_dots(window) and any(
        dot.day is not None and dot.day in strip for _, dots in dot_rows(window) for dot in dots
    )


def _labelled(label: str) -> str:
    return f" {'Hollow' if _hollow(label) else 'Full'} dots: {label}." if label else ""


def _hollow(label: str) -> bool:
    return label == "at the earliest"


def _outside(label: str, dots: Sequence[YearDot], strip: DayStrip) -> str:
    """Dots that fall before or after the strip, or not at all this season, are told."""
    days = [dot.day for dot in dots if dot.day is not None]
    before = sum(day < strip.first for day in days)
    after = sum(day > strip.last for day in days)
    parts = [f"{before} before" if before else "", f"{after} after" if after else ""]
    told = " and ".join(filter(None, parts))
    if not told:
        return ""
    return f" {told} these three weeks{f' ({label})' if label else ''}."


def _dots(dots: Sequence[YearDot], label: str, strip: DayStrip, name: str) -> tuple[str, float]:
    """One line of dots over its days, each day's years side by side and stacked."""
    days: dict[dt.date, list[YearDot]] = {}
    for dot in dots:
        if dot.day is not None:
            days.setdefault(dot.day, []).append(dot)
    pitch = next((each for each in _PITCHES if _stack(days, each, strip) <= _TALLEST), _PITCHES[-1])
    base = _stack(days, pitch, strip) + 0.8
    strokes = [strip.weeks(base)]
    fill = "#fff" if _hollow(label) else svg.INK
    strokes.append(f'<g class="dots" fill="{fill}" stroke="{svg.INK}" stroke-width="0.25">')
    strokes += [
        each for day in days for each in _one_day(days[day], strip(day), base, pitch, strip)
    ]
    strokes.append("</g>")
    ticks = "".join(
        f"M{_SIDE + strip.step * day:.2f} {base:.2f}v{1.4 if day % 7 == 0 else 0.8}"
        for day in range(DAYS + 1)
    )
    strokes.append(
        f'<path d="M{_SIDE} {base:.2f}H{strip.room - _SIDE:.2f}{ticks}" fill="none" '
        f'stroke="{svg.INK}" stroke-width="0.25"/>'
    )
    tall = base + 1.6
    title = f"{name} {label}".strip()
    drawn = svg.picture(strip.room, tall, title, described([(label, dots)]), strokes)
    return drawn, tall


def _columns(pitch: float, strip: DayStrip) -> int:
    """Dots side by side in one day."""
    return max(1, int((strip.step + 0.2) / pitch))


def _stack(days: dict[dt.date, list[YearDot]], pitch: float, strip: DayStrip) -> float:
    columns = _columns(pitch, strip)
    return max(-(-len(each) // columns) for each in days.values()) * pitch


def _one_day(
    dots: Sequence[YearDot], x: float, base: float, pitch: float, strip: DayStrip
) -> Iterator[str]:
    columns = min(_columns(pitch, strip), len(dots))
    for place, dot in enumerate(dots):
        level, column = divmod(place, columns)
        at = x + (column - (columns - 1) / 2) * pitch
        y = base - 0.15 - pitch * (level + 0.5)
        day = words.day(dot.day, weekday=False) if dot.day else ""
        said = escape(f"{dot.season}: {day}")
        radius = pitch * 0.44
        yield (
            f'<circle cx="{at:.2f}" cy="{y:.2f}" r="{radius:.2f}"><title>{said}</title></circle>'
        )
