"""Sowings of one crop as bars, for an age lasts; first picks and pests to come as dots on them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence

from gddcast import words
from gddcast.crops.succession import Clash
from gddcast.draw import BLUE, GREY, INK, PALE_BLUE, svg
from gddcast.draw.scales import LEFT, RIGHT, WIDTH, DayScale, month_axis
from gddcast.draw.year_dots import height, placed, svg_dots
from gddcast.journal.entries import Sowing
from gddcast.outlook.dates import YearDot
from gddcast.today.sowing_courses import Age, AgeSpan, Course, CropCourses

_RADIUS, _PITCH, _SMALL = 1.9, 4.4, 11
_LETTER = 5.9  # width of one, about, in the small size
_KEY = {"small": "small", "in flower": "in flower", "green": "up to first pick",
        "bearing": "bearing"}  # fmt: skip


def called(sowing: Sowing) -> str:
    """A sowing as its people call it: bed, variety, day."""
    name = sowing.bed or sowing.name or sowing.crop
    variety = f" ({sowing.variety})" if sowing.variety else ""
    since = "planted out" if sowing.planted_out else "sown"
    return f"{name}{variety}, {since} {words.day(sowing.sown_on, weekday=False)}"


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
    """Draw the sowings of a crop, one band each.

    Parameters
    ----------
    crop : CropCourses
    name : str
        What the drawing is called; no two of a page alike.
    scale : DayScale
        Shared by the crops of a page, so that their drawings can be held against each other.
    today : datetime.date
    """
    pattern = f"{svg.identity(name)}-flower"
    fills: dict[Age, str] = {
        "small": "#FFFFFF", "green": "#FFFFFF", "in flower": f"url(#{pattern})",
        "bearing": PALE_BLUE,
    }  # fmt: skip
    there = list(dict.fromkeys(age.age for each in crop.courses for age in each.ages))
    dotted = any(picks_of(each) or to_come(each) for each in crop.courses)
    strokes = [svg.hatching(pattern, colour=GREY, width=1.2), *_key(there, fills, dotted)]
    y, marks = 34.0, []
    for course in crop.courses:
        bands, above, y = _course(course, scale, fills, y)
        strokes += bands
        marks += above
    strokes += month_axis(scale, y, scale.first, scale.last)
    if today in scale:
        x = scale(today)
        strokes.append(svg.words(max(x, 18), 29, "today", anchor="middle", colour=BLUE, size=12))
        # Over the bars, under all words and dots.
        strokes.append(svg.line([(x, 32), (x, y)], colour=BLUE, width=1.5, dash="4 3"))
    strokes += marks
    said = ". ".join(described(each) for each in crop.courses)
    return svg.picture(WIDTH, round(y + 20), name, said, strokes)


def _key(there: Iterable[Age], fills: dict[Age, str], dotted: bool) -> Iterator[str]:
    x = LEFT - 8.0
    for age in there:
        yield svg.box(x, 1, 12, 10, fill=fills[age])
        yield svg.words(x + 16, 10, _KEY[age], size=_SMALL)
        x += 26 + _LETTER * len(_KEY[age])
    if dotted:
        yield svg.words(RIGHT + 8, 10, "dots: one a past year", anchor="end", size=_SMALL)


def _course(
    course: Course, scale: DayScale, fills: dict[Age, str], y: float
) -> tuple[list[str], list[str], float]:
    """Bars and marks of one sowing from the height ``y`` down; where the next may begin."""
    name = svg.words(LEFT - 8, y + 11, called(course.sowing), size=12, bold=True)
    strokes = [svg.rimmed(name)]
    y += 16
    if not course.ages:
        said = "not foretold: neither its card nor your own sowings say"
        strokes.append(svg.words(LEFT - 8, y + 10, said, size=_SMALL))
        return [], strokes, y + 20
    picks = [dot.day for dot in picks_of(course) if dot.day]
    if picks:
        dots, y = _dots(picks, scale, y, BLUE)
        strokes += [*dots, *_beside("first pick", picks, scale, y)]
    floor = y + 4
    for clash in to_come(course):
        lines, floor = _clash(clash, scale, floor, scale(course.ages[0].first) + 4)
        strokes += lines
    tall = max(floor + 2 - y, 14)
    bands = [_band(age, scale, y, tall, fills[age.age]) for age in course.ages]
    return bands, strokes, y + tall + 10


def _band(age: AgeSpan, scale: DayScale, y: float, tall: float, fill: str) -> str:
    after = age.last + dt.timedelta(days=1)
    return svg.box(scale(age.first), y, scale(after) - scale(age.first), tall, fill=fill)


def _clash(clash: Clash, scale: DayScale, y: float, left: float) -> tuple[list[str], float]:
    """A pest's stage laid over a band: its name, and its dots, the early end's hollow."""
    name = f"{clash.pest}: {clash.stage}"
    days = [*clash.early, *clash.days]
    named = _beside(name, days, scale, 0.0)
    strokes: list[str] = []
    if not named:
        x = max(min(left, RIGHT + 8 - _LETTER * len(name)), LEFT - 8.0)
        strokes.append(svg.rimmed(svg.words(x, y + 9, name, size=_SMALL)))
        y += 12
    for line, fill in ((clash.early, "#FFFFFF"), (clash.days, INK)):
        if line:
            dots, y = _dots(line, scale, y, fill)
            strokes += dots
    return [*strokes, *_beside(name, days, scale, y)], y + 3


def _dots(days: Sequence[dt.date], scale: DayScale, y: float, fill: str) -> tuple[list[str], float]:
    """Dots stacked from the height ``y`` down to a floor, and that floor."""
    dots = placed([(day, "") for day in days], scale, _PITCH)
    floor = y + max(12.0, height(dots, _PITCH))
    return [svg_dots(dots, floor, _PITCH, radius=_RADIUS, fill=fill, titled=False)], floor


def _beside(name: str, days: Sequence[dt.date], scale: DayScale, floor: float) -> list[str]:
    """A name on the side of its dots where there is room; nothing where there is none."""
    first, last = scale(min(days)) - 8, scale(max(days)) + 8
    long = _LETTER * len(name)
    if last + long <= RIGHT + 8:
        said = svg.words(last, floor - 2, name, size=_SMALL)
    elif first - long >= LEFT - 8:
        said = svg.words(first, floor - 2, name, anchor="end", size=_SMALL)
    else:
        return []
    return [svg.rimmed(said)]


def described(course: Course) -> str:
    """One sowing read aloud: its ages, its first picks, the pests it meets."""
    said = [
        f"{age.age} {words.span(age.first, age.last)}" for age in course.ages
    ] or ["not foretold"]  # fmt: skip
    picks = [words.day(dot.day, weekday=False) for dot in picks_of(course) if dot.day]
    if picks:
        said.append(f"first pick {words.listed(picks)}")
    for clash in to_come(course):
        days = [words.day(day, weekday=False) for day in (*clash.early, *clash.days)]
        said.append(f"{clash.pest}, {clash.stage}: {words.listed(days)}")
    return f"{called(course.sowing)}: {'; '.join(said)}"
