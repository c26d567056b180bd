"""The ways in which files write a day, and when the finished table proves the order."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

from tests.fuzz.sheets import Sheet

_EN = "January February March April May June July August September October November December"
_DE = "Januar Februar März April Mai Juni Juli August September Oktober November Dezember"
_FR = "janvier février mars avril mai juin juillet août septembre octobre novembre décembre"
_ES = "enero febrero marzo abril mayo junio julio agosto septiembre octubre noviembre diciembre"


def _named(pattern: str, months: str) -> Callable[[dt.date], str]:
    names = months.split()

    def write(day: dt.date) -> str:
        name = names[day.month - 1]
        weekday = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"][day.weekday()]
        return pattern.format(d=day.day, m=name, mon=name[:3], y=day.year, w=weekday, day=day)

    return write


#: Way of writing a date: function, order where numbers alone do not tell it, plain or not.
DATES: dict[str, tuple[Callable[[dt.date], str], str, bool]] = {
    "iso": (dt.date.isoformat, "", True),
    "year/month/day": ("{:%Y/%m/%d}".format, "", True),
    "year.month.day": ("{:%Y.%m.%d}".format, "", True),
    "year-m-d": ("{0.year}-{0.month}-{0.day}".format, "", True),
    "compact": ("{:%Y%m%d}".format, "", True),
    "iso at 0 h": ("{:%Y-%m-%dT00:00:00}".format, "", True),
    "d Mon yyyy": (_named("{d} {mon} {y}", _EN), "", True),
    "d-Mon-yy": (_named("{d}-{mon}-{day:%y}", _EN), "", True),
    "Month d, yyyy": (_named("{m} {d}, {y}", _EN), "", True),
    "weekday d Mon yyyy": (_named("{w} {d} {mon} {y}", _EN), "", True),
    "German": (_named("{d}. {m} {y}", _DE), "", True),
    "French": (_named("{d} {m} {y}", _FR), "", True),
    "Spanish": (_named("{d} {m} {y}", _ES), "", True),
    "dd.mm.yyyy": ("{:%d.%m.%Y}".format, "day-first", True),
    "d/m/yyyy": ("{0.day}/{0.month}/{0.year}".format, "day-first", True),
    "dd-mm-yyyy": ("{:%d-%m-%Y}".format, "day-first", True),
    "dd.mm.yy": ("{:%d.%m.%y}".format, "day-first", True),
    "mm/dd/yyyy": ("{:%m/%d/%Y}".format, "month-first", True),
    "m/d/yyyy": ("{0.month}/{0.day}/{0.year}".format, "month-first", True),
    "mm/dd/yy": ("{:%m/%d/%y}".format, "month-first", True),
    "yy-mm-dd": ("{:%y-%m-%d}".format, "year-first", False),
    "yyyy-dd-mm": ("{:%Y-%d-%m}".format, "never", False),
    "serial": (lambda day: str((day - dt.date(1899, 12, 30)).days), "", True),
    "no century": (lambda day: f"{day.year % 100:04d}{day:-%m-%d}", "never", False),
}


def settle_dates(sheet: Sheet) -> None:
    """Ask for the order of numeric dates where no row of the finished table proves it."""
    if sheet.dates not in DATES:
        return
    _, order, _ = DATES[sheet.dates]
    days = [row.day for row in sheet.rows if row.day is not None]
    if order == "never":
        if any(day.day != day.month for day in days) or sheet.dates == "no century":
            sheet.truth.hopeless = f"dates written {sheet.dates}"
            sheet.truth.doubtful = True  # right is right too
    elif order == "year-first":
        sheet.truth.unsettled["dates"] = order
        sheet.truth.doubtful = True
    elif order and all(day.day <= 12 for day in days) and any(d.day != d.month for d in days):
        sheet.truth.unsettled["dates"] = order
