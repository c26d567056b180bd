"""Reminders of stages: to start looking, and to look again."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import replace

from gddcast import words
from gddcast.errors import shell
from gddcast.pages.calendar_reminders import (
    AnnouncedDays,
    Kind,
    Reminder,
    uid_of,
)
from gddcast.scouting.windows import ScoutingWindow
from gddcast.text import looks, sentences, weather_so_far
from gddcast.today.beside_dates import stage_of
from gddcast.today.plan import SeasonPlan
from gddcast.units import Unit
from gddcast.words import Status, any_day, day, reached

_NO_DATE = (Status.CANT_SAY, Status.NOT_THIS_SEASON, Status.UNDER_WAY)
#: As short as a calendar needs it; `words.CAUTIONS` stands where there is more room.
_CAUTION = (
    "This plans looking, not spraying; the label is the law; ask your local extension service."
)


def reminders(
    plan: SeasonPlan,
    show: Unit,
    *,
    kind: Kind = "VEVENT",
    announced: Mapping[str, AnnouncedDays] | None = None,
    again: bool = False,
) -> tuple[Reminder, ...]:
    """One reminder for every stage that has a day to start looking, by day.

    Parameters
    ----------
    plan : SeasonPlan
    show : {"F", "C"}
    kind : {"VEVENT", "VTODO"}
    announced : mapping of str to AnnouncedDays, optional
        Days last told, by UID: kept where the new ones are no news.
    again : bool, default: False
        Whether days to look again come too.
    """
    announced = announced or {}
    found: dict[str, Reminder] = {}
    for window in plan.windows:
        uid = uid_of(plan, stage_of(window), kind)
        reminder = _reminder(window, plan, show, kind, announced.get(uid))
        if reminder is not None:
            found.setdefault(reminder.uid, reminder)
            later = look_again(window, reminder, plan) if again else None
            if later is not None:
                found.setdefault(later.uid, later)
    return tuple(sorted(found.values(), key=lambda each: (each.first, each.uid)))


def _reminder(
    window: ScoutingWindow,
    plan: SeasonPlan,
    show: Unit,
    kind: Kind,
    announced: AnnouncedDays | None,
) -> Reminder | None:
    bracket, title = window.bracket, sentences.title(window)
    names = stage_of(window)
    blank = Reminder(
        uid_of(plan, names, kind), kind, plan.today, plan.today, title,
        _about(window, plan, show), "TENTATIVE" if kind == "VEVENT" else "NEEDS-ACTION", names,
    )  # fmt: skip
    if bracket is not None:
        lasts = window.event.lasts
        more = dt.timedelta(days=int(lasts.days[1]) - 1) if lasts and kind == "VEVENT" else None
        return replace(
            blank, first=bracket.found_on, last=bracket.found_on + (more or dt.timedelta(0)),
            title=f"{'Under way' if more else 'Seen'}: {title}",
            status="CONFIRMED" if kind == "VEVENT" else "COMPLETED",
            earliest=bracket.earliest, latest=bracket.found_on,
        )  # fmt: skip
    if window.opens is None or window.status in _NO_DATE:
        return None
    if window.closed_on is not None and window.opens > plan.today:
        return None  # it would remind of what nobody wants to look for
    days = AnnouncedDays(
        window.opens,
        window.first_possible,
        window.reached or window.slowest,
    )  # fmt: skip
    if announced is not None and not announced.is_news(days):
        # What has been reached is told as it is: a day foretold near it is no day it was.
        early = window.early and window.early.reached
        days = AnnouncedDays(
            announced.first, early or announced.earliest, window.reached or announced.latest
        )
    return replace(
        blank, first=days.first, last=days.first,
        title=f"Start looking: {title} ({_when(window, days)})",
        earliest=days.earliest, latest=days.latest,
        over=window.status is Status.CLOSED,
    )  # fmt: skip


def look_again(window: ScoutingWindow, first: Reminder, plan: SeasonPlan) -> Reminder | None:
    """The looks that follow the first one or the last clean one, as often as is told.

    None where the stage was found, is over, or says neither how often nor until when.
    """
    every, until = window.every_days, window.closes or window.slowest
    if every is None or until is None or window.is_answered or first.over:
        return None
    looked = max(first.first, window.clean_on or first.first)
    day_again = looked + dt.timedelta(days=every)
    if day_again > until:
        return None
    names = (window.card.key, f"{window.event.key} again", stage_of(window)[2])
    about = f"{looks.look(window, dt.date.min)}\n{_CAUTION}"
    title = f"Look again: {sentences.title(window)} (every {words.count(every, 'day')})"
    if every == 1:
        title = f"Look again: {sentences.title(window)} (every day)"
    return Reminder(
        uid_of(plan, names, first.kind), first.kind, day_again, day_again, title, about,
        first.status, names, category="again",
        # A task without a start may not repeat (RFC 5545, 3.8.5.3): it is the next look alone.
        every=every if first.kind == "VEVENT" else None,
        until=until if first.kind == "VEVENT" else None,
    )  # fmt: skip


def _when(window: ScoutingWindow, days: AnnouncedDays) -> str:
    """The span in few words: a bar in a calendar is taken for a length of time, words are not."""
    first, last = days.earliest, days.latest
    if window.goes_by_finds:
        return "by your finds; the span is below"
    if window.reached is not None and first is not None and last is not None:
        return f"heat sum {reached(first, last)}"
    total = len(window.late.dots) if window.late else 0
    by_sum = window.by_days is None
    few = "; too few years to call" if by_sum and total < sentences.FEW_YEARS else ""
    if first is None:
        return f"by {day(last)}" if last is not None and not by_sum else "no date yet"
    some = ", in some years not at all" if last is None else ""
    return f"may begin {any_day(first, last)}{some}{few}"


def _about(window: ScoutingWindow, plan: SeasonPlan, show: Unit) -> str:
    """Three lines: when, where and what to look for, and where the rest stands."""
    may = "It is when this may START, not how long it stays." if window.bracket is None else ""
    what = window.look.looks_like
    why = shell("gddcast", "why", window.card.key, window.event.key)
    weather = weather_so_far.behind(plan) or f"Weather through {day(plan.through, year=True)}."
    lines = (
        (sentences.when(window, show), may),
        (looks.look(window, dt.date.min), f"Look for: {what}." if what else ""),
        (f"{weather} Dates move: write the file again. {_CAUTION}", f"Why:  {why}"),
    )
    return "\n".join(" ".join(part for part in line if part) for line in lines)
