"""The ways in which thermometers, spreadsheets and archives write a table of temperatures."""

from __future__ import annotations

import datetime as dt
import random
from collections.abc import Callable

from gddcast.readers.reading import FileUnit
from tests.fuzz.climates import Day, weather
from tests.fuzz.date_forms import DATES
from tests.fuzz.sheets import NAN, Column, Row, Sheet, Truth

#: Language: date, pairs of maximum and minimum, the one temperature of a log, year, month, day.
HEADINGS = (
    ("Date", (("max", "min"), ("Tmax", "Tmin"), ("High", "Low"), ("TMAX", "TMIN"),
              ("Maximum temperature", "Minimum temperature"), ("Temp Max", "Temp Min"),
              ("daily_max", "daily_min"), ("TX", "TN"), ("Highest", "Lowest")),
     "Temp", ("Year", "Month", "Day")),
    ("Datum", (("Höchstwert", "Tiefstwert"), ("Max", "Min"), ("Tmax", "Tmin"),
               ("Höchste Temperatur", "Tiefste Temperatur"), ("Tageshöchst", "Tagestiefst")),
     "Temperatur", ("Jahr", "Monat", "Tag")),
    ("Date", (("Température max", "Température min"), ("Maximale", "Minimale")),
     "Température", ("Année", "Mois", "Jour")),
    ("Fecha", (("Máxima", "Mínima"), ("Temp. máxima", "Temp. mínima")),
     "Temperatura", ("Año", "Mes", "Día")),
    ("Data", (("Massima", "Minima"), ("T max", "T min")), "Temperatura",
     ("Anno", "Mese", "Giorno")),
    ("Datum", (("Hoogste", "Laagste"), ("Max temp", "Min temp")), "Temperatuur",
     ("Jaar", "Maand", "Dag")),
    ("Datum", (("Högsta", "Lägsta"),), "Temperatur", ("År", "Månad", "Dag")),
    ("Dato", (("Højeste", "Laveste"), ("Maksimum", "Minimum")), "Temperatur",
     ("År", "Måned", "Dag")),
)  # fmt: skip

UNIT_ENDINGS: dict[FileUnit, tuple[str, ...]] = {
    "C": (" °C", "_c", " (C)", " [°C]", " (°C)", " deg C", " Celsius", " C", ", °C"),
    "F": (" °F", "_f", " (F)", " [°F]", " (°F)", " deg F", " Fahrenheit", " F", ", °F"),
    "K": (" K", " (K)", " [K]", " kelvin"),
    "tenths-C": (" (tenths of C)", " [0.1 °C]", " 1/10 °C", " tenths"),
}
UNIT_MARKS: dict[FileUnit, tuple[str, ...]] = {
    "C": (" °C", "°C", " C", "C"),
    "F": (" °F", "°F", " F", "F"),
    "K": (" K", "K"),
}
#: Endings a reader may not know: it reads them right, or asks.
ODD_ENDINGS: dict[FileUnit, tuple[str, ...]] = {
    "C": (" Cel", " grad C", " ℃", " degC."),
    "F": (" Fahr", " ℉", " dF"),
    "K": (" Kelvins", " abs"),
    "tenths-C": (" °C x10", " C*10", " deci°C", " °C/10", " dC", " (10ths °C)", " x 10 (C)"),
}
COMMENTS: dict[FileUnit, tuple[str, ...]] = {
    "C": ("# unit: C", "# unit: °C", "# unit: Celsius"),
    "F": ("# unit: F", "# unit: °F", "# unit: fahrenheit"),
    "K": ("# unit: K", "# unit: kelvin"),
    "tenths-C": ("# unit: tenths-C",),
}


def daily(chance: random.Random) -> Sheet:
    """A file of one row a day."""
    sheet = blank("daily", chance)
    _dated(sheet, chance, weather(chance))
    return sheet


