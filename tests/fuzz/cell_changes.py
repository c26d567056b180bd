"""Changes to cells: blanks, marks, garbage, other digits, other scales, remarks."""

from __future__ import annotations

import random

from tests.fuzz.column_changes import insert
from tests.fuzz.effects import (
    HALVES,
    date_lost,
    date_places,
    one_a_day,
    temperature_columns,
    unknown,
)
from tests.fuzz.sheets import HIGH, LOW, Column, Sheet, in_celsius, some


def _written_over(sheet: Sheet, chance: random.Random, texts: tuple[str, ...]) -> bool:
    if not one_a_day(sheet):
        return False
    for row in some(sheet.rows, chance):
        at = chance.choice(temperature_columns(sheet))
        if len(row.cells) == len(sheet.columns):
            row.cells[at] = chance.choice(texts)
            unknown(sheet, row, at)
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
    if not one_a_day(sheet):
        return False
    for row in some(sheet.rows, chance, 1):
        at = chance.choice(temperature_columns(sheet))
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
    if not one_a_day(sheet) or high is None or low is None or len(sheet.rows) < 9:
        return False
    for row in some(sheet.rows, chance, 2):
        if row is sheet.rows[-1] and not sheet.last_newline:
            continue  # its shorter number looks cut, and the other is then half a day
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
    if not one_a_day(sheet) or sheet.mark or sheet.comma or sheet.delimiter.isspace():
        return False
    for row in some(sheet.rows, chance):
        at = chance.choice(temperature_columns(sheet))
        text = row.cells[at] if at < len(row.cells) else ""
        if not text.replace(".", "").isdigit():
            continue
        row.cells[at] = chance.choice(
            (" {}", "+{}", "{} ", "'{}", "{}e0", "0{}", "{}*", "\u00a0{}")
        ).format(text)
    return True


def remark_of_two_lines(sheet: Sheet, chance: random.Random) -> bool:
    """A quoted remark that holds a line break and looks like a row."""
    if sheet.delimiter not in ",;" or not sheet.header or not one_a_day(sheet):
        return False
    if sheet.name.endswith("xlsx") or sheet.kind == "morning":
        return False
    insert(sheet, len(sheet.columns), Column("spare", "Remarks"), lambda _: "")
    for row in some(sheet.rows, chance, 2):
        words = chance.choice(("rain\nthen sun", "see below\n2020-01-01,3,2", "a\n", '5" hail'))
        row.cells[-1] = words + sheet.delimiter
    sheet.truth.plain = False
    return True


def garbled_dates(sheet: Sheet, chance: random.Random) -> bool:
    """A date that is none, or is another day's: the day is lost, another may be invented."""
    places = date_places(sheet)
    if not one_a_day(sheet) or not places or len(sheet.rows) < 9:
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
        date_lost(sheet, row)
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
        for at in temperature_columns(sheet):
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


def gaps_in_the_log(sheet: Sheet, chance: random.Random) -> bool:
    """Readings of a log left out or marked missing: a day made of the others, or none."""
    if sheet.kind != "log" or not sheet.day_rows():
        return False
    at = temperature_columns(sheet)[0]
    chosen = chance.sample(sheet.day_rows(), min(len(sheet.rows), chance.choice((1, 5, 20))))
    for row in chosen:
        row.cells[at] = chance.choice(("NA", "-9999", "---", "x"))
        assert row.day is not None
        sheet.truth.free |= {(row.day, LOW), (row.day, HIGH)}
    return True
