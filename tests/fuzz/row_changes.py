"""Changes to rows: short, long, absent, twice, headers and sums between them, comments."""

from __future__ import annotations

import datetime as dt
import random

from tests.fuzz.dialects import UNIT_ENDINGS
from tests.fuzz.effects import (
    HALVES,
    date_cut,
    date_places,
    one_a_day,
    temperature_columns,
    unknown,
)
from tests.fuzz.sheets import NAN, Row, Sheet, some


def short_rows(sheet: Sheet, chance: random.Random) -> bool:
    """Rows cut off before their end."""
    if not one_a_day(sheet):
        return False
    for row in some(sheet.rows, chance):
        if len(row.cells) != len(sheet.columns):
            continue
        left = chance.randint(1, len(sheet.columns) - 1)
        for at in temperature_columns(sheet):
            if at >= left:
                unknown(sheet, row, at)
        date_cut(sheet, row, left)
        row.cells = row.cells[:left]
        origin = sheet.at("origin")
        if origin is not None and origin >= left:
            sheet.truth.forecast.discard(row.day)  # type: ignore[arg-type]
    return True


def lost_cell(sheet: Sheet, chance: random.Random) -> bool:
    """A cell left out together with its mark, so that the rest of the row moves left."""
    if not one_a_day(sheet) or sheet.delimiter == "  " or len(sheet.rows) < 5:
        return False  # where most rows lack a cell nobody can know
    for row in some(sheet.rows, chance, 2):
        if len(row.cells) != len(sheet.columns):
            continue
        at = chance.choice(temperature_columns(sheet))
        unknown(sheet, row, at)
        del row.cells[at]
    return True


def long_rows(sheet: Sheet, chance: random.Random) -> bool:
    """A cell too many, as from a comma in a remark or a number."""
    if not one_a_day(sheet) or sheet.delimiter == "  ":
        return False
    for row in some(sheet.rows, chance, 2):
        if len(row.cells) != len(sheet.columns) or not all(map(str.strip, row.cells)):
            continue  # what fills the place of a blank cell is that cell
        at = chance.choice((len(row.cells), len(row.cells), chance.randint(0, len(row.cells))))
        row.cells.insert(at, chance.choice(("7", "note", "", "12.5")))
        if at <= max(date_places(sheet)):
            sheet.truth.stray += 1
    return True


def dropped_rows(sheet: Sheet, chance: random.Random) -> bool:
    """Days that are not in the file."""
    if not one_a_day(sheet) or len(sheet.rows) < 5:
        return False
    for row in some(sheet.rows, chance, len(sheet.rows) // 3):
        if sum(other.day == row.day for other in sheet.rows) == 1:
            sheet.rows.remove(row)
            sheet.truth.days.pop(row.day, None)  # type: ignore[arg-type]
    return True


def repeated_rows(sheet: Sheet, chance: random.Random) -> bool:
    """The same row twice, or the rows in another order."""
    if not one_a_day(sheet):
        return False
    for row in some(sheet.rows, chance):
        sheet.rows.insert(chance.randint(0, len(sheet.rows)), Row(list(row.cells), row.day))
    if chance.random() < 0.3:
        sheet.rows.reverse()
    return True


def contradicting_rows(sheet: Sheet, chance: random.Random) -> bool:
    """A day twice with different readings: no telling which is right."""
    if not one_a_day(sheet):
        return False
    row = some(sheet.rows, chance, 1)[0]
    at = chance.choice(temperature_columns(sheet))
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
    unknown(sheet, row, at)
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
        for place in temperature_columns(sheet):
            row.cells[place] = "0"
            unknown(sheet, row, place)
    sheet.truth.plain = False
    return True


def second_header(sheet: Sheet, chance: random.Random) -> bool:
    """The header stands again, as where files were put one below the other."""
    if not sheet.header or not one_a_day(sheet):
        return False
    sheet.rows.insert(
        chance.randint(0, len(sheet.rows)), Row([each.name for each in sheet.columns])
    )
    return True


def other_header(sheet: Sheet, chance: random.Random) -> bool:
    """A second part with the maximum and the minimum in the other order, and a header saying so."""
    high, low = sheet.at("max"), sheet.at("min")
    if not sheet.header or not one_a_day(sheet) or high is None or low is None:
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
        for place in temperature_columns(sheet):
            half = HALVES[sheet.columns[place].holds][0]
            assert row.day is not None
            known = sheet.truth.days.get(row.day, [NAN, NAN])[half]
            if known == known and place < len(row.cells):
                row.cells[place] = below.printed(known)[0]
    sheet.truth.tolerance = 0.06
    sheet.rows.insert(at, Row(names))
    sheet.truth.plain = False
    return True


def footer(sheet: Sheet, chance: random.Random) -> bool:
    """Totals, means and remarks below the last day."""
    if not one_a_day(sheet) or not sheet.columns or sheet.name.endswith("xlsx"):
        return False
    word = chance.choice(
        ("Total", "Mean", "Average", "Summe", "Max", "Monthly mean", "End of data")
    )
    row = Row([""] * len(sheet.columns))
    row.cells[0] = word.replace(" ", "") if sheet.delimiter == " " else word
    for at in temperature_columns(sheet):
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