def means(chance: random.Random) -> Sheet:
    """A file that has only daily means: minimum and maximum are both that mean."""
    sheet = blank("means", chance)
    _dated(sheet, chance, weather(chance), mean=True)
    return sheet


def single(chance: random.Random) -> Sheet:
    """One temperature a day: neither the highest nor the lowest, never a day."""
    sheet = blank("single", chance)
    _dated(sheet, chance, weather(chance), mean=True)
    last = sheet.columns[-1]
    for word in ("Mean_temp", "Mean temp", "Mean", "Average"):
        last.name = last.name.replace(word, "Temp")
    sheet.truth.hopeless = "one temperature a day"
    return sheet


def stacked(chance: random.Random) -> Sheet:
    """Two or three thermometers in one file, one under the other or in turn."""
    sheet = blank("stacked", chance)
    first = weather(chance, chance.choice((5, 12, 20)))
    names = chance.choice(
        (("Upper bed", "Orchard"), ("North", "South", "Tunnel B"), ("2048117", "2048220"),
         ("1", "2"), ("A1", "A2"))
    )  # fmt: skip
    heading = chance.choice(("Station", "Site", "Sensor", "Logger", "Serial", "ID", "Location"))
    blocks, wanted = [], chance.choice(names)
    for name in names:
        apart = chance.uniform(0.5, 6)
        days = [(day, low + apart, high + 1.4 * apart) for day, low, high in first]
        part = _copy_of_style(sheet)
        _rows(part, days, mean=False)
        blocks.append((name, part))
    sheet.columns = [*blocks[0][1].columns]
    where = chance.randint(0, len(sheet.columns))
    sheet.columns.insert(where, Column("site", heading))
    for name, part in blocks:
        for row in part.rows:
            row.cells.insert(where, name)
        if name == wanted:
            sheet.truth.days = part.truth.days
    parts = [part.rows for _, part in blocks]
    in_turn = chance.random() < 0.5
    sheet.rows = [row for rows in zip(*parts, strict=True) for row in rows] if in_turn else [
        row for rows in parts for row in rows
    ]  # fmt: skip
    sheet.truth.unsettled["site"] = wanted
    sheet.truth.plain = False
    return sheet


def long_rows(chance: random.Random) -> Sheet:
    """The maximum and the minimum of a day in two rows, told apart by a word."""
    sheet = daily(chance)
    date, high, low = sheet.columns[0].holds, sheet.at("max"), sheet.at("min")
    if date != "date" or high is None or low is None or not sheet.header:
        return sheet
    sheet.kind = "long"
    name = sheet.columns[high].name.casefold().replace("max", "temp")
    rows = [
        Row([row.cells[0], word, row.cells[at]], row.day)
        for row in sheet.rows
        for word, at in (("max", high), ("min", low))
    ]
    sheet.columns = [Column("date", sheet.columns[0].name), Column("word", "Type"),
                     Column("value", "Temp " + name[-2:])]  # fmt: skip
    sheet.rows = rows
    sheet.truth.plain = False
    return sheet


def headings(chance: random.Random) -> tuple[str, tuple[str, str], str, tuple[str, str, str]]:
    date, pairs, warm, parts = HEADINGS[0] if chance.random() < 0.4 else chance.choice(HEADINGS)
    return date, chance.choice(pairs), warm, parts  # type: ignore[return-value]


