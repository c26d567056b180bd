"""Logs: readings through the day, by clocks that say their zone, change, or keep still."""

from __future__ import annotations

import datetime as dt
import random
from collections.abc import Callable
from zoneinfo import ZoneInfo

from tests.fuzz.climates import readings_of, weather
from tests.fuzz.dialects import blank, headings
from tests.fuzz.dialects import spaceless as without_blanks
from tests.fuzz.sheets import Column, Row, Sheet

#: Zones without and with summer time, and their standard distance from UTC. [min]
ZONES = (("America/Chicago", -360), ("Europe/Berlin", 60), ("Pacific/Auckland", 720),
         ("Asia/Kolkata", 330), ("America/Phoenix", -420))  # fmt: skip


def log(chance: random.Random) -> Sheet:
    """Readings of a logger, whose days are made by the reader."""
    sheet = blank("log", chance, units=("C", "C", "F"))
    if sheet.unit_row:
        sheet.truth.plain, sheet.unit_row = False, ""
    sheet.decimals = chance.choice((1, 1, 2))
    step = chance.choice((60, 60, 60, 30, 20))
    clock = chance.choice(
        ("local", "local", "local", "24:00", "utc", "offset", "epoch", "told utc", "clock", "clock")
    )
    zone, distance = chance.choice(ZONES)
    days = weather(chance, chance.randint(3, 7), since=2002)
    begin = chance.choice((0, 0, 0, 9 * 60))
    moments: list[tuple[dt.datetime, str, float]] = []
    for each in days:
        for minute, value in readings_of(each, step, chance):
            moment = dt.datetime.combine(each[0], dt.time()) + dt.timedelta(minutes=minute)
            moments.append((moment, *sheet.printed(value)))
    moments = moments[begin // step :]
    whole = {day for day, _, _ in days[1 if begin else 0 :]}
    for moment, _, value in moments:
        if moment.date() in whole:
            known = sheet.truth.days.setdefault(moment.date(), [value, value])
            known[:] = [min(known[0], value), max(known[1], value)]
    if clock == "clock":
        zone = chance.choice(("America/Chicago", "Europe/Berlin"))
        distance = dict(ZONES)[zone]
        moments = _across_a_change(sheet, zone, distance, step, chance)
        sheet.truth.told = {"timezone": zone, "stamps": "clock"}
    write = _stamp_writer(clock, distance, sheet.delimiter == " ", chance)
    parted = clock == "local" and chance.random() < 0.4
    minutes = parted and chance.random() < 0.3
    _, _, warm, _ = headings(chance)
    ending = sheet.columns[0].name  # the ending chosen by _blank
    sheet.columns = [Column("date", chance.choice(("Date Time", "Timestamp", "time", "Datetime")))]
    if parted:
        sheet.columns = [Column("date", "Date"), Column("clock", chance.choice(("Time", "Hour")))]
    if minutes:  # of the hour, under a name that is the minimum's elsewhere
        sheet.columns[1:] = [
            Column("clock", "Hour"),
            Column("clock", chance.choice(("Min", "MIN"))),
        ]
        sheet.truth.plain = False
    extremes = chance.random() < 0.2
    holds = ("temp max", "temp min") if extremes else ("temp",)
    sheet.columns += [Column("temp", warm + each.removeprefix("temp") + ending) for each in holds]
    for moment, text, _ in moments:
        stamp = [f"{moment:%Y-%m-%d}", f"{moment:%H:%M}"] if parted else [write(moment)]
        if minutes:
            stamp[1:] = [str(moment.hour), str(moment.minute)]
        sheet.rows.append(Row([*stamp, *[text] * len(holds)], moment.date()))
    if clock in ("utc", "epoch"):
        sheet.truth.unsettled["timezone"] = zone
    elif clock == "told utc":
        sheet.truth.told = {"timezone": zone, "stamps": "utc"}
    elif clock == "local" and chance.random() < 0.3:
        sheet.truth.told = {"timezone": zone, "stamps": "standard"}
    without_blanks(sheet)
    return sheet


def _across_a_change(
    sheet: Sheet, zone: str, distance: int, step: int, chance: random.Random
) -> list[tuple[dt.datetime, str, float]]:
    """Readings by a clock that is put forward or back among them; their days in standard time."""
    year = chance.randint(2008, 2026)
    month, day = chance.choice(((3, 6), (3, 23), (10, 20), (7, 1), (10, 29)))
    local = ZoneInfo(zone)
    moments = []
    sheet.truth.days = {}
    first = dt.date(year, month, day)
    for number in range(12):
        each = first + dt.timedelta(days=number)
        for minute, value in readings_of((each, 5 + number % 3, 15 + number % 5), step, chance):
            text, known = sheet.printed(value)
            standard = dt.datetime.combine(each, dt.time(), dt.UTC) + dt.timedelta(minutes=minute)
            clock = (standard - dt.timedelta(minutes=distance)).astimezone(local)
            moments.append((clock.replace(tzinfo=None), text, known))
            day_known = sheet.truth.days.setdefault(each, [known, known])
            day_known[:] = [min(day_known[0], known), max(day_known[1], known)]
    return moments


def _stamp_writer(
    clock: str, distance: int, spaceless: bool, chance: random.Random
) -> Callable[[dt.datetime], str]:
    shift = dt.timedelta(minutes=distance)
    if clock == "utc":
        return lambda moment: f"{moment - shift:%Y-%m-%dT%H:%M:%SZ}"
    if clock == "epoch":
        since = dt.datetime(1970, 1, 1)
        return lambda moment: str(int((moment - shift - since).total_seconds()))
    if clock == "told utc":
        gap = "T" if spaceless else " "
        return lambda moment: f"{moment - shift:%Y-%m-%d}{gap}{moment - shift:%H:%M}"
    if clock == "offset":
        sign, size = ("-" if distance < 0 else "+"), abs(distance)
        zone = f"{sign}{size // 60:02d}:{size % 60:02d}"
        return lambda moment: f"{moment:%Y-%m-%dT%H:%M:%S}{zone}"
    if clock == "24:00":
        gap = "T" if spaceless else " "

        def at_the_end(moment: dt.datetime) -> str:
            midnight = moment.time() == dt.time()
            day = moment - dt.timedelta(days=midnight)
            return f"{day:%Y-%m-%d}{gap}{'24:00' if midnight else f'{moment:%H:%M}'}"

        return at_the_end
    forms = ("%Y-%m-%d %H:%M", "%Y-%m-%dT%H:%M", "%Y-%m-%d %I:%M %p", "%Y%m%d %H:%M",
             "%d %b %Y %H:%M", "%Y/%m/%d %H:%M:%S")  # fmt: skip
    form = "%Y-%m-%dT%H:%M" if spaceless else chance.choice(forms)
    return lambda moment: moment.strftime(form)
