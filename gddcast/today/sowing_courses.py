"""The season's sowings from seed to the end of picking: how long each age lasts, what it meets.

An age lasts, so it may be drawn as a bar. That of a sowing still to bear begins with the first
pick of the middle past year; the years themselves stand beside it, one dot each.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from gddcast.cards.model import Card, crop_card
from gddcast.crops.last_sowing import SownBy, sown_by, that_differ, weekly
from gddcast.crops.needs import From, Need
from gddcast.crops.succession import Planned, Rules, needs_of, plan_sowings, sown_of
from gddcast.journal.entries import Journal, Sowing
from gddcast.today.plan import SeasonPlan

#: What a sowing is while an age lasts. Without a day of flower it is green until it bears.
Age = Literal["small", "in flower", "green", "bearing"]


@dataclass(frozen=True, slots=True)
class AgeSpan:
    """One age, from its first to its last day."""

    age: Age
    first: dt.date
    last: dt.date


@dataclass(frozen=True, slots=True)
class Course:
    """One sowing from seed to the end of its picking.

    ``ages`` is empty where nothing tells when it bears.
    """

    sowing: Sowing
    planned: Planned
    ages: tuple[AgeSpan, ...]
    pulled: dt.date | None


@dataclass(frozen=True, slots=True)
class CropCourses:
    """All sowings of one crop, and in how many past years a later one would still have fitted.

    ``need`` is that of the first pick, of the first sowing's kind; None where nothing tells it.
    """

    card: Card
    need: Need | None
    courses: tuple[Course, ...]
    sown_by: tuple[SownBy, ...]
    picking_days: int


def crop_courses(
    plan: SeasonPlan,
    cards: Mapping[str, Card],
    journal: Journal,
    *,
    rules: Rules | None = None,
) -> tuple[CropCourses, ...]:
    """The season's sowings, crop by crop, earliest first.

    Parameters
    ----------
    plan : SeasonPlan
        The pests looked at are those it watches.
    cards : mapping of str to Card
    journal : Journal
    rules : Rules, optional
        The grower's own.
    """
    rules = rules or Rules()
    known = replace(
        journal,
        jobs=tuple(job for job in journal.jobs if job.done_on <= plan.today),
    )
    sown = sorted(
        (
            each for each in journal.sowings
            if plan.season.first <= each.sown_on <= plan.today
        ),
        key=lambda each: (each.sown_on, each.name or ""),
    )  # fmt: skip
    return tuple(
        _of_crop(
            crop_card(cards, crop),
            [each for each in sown if each.crop == crop],
            plan, known, rules,
        )
        for crop in dict.fromkeys(each.crop for each in sown)
    )  # fmt: skip


def _of_crop(
    card: Card,
    sowings: Sequence[Sowing],
    plan: SeasonPlan,
    journal: Journal,
    rules: Rules,
) -> CropCourses:
    starts: dict[From, None] = dict.fromkeys(sown_of(each, journal).start for each in sowings)
    needs = {
        start: needs_of(
            plan.series, journal, card, start, rules=rules, overrule=plan.overrule
        )
        for start in starts
    }  # fmt: skip
    need = next((each["first-pick"] for each in needs.values() if "first-pick" in each), None)
    rows: Sequence[SownBy] = ()
    if need is not None:
        days = tuple(weekly(plan.season))
        rows = sown_by(plan.series, need, plan.today, days, picking_days=rules.picking_days)
    courses = []
    for each in sowings:
        (planned,) = plan_sowings(
            plan.series,
            card,
            needs,
            [sown_of(each, journal)],
            plan.windows,
            plan.today,
            rules,
            plan.climate,
        )
        courses.append(_course(each, planned, plan.season.last, journal, rules))
    fits = that_differ(rows) if any(row.fits for row in rows) else ()
    return CropCourses(card, need, tuple(courses), fits, rules.picking_days)


def _course(
    sowing: Sowing, planned: Planned, end: dt.date, journal: Journal, rules: Rules
) -> Course:
    pulled = next(
        (
            job.done_on for job in journal.jobs
            if job.job == "pulled" and sowing.name and job.sowing == sowing.name
        ),
        None,
    )  # fmt: skip
    if pulled is not None:
        met = tuple(each for each in planned.clashes if each.span[0] <= pulled)
        planned = replace(planned, clashes=met)
    ages = _ages(planned, rules.picking_days, end)
    return Course(sowing, planned, tuple(_until(pulled, ages)), pulled)


def _ages(planned: Planned, picking_days: int, end: dt.date) -> Iterator[AgeSpan]:
    """Ages one after another, each with a day at least."""
    if planned.pick is None:
        return
    day = dt.timedelta(days=1)
    bears = planned.pick.middle
    pick = bears or end + day
    flower = planned.life["first-flower"].middle if "first-flower" in planned.life else None
    if flower is None or flower >= pick:
        yield AgeSpan("green", planned.sown.day, pick - day)
    else:
        yield AgeSpan("small", planned.sown.day, flower - day)
        yield AgeSpan("in flower", flower, pick - day)
    if bears is not None:
        yield AgeSpan("bearing", bears, bears + dt.timedelta(days=picking_days - 1))


def _until(pulled: dt.date | None, ages: Iterator[AgeSpan]) -> Iterator[AgeSpan]:
    for each in ages:
        if pulled is None or each.last <= pulled:
            yield each
        elif each.first <= pulled:
            yield AgeSpan(each.age, each.first, pulled)


def last_fits(rows: Sequence[SownBy]) -> SownBy | None:
    """The latest sowing day that was worth it in every past year, else in the most of them."""
    most = max((row.fits for row in rows), default=0)
    return next((row for row in reversed(rows) if row.fits == most), None) if most else None
