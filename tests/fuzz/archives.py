"""Files of weather archives and workbooks, which have a shape of their own."""

from __future__ import annotations

import datetime as dt
import random
from itertools import groupby

from tests.fuzz.climates import weather
from tests.fuzz.dialects import daily
from tests.fuzz.sheets import HIGH, LOW, NAN, Sheet, Truth

_STATION = "XX000000001"


def dly(chance: random.Random) -> Sheet:
    """GHCN-Daily, fixed width: a month of one element a line, tenths of °C."""
    sheet = Sheet("dly", [], [], Truth(), "tenths-C", header=False, name="XX000000001.dly")
    months = groupby(weather(chance, chance.choice((40, 90))), lambda each: each[0].replace(day=1))
    for first, days in months:
        found = {day.day: (low, high) for day, low, high in days}
        lines = {}
        for element, half in (("TMAX", HIGH), ("TMIN", LOW)):
            fields = []
            for number in range(1, 32):
                value, flag = -9999, " "
                if number in found and chance.random() > 0.03:
                    value = round(found[number][half] * 10)
                    flag = chance.choice("DIX") if chance.random() < 0.03 else " "
                if number in found:
                    known = sheet.truth.days.setdefault(first.replace(day=number), [NAN, NAN])
                    known[half] = value / 10 if flag == " " and value != -9999 else NAN
                fields.append(f"{value:5d} {flag}W")
            lines[element] = f"{_STATION}{first:%Y%m}{element}{''.join(fields)}"
        rain = f"{_STATION}{first:%Y%m}PRCP{''.join(f'{n:5d}  W' for n in range(31))}"
        sheet.above += [lines["TMAX"], lines["TMIN"], rain]
    _without_empty_ends(sheet)
    return sheet


def by_station(chance: random.Random) -> Sheet:
    """GHCN-Daily by station: one reading a line, no header."""
    sheet = Sheet("by-station", [], [], Truth(), "tenths-C", header=False, name="XX000000001.csv")
    for day, low, high in weather(chance, chance.choice((12, 31))):
        known = sheet.truth.days.setdefault(day, [NAN, NAN])
        for element, value, half in (("TMAX", high, HIGH), ("TMIN", low, LOW), ("PRCP", 3.0, 2)):
            if chance.random() < 0.04:
                continue
            flag = chance.choice("DIX") if chance.random() < 0.03 else ""
            sheet.above.append(f"{_STATION},{day:%Y%m%d},{element},{round(value * 10)},,{flag},W,")
            if half < 2 and not flag:
                known[half] = round(value * 10) / 10
    _without_empty_ends(sheet)
    return sheet


def _without_empty_ends(sheet: Sheet) -> None:
    """Days at the ends that hold no reading are no part of the truth."""
    for day in [
        day for day, (low, high) in sheet.truth.days.items() if low != low and high != high
    ]:
        del sheet.truth.days[day]


def workbook(chance: random.Random) -> Sheet:
    """A daily table in a workbook: alone, behind other sheets, or a sheet a year."""
    while True:
        sheet = daily(chance)
        if sheet.kind == "daily" and not sheet.mark and len(sheet.rows) < 100:
            break
    sheet.kind, sheet.name = "workbook", "bed3.xlsx"
    sheet.delimiter, sheet.quoted, sheet.encoding = "\t", False, "utf-8"
    if sheet.comma:
        sheet.truth.plain = False
    other = chance.random()
    if other < 0.25:
        stale: list[list[object]] = [["Date", "Max °C", "Min °C"]]
        stale += [[dt.datetime(2025, 5, n), 20.0 + n, 5.0] for n in range(1, 11)]
        state = chance.choice(("hidden", "veryHidden", "visible"))
        sheet.other_sheets.append(("Old", state, stale))
        sheet.truth.plain = False
        if state == "visible":  # both sheets, or the fuller one, or a question
            old = [dt.date(2025, 5, n) for n in range(1, 11)]
            sheet.truth.free |= {(day, half) for day in old for half in (LOW, HIGH)}
    elif other < 0.4:
        sheet.other_sheets.append(("Notes", "visible", [["Garden of Larkhollow"]]))
    elif other < 0.6 and len({row.day.year for row in sheet.rows if row.day}) > 1:
        sheet.sheet_a_year = True
        sheet.truth.plain = False
    return sheet


ARCHIVES = (dly, by_station, workbook)
