"""One sowing after another: when each is picked, when the next is due, which pests meet it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from gddcast.cards import Card
from gddcast.journal import Journal
from gddcast.outlook import outlook
from gddcast.scouting import ScoutingWindow
from gddcast.series import DailySeries
from gddcast.sowing import Need

Span = tuple[dt.date, dt.date]
#: First and last pick of past years, the middle one's, and in how many it came.
_Pick = tuple[tuple[dt.date, dt.date | None] | None, dt.date | None, tuple[int, int] | None]
Meets = Literal["small plants", "blossom", "harvest"]


@dataclass(frozen=True, slots=True)
class Rules:
    """The grower's own; the defaults are common practice, no source."""

    picking_days: int = 21
    side_dress_weeks: int = 2
    sow_next_weeks: tuple[int, int] = (2, 3)


@dataclass(frozen=True, slots=True)
class Clash:
    """A pest's stage that begins, in some past year, while a sowing is at some age."""

    pest: str
    stage: str
    span: Span  # first days of the stage in past years
    meets: tuple[Meets, ...]


@dataclass(frozen=True, slots=True)
class Planned:
    """One sowing ahead; ``middle`` is the pick of the middle past year, or of the middle day.

    ``pick`` runs from the fastest past year to the slowest. It is None where the crop is not
    ready this season in the middle year; its late end is None where some years are not.
    """

    sown: dt.date
    flower: Span | None
    pick: tuple[dt.date, dt.date | None] | None
    middle: dt.date | None
    side_dress: dt.date | None
    sow_next: Span | None
    clashes: tuple[Clash, ...]
    ready: tuple[int, int] | None  # in how many of the past years; None for calendar days


def plan_sowings(
    series: DailySeries,
    card: Card,
    need: Need,
    days: Sequence[dt.date],
    windows: Sequence[ScoutingWindow],
    today: dt.date,
    rules: Rules | None = None,
    picked: Mapping[dt.date, dt.date] | None = None,
) -> tuple[Planned, ...]:
    """Lay out sowings of one crop, past years continued from each.

    Parameters
    ----------
    series : DailySeries
        Short gaps patched.
    card : Card
        Of the crop.
    need : Need
        From sowing to first pick.
    days : sequence of datetime.date
        Sowing days, in the season of today.
    windows : sequence of ScoutingWindow
        Of this season's plan; those of pests that live on the crop are looked at.
    today : datetime.date
    rules : Rules, optional
    picked : mapping of date to date, optional
        First picks on record, by sowing day: nothing is foretold for those.
    """
    rules, picked = rules or Rules(), picked or {}
    plans = []
    for sown in sorted(days):
        done = picked.get(sown)
        pick = ((done, done), done, None) if done else _pick(series, need, sown, today)
        plans.append(_planned(card, sown, pick, windows, rules))
    return tuple(plans)


def _planned(
    card: Card, sown: dt.date, foretold: _Pick, windows: Sequence[ScoutingWindow], rules: Rules
) -> Planned:
    flower = _flower(card, sown)
    pick, middle, ready = foretold
    if pick is None or middle is None:
        return Planned(sown, flower, None, None, None, None, (), ready)
    early, late = (middle + dt.timedelta(weeks=weeks) for weeks in rules.sow_next_weeks)
    ages = tuple(_ages(sown, flower, pick[0], middle + dt.timedelta(days=rules.picking_days)))
    return Planned(
        sown, flower, pick, middle, middle + dt.timedelta(weeks=rules.side_dress_weeks),
        (early, late), tuple(_clashes(card, windows, ages)), ready,
    )  # fmt: skip


def _pick(series: DailySeries, need: Need, sown: dt.date, today: dt.date) -> _Pick:
    """First to last pick of past years, the middle one's, and in how many it came."""
    if need.counting is None:
        low, high = (sown + dt.timedelta(days=round(each)) for each in (need.low, need.high))
        return (low, high), low + (high - low) / 2, None
    one = outlook(series, need.counting, need.used, start=sown, today=today)
    if one.reached is not None:
        return (one.reached, one.reached), one.reached, None
    ready = (len(one.days), len(one.dots))
    half = (len(one.dots) - 1) // 2
    if not one.dots or len(one.days) <= half:
        return None, None, ready
    return (one.days[0], one.slowest), one.days[half], ready


def _flower(card: Card, sown: dt.date) -> Span | None:
    event = card.event("first-flower")
    for each in event.days if event else ():
        if each.starts_from.crop == "sowing":
            low, high = (sown + dt.timedelta(days=round(day)) for day in each.days)
            return low, high
    return None


def _ages(
    sown: dt.date, flower: Span | None, pick: dt.date, over: dt.date
) -> Iterator[tuple[Meets, Span]]:
    """Its ages one after another; without a day of flower the small plant lasts to the pick."""
    day = dt.timedelta(days=1)
    blossom = min(flower[0], pick) if flower else pick
    yield "small plants", (sown, blossom - day)
    if blossom < pick:
        yield "blossom", (blossom, pick - day)
    yield "harvest", (pick, over)


def _clashes(
    card: Card, windows: Sequence[ScoutingWindow], ages: Sequence[tuple[Meets, Span]]
) -> Iterator[Clash]:
    for window in windows:
        if window.card.group != "pest" or not window.card.lives_on(card.names):
            continue
        first = window.fastest
        if first is None:
            continue
        last = window.slowest or first
        meets = tuple(age for age, (begin, end) in ages if first <= end and last >= begin)
        if meets:
            yield Clash(window.card.name, window.event.words, (first, last), meets)


def first_picks(journal: Journal, crop: str) -> dict[dt.date, dt.date]:
    """First picks on record of a crop, by the day it was sown."""
    picks = {job.sowing: job.done_on for job in journal.jobs if job.job == "first-pick"}
    return {
        sowing.sown_on: picks[sowing.name]
        for sowing in journal.sowings
        if sowing.crop == crop and sowing.name in picks
    }