def blank(
    kind: str, chance: random.Random, units: tuple[FileUnit, ...] = ("C", "C", "F", "F", "K",
                                                                     "tenths-C")
) -> Sheet:  # fmt: skip
    """A sheet without rows, its style and scale chosen; its one column names the scale."""
    sheet = Sheet(kind, [], [], Truth())
    sheet.unit = chance.choice(units)
    sheet.decimals = {"F": chance.choice((0, 0, 1)), "C": chance.choice((1, 1, 1, 0, 2)),
                      "K": chance.choice((1, 2)), "tenths-C": 0}[sheet.unit]  # fmt: skip
    sheet.delimiter = chance.choice((",", ",", ",", ",", ";", ";", "\t", "\t", "|", "  ", " "))
    sheet.comma = sheet.delimiter in ";\t|" and chance.random() < 0.4
    if sheet.delimiter == "," and chance.random() < 0.15:
        sheet.quoted, sheet.comma = True, chance.random() < 0.5
    elif sheet.delimiter in ",;" and chance.random() < 0.1:
        sheet.quoted = True
    sheet.encoding = chance.choice(
        ("utf-8",) * 6 + ("utf-8-sig", "cp1252", "cp1252", "utf-16", "utf-16-le")
    )
    sheet.newline = chance.choice(("\n", "\n", "\n", "\r\n", "\r\n", "\r"))
    sheet.last_newline = chance.random() < 0.85
    sheet.flush_right = chance.random() < 0.3
    if sheet.encoding.startswith("utf") and chance.random() < 0.1:
        sheet.minus = "−"
    _says_its_unit(sheet, chance)
    return sheet


def _says_its_unit(sheet: Sheet, chance: random.Random) -> None:
    where = chance.choice(
        ("header",) * 7 + ("cells", "comment", "nowhere", "nowhere", "title", "odd", "row")
    )
    ending = ""
    if where == "cells" and sheet.unit == "tenths-C":
        where = "header"
    if where == "header":
        ending = chance.choice(UNIT_ENDINGS[sheet.unit])
    elif where == "odd":
        ending = chance.choice(ODD_ENDINGS[sheet.unit])
        sheet.truth.unsettled["unit"] = sheet.unit
        sheet.truth.plain, sheet.truth.doubtful = False, True
    elif where == "row":  # below the names
        sheet.unit_row = chance.choice(UNIT_ENDINGS[sheet.unit]).strip(" _,")
        sheet.truth.unsettled["unit"] = sheet.unit
        sheet.truth.plain, sheet.truth.doubtful = False, True
    elif where == "cells":
        sheet.mark = chance.choice(UNIT_MARKS[sheet.unit])
    elif where == "comment":
        sheet.above.append(chance.choice(COMMENTS[sheet.unit]))
    else:
        if where == "title":
            sheet.above.append(f"Larkhollow garden - all temperatures in {sheet.unit}")
            sheet.truth.plain = False
            sheet.truth.doubtful = True
        sheet.truth.unsettled["unit"] = sheet.unit
    sheet.columns = [Column("", ending)]


def _copy_of_style(sheet: Sheet) -> Sheet:
    copy = Sheet(sheet.kind, [Column("", sheet.columns[0].name)], [], Truth(), sheet.unit)
    copy.decimals, copy.comma, copy.mark, copy.delimiter = (
        sheet.decimals, sheet.comma, sheet.mark, sheet.delimiter
    )  # fmt: skip
    return copy


def _rows(sheet: Sheet, days: list[Day], *, mean: bool) -> None:
    """ISO dates in front, for files whose point is something else."""
    ending = sheet.columns[0].name
    sheet.columns = [Column("date", "Date"), Column("max", "Max" + ending),
                     Column("min", "Min" + ending)]  # fmt: skip
    for day, low, high in days:
        (high_text, high), (low_text, low) = sheet.printed(high), sheet.printed(low)
        sheet.rows.append(Row([day.isoformat(), high_text, low_text], day))
        sheet.truth.days[day] = [low, high]
    spaceless(sheet)


