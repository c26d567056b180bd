"""Reminders as an iCalendar file (RFC 5545): days to start looking, to look again, to sow, to feed.

Dates may move, reminders must not nag or double: a stage keeps its UID for a season, and is left as
it was told until its day or its span moves by `NEWS_DAYS` or its state changes. Only then does its
SEQUENCE rise. What is no longer due is cancelled, not left behind.
"""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Literal

from gddcast import words
from gddcast.errors import shell
from gddcast.scouting.windows import ScoutingWindow
from gddcast.text import looks, sentences, weather_so_far
from gddcast.text.dates.nothing_due import NEWS_DAYS
from gddcast.text.hidden_characters import visible
from gddcast.today.hindsight import stage_of
from gddcast.today.plan import SeasonPlan
from gddcast.units import Unit
from gddcast.words import Status, any_day, day, reached

if TYPE_CHECKING:
    from icalendar import Calendar, Component

Kind = Literal["VEVENT", "VTODO"]
Category = Literal["look", "again", "sow", "side-dress", "last-sowing"]
#: What a calendar may hold, as its CATEGORIES say it.
CATEGORIES: dict[Category, str] = {
    "look": "SCOUTING", "again": "LOOK AGAIN", "sow": "SOWING", "side-dress": "SIDE-DRESSING",
    "last-sowing": "LAST SOWING",
}  # fmt: skip

PRODID = "-//gddcast//scouting reminders//EN"
#: Names of reminders are made in this space of our own, so they are the same on every machine.
_OURS = uuid.uuid5(uuid.NAMESPACE_DNS, "gddcast.invalid")
_ONE_DAY = dt.timedelta(days=1)
#: From the midnight that begins the day back to four in the afternoon.
_AFTERNOON_BEFORE = dt.timedelta(hours=-8)
#: Statuses of a reminder that still asks to look.
_OPEN = ("TENTATIVE", "NEEDS-ACTION")
_NO_DATE = (Status.CANT_SAY, Status.NOT_THIS_SEASON, Status.UNDER_WAY)
#: As short as a calendar needs it; `words.CAUTIONS` stands where there is more room.
_CAUTION = (
    "This plans looking, not spraying; the label is the law; ask your local extension service."
)
_SPAN = "X-GDDCAST-SPAN"
_WAS = "X-GDDCAST-MOVED-FROM"


@dataclass(frozen=True, slots=True)
class Reminder:
    """One stage in a calendar; ``last`` is the last day of it, itself included."""

    uid: str
    kind: Kind
    first: dt.date
    last: dt.date
    title: str
    about: str
    status: str
    stage: tuple[str, str, str]  # organism, event, and what tells one of its clocks from another
    earliest: dt.date | None = None
    latest: dt.date | None = None
    sequence: int = 0
    was: dt.date | None = None
    over: bool = False  # stays in a calendar that has it, comes into none
    category: Category = "look"
    every: int | None = None  # comes again after so many days
    until: dt.date | None = None  # and no later than then

    def __post_init__(self) -> None:
        object.__setattr__(self, "title", _seen(self.title))
        object.__setattr__(self, "about", _seen(self.about))

    @property
    def visible(self) -> tuple[object, ...]:
        """What a person would notice to have moved."""
        return self.first, self.last, self.title, self.status, self.every, self.until


@dataclass(frozen=True, slots=True)
class Reminders:
    """What goes into a file, and what it changes there."""

    items: tuple[Reminder, ...]
    cancelled: tuple[Reminder, ...] = field(default=())
    moves: int = 0


@dataclass(frozen=True, slots=True)
class AnnouncedDays:
    """The days a reminder was last told with: to start looking, and the span."""

    first: dt.date
    earliest: dt.date | None
    latest: dt.date | None

    def is_news(self, other: AnnouncedDays) -> bool:
        """Whether other days are worth moving a reminder for."""
        mine = (self.first, self.earliest, self.latest)
        for here, there in zip(mine, (other.first, other.earliest, other.latest), strict=True):
            if here is None or there is None:
                if here is not there:
                    return True
            elif abs((here - there).days) >= NEWS_DAYS:
                return True
        return False


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


