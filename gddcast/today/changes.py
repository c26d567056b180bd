"""What moved each date still to come: since a day, or since people were last told."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import replace

from gddcast.outlook.changes import (
    Change,
    Morning,
    Question,
    changed,
    is_move,
    same_record,
)
from gddcast.outlook.forecast_archive import ForecastArchive, errors_on, with_forecasts
from gddcast.outlook.forecast_gate import gated
from gddcast.outlook.season_so_far import record_on
from gddcast.scouting.windows import ScoutingWindow
from gddcast.today.announcements import Announcement, Memory, by_moment, latest_by_stage
from gddcast.today.beside_dates import Stage, stage_of
from gddcast.today.plan import SeasonPlan
from gddcast.today.record import Record
from gddcast.weather.gaps import SHORT
from gddcast.weather.series import DailySeries
from gddcast.words import Status

#: Statuses whose dates are near enough for a move to matter.
NEAR = (
    Status.LOOK_NOW, Status.OVERDUE, Status.COMING_UP, Status.BUILDING, Status.CANT_SAY,
)  # fmt: skip
#: Where a date was never told, it is held against what it was so many days ago.
_A_WEEK = dt.timedelta(days=7)


def changes_since_announced(
    plan: SeasonPlan, record: Record, memory: Memory, surface: str | None = None
) -> dict[Stage, Change]:
    """What has moved each date since it was last told; the near ones else since a week ago.

    Parameters
    ----------
    plan : SeasonPlan
    record : Record
        That the plan is made from.
    memory : Memory
    surface : str, optional
        Only what this surface told, and nothing where it told nothing. Default: any surface.
    """
    earlier = sorted(
        (
            each for each in memory.announced(surface, plan.season.name)
            if each.day < plan.today and each.earliest is not None
        ),
        key=lambda each: each.day,
    )  # fmt: skip
    changes: dict[Stage, Change] = {}
    for announcements in by_moment(latest_by_stage(earlier).values()):
        day = announcements[0].day
        before = morning_remembered(plan, record, memory, day, announcements[0])
        announced = latest_by_stage(announcements)
        changes |= changes_since(plan, day, before=before, announced=announced)
    untold = {stage_of(each) for each in plan.windows if each.status in NEAR} - changes.keys()
    if surface is None and untold:
        day = plan.today - _A_WEEK
        before = morning_remembered(plan, record, memory, day)
        changes = changes_since(plan, day, before=before, near=NEAR) | changes
    return changes


def worth_saying(changes: Mapping[Stage, Change]) -> dict[Stage, Change]:
    """Those that people should hear of."""
    return {stage: each for stage, each in changes.items() if is_move(each) or each.opens}


def morning_remembered(
    plan: SeasonPlan,
    record: Record,
    memory: Memory,
    day: dt.date,
    announcement: Announcement | None = None,
) -> Morning:
    """The book when something was told, else at the end of a day; as now if it is younger."""
    then, forecasts = memory.weather(day, announcement)
    return morning_of(
        plan, day,
        then=then, now=record.as_read, forecasts=forecasts, patch_up_to=record.patch_up_to,
    )  # fmt: skip


def morning_of(
    plan: SeasonPlan,
    day: dt.date,
    *,
    then: DailySeries | None = None,
    now: DailySeries | None = None,
    forecasts: ForecastArchive | None = None,
    patch_up_to: int = SHORT,
) -> Morning:
    """What there was to go by on an earlier morning.

    Parameters
    ----------
    plan : SeasonPlan
    day : datetime.date
    then, now : DailySeries, optional
        The record as it was kept that morning, and as it is kept now, neither judged nor patched.
        Default: the days before as they read today.
    forecasts : ForecastArchive, optional
        Forecasts on record then.
    patch_up_to : int
    """
    record, climate = record_on(plan.series, day), plan.climate
    if then is not None and now is not None:
        daily_series = record_on(then, day)
        if not same_record(daily_series, record_on(now, daily_series.last + dt.timedelta(days=1))):
            record, climate = Record(then, day, patch_up_to).known, None
        else:  # as it reads today, as far as it went then
            record = record.between(record.first, daily_series.last)
    gate, errors = gated(with_forecasts(record, forecasts, day), plan.climate), None
    if plan.climate is not None:
        spread = plan.climate.spread
        errors = gate.errors(errors_on(forecasts, record, day, spread), spread)
    return Morning(gate.series, day, climate, errors)


def changes_since(
    plan: SeasonPlan,
    day: dt.date,
    *,
    before: Morning | None = None,
    announced: Mapping[Stage, Announcement] | None = None,
    near: Sequence[Status] = tuple(Status),
) -> dict[Stage, Change]:
    """What has moved each date still to come since an earlier day, told apart by cause.

    Parameters
    ----------
    plan : SeasonPlan
    day : datetime.date
    before : Morning, optional
        What there was to go by that day. Default: the days before it as they read today.
    announced : mapping, optional
        What people were told that day; stages they were told nothing of are left out.
    near : sequence of Status
        Statuses of the stages asked about.
    """
    now = Morning(plan.series, plan.today, plan.climate, plan.errors)
    then = before or morning_of(plan, day)
    changes: dict[Stage, Change] = {}
    for window in plan.windows:
        question, stage = _question(window, day), stage_of(window)
        if question is None or window.status not in near or stage in changes:
            continue
        if window.late is not None and window.late.reached and window.late.reached < day:
            continue
        if announced is None:
            changes[stage] = changed(then, now, question)
        elif stage in announced:
            announcement = announced[stage]
            change = changed(then, now, question, then=announcement.dates)
            changes[stage] = replace(change, opens=_later(announcement.opens, window.opens))
    return changes


def _question(window: ScoutingWindow, day: dt.date) -> Question | None:
    """What to ask of that day's record; a clock that had not started then is no moved date."""
    clock = window.clock
    if window.counting is None or clock is None or window.early is None or window.late is None:
        return None
    if window.is_answered or (clock.kind == "find" and clock.latest >= day):
        return None
    low, high = (
        (window.early.goal, clock.earliest or clock.latest),
        (window.late.goal, clock.latest),
    )
    return Question(window.counting, low, high)


def _later(then: dt.date | None, now: dt.date | None) -> tuple[dt.date, dt.date] | None:
    return (then, now) if then is not None and now is not None and now > then else None