def _dated(sheet: Sheet, chance: random.Random, days: list[Day], *, mean: bool = False) -> None:
    """Fill a sheet: dates in one way, maxima and minima in either order."""
    ending = sheet.columns[0].name
    date, (high_name, low_name), _, parts = headings(chance)
    sheet.columns = [Column("max", high_name + ending), Column("min", low_name + ending)]
    if chance.random() < 0.3:
        sheet.columns.reverse()
    if mean:
        sheet.columns = [Column("mean", chance.choice(("Mean", "Average", "Mean temp")) + ending)]
    forms = [
        form for form in DATES if sheet.delimiter.strip() or " " not in DATES[form][0](days[0][0])
    ]
    sheet.dates = chance.choice((*forms, "parts", "day number"))
    dates, write = _date_columns(sheet, chance, date, parts, days[0][0])
    for day, low, high in days:
        (high_text, high), (low_text, low) = sheet.printed(high), sheet.printed(low)
        texts = {"max": high_text, "min": low_text}
        if mean:
            texts["mean"], low = sheet.printed((low + high) / 2)
            high = low
        sheet.rows.append(Row([*write(day), *(texts[c.holds] for c in sheet.columns)], day))
        sheet.truth.days[day] = [low, high]
    sheet.columns = dates + sheet.columns
    if sheet.unit_row:
        units = [sheet.unit_row if c.holds in ("max", "min", "mean") else "" for c in sheet.columns]
        if sheet.delimiter == " ":
            units = [unit.replace(" ", "") or "-" for unit in units]
        sheet.rows.insert(0, Row(units))
    if chance.random() < 0.05 and not mean and sheet.dates in ("iso", "compact", "dd.mm.yyyy"):
        _read_in_the_morning(sheet)
    elif chance.random() < 0.05:
        sheet.truth.told["today"] = dt.date(2026, 12, 31)
    spaceless(sheet)


def _read_in_the_morning(sheet: Sheet) -> None:
    """The person says at what hour the thermometer is read: a maximum is the day before's."""
    sheet.truth.told["reading_hour"] = 8
    written = sheet.truth.days
    sheet.truth.days = {}
    for day, (low, high) in written.items():
        sheet.truth.days.setdefault(day, [NAN, NAN])[0] = low
        sheet.truth.days.setdefault(day - dt.timedelta(days=1), [NAN, NAN])[1] = high
    sheet.kind = "morning"


def _date_columns(
    sheet: Sheet, chance: random.Random, name: str, parts: tuple[str, str, str], since: dt.date
) -> tuple[list[Column], Callable[[dt.date], list[str]]]:
    if sheet.dates == "parts":
        order = chance.choice(((0, 1, 2), (0, 1, 2), (2, 1, 0), (1, 2, 0)))
        names = [parts[at] for at in order]
        if chance.random() < 0.3:
            names = [("Year", chance.choice(("Mth", "M", "Miesiac", "Kuu")), "Day")[at]
                     for at in order]  # fmt: skip
            sheet.truth.plain = False
        holds = [("year", "month", "day")[at] for at in order]
        columns = [Column(hold, text) for hold, text in zip(holds, names, strict=True)]
        return columns, lambda day: [str((day.year, day.month, day.day)[at]) for at in order]
    if sheet.dates == "day number":
        names = ["Year", chance.choice(("DOY", "Day of year", "yday", "Julian day"))]
        columns = [Column("year", names[0]), Column("day number", names[1])]
        return columns, lambda day: [str(day.year), str(day.timetuple().tm_yday)]
    write, _, plain = DATES[sheet.dates]
    sheet.truth.plain &= plain and not (sheet.dates == "serial" and since.year < 1983)
    return [Column("date", name)], lambda day: [write(day)]


def spaceless(sheet: Sheet) -> None:
    """No blanks inside the cells of a table parted by them."""
    if sheet.delimiter == " ":
        for column in sheet.columns:
            column.name = column.name.replace(" ", "_")
        sheet.mark = sheet.mark.replace(" ", "")
        for row in sheet.rows:
            row.cells = [cell.replace(" ", "T" if ":" in cell else "") for cell in row.cells]
    if sheet.delimiter == "  ":
        for row in sheet.rows:
            row.cells = [cell.replace("  ", " ") for cell in row.cells]


#: Tables of days; logs and archives have rooms of their own.
TABLES: tuple[Callable[[random.Random], Sheet], ...] = (
    daily, daily, daily, daily, daily, daily, daily, daily, daily, daily, daily, daily, daily,
    means, single, stacked, long_rows,
)  # fmt: skip
