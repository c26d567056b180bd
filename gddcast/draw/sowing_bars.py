"""Sowings of one crop: a thin bar each, for an age lasts, and beneath them the pests to come.

Bars and dots share one axis of days; what a row is stands at its left. Onset is dots, one for each
past year's weather, on the day that reaches the sum: where two ends are carried, open ones at the
earliest and filled ones at the latest. Where looking goes by chance, a sum of own finds is meant.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import replace
from textwrap import wrap

from gddcast import words
from gddcast.crops.succession import Clash
from gddcast.draw import BLUE, GREY, GRID, INK, PALE_BLUE, svg
from gddcast.draw.scales import LEFT, RIGHT, WIDTH, DayScale, month_axis
from gddcast.draw.year_dots import height, placed, read_aloud, svg_dots
from gddcast.journal.entries import Sowing
from gddcast.outlook.dates import YearDot
from gddcast.today.sowing_courses import Age, AgeSpan, Course, CropCourses

_RADIUS, _PITCH, _SMALL = 1.9, 4.4, 12
_LETTER, _LINE = 6.2, 14.0  # width of one, about, and height of a line, in the small size
_BAR, _AIR = 8.0, 9.0
#: Where the axis begins; its labels stand left of it.
_AXIS = 136.0
_LABEL = int((_AXIS - 12.0) / _LETTER)  # letters
_BOLD = 7.4  # width of a bold one
_KEY = {"small": "small", "in flower": "in flower", "green": "up to first pick",
        "bearing": "bearing"}  # fmt: skip


def called(sowing: Sowing) -> str:
    """A sowing of a crop as its people call it: bed, variety, day."""
    variety = f"({sowing.variety})" if sowing.variety else ""
    place = " ".join(part for part in (sowing.bed, variety) if part)
    return f"{place}, {_since(sowing)}" if place else _since(sowing)


def _since(sowing: Sowing) -> str:
    since = "planted out" if sowing.planted_out else "sown"
    return f"{since} {words.day(sowing.sown_on, weekday=False)}"


def picks_of(course: Course) -> tuple[YearDot, ...]:
    """The first pick of each past year; none where it is on record, or goes by the calendar."""
    return course.planned.pick.dots if course.planned.pick else ()


def to_come(course: Course) -> list[Clash]:
    """Pests a sowing has still to meet: what has begun is no longer in doubt.

    A stage counted in days has no past years to draw; it stands in the table.
    """
    return [each for each in course.planned.clashes if each.days and not each.began]


def drawn_days(crop: CropCourses) -> list[dt.date]:
    """Every day that has a place in the drawing."""
    days = [each.sowing.sown_on for each in crop.courses]
    for course in crop.courses:
        days += [day for age in course.ages for day in (age.first, age.last)]
        days += [dot.day for dot in picks_of(course) if dot.day]
        days += [day for clash in to_come(course) for day in (*clash.days, *clash.early)]
    return days


def sowing_bars(crop: CropCourses, name: str, scale: DayScale, today: dt.date) -> svg.Svg:
    """Draw the sowings of a crop, a row each, and a row for each pest's stage they have to meet.

    Parameters
    ----------
    crop : CropCourses
    name : str
        What the drawing is called; no two of a page alike.
    scale : DayScale
        Days shared by the crops of a page, so that their drawings can be held against each other.
    today : datetime.date
    """
    scale = replace(scale, left=_AXIS, right=RIGHT)
    pattern = f"{svg.identity(name)}-flower"
    fills: dict[Age, str] = {
        "small": "#FFFFFF", "green": "#FFFFFF", "in flower": f"url(#{pattern})",
        "bearing": PALE_BLUE,
    }  # fmt: skip
    there = list(dict.fromkeys(age.age for each in crop.courses for age in each.ages))
    keys, y = _key(there, fills, crop)
    strokes, top = [svg.hatching(pattern, colour=GREY, width=1.2), *keys], y + 4
    y, marks = top + 14, []
    for course in crop.courses:
        bands, above, y = _course(course, scale, fills, y)
        strokes += bands
        marks += above
    for clash in pests_to_come(crop):
        strokes.append(svg.line([(LEFT - 8, y), (RIGHT + 8, y)], colour=GRID, width=0.7))
        above, y = _clash(clash, scale, y + 3)
        marks += above
    strokes += month_axis(scale, y, scale.first, scale.last)
    if today in scale:
        x = scale(today)
        strokes.append(svg.words(x, top + 7, "today", anchor="middle", colour=BLUE, size=_SMALL))
        # Over the bars, under all words and dots.
        strokes.append(svg.line([(x, top + 11), (x, y)], colour=BLUE, width=1.5, dash="4 3"))
    strokes += marks
    said = ". ".join(described(each) for each in crop.courses)
    return svg.picture(WIDTH, round(y + 20), name, said, strokes)


def pests_to_come(crop: CropCourses) -> list[Clash]:
    """Each pest's stage that some sowing has still to meet, once, by its first day."""
    met = {
        (each.pest, each.stage, each.days, each.early): each
        for course in crop.courses
        for each in to_come(course)
    }
    return sorted(met.values(), key=lambda each: min((*each.early, *each.days)))


