"""What a book told of each date before, what has moved it since, and what is told now.

Surfaces that people act on, or hand on, are remembered: ``walk``, ``report``, ``sheet`` and
``calendar``. ``ahead``, ``why`` and every answer for programs are looked up as often as somebody
likes and write nothing. A book that takes no writing is read all the same.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

import click

from gddcast.errors import Refusal
from gddcast.words import Status

if TYPE_CHECKING:
    from gddcast.book.announcements import Announcement
    from gddcast.book.opening import Book
    from gddcast.cli.book_here import Here
    from gddcast.outlook.changes import Change, Morning
    from gddcast.scouting.windows import ScoutingWindow
    from gddcast.today.hindsight import Stage, Told
    from gddcast.today.plan import SeasonPlan
    from gddcast.weather.series import DailySeries

#: Statuses whose dates are near enough for a move to matter.
NEAR = (
    Status.LOOK_NOW, Status.OVERDUE, Status.COMING_UP, Status.BUILDING, Status.CANT_SAY,
)  # fmt: skip
#: Where a date was never told, it is held against what it was so many days ago.
_A_WEEK = dt.timedelta(days=7)


def moved(
    book: Book, plan: SeasonPlan, *, told_by: str | None = None, since: dt.date | None = None
) -> dict[Stage, Change]:
    """What has moved each date since it was last told; the near ones else since a week ago.

    Parameters
    ----------
    book : Book
    plan : SeasonPlan
    told_by : str, optional
        Only what this surface told, and nothing where it told nothing. Default: any surface.
    since : datetime.date, optional
        Hold every date against that day instead.
    """
    from gddcast.today.hindsight import changes_since, stage_of

    now = book.series()
    if since is not None:
        return changes_since(plan, since, before=_as_kept(book, plan, since, now))
    found: dict[Stage, Change] = {}
    for last in _last_told(book, plan, told_by):
        day = last[0].told_on
        told = {_stage(each): _told(each) for each in last}
        before = _as_kept(book, plan, day, now, last[0])
        found |= changes_since(plan, day, before=before, told=told)
    untold = {stage_of(each) for each in plan.windows if each.status in NEAR} - found.keys()
    if told_by is None and untold:
        day = plan.today - _A_WEEK
        before = _as_kept(book, plan, day, now)
        found = changes_since(plan, day, before=before, near=NEAR) | found
    return found


def moved_text(changes: Mapping[Stage, Change]) -> dict[Stage, Change]:
    """Those that people should hear of."""
    from gddcast.outlook.changes import has_moved

    return {stage: each for stage, each in changes.items() if has_moved(each) or each.opens}


def tell(here: Here, plan: SeasonPlan, windows: Iterable[ScoutingWindow], told_by: str) -> None:
    """Let the book remember the dates that a surface tells today; once a day is enough."""
    from gddcast.book.announcements import Announcement
    from gddcast.book.fingerprints import fingerprint
    from gddcast.cli.clock import now
    from gddcast.today.hindsight import stage_of

    last = {_stage(each): each for each in here.book.told(told_by, plan.season.name)}
    weather, moment = fingerprint(here.book.series()), now()
    fresh: dict[Stage, Announcement] = {}
    for window in windows:
        if window.fastest is None or window.found is not None:
            continue
        organism, event, clock = stage_of(window)
        told = Announcement(
            told_by, moment, plan.today, plan.season.name, organism, event, clock,
            window.opens, window.fastest, window.slowest, weather,
        )  # fmt: skip
        before = last.get(stage_of(window))
        if before is None or replace(told, told_at=before.told_at) != before:
            fresh.setdefault(stage_of(window), told)
    if not fresh:
        return
    try:
        with here.writing() as pen:
            for announcement in fresh.values():
                pen.announce(announcement)
    except Refusal as refusal:
        click.echo(
            f"The next {told_by} will not know what this one said: {refusal.where}, "
            f"{refusal.found}.",
            err=True,
        )


def _last_told(book: Book, plan: SeasonPlan, told_by: str | None) -> list[list[Announcement]]:
    """What was last told of each stage before today, those of one moment together."""
    told = [
        each
        for each in book.told(told_by, plan.season.name)
        if each.told_on < plan.today and each.earliest is not None
    ]
    last = {_stage(each): each for each in sorted(told, key=lambda each: each.told_on)}
    found: dict[tuple[dt.date, dt.datetime], list[Announcement]] = {}
    for each in last.values():
        found.setdefault((each.told_on, each.told_at), []).append(each)
    return list(found.values())


def _stage(told: Announcement) -> Stage:
    return told.organism, told.event, told.clock


def _told(told: Announcement) -> Told:
    from gddcast.outlook.changes import Dates
    from gddcast.today.hindsight import Told

    came = told.latest if told.latest is not None and told.latest < told.told_on else None
    return Told(told.opens, Dates(told.earliest, None, told.latest, told.latest, came))


def _as_kept(
    book: Book,
    plan: SeasonPlan,
    day: dt.date,
    now: DailySeries,
    told: Announcement | None = None,
) -> Morning:
    """The book when something was told, else at the end of a day; as now if it is younger.

    Moments are kept to the second: of what was written in the very same one, the fingerprint says
    whether it had been read when it was told.
    """
    from gddcast.book.fingerprints import fingerprint
    from gddcast.today.hindsight import morning_of

    moment = told.told_at if told else _evening(book, day)
    then = book.weather(as_of=moment)
    if told and then is not None and fingerprint(then) != told.fingerprint:
        before = book.weather(as_of=moment - dt.timedelta(seconds=1))
        if before is not None and fingerprint(before) == told.fingerprint:
            then = before
    return morning_of(
        plan, day,
        then=then, now=now,
        forecasts=book.forecasts(as_of=None if then is None else moment),
        patch_up_to=book.settings.weather.patch_up_to_days,
    )  # fmt: skip


def _evening(book: Book, day: dt.date) -> dt.datetime:
    """The end of a day at the place."""
    from zoneinfo import ZoneInfo

    zone = ZoneInfo(book.place.timezone) if book.place.timezone else None
    late = dt.datetime.combine(day, dt.time(23, 59, 59))
    return late.replace(tzinfo=zone) if zone else late.astimezone()
