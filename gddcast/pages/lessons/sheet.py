"""Worksheets to print, one or a class of them, and their keys."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from gddcast import words
from gddcast.draw.day_curve import g_picture
from gddcast.heat.shapes import single_sine
from gddcast.lessons import sheet_words
from gddcast.lessons.by_hand import day_lines, heat_by_hand, y_of
from gddcast.lessons.card_sheet import CardSheet
from gddcast.lessons.class_sheets import AnySheet, sheet_items
from gddcast.lessons.curve_table import printed_g
from gddcast.lessons.curve_table import table as curve_rows
from gddcast.lessons.slips import SheetItem
from gddcast.lessons.worked_day import Day
from gddcast.lessons.worksheet import Worksheet, order_of
from gddcast.pages.lessons.day import WorkedSteps
from gddcast.pages.paper import Figure, PageTable, Paper, fill
from gddcast.text.lessons.card_words import TASK, parts, statement


@dataclass(frozen=True, slots=True)
class PrintedSheet:
    """One sheet of ``worksheet.html``: with readings, or with published numbers."""

    title: str
    number: str
    student: str
    task: str
    rounding: str
    question: str
    unit: str
    answers: Sequence[SheetItem]
    rules: Sequence[tuple[str, str, str]] = ()
    days: PageTable | None = None
    figure: Figure | None = None
    curve: PageTable | None = None
    parts: Sequence[str] = ()
    numbers: Sequence[tuple[str, str, Sequence[str]]] = ()


@dataclass(frozen=True, slots=True)
class PrintedSheets:
    """What ``worksheet.html`` shows."""

    title: str
    sheets: Sequence[PrintedSheet]


@dataclass(frozen=True, slots=True)
class SheetKey:
    """What ``worksheet_key.html`` shows."""

    title: str
    rounding: str
    answers: PageTable
    days: PageTable | None = None
    by_day: Sequence[WorkedSteps] = ()
    order: str = ""


def sheets_page(sheets: Sequence[tuple[str, AnySheet]], *, title: str, size: Paper = "a4") -> str:
    """Sheets to print, each on a side of its own.

    Parameters
    ----------
    sheets : sequence of (str, Worksheet or CardSheet)
        Each with its student; without one there is a line for the name.
    title : str
    size : {"a4", "letter"}
    """
    printed = [
        _printed_cards(sheet, student) if isinstance(sheet, CardSheet) else _printed(sheet, student)
        for student, sheet in sheets
    ]
    return fill("worksheet.html", PrintedSheets(title, printed), paper=size)


def sheet_page(sheet: AnySheet, *, size: Paper = "a4") -> str:
    """One sheet: readings, empty columns, rules, the curve and its table; no answers."""
    return sheets_page([("", sheet)], title=f"Sheet {sheet.seed}", size=size)


def _printed(sheet: Worksheet, student: str) -> PrintedSheet:
    blank = [""] * (len(_columns(sheet)) - 3 - bool(sheet.catches))
    rows = [[*_readings(sheet, row), *blank] for row in range(len(sheet.days))]
    which = f"of sheet {sheet.seed}{student and f' of {student}'}"
    drawing = g_picture(which)
    return PrintedSheet(
        sheet_words.title(sheet), f"Sheet {sheet.seed}", student, sheet_words.task(sheet),
        sheet_words.rounding(sheet), sheet_words.question(sheet),
        "" if sheet.goal is not None else f"°{sheet.unit}-days", sheet_items(sheet),
        rules=sheet_words.rules(sheet),
        days=_table(sheet, rows, f"The days {which}"),
        figure=Figure("How g falls from the mean (y = 0) to the edge (y = 1)", drawing),
        curve=PageTable(f"The curve {which}", ("y", "g(y)"),
                        [(f"{y:.2f}", f"{g:.4f}") for y, g in curve_rows(single_sine)]),
    )  # fmt: skip


def _printed_cards(sheet: CardSheet, student: str) -> PrintedSheet:
    answers = sheet_items(sheet)
    numbers = [
        (each.letter, words.capital(each.method), statement(printed))
        for each, printed in zip(answers, sheet.numbers, strict=True)
    ]
    return PrintedSheet(
        "What does the source leave out?", f"Sheet {sheet.seed}", student, TASK, "",
        "Which of the three could you count with your own thermometer, and what would you have to "
        "assume?", "", answers, parts=parts(), numbers=numbers,
    )  # fmt: skip


def key_page(sheet: AnySheet, *, size: Paper = "a4") -> str:
    """The key: the answers, the filled table, then every step of every day that counts."""
    if isinstance(sheet, CardSheet):
        key = SheetKey(f"Key to sheet {sheet.seed}: what the sources leave out", "", _right(sheet))
        return fill("worksheet_key.html", key, paper=size)
    rows = [_filled_row(sheet, row) for row in range(len(sheet.days))]
    counted = enumerate(sheet.counted, start=sheet.begin)
    key = SheetKey(
        f"Key to sheet {sheet.seed}: {sheet_words.title(sheet)}",
        sheet_words.rounding(sheet), _right(sheet), _table(sheet, rows, "The days"),
        [
            WorkedSteps(f"{words.day(sheet.date(row))}: high {day.high:g}, low {day.low:g}",
                        day_lines(day))
            for row, day in counted
        ],
        order_of(sheet),
    )  # fmt: skip
    return fill("worksheet_key.html", key, paper=size)


def _right(sheet: AnySheet) -> PageTable:
    rows = [(f"{each.letter} {each.method}", each.shown) for each in sheet_items(sheet)]
    return PageTable("The answers", ("question", "answer"), rows)


def _columns(sheet: Worksheet) -> tuple[str, ...]:
    day = "day" if sheet.goal is None else "row"
    catch = ("moths",) if sheet.catches else ()
    curve = ("M", "W", "y", "g")
    if sheet.form == "upper":
        low, high = f"{sheet.line:g}", f"{sheet.upper:g}"
        steps = ("M", "W", f"y {low}", f"g {low}", f"y {high}", f"g {high}")
        return (day, "high", "low", "A", "B", *steps, "C")
    if sheet.goal is not None:
        return (day, "high", "low", "A", "sum", "B", "sum", *curve, "C", "sum")
    return (day, "high", "low", *catch, "A", "B", *curve, "C")


def _table(sheet: Worksheet, rows: Sequence[Sequence[str]], name: str) -> PageTable:
    return PageTable(name, _columns(sheet), rows, css="write")


def _readings(sheet: Worksheet, row: int) -> list[str]:
    day, name = sheet.days[row], words.day(sheet.date(row))
    catch = [str(sheet.catches[row])] if sheet.catches else []
    label = name if sheet.goal is None else f"{row + 1}  {name}"
    return [label, f"{day.high:g}", f"{day.low:g}", *catch]


def _filled_row(sheet: Worksheet, row: int) -> list[str]:
    day = sheet.days[row]
    readings = _readings(sheet, row)
    if row < sheet.begin:
        return [*readings, *["–"] * (len(_columns(sheet)) - len(readings))]
    heats = [f"{heat_by_hand(day, *method):.10g}" for method in sheet.methods]
    levels = [day.lower, day.upper] if np.isfinite(day.upper) else [day.lower]
    steps = [f"{day.mean:g}", f"{day.half_range:g}"]
    for level in levels:
        steps += _looked_up(day, level)
    if sheet.goal is None:
        return [*readings, heats[0], heats[1], *steps, heats[2]]
    sums = [
        f"{sum(heat_by_hand(each, *method) for each in sheet.days[: row + 1]):.10g}"
        for method in sheet.methods
    ]
    pairs = [cell for pair in zip(heats, sums, strict=True) for cell in pair]
    return [*readings, *pairs[:4], *steps, *pairs[4:]]


def _looked_up(day: Day, level: float) -> list[str]:
    y = y_of(day, level)
    return ["–", "–"] if y is None else [f"{y:.2f}", f"{printed_g(single_sine, y):.4f}"]
