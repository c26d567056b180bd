"""Changes to a sheet whose effect on its truth is known.

A mutation returns False where it does not apply. They act in the order of `MUTATIONS`: columns
first, then rows and cells, then the bytes of the end.
"""

from __future__ import annotations

import datetime as dt
import random
from collections.abc import Callable

from tests.fuzz.dialects import UNIT_ENDINGS
from tests.fuzz.sheets import HIGH, LOW, NAN, Column, Row, Sheet, in_celsius, some

Mutation = Callable[[Sheet, random.Random], bool]

HALVES = {"max": (HIGH,), "min": (LOW,), "mean": (LOW, HIGH), "temp": (LOW, HIGH)}

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
    ("Indoor temp °C", 18, 25), ("Soil temp", 5, 20), ("Max temp soil", 5, 20), ("Tmax normal", 10, 30),
    ("Leaf wetness max", 0, 15), ("PM2.5 max", 0, 80), ("Rain max rate", 0, 20),
)  # fmt: skip


def _insert(sheet: Sheet, at: int, column: Column, cells: Callable[[Row], str]) -> None:
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
        _insert(
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
    return _spare(sheet, chance, TRAPS)


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
    _insert(sheet, chance.choice((at, at + 1, len(sheet.columns))), Column("spare", name), written)
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
            _insert(sheet, at + 1, Column("clock", "Time"), lambda _: "2400")
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
    _insert(sheet, len(sheet.columns), Column("site", name), lambda _: "2048117")
    sheet.rows += [Row([*row.cells, "2048220"], row.day) for row in second]
    sheet.truth.hopeless = "two loggers"
    return True


def origin_words(sheet: Sheet, chance: random.Random) -> bool:
    """Rows that a word calls a forecast."""
    if sheet.kind != "daily" or not sheet.header or len(sheet.rows) < 8:
        return False
    name = chance.choice(("how", "origin", "Type", "Source", "Status", "Kind"))
    _insert(sheet, len(sheet.columns), Column("origin", name), lambda _: "measured")
    for row in sheet.day_rows()[-3:]:
        row.cells[-1] = "forecast"
        assert row.day is not None
        sheet.truth.forecast.add(row.day)
    sheet.truth.plain = False
    return True


# --- cells and rows -------------------------------------------------------------------------------


def _temperature_columns(sheet: Sheet) -> list[int]:
    return [at for at, each in enumerate(sheet.columns) if each.holds in HALVES]


def _unknown(sheet: Sheet, row: Row, at: int) -> None:
    """Make the reading of a cell unknown in the truth."""
    assert row.day is not None
    if row.day in sheet.truth.days:
        for half in HALVES[sheet.columns[at].holds]:
            sheet.truth.days[row.day][half] = NAN


def _one_a_day(sheet: Sheet) -> bool:
    return sheet.kind in ("daily", "means", "workbook") and not sheet.truth.hopeless


def _written_over(sheet: Sheet, chance: random.Random, texts: tuple[str, ...]) -> bool:
    if not _one_a_day(sheet):
        return False
    for row in some(sheet.rows, chance):
        at = chance.choice(_temperature_columns(sheet))
        if len(row.cells) == len(sheet.columns):
            row.cells[at] = chance.choice(texts)
            _unknown(sheet, row, at)
    return True


def blank_cells(sheet: Sheet, chance: random.Random) -> bool:
    """Empty cells; in a table parted by blanks the rest of the row moves left."""
    return _written_over(sheet, chance, ("",) if sheet.delimiter == " " else ("", "", " "))


def missing_marks(sheet: Sheet, chance: random.Random) -> bool:
    marks = ("NA", "M", "-9999", "-999.9", "9999", "---", "n/a", "NaN", "null", "-", "#N/A", "*")
    return _written_over(sheet, chance, marks)


def garbage(sheet: Sheet, chance: random.Random) -> bool:
    """Cells that are no number."""
    texts = ("abc", "2O.5", "20.1.3", "1_0", "--5", "#REF!", "12:30", "1e999", "5;", "~",
             "20.5?", "ca.20", "<5", "1/2", "0x14", "\x01", "20..5", "12-14")  # fmt: skip
    texts = tuple(t for t in texts if sheet.delimiter not in t or sheet.delimiter == "  ")
    if sheet.encoding == "cp1252":
        texts = tuple(t for t in texts if t.isascii())
    if sheet.name.endswith("xlsx"):
        texts = tuple(t for t in texts if t.isprintable())
    return _written_over(sheet, chance, texts)


def wrong_digits(sheet: Sheet, chance: random.Random) -> bool:
    """A digit that became another: nobody can know."""
    if not _one_a_day(sheet):
        return False
    for row in some(sheet.rows, chance, 1):
        at = chance.choice(_temperature_columns(sheet))
        text = row.cells[at] if at < len(row.cells) else ""
        spots = [i for i, sign in enumerate(text) if sign.isdigit()]
        if spots and row.day is not None:
            spot = chance.choice(spots)
            row.cells[at] = text[:spot] + chance.choice("0123456789") + text[spot + 1 :]
            sheet.truth.free |= {(row.day, LOW), (row.day, HIGH)}
    return True


def turned_rows(sheet: Sheet, chance: random.Random) -> bool:
    """Maximum and minimum exchanged on a day."""
    high, low = sheet.at("max"), sheet.at("min")
    if not _one_a_day(sheet) or high is None or low is None or len(sheet.rows) < 9:
        return False
    for row in some(sheet.rows, chance, 2):
        if len(row.cells) > max(high, low):
            row.cells[high], row.cells[low] = row.cells[low], row.cells[high]
            assert row.day is not None
            day = sheet.truth.days[row.day]
            if not any(half != half for half in day):
                continue
            sheet.truth.free |= {(row.day, LOW), (row.day, HIGH)}
    return True


def decorated(sheet: Sheet, chance: random.Random) -> bool:
    """Numbers with a sign, blanks, quotation marks or an exponent: they mean the same."""
    if not _one_a_day(sheet) or sheet.mark or sheet.comma or sheet.delimiter.isspace():
        return False
    for row in some(sheet.rows, chance):
        at = chance.choice(_temperature_columns(sheet))
        text = row.cells[at] if at < len(row.cells) else ""
        if not text.replace(".", "").isdigit():
            continue
        row.cells[at] = chance.choice(
            (" {}", "+{}", "{} ", "'{}", "{}e0", "0{}", "{}*", "\u00a0{}")
        ).format(text)
    return True


def remark_of_two_lines(sheet: Sheet, chance: random.Random) -> bool:
    """A quoted remark that holds a line break and looks like a row."""
    if sheet.delimiter not in ",;" or not sheet.header or not _one_a_day(sheet):
        return False
    if sheet.name.endswith("xlsx") or sheet.kind == "morning":
        return False
    _insert(sheet, len(sheet.columns), Column("spare", "Remarks"), lambda _: "")
    for row in some(sheet.rows, chance, 2):
        words = chance.choice(("rain\nthen sun", "see below\n2020-01-01,3,2", "a\n", '5" hail'))
        row.cells[-1] = words + sheet.delimiter
    sheet.truth.plain = False
    return True


def short_rows(sheet: Sheet, chance: random.Random) -> bool:
    """Rows cut off before their end."""
    if not _one_a_day(sheet):
        return False
    for row in some(sheet.rows, chance):
        if len(row.cells) != len(sheet.columns):
            continue
        left = chance.randint(1, len(sheet.columns) - 1)
        for at in _temperature_columns(sheet):
            if at >= left:
                _unknown(sheet, row, at)
        _date_cut(sheet, row, left)
        row.cells = row.cells[:left]
        origin = sheet.at("origin")
        if origin is not None and origin >= left:
            sheet.truth.forecast.discard(row.day)  # type: ignore[arg-type]
    return True


def _date_cut(sheet: Sheet, row: Row, left: int) -> None:
    """A row without its whole date is no day."""
    parts = {"date", "year", "month", "day", "day number", "clock"}
    if any(each.holds in parts for each in sheet.columns[left:]) and row.day is not None:
        _date_lost(sheet, row)


def lost_cell(sheet: Sheet, chance: random.Random) -> bool:
    """A cell left out together with its mark, so that the rest of the row moves left."""
    if not _one_a_day(sheet) or sheet.delimiter == "  ":
        return False
    for row in some(sheet.rows, chance, 2):
        if len(row.cells) != len(sheet.columns):
            continue
        at = chance.choice(_temperature_columns(sheet))
        _unknown(sheet, row, at)
        del row.cells[at]
    return True


def long_rows(sheet: Sheet, chance: random.Random) -> bool:
    """A cell too many, as from a comma in a remark or a number."""
    if not _one_a_day(sheet) or sheet.delimiter == "  ":
        return False
    for row in some(sheet.rows, chance, 2):
        if len(row.cells) != len(sheet.columns):
            continue
        at = chance.choice((len(row.cells), len(row.cells), chance.randint(0, len(row.cells))))
        row.cells.insert(at, chance.choice(("7", "note", "", "12.5")))
        if at <= max(_date_places(sheet)):
            sheet.truth.stray += 1
    return True


def _date_places(sheet: Sheet) -> list[int]:
    parts = {"date", "year", "month", "day", "day number", "clock"}
    return [at for at, each in enumerate(sheet.columns) if each.holds in parts]


def garbled_dates(sheet: Sheet, chance: random.Random) -> bool:
    """A date that is none, or is another day's: the day is lost, another may be invented."""
    places = _date_places(sheet)
    if not _one_a_day(sheet) or not places or len(sheet.rows) < 9:
        return False
    row = some(sheet.rows, chance, 1)[0]
    if row.day is None or sum(other.day == row.day for other in sheet.rows) > 1:
        return False
    at = chance.choice(places)
    text = row.cells[at] if at < len(row.cells) else ""
    spots = [i for i, sign in enumerate(text) if sign.isdigit()]
    words = ("n/a", "", "31/02/2026", "2026-13-45", "0000-00-00", "yesterday")
    if chance.random() < 0.5 or not spots:
        row.cells[at : at + 1] = [chance.choice(words)]
        if sheet.delimiter == " " and not row.cells[at]:
            row.cells[at] = "?"
    else:
        spot = chance.choice(spots)
        row.cells[at] = text[:spot] + chance.choice("0123456789") + text[spot + 1 :]
    if row.cells[at] != text:
        _date_lost(sheet, row)
    return True


def _date_lost(sheet: Sheet, row: Row) -> None:
    """A row whose date cannot be known: its day is absent, and another may be invented."""
    assert row.day is not None
    sheet.truth.days.pop(row.day, None)
    sheet.truth.free |= {(row.day, LOW), (row.day, HIGH)}
    sheet.truth.stray += 1
    sheet.truth.doubtful = True


def dropped_rows(sheet: Sheet, chance: random.Random) -> bool:
    """Days that are not in the file."""
    if not _one_a_day(sheet) or len(sheet.rows) < 5:
        return False
    for row in some(sheet.rows, chance, len(sheet.rows) // 3):
        if sum(other.day == row.day for other in sheet.rows) == 1:
            sheet.rows.remove(row)
            sheet.truth.days.pop(row.day, None)  # type: ignore[arg-type]
    return True


def repeated_rows(sheet: Sheet, chance: random.Random) -> bool:
    """The same row twice, or the rows in another order."""
    if not _one_a_day(sheet):
        return False
    for row in some(sheet.rows, chance):
        sheet.rows.insert(chance.randint(0, len(sheet.rows)), Row(list(row.cells), row.day))
    if chance.random() < 0.3:
        sheet.rows.reverse()
    return True


def contradicting_rows(sheet: Sheet, chance: random.Random) -> bool:
    """A day twice with different readings: no telling which is right."""
    if not _one_a_day(sheet):
        return False
    row = some(sheet.rows, chance, 1)[0]
    at = chance.choice(_temperature_columns(sheet))
    if len(row.cells) != len(sheet.columns):
        return False
    known = sheet.truth.days.get(row.day, [NAN, NAN])  # type: ignore[arg-type]
    if any(known[half] != known[half] for half in HALVES[sheet.columns[at].holds]):
        return False
    twin = Row(list(row.cells), row.day)
    twin.cells[at] = sheet.printed(chance.uniform(-4, 3))[0]
    if twin.cells[at] == row.cells[at]:
        return False
    sheet.rows.insert(chance.randint(0, len(sheet.rows) - 1), twin)
    _unknown(sheet, row, at)
    return True


def second_header(sheet: Sheet, chance: random.Random) -> bool:
    """The header stands again, as where files were put one below the other."""
    if not sheet.header or not _one_a_day(sheet):
        return False
    sheet.rows.insert(
        chance.randint(0, len(sheet.rows)), Row([each.name for each in sheet.columns])
    )
    return True


def other_header(sheet: Sheet, chance: random.Random) -> bool:
    """A second part with the maximum and the minimum in the other order, and a header saying so."""
    high, low = sheet.at("max"), sheet.at("min")
    if not sheet.header or not _one_a_day(sheet) or high is None or low is None:
        return False
    if len(sheet.rows) < 4 or sheet.name.endswith("xlsx"):
        return False
    at = chance.randint(1, len(sheet.rows) - 1)
    names = [each.name for each in sheet.columns]
    names[high], names[low] = names[low], names[high]
    for row in sheet.rows[at:]:
        if len(row.cells) <= max(high, low) or row.day is None:
            return False
    for row in sheet.rows[at:]:
        row.cells[high], row.cells[low] = row.cells[low], row.cells[high]
    sheet.rows.insert(at, Row(names))
    sheet.truth.plain = False
    return True


def other_unit_below(sheet: Sheet, chance: random.Random) -> bool:
    """A second part in the other scale, under a header that says so."""
    if not sheet.header or sheet.kind != "daily" or sheet.unit not in ("C", "F"):
        return False
    if sheet.mark or "unit" in sheet.truth.unsettled or len(sheet.rows) < 6:
        return False
    other = "F" if sheet.unit == "C" else "C"
    ending = next((e for e in UNIT_ENDINGS[sheet.unit] if sheet.columns[sheet.at("max") or 0].name
                   .endswith(e)), None)  # fmt: skip
    if ending is None or any(row.day is None for row in sheet.rows):
        return False
    position = UNIT_ENDINGS[sheet.unit].index(ending)
    names = [
        each.name.removesuffix(ending) + UNIT_ENDINGS[other][position]  # type: ignore[index]
        if each.holds in HALVES else each.name
        for each in sheet.columns
    ]  # fmt: skip
    at = chance.randint(1, len(sheet.rows) - 1)
    below = Sheet("", [], [], sheet.truth, other, 1, comma=sheet.comma)  # type: ignore[arg-type]
    for row in sheet.rows[at:]:
        for place in _temperature_columns(sheet):
            half = HALVES[sheet.columns[place].holds][0]
            assert row.day is not None
            known = sheet.truth.days.get(row.day, [NAN, NAN])[half]
            if known == known and place < len(row.cells):
                row.cells[place] = below.printed(known)[0]
    sheet.truth.tolerance = 0.06
    sheet.rows.insert(at, Row(names))
    sheet.truth.plain = False
    return True


def contradicting_cells(sheet: Sheet, chance: random.Random) -> bool:
    """Cells that name another scale than the header: believed or refused, never ignored."""
    if sheet.kind != "daily" or sheet.mark or sheet.unit not in ("C", "F"):
        return False
    if not sheet.header or "unit" in sheet.truth.unsettled:
        return False
    other = "F" if sheet.unit == "C" else "C"
    rows = sheet.day_rows() if chance.random() < 0.4 else some(sheet.rows, chance, 2)
    mark = chance.choice(("F", " F", "°F")).replace("F", other)
    mark = mark.strip() if sheet.delimiter == " " else mark
    for row in rows:
        for at in _temperature_columns(sheet):
            try:
                number = float(row.cells[at].replace(",", "."))
            except (ValueError, IndexError):
                continue
            row.cells[at] += mark
            assert row.day is not None
            for half in HALVES[sheet.columns[at].holds]:
                sheet.truth.days[row.day][half] = in_celsius(number, other)  # type: ignore[arg-type]
    sheet.truth.plain = False
    return True


def bare_decimal_comma(sheet: Sheet, chance: random.Random) -> bool:
    """Decimal commas in a table parted by commas, without quotation marks."""
    if (
        sheet.delimiter != ","
        or sheet.quoted
        or sheet.comma
        or sheet.kind not in ("daily", "means")
    ):
        return False
    if not sheet.decimals or sheet.name.endswith("xlsx"):
        return False
    for row in sheet.day_rows():
        cells = []
        for column, cell in zip(sheet.columns, row.cells, strict=False):
            number = column.holds in HALVES or column.holds == "spare"
            whole, point, part = cell.partition(".")
            split = number and point and whole.lstrip("-").isdigit() and part.isdigit()
            cells += [whole, part] if split else [cell]
        row.cells = cells
    sheet.truth.plain = False
    return True


def footer(sheet: Sheet, chance: random.Random) -> bool:
    """Totals, means and remarks below the last day."""
    if not _one_a_day(sheet) or not sheet.columns or sheet.name.endswith("xlsx"):
        return False
    word = chance.choice(
        ("Total", "Mean", "Average", "Summe", "Max", "Monthly mean", "End of data")
    )
    row = Row([""] * len(sheet.columns))
    row.cells[0] = word.replace(" ", "") if sheet.delimiter == " " else word
    for at in _temperature_columns(sheet):
        if at:
            row.cells[at] = sheet.number(chance.uniform(5, 30))
    if sheet.delimiter == " ":
        row.cells = [cell or "-" for cell in row.cells]
    sheet.rows.append(row)
    return True


def noise_lines(sheet: Sheet, chance: random.Random) -> bool:
    """Comments and blank lines between the days, a title above."""
    if not sheet.columns or sheet.name.endswith("xlsx"):
        return False
    for _ in range(chance.randint(1, 3)):
        text = chance.choice(("", "# checked by hand", "# place: Larkhollow", "#"))
        sheet.rows.insert(chance.randint(0, len(sheet.rows)), Row([text]))
    if sheet.header and chance.random() < 0.6:
        sheet.above.insert(0, chance.choice(
            ("Larkhollow weather station", "Station: Larkhollow", "Exported on 2026-06-01",
             "Latitude 51.2  Longitude 9.1", "")
        ))  # fmt: skip
    return True


def trailing_marks(sheet: Sheet, chance: random.Random) -> bool:
    """A delimiter too many at the end of every row."""
    if sheet.delimiter.isspace() or not sheet.columns or sheet.name.endswith("xlsx"):
        return False
    for row in sheet.day_rows():
        row.cells.append("")
    return True


def zeros(sheet: Sheet, chance: random.Random) -> bool:
    """A long stretch in which a service delivered nought for every reading."""
    if sheet.kind != "daily" or sheet.unit not in ("C", "F") or len(sheet.rows) < 60 or sheet.mark:
        return False
    at = chance.randint(0, 10)
    stretch = sheet.day_rows()[at : at + 40]
    days = {row.day for row in stretch}
    if len(days) < 40 or any(len(row.cells) != len(sheet.columns) for row in stretch):
        return False
    if max(days) - min(days) > dt.timedelta(days=39):  # type: ignore[type-var,operator]
        return False
    for row in stretch:
        for place in _temperature_columns(sheet):
            row.cells[place] = "0"
            _unknown(sheet, row, place)
    sheet.truth.plain = False
    return True


# --- the last line --------------------------------------------------------------------------------


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
        _date_cut(sheet, last, len(sheet.columns) - 1)
        return True
    left = last.cells[-1][: len(last.cells[-1]) - sheet.cut]
    if (
        (not sheet.decimals and not sheet.mark and left)
        or (sheet.mark and left and left[-1:] not in ".,")
        or sheet.kind == "log"
    ):  # whole numbers hide that digits are absent
        sheet.truth.free |= {(last.day, LOW), (last.day, HIGH)}
    else:
        _unknown(sheet, last, len(sheet.columns) - 1)
    return True


def flipped_byte(sheet: Sheet, chance: random.Random) -> bool:
    """One byte among the days became another: its line, or two, cannot be known."""
    if not _one_a_day(sheet) or sheet.name.endswith("xlsx") or len(sheet.rows) < 12:
        return False
    if sheet.encoding.startswith("utf-16") or sheet.cut or any(r.day is None for r in sheet.rows):
        return False
    at = chance.randrange(1, len(sheet.rows) - 1)
    sheet.damage = at, chance.random(), chance.choice(b'\x00 ,;.-5"x\n\t9\xff:/')
    for row in sheet.rows[max(at - 1, 0) : at + 2]:
        _date_lost(sheet, row)
    sheet.truth.stray = min(sheet.truth.stray, 3)
    sheet.truth.plain = False
    return True


def gaps_in_the_log(sheet: Sheet, chance: random.Random) -> bool:
    """Readings of a log left out or marked missing: a day made of the others, or none."""
    if sheet.kind != "log" or not sheet.day_rows():
        return False
    at = _temperature_columns(sheet)[0]
    chosen = chance.sample(sheet.day_rows(), min(len(sheet.rows), chance.choice((1, 5, 20))))
    for row in chosen:
        row.cells[at] = chance.choice(("NA", "-9999", "---", "x"))
        assert row.day is not None
        sheet.truth.free |= {(row.day, LOW), (row.day, HIGH)}
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


MUTATIONS: tuple[Mutation, ...] = (
    only_traps, spare_columns, trap_columns, second_date, origin_words, column_order, stamped,
    contradicting_cells, loggers, blank_cells, missing_marks, garbage, wrong_digits, turned_rows,
    bare_decimal_comma, decorated, remark_of_two_lines, short_rows, lost_cell, long_rows, contradicting_rows, repeated_rows,
    dropped_rows, zeros, garbled_dates, other_header, other_unit_below, second_header, footer, noise_lines,
    trailing_marks, cut_end, gaps_in_the_log, flipped_byte,
)  # fmt: skip

#: Mutations that any reader must get over: refusing what they touch is an escape.
MILD = (spare_columns, column_order, missing_marks, repeated_rows, dropped_rows, second_header,
        footer, noise_lines, trailing_marks)  # fmt: skip
