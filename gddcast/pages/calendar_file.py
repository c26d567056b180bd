"""Reminders as an iCalendar file (RFC 5545), written and read back."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import TYPE_CHECKING

from gddcast.pages.calendar_reminders import (
    CATEGORIES,
    OPEN,
    Category,
    Kind,
    Reminder,
    Reminders,
    as_calendar_text,
)
from gddcast.words import day

if TYPE_CHECKING:
    from icalendar import Calendar, Component

PRODID = "-//gddcast//scouting reminders//EN"
_ONE_DAY = dt.timedelta(days=1)
#: From the midnight that begins the day back to four in the afternoon.
_AFTERNOON_BEFORE = dt.timedelta(hours=-8)
_SPAN = "X-GDDCAST-SPAN"
_WAS = "X-GDDCAST-MOVED-FROM"


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
    return f"{as_calendar_text(place)}: scouting"


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
    # Of looks every few days an alarm would be a nuisance.
    if reminder.status in OPEN and reminder.category != "again":
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