def updated(
    coming: tuple[Reminder, ...],
    in_file: Mapping[str, Reminder],
    plan: SeasonPlan,
    least: Mapping[str, int] | None = None,
) -> Reminders:
    """Reminders numbered so that a calendar takes them for the same ones, moved or not.

    Parameters
    ----------
    coming : tuple of Reminder
    in_file : mapping of str to Reminder
        What the file holds, by UID.
    plan : SeasonPlan
        Reminders of earlier seasons are let go.
    least : mapping of str to int, optional
        Revisions the book knows of, by UID; a SEQUENCE is never below.
    """
    least = least or {}
    items, moved = [], 0
    for each in coming:
        before = in_file.get(each.uid)
        if each.over:
            items += [] if before is None else [before]
            continue
        if before is not None and before.visible == each.visible:
            least_now = max(before.sequence, least.get(each.uid, 0))
            items.append(replace(before, sequence=least_now))
            continue
        sequence, was = (0, None) if before is None else (before.sequence, before.was)
        if before is not None:
            sequence, moved = sequence + 1, moved + 1
            was = before.first if before.first != each.first else was
        each = replace(each, sequence=max(sequence, least.get(each.uid, 0)), was=was)
        items.append(each)
    gone = [
        before if before.status == "CANCELLED" else
        replace(before, status="CANCELLED", sequence=before.sequence + 1)
        for uid, before in in_file.items()
        if uid not in {each.uid for each in coming} and before.first >= plan.season.first
    ]  # fmt: skip
    return Reminders(tuple(items), tuple(gone), moved)


def calendar_text(answer: Reminders, name: str, moment: dt.datetime) -> str:
    """The whole file, with the line ends the standard asks for.

    Parameters
    ----------
    answer : Reminders
    name : str
        What the calendar is called.
    moment : datetime.datetime
        Moment of writing, with its zone: DTSTAMP.
    """
    from icalendar import Calendar, vText

    calendar = Calendar()
    for key, value in (
        ("PRODID", PRODID), ("VERSION", "2.0"), ("CALSCALE", "GREGORIAN"), ("METHOD", "PUBLISH"),
        # Said to be text, for the library knows neither name and would not escape them.
        ("NAME", vText(calendar_name(name))), ("X-WR-CALNAME", vText(calendar_name(name))),
    ):  # fmt: skip
        calendar.add(key, value)
    # How often a program that subscribes to the file should read it again (RFC 7986, 5.7).
    calendar.add("REFRESH-INTERVAL", _ONE_DAY, parameters={"VALUE": "DURATION"})
    for each in (*answer.items, *answer.cancelled):
        calendar.add_component(_component(each, moment))
    text: str = calendar.to_ical(sorted=False).decode("utf-8")
    return text


def calendar_name(place: str) -> str:
    """What the calendar of a place is called."""
    return f"{_seen(place)}: scouting"


def _seen(text: str) -> str:
    """A text as a calendar takes it: no control character but the end of a line (RFC 5545, 3.1)."""
    return visible(text.replace("\r\n", "\n"))


def reminders_in(text: str, place: str) -> dict[str, Reminder] | None:
    """Reminders of a file of ours, by UID; None where it is no calendar of ours of that place."""
    from icalendar import Calendar, vText

    try:
        calendar: Calendar = Calendar.from_ical(text)
    except (ValueError, IndexError):
        return None
    name = calendar_name(place)
    # Whether the library knows that NAME is text, and takes its backslashes off, is its own matter.
    names = (name, vText(name).to_ical().decode("utf-8"))
    if calendar.get("PRODID") != PRODID or calendar.get("NAME") not in names:
        return None
    return {each.uid: each for each in _read(calendar)}


def announced_days(in_file: Mapping[str, Reminder]) -> dict[str, AnnouncedDays]:
    """The days told by the reminders of a file, by UID."""
    return {
        each.uid: AnnouncedDays(each.first, each.earliest, each.latest)
        for each in in_file.values()
        if each.status in _OPEN
    }


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


def uid_of(plan: SeasonPlan, stage: tuple[str, str, str], kind: Kind) -> str:
    """The lasting name of one stage at one place in one season."""
    parts = (plan.place.name, plan.season.name, *stage, kind)
    return f"{uuid.uuid5(_OURS, chr(31).join(parts))}@gddcast.invalid"


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
        (
            f"{weather} Why:  {why}",
            f"Dates move: write the file again. {_CAUTION}",
        ),
    )
    return "\n".join(" ".join(part for part in line if part) for line in lines)


