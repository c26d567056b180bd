"""Damage to the file as it lies on the disk: an end that is cut, a byte that became another."""

from __future__ import annotations

import datetime as dt
import random

from tests.fuzz.effects import HALVES, date_cut, date_lost, one_a_day, unknown
from tests.fuzz.sheets import HIGH, LOW, NAN, Sheet


def cut_end(sheet: Sheet, chance: random.Random) -> bool:
    """The file ends in the middle of its last line."""
    if sheet.name.endswith("xlsx") or sheet.kind in ("stacked", "long", "single", "morning"):
        return False
    last = sheet.rows[-1] if sheet.rows else None
    if last is None and sheet.kind == "dly":
        return _cut_dly(sheet, chance)
    if last is None and sheet.kind == "by-station":
        return _cut_by_station(sheet, chance)
    if last is None or last.day is None or len(last.cells) != len(sheet.columns):
        return False
    if sheet.kind != "log" and sum(row.day == last.day for row in sheet.rows) > 1:
        return False
    if sheet.quoted or sheet.delimiter == "  " or sheet.below:
        return False
    if sheet.columns[-1].holds in HALVES and not last.cells[-1][-1:].isdigit() and not sheet.mark:
        return False
    cell = len(sheet._cell(last.cells[-1]))
    holds = sheet.columns[-1].holds
    sheet.last_newline, sheet.cut = False, chance.randint(1, max(cell, 1))
    sheet.truth.plain = False
    if holds == "origin":
        sheet.truth.forecast.discard(last.day)
    if holds not in HALVES:
        date_cut(sheet, last, len(sheet.columns) - 1)
        return True
    left = last.cells[-1][: len(last.cells[-1]) - sheet.cut]
    if (
        (not sheet.decimals and not sheet.mark and left)
        or (sheet.mark and left and left[-1:] not in ".,")
        or sheet.kind == "log"
    ):  # whole numbers hide that digits are absent
        sheet.truth.free |= {(last.day, LOW), (last.day, HIGH)}
    else:
        unknown(sheet, last, len(sheet.columns) - 1)
    return True


def _cut_dly(sheet: Sheet, chance: random.Random) -> bool:
    """A month of minima that ends within one of its fields."""
    line = sheet.above[-2]
    at = chance.randint(22, len(line) - 9)
    number, within = divmod(at - 21, 8)
    year, month = int(line[11:15]), int(line[15:17])
    sheet.above = [*sheet.above[:-2], line[:at]]
    sheet.last_newline = False
    for day in list(sheet.truth.days):
        beyond = day.day > number + 1 if within >= 7 else day.day > number
        if (day.year, day.month) == (year, month) and beyond:
            known = sheet.truth.days[day]
            known[LOW] = NAN
            if known[HIGH] != known[HIGH]:
                del sheet.truth.days[day]
    return True


def _cut_by_station(sheet: Sheet, chance: random.Random) -> bool:
    """The last reading loses its source, its flags or digits."""
    if not sheet.last_newline or ",PRCP," in sheet.above[-1]:
        return False
    cells = sheet.above[-1].split(",")
    day = dt.date.fromisoformat(cells[1])
    if day not in sheet.truth.days:
        return False
    sheet.truth.days[day][LOW if cells[2] == "TMIN" else HIGH] = NAN
    sheet.truth.plain = False
    sheet.last_newline, sheet.cut = False, chance.randint(2, 4 + len(cells[3]) + len(cells[5]))
    return True


def flipped_byte(sheet: Sheet, chance: random.Random) -> bool:
    """One byte among the days became another: its line, or two, cannot be known."""
    if not one_a_day(sheet) or sheet.name.endswith("xlsx") or len(sheet.rows) < 12:
        return False
    if sheet.encoding.startswith("utf-16") or sheet.cut or any(r.day is None for r in sheet.rows):
        return False
    at = chance.randrange(1, len(sheet.rows) - 1)
    sheet.damage = at, chance.random(), chance.choice(b'\x00 ,;.-5"x\n\t9\xff:/')
    for row in sheet.rows[max(at - 1, 0) : at + 2]:
        date_lost(sheet, row)
    sheet.truth.stray = min(sheet.truth.stray, 3)
    sheet.truth.plain = False
    return True