def _key(ages: Iterable[Age], fills: dict[Age, str], crop: CropCourses) -> tuple[list[str], float]:
    """What bars and dots mean, in lines as wide as the drawing; and where it ends."""
    marks = [(svg.box(0, 0, 12, 8, fill=fills[age]), _KEY[age]) for age in ages]
    if any(picks_of(each) for each in crop.courses):
        marks.append((_sample(BLUE), "first pick with a past year’s weather"))
    pests = pests_to_come(crop)
    if any(each.early for each in pests):
        marks.append((_sample("#FFFFFF"), "pest’s sum reached, at the earliest"))
        marks.append((_sample(INK), "at the latest, a past year each"))
    elif pests:
        marks.append((_sample(INK), "pest’s sum reached, a past year each"))
    if any(each.by_finds for each in pests):
        marks.append(("", "* the middle sum of your finds; finds scatter wider"))
    strokes, x, y = [], LEFT - 8.0, 4.0
    for mark, said in marks:
        indent = 16 if mark else 0
        wide = indent + _LETTER * len(said)
        if x > LEFT and x + wide > RIGHT + 8:
            x, y = LEFT - 8.0, y + _LINE
        strokes.append(f'<g transform="translate({x:g} {y:g})">{mark}</g>')
        strokes.append(svg.words(x + indent, y + 8, said, size=_SMALL))
        x += wide + 10
    return strokes, y + _LINE


def _sample(fill: str) -> str:
    return f'<path d="M8.5 4a2.5 2.5 0 1 1-5 0a2.5 2.5 0 1 1 5 0" fill="{fill}" stroke="{INK}"/>'


def _course(
    course: Course, scale: DayScale, fills: dict[Age, str], y: float
) -> tuple[list[str], list[str], float]:
    """Bar and marks of one sowing from the height ``y`` down; where the next may begin."""
    since = _since(course.sowing)
    label, tall = _labelled(called(course.sowing).removesuffix(since).rstrip(" ,"), y, bold=True)
    more, below = _labelled(since, y + tall)
    label, tall = [*label, *more], tall + below
    if not course.ages:
        said = wrap("not foretold: neither its card nor your own sowings say", 32)
        label += [
            svg.rimmed(svg.words(_AXIS, y + 10 + _LINE * line, part, size=_SMALL))
            for line, part in enumerate(said)
        ]
        return [], label, y + max(tall, _LINE * len(said)) + _AIR
    floor = y + 2
    if picks := [dot.day for dot in picks_of(course) if dot.day]:
        dots, floor = _dots(picks, scale, y, BLUE)
        label += dots
    bands = [_band(age, scale, floor + 1, fills[age.age]) for age in course.ages]
    return bands, label, max(floor + 1 + _BAR, y + tall) + _AIR


def _labelled(text: str, y: float, *, bold: bool = False) -> tuple[list[str], float]:
    """What a row is, left of the axis in as many lines as it takes; and how tall they are."""
    lines = wrap(text, int((_AXIS - 12.0) / _BOLD) if bold else _LABEL)
    said = [
        svg.words(LEFT - 8, y + 10 + _LINE * at, line, size=_SMALL, bold=bold)
        for at, line in enumerate(lines)
    ]
    return said, _LINE * len(lines)


def _band(age: AgeSpan, scale: DayScale, y: float, fill: str) -> str:
    after = age.last + dt.timedelta(days=1)
    return svg.box(scale(age.first), y, scale(after) - scale(age.first), _BAR, fill=fill)


def _clash(clash: Clash, scale: DayScale, y: float) -> tuple[list[str], float]:
    """A pest's stage: its name and its dots, the early end's open; where the next may begin."""
    star = "*" if clash.by_finds else ""
    strokes, tall = _labelled(words.capital(f"{clash.pest}: {clash.stage}{star}"), y)
    floor = y
    for days, fill in ((clash.early, "#FFFFFF"), (clash.days, INK)):
        if days:
            dots, floor = _dots(days, scale, floor, fill)
            strokes += dots
    return strokes, max(floor, y + tall) + 5


def _dots(days: Sequence[dt.date], scale: DayScale, y: float, fill: str) -> tuple[list[str], float]:
    """Dots stacked from the height ``y`` down to a floor, and that floor."""
    dots = placed([(day, "") for day in days], scale, _PITCH)
    floor = y + max(12.0, height(dots, _PITCH))
    return [svg_dots(dots, floor, _PITCH, radius=_RADIUS, fill=fill, titled=False)], floor


def described(course: Course) -> str:
    """One sowing read aloud: its ages, its first picks, the pests it meets."""
    said = [
        f"{age.age} {words.span(age.first, age.last)}" for age in course.ages
    ] or ["not foretold"]  # fmt: skip
    if picks := picks_of(course):
        known = [dot.day for dot in picks if dot.day]
        said.append(f"first pick {read_aloud(known, len(picks))}")
    for clash in to_come(course):
        by = ", sum of your finds" if clash.by_finds else ""
        late = "at the latest " if clash.early else ""
        ends = (("at the earliest ", clash.early), (late, clash.days))
        heard = "; ".join(f"{end}{read_aloud(days, len(days))}" for end, days in ends if days)
        said.append(f"{clash.pest}, {clash.stage}{by}: {heard}")
    return f"{called(course.sowing)}: {'; '.join(said)}"
