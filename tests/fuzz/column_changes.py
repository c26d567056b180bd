"""Changes to the columns of a table: spare ones, traps, other orders, other dates."""

from __future__ import annotations

import datetime as dt
import random
from collections.abc import Callable

from tests.fuzz.dialects import UNIT_ENDINGS
from tests.fuzz.sheets import Column, Row, Sheet

#: Other measurements beside the temperature: none of them may be read.
HARMLESS = (
    ("Humidity %", 30, 99), ("RH", 30, 99), ("Rain mm", 0, 30), ("Wind km/h", 0, 60),
    ("Pressure hPa", 980, 1040), ("Dew point °C", -5, 15), ("Battery V", 2, 4),
    ("Solar W/m2", 0, 400), ("Snow cm", 0, 40), ("Remarks", 0, 0), ("Observer", 0, 0),
)  # fmt: skip

#: The same with a word for highest or lowest in the name, and sisters of the measured temperature.
TRAPS = (
    ("Max humidity %", 60, 99), ("Humidity max", 60, 99), ("RH min", 20, 60), ("Max wind", 5, 60),
    ("Wind gust max km/h", 5, 60), ("CO2 max ppm", 400, 900), ("Max light lux", 100, 900),
    ("Soil moisture max", 10, 60), ("Min soil moisture %", 10, 60), ("Max dew point °C", 5, 20),
    ("Max pressure", 980, 1040), ("UV max", 0, 11), ("Time of max", 11, 17), ("Max at", 11, 17),
    ("Heat index max °C", 10, 40), ("Wind chill min °C", -20, 10), ("Forecast max °C", 10, 30),
    ("Forecast high", 10, 30), ("Predicted min", 0, 10), ("Normal high", 10, 30),
    ("Average °C", 5, 20), ("Mean temp", 5, 20), ("Average max", 10, 30), ("Record high", 30, 40),
    ("Soil temp max °C", 5, 20), ("Indoor max", 18, 25), ("Greenhouse min °C", 5, 15),
    ("Water temp °C", 5, 20), ("Grass min °C", -5, 10), ("Min", 0, 59), ("Max range", 5, 20),
    ("Indoor temp °C", 18, 25), ("Soil temp", 5, 20), ("Max temp soil", 5, 20),
    ("Tmax normal", 10, 30),
    ("Leaf wetness max", 0, 15), ("PM2.5 max", 0, 80), ("Rain max rate", 0, 20),
)  # fmt: skip
#: Of these, what is a daily mean where a file has no better reading.
_MEANS = ("Average °C", "Mean temp")


def insert(sheet: Sheet, at: int, column: Column, cells: Callable[[Row], str]) -> None:
    sheet.columns.insert(at, column)
    for row in sheet.rows:
        row.cells.insert(at, cells(row))


def _spare(sheet: Sheet, chance: random.Random, kinds: tuple[tuple[str, int, int], ...]) -> bool:
    if not sheet.columns or not sheet.header:
        return False
    taken = {each.name for each in sheet.columns}
    for name, least, most in chance.sample(kinds, chance.choice((1, 1, 2, 3))):
        if sheet.delimiter == " ":
            name = name.replace(" ", "_")
        if name in taken or (name == "Min" and sheet.at("min") is not None):
            continue
        at = chance.choice((len(sheet.columns), chance.randint(0, len(sheet.columns))))
        if sheet.delimiter == "  " and (least, most) == (0, 0):
            continue
        words = "" if sheet.delimiter == " " else ("", "", "fine", "rain at noon")
        insert(
            sheet,
            at,
            Column("spare", name),
            lambda _, a=least, b=most, w=words: (  # type: ignore[misc]
                sheet.number(chance.uniform(a, b)) if b else chance.choice(w or ("ok",))
            ),
        )
    return True


def spare_columns(sheet: Sheet, chance: random.Random) -> bool:
    return _spare(sheet, chance, HARMLESS)


def trap_columns(sheet: Sheet, chance: random.Random) -> bool:
    """Columns whose names hold "max" or "temp" and mean something else."""
    if sheet.kind == "means" or sheet.kind == "single":
        return False
    sheet.truth.plain = False
    kinds = (
        tuple(each for each in TRAPS if each[0] not in _MEANS) if sheet.truth.hopeless else TRAPS
    )
    return _spare(sheet, chance, kinds)


def only_traps(sheet: Sheet, chance: random.Random) -> bool:
    """A file that measures something else altogether."""
    high, low = sheet.at("max"), sheet.at("min")
    if high is None or low is None or not sheet.header or sheet.kind != "daily":
        return False
    one, other = chance.choice(
        (("Max humidity", "Min humidity"), ("Wind max", "Wind min"), ("CO2 max", "CO2 min"),
         ("Forecast max", "Forecast min"), ("Predicted high", "Predicted low"),
         ("Soil moisture max", "Soil moisture min"), ("Max light", "Min light"),
         ("Normal max", "Normal min"), ("Dew point max", "Dew point min"))
    )  # fmt: skip
    ending = chance.choice((*UNIT_ENDINGS["C"], "", " %"))
    sheet.columns[high].name, sheet.columns[low].name = one + ending, other + ending
    if sheet.delimiter == " ":
        for column in sheet.columns:
            column.name = column.name.replace(" ", "_")
    sheet.truth.hopeless = f"only {one}"
    if one.startswith(("Forecast", "Predicted")):
        sheet.truth.forecast = set(sheet.truth.days)
        sheet.truth.doubtful = True
    return True


