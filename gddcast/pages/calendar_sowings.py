"""What a calendar reminds of besides looking: the next sowing, the last one, side-dressing."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace

from gddcast import words
from gddcast.crops.last_sowing import SownBy
from gddcast.crops.succession import Rules
from gddcast.draw.sowing_bars import called
from gddcast.journal.entries import Journal
from gddcast.pages.calendar_reminders import AnnouncedDays, Category, Kind, Reminder, uid_of
from gddcast.text.dates.nothing_due import NEWS_DAYS
from gddcast.today.plan import SeasonPlan
from gddcast.today.sowing_courses import Course, CropCourses
from gddcast.weather.calendar_day import date_in

_MOVES = "Dates move with the weather: write the file again."


def sowing_reminders(
    crops: Collection[CropCourses],
    plan: SeasonPlan,
    journal: Journal,
    rules: Rules,
    *,
    kind: Kind = "VEVENT",
    categories: Collection[Category] = ("sow", "side-dress", "last-sowing"),
    announced: Mapping[str, AnnouncedDays] | None = None,
) -> tuple[Reminder, ...]:
    """Days to sow and to side-dress, by day.

    Parameters
    ----------
    crops : collection of CropCourses
        The season's sowings.
    plan : SeasonPlan
    journal : Journal
        What was side-dressed needs no reminder.
    rules : Rules
        The grower's own.
    kind : {"VEVENT", "VTODO"}
    categories : collection of str
        Those wanted.
    announced : mapping of str to AnnouncedDays, optional
        Days last told, by UID: kept where the new ones are no news.
    """
    announced = announced or {}
    every = (
        each
        for crop in crops
        for each in (
            *_side_dress(crop, plan, journal, rules, kind),
            *_sow_next(crop, plan, rules, kind),
            *_last_sowing(crop, plan, kind),
        )
        if each.category in categories
    )
    return tuple(sorted((_as_announced(each, announced.get(each.uid)) for each in every),
                        key=lambda each: (each.first, each.uid)))  # fmt: skip


def _as_announced(reminder: Reminder, announced: AnnouncedDays | None) -> Reminder:
    """On the day it was told, where it moved by no more than is no news."""
    if announced is None or abs((announced.first - reminder.first).days) >= NEWS_DAYS:
        return reminder
    return replace(
        reminder, first=announced.first, last=announced.first + (reminder.last - reminder.first)
    )


def _side_dress(
    crop: CropCourses, plan: SeasonPlan, journal: Journal, rules: Rules, kind: Kind
) -> Iterator[Reminder]:
    done = {job.sowing for job in journal.jobs if job.job == "side-dressed"}
    rule = f"{words.count(rules.side_dress_weeks, 'week')} after its first pick"
    for course in crop.courses:
        due = course.planned.side_dress
        if due is None or course.pulled or course.sowing.name in done:
            continue
        title = f"Side-dress: {crop.card.name}, {called(course.sowing)} ({rule})"
        yield _reminder("side-dress", crop, course, plan, kind, due, due, title, _pick(course))


def _sow_next(crop: CropCourses, plan: SeasonPlan, rules: Rules, kind: Kind) -> Iterator[Reminder]:
    """After the latest sowing only: the ones before it have theirs already."""
    course = crop.courses[-1]
    if course.planned.sow_next is None:
        return
    low, high = rules.sow_next_weeks
    weeks = words.count(high, "week") if low == high else f"{low}–{high} weeks"
    title = f"Sow the next {crop.card.name} ({weeks} after first pick of {called(course.sowing)})"
    yield _reminder("sow", crop, course, plan, kind, *course.planned.sow_next, title, _pick(course))


def _last_sowing(crop: CropCourses, plan: SeasonPlan, kind: Kind) -> Iterator[Reminder]:
    fitting = [row for row in crop.sown_by if 6 * row.fits >= 5 * row.years]
    if not fitting or crop.card.picked != "repeatedly":
        return
    row = fitting[-1]
    day = _in_season(row, plan)
    picking = words.count(crop.picking_days, "day")
    share = words.of_past_years(row.fits, row.years)
    title = f"Last day to sow {crop.card.name} ({picking} of picking before frost in {share})"
    about = "By the first 32 °F (0 °C) night of each past year, at the thermometer."
    yield _reminder("last-sowing", crop, crop.courses[0], plan, kind, day, day, title, about)


def _in_season(row: SownBy, plan: SeasonPlan) -> dt.date:
    day = plan.season.on(row.month, row.day)
    return date_in(day.year, row.month, row.day)


def _pick(course: Course) -> str:
    """How its first pick is known."""
    pick = course.planned.pick
    if pick is None or pick.middle is None:
        return ""
    if pick.on_record:
        return f"First picked {words.day(pick.middle, weekday=False)}, on record."
    when = words.any_day(pick.first or pick.middle, pick.last)
    middle = words.day(pick.middle, weekday=False)
    return f"First pick {when}; counted from the middle, {middle}."


def _reminder(
    category: Category, crop: CropCourses, course: Course, plan: SeasonPlan, kind: Kind,
    first: dt.date, last: dt.date, title: str, about: str,
) -> Reminder:  # fmt: skip
    which = "" if category == "last-sowing" else f"{course.sowing.name or course.sowing.sown_on}"
    names = (crop.card.key, category, which)
    lines = (about, "Your own rules: [rules] in book.toml.", _MOVES)
    return Reminder(
        uid_of(plan, names, kind), kind, first, last if kind == "VEVENT" else first, title,
        "\n".join(line for line in lines if line),
        "TENTATIVE" if kind == "VEVENT" else "NEEDS-ACTION", names,
        category=category, over=last < plan.today,
    )  # fmt: skip
