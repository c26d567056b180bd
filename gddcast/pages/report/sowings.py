"""Sowings: how long each age lasts, which pests meet it, when to sow the next and the last."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gddcast import words
from gddcast.crops.succession import EventDue
from gddcast.draw.scales import DayScale
from gddcast.draw.sowing_bars import called, drawn_days, picks_of, sowing_bars, to_come
from gddcast.pages.paper import Figure, PageTable
from gddcast.pages.report.by_year import by_year
from gddcast.text.sowings.crop_needs import takes
from gddcast.today.sowing_courses import Course, CropCourses, last_fits
from gddcast.today.today import Today
from gddcast.units import Unit
from gddcast.weather.calendar_day import date_in


@dataclass(frozen=True, slots=True)
class LastSowingPart:
    """How late a crop is worth sowing: in one sentence, and as a ladder, a day and its count."""

    sentence: str
    need: str = ""
    head: str = ""
    rungs: tuple[tuple[str, int], ...] = ()
    years: int = 0


@dataclass(frozen=True, slots=True)
class Sowings:
    """The section; nothing drawn where no sowing of the season is on record."""

    figures: tuple[Figure, ...] = ()
    dates: PageTable | None = None
    clashes: PageTable | None = None
    years: tuple[PageTable, ...] = ()
    last: tuple[LastSowingPart, ...] = ()


def sowings(today: Today, show: Unit) -> Sowings | None:
    """The section; none where there is no book to hold sowings."""
    if today.memory is None:
        return None
    if not today.courses:
        return Sowings()
    days = [day for crop in today.courses for day in drawn_days(crop)]
    scale = DayScale.around(min(days), max(days))
    rows = [_row(crop, course, today.day) for crop in today.courses for course in crop.courses]
    headings = (
        "sowing", "age", "first flower", "first pick", "middle year", "side-dress", "sow next",
    )  # fmt: skip
    clashes = [row for crop in today.courses for row in _clash_rows(crop)]
    return Sowings(
        figures=tuple(_drawn(crop, scale, today.day) for crop in today.courses),
        dates=PageTable("Sowings by date", headings, rows),
        clashes=PageTable(
            "Pests that meet a sowing",
            ("pest and stage", "starts", "sowing", "which is then"), clashes, css="words",
        ) if clashes else None,
        years=_years(today.courses),
        last=tuple(_last(crop, show) for crop in today.courses),
    )  # fmt: skip


def _drawn(crop: CropCourses, scale: DayScale, today: dt.date) -> Figure:
    drawing = sowing_bars(crop, f"Sowings of {crop.card.name}", scale, today)
    return Figure(takeaway(crop), drawing, _raised(crop.card.name))


def takeaway(crop: CropCourses) -> str:
    """What the drawing of a crop shows, in one sentence."""
    picks = [each.planned.pick for each in crop.courses if not each.pulled]
    bearing = [(pick.middle, pick.on_record) for pick in picks if pick and pick.middle]
    many = words.count(len(crop.courses), "sowing")
    if not bearing:
        unknown = picks and not any(picks)
        return f"{many}, {'first pick not foretold' if unknown else 'none that bears this season'}."
    first, seen = min(bearing)
    met = {(clash.pest, clash.stage) for each in crop.courses for clash in to_come(each)}
    stages = words.count(len(met), "stage")
    pests = f"; {stages} of its pests still to come" if met else ""
    about = "since" if seen else "about"
    return f"{many}, the first bearing {about} {words.day(first, weekday=False)}{pests}."


def _row(crop: CropCourses, course: Course, today: dt.date) -> list[str]:
    planned = course.planned
    age = (today - course.sowing.sown_on).days
    stands = f"pulled {_day(course.pulled)}" if course.pulled else words.count(age, "day")
    return [
        f"{crop.card.name}, {called(course.sowing)}",
        stands,
        _due(planned.life.get("first-flower")),
        _due(planned.pick),
        _day(planned.pick.middle if planned.pick else None),
        _day(planned.side_dress),
        words.span(*planned.sow_next) if planned.sow_next else "–",
    ]


def _due(due: EventDue | None) -> str:
    if due is None:
        return "–"
    few = due.years is not None and due.years[0] < due.years[1]
    share = f" ({due.years[0]} of {due.years[1]})" if due.years and few else ""
    if due.first is None:
        return f"not this season{share}"
    when = words.any_day(due.first, due.last) if due.last else f"{_day(due.first)} or later"
    return when + share


def _clash_rows(crop: CropCourses) -> Iterator[list[str]]:
    """A row for each pest's stage and age it meets, with all sowings it meets at that age."""
    said = {"small plants": "small", "blossom": "in flower", "harvest": "bearing"}
    met: dict[tuple[str, str, str], list[str]] = {}
    clashes = [(clash, course) for course in crop.courses for clash in course.planned.clashes]
    clashes.sort(key=lambda pair: pair[0].span)
    for clash, course in clashes:
        by = "by " if clash.at_latest else ""
        when = f"came {by}{words.span(*clash.span)}" if clash.began else words.any_day(*clash.span)
        when += ", 8 times in 10 by your finds" if clash.by_finds else ""
        age = words.listed([said[each] for each in clash.meets], "or")
        stage = f"{_raised(clash.pest)}: {clash.stage}"
        met.setdefault((stage, when, age), []).append(called(course.sowing))
    for (stage, when, age), sown in met.items():
        yield [stage, when, f"{crop.card.name}: {'; '.join(sown)}", age]


def _raised(name: str) -> str:
    return words.capital(name)


def _years(crops: Sequence[CropCourses]) -> tuple[PageTable, ...]:
    """The day of each first pick drawn."""
    columns = [
        (
            f"{crop.card.name}, {called(each.sowing)}",
            {dot.season: dot.day for dot in picks_of(each)},
        )
        for crop in crops
        for each in crop.courses
        if picks_of(each)
    ]
    return by_year("The first pick each past year would bring", columns)


def _last(crop: CropCourses, show: Unit) -> LastSowingPart:
    name = _raised(crop.card.name)
    if crop.need is None:
        return LastSowingPart(f"{name}: neither its card nor your own sowings say.")
    need = f"{name}: {takes(crop.need, show)}."
    best = last_fits(crop.sown_by)
    if best is None:
        return LastSowingPart(f"{need} No whole past season says how late a sowing was worth it.")
    rungs = tuple(
        (words.day(date_in(2023, row.month, row.day), weekday=False), row.fits)
        for row in crop.sown_by[crop.sown_by.index(best) :]
    )
    first, *later = (f"{day} in {fits or 'none'}" for day, fits in rungs)
    picking = f"{words.count(crop.picking_days, 'day')} of picking before the first frost"
    said = ", ".join([f"{first} of {best.years} past years", *later])
    return LastSowingPart(
        f"{need} Sown by {said} it leaves {picking}.",
        need, f"Past years in which a sowing leaves {picking}", rungs, best.years,
    )  # fmt: skip


def _day(day: dt.date | None) -> str:
    return words.day(day, weekday=False) if day else "–"