def _component(reminder: Reminder, moment: dt.datetime) -> Component:
    from icalendar import Alarm, Event, Todo

    item = Event() if reminder.kind == "VEVENT" else Todo()
    item.add("UID", reminder.uid)
    item.add("DTSTAMP", moment.astimezone(dt.UTC))
    item.add("SEQUENCE", reminder.sequence)
    if reminder.kind == "VEVENT":
        item.add("DTSTART", reminder.first)
        item.add("DTEND", reminder.last + _ONE_DAY)  # the end is the first day that is not in it
        item.add("TRANSP", "TRANSPARENT")
    else:
        item.add("DUE", reminder.first)
    about = reminder.about
    if reminder.earliest or reminder.latest:
        item.add(_SPAN, "/".join(day.isoformat() if day else "" for day in
                                 (reminder.earliest, reminder.latest)))  # fmt: skip
    if reminder.was is not None:
        item.add(_WAS, reminder.was.isoformat())
        what = "The day to start looking" if reminder.category == "look" else "The day"
        moved = f"{what} was {day(reminder.was)} before. "
        about = about if reminder.status == "CANCELLED" or moved in about else moved + about
    item.add("SUMMARY", reminder.title)
    item.add("DESCRIPTION", about)
    item.add("STATUS", reminder.status)
    item.add("CATEGORIES", [CATEGORIES[reminder.category]])
    if reminder.every is not None and reminder.kind == "VEVENT":
        rule = {"FREQ": "DAILY", "INTERVAL": reminder.every}
        item.add("RRULE", rule | ({"UNTIL": reminder.until} if reminder.until else {}))
    if (
        reminder.status in _OPEN and reminder.category != "again"
    ):  # every few days would be a nuisance
        alarm = Alarm()
        alarm.add("ACTION", "DISPLAY")
        related = {"RELATED": "END"} if reminder.kind == "VTODO" else {}
        alarm.add("TRIGGER", _AFTERNOON_BEFORE, parameters=related)
        alarm.add("DESCRIPTION", f"Tomorrow: {reminder.title[:1].lower()}{reminder.title[1:]}")
        item.add_component(alarm)
    return item


def _read(calendar: Calendar) -> Iterator[Reminder]:
    for item in (*calendar.walk("VEVENT"), *calendar.walk("VTODO")):
        kind: Kind = "VEVENT" if item.name == "VEVENT" else "VTODO"
        first = item.decoded("DTSTART" if kind == "VEVENT" else "DUE")
        last = item.decoded("DTEND") - _ONE_DAY if kind == "VEVENT" else first
        was = item.get(_WAS)
        earliest, latest = _span_in(str(item.get(_SPAN, "/")))
        every, until = _again_in(item)
        yield Reminder(
            str(item["UID"]), kind, first, last, str(item["SUMMARY"]),
            str(item.get("DESCRIPTION", "")), str(item.get("STATUS", "")), ("", "", ""),
            earliest, latest, sequence=int(item.get("SEQUENCE", 0)),
            was=dt.date.fromisoformat(str(was)) if was else None,
            category=_category_in(item), every=every, until=until,
        )  # fmt: skip


def _again_in(item: Component) -> tuple[int | None, dt.date | None]:
    """After how many days it comes again, and until when."""
    rule = item.get("RRULE")
    if rule is None:
        return None, None
    (every,), (until,) = rule.get("INTERVAL", [None]), rule.get("UNTIL", [None])
    return every, until


def _category_in(item: Component) -> Category:
    """What it reminds of; an older file knows of looks alone."""
    named = item.get("CATEGORIES")
    said = named.to_ical().decode("utf-8") if named is not None else ""
    return next((each for each, name in CATEGORIES.items() if name == said), "look")


def _span_in(text: str) -> tuple[dt.date | None, dt.date | None]:
    """Both ends of a span as it was written; None where one was not, or is no day."""
    ends: list[dt.date | None] = []
    for part in (*text.split("/"), "")[:2]:
        try:
            ends.append(dt.date.fromisoformat(part))
        except ValueError:
            ends.append(None)
    return ends[0], ends[1]