def column_order(sheet: Sheet, chance: random.Random) -> bool:
    """The same columns in another order."""
    if len(sheet.columns) < 2 or not sheet.header:
        return False
    order = list(range(len(sheet.columns)))
    chance.shuffle(order)
    sheet.columns = [sheet.columns[at] for at in order]
    for row in sheet.rows:
        row.cells = [row.cells[at] for at in order]
    return True


def second_date(sheet: Sheet, chance: random.Random) -> bool:
    """A date of entry or of upload beside the date of the readings."""
    at = sheet.at("date")
    if (
        at is None
        or sheet.dates not in ("iso", "", "dd.mm.yyyy", "mm/dd/yyyy")
        or sheet.kind == "log"
    ):
        return False
    forms = {"dd.mm.yyyy": "%d.%m.%Y", "mm/dd/yyyy": "%m/%d/%Y"}
    form = forms.get(sheet.dates, "%Y-%m-%d")
    name, stamp = chance.choice(
        (("Entry date", ""), ("Date entered", ""), ("Uploaded", ""), ("Created date", ""),
         ("UTC date", ""), ("Timestamp UTC", "T05:30:00Z"), ("Saved at", " 07:12"))
    )  # fmt: skip
    if sheet.delimiter == " ":
        name, stamp = name.replace(" ", "_"), stamp.strip()
    later = chance.choice((1, 1, 1, 2))

    def written(row: Row) -> str:
        if row.day is None:
            return ""
        return (row.day + dt.timedelta(days=later)).strftime(form) + stamp

    if chance.random() < 0.5:
        sheet.columns[at].name = chance.choice(("Observation date", "Date observed", "Local date"))
        if sheet.delimiter == " ":
            sheet.columns[at].name = sheet.columns[at].name.replace(" ", "_")
    insert(sheet, chance.choice((at, at + 1, len(sheet.columns))), Column("spare", name), written)
    sheet.truth.plain = False
    return True


def stamped(sheet: Sheet, chance: random.Random) -> bool:
    """Daily rows with a time: midnight at either end of the day, or the hour of a reading."""
    at = sheet.at("date")
    if at is None or sheet.dates != "iso" or sheet.kind not in ("daily", "means"):
        return False
    style = chance.choice(("24:00", "2400", "23:59", "00:00", "zone", "zone", "00:00:00+02:00"))
    sheet.truth.plain = False
    zone, distance = "Europe/Berlin", 60
    for row in sheet.day_rows():
        assert row.day is not None
        summer = dt.date(row.day.year, 4, 1) <= row.day <= dt.date(row.day.year, 10, 20)
        sure = summer or row.day.month in (11, 12, 1, 2)
        if style == "zone" and (not sure or row.day.year < 1996):
            return False
    if style != "zone":
        gap = "T" if sheet.delimiter == " " else " "
        if style == "2400":
            insert(sheet, at + 1, Column("clock", "Time"), lambda _: "2400")
            return True
        for row in sheet.rows:
            row.cells[at] += gap + style
        return True
    for row in sheet.day_rows():
        assert row.day is not None
        summer = dt.date(row.day.year, 4, 1) <= row.day <= dt.date(row.day.year, 10, 20)
        moment = dt.datetime.combine(row.day, dt.time())
        moment -= dt.timedelta(minutes=distance + 60 * summer)
        row.cells[at] = f"{moment:%Y-%m-%dT%H:%M:%SZ}"
    sheet.truth.told["timezone"] = zone
    return True


def loggers(sheet: Sheet, chance: random.Random) -> bool:
    """A second logger's rows below, told apart by a number only."""
    if sheet.kind != "daily" or not sheet.header or sheet.dates in ("yyyy-dd-mm", "no century"):
        return False
    name = chance.choice(("Serial", "Device", "Probe", "Nr", "Logger no", "Channel"))
    if sheet.delimiter == " ":
        name = name.replace(" ", "_")
    second = []
    for row in sheet.day_rows():
        cells = list(row.cells)
        for holds in ("max", "min"):
            at = sheet.at(holds)
            assert at is not None
            cells[at] = sheet.printed(chance.uniform(5, 6) if holds == "min" else 31.0)[0]
        second.append(Row(cells, row.day))
    insert(sheet, len(sheet.columns), Column("site", name), lambda _: "2048117")
    sheet.rows += [Row([*row.cells, "2048220"], row.day) for row in second]
    sheet.truth.hopeless = "two loggers"
    return True


def origin_words(sheet: Sheet, chance: random.Random) -> bool:
    """Rows that a word calls a forecast."""
    if sheet.kind != "daily" or not sheet.header or len(sheet.rows) < 8:
        return False
    name = chance.choice(("how", "origin", "Type", "Source", "Status", "Kind"))
    insert(sheet, len(sheet.columns), Column("origin", name), lambda _: "measured")
    for row in sheet.day_rows()[-3:]:
        row.cells[-1] = "forecast"
        assert row.day is not None
        sheet.truth.forecast.add(row.day)
    sheet.truth.plain = False
    return True
