"""The worksheet and its key as pages to print: room to write, the curve, the table, one rule."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from gddcast import words
from gddcast.handouts import paper
from gddcast.handouts.lessons.day_picture import g_picture
from gddcast.heat.daily import floor_the_mean, floor_the_readings, single_sine
from gddcast.lessons.curve_table import table as curve_rows
from gddcast.lessons.worked_day import Day
from gddcast.lessons.worksheet import SHEET_METHODS, Worksheet, heat_by_hand, y_of

#: The one rounding rule of every sheet.
ROUNDING = "Keep every digit on the way; round only the total, to one decimal."

_STYLE = """
.band h1 { font-size: inherit; margin: 0; }
.write { table-layout: fixed; min-width: 180mm; }
.write th, .write td { padding: 0 1mm; }
.write th:nth-child(1) { width: 29mm; white-space: nowrap; }
.write th:nth-child(2), .write th:nth-child(3) { width: 12mm; }
.write th:nth-child(n+6):nth-child(-n+9) { width: 15mm; }
.line { border-bottom: 0.3mm solid #666; height: 8.4mm; }
.curve { display: flex; gap: 5mm; margin-top: 3mm; align-items: flex-start; }
.curve figure { flex: 1 1 0; margin: 0; }
.curve svg { max-height: 70mm; width: auto; max-width: 100%; }
.curve table { width: auto; font-size: 10pt; line-height: 1.06; }
.curve td, .curve th { padding: 0 3mm; font-weight: normal; }
.steps li { margin: 0.3mm 0; }
.day { break-inside: avoid; }
"""


def rules_of(sheet: Worksheet) -> tuple[tuple[str, str], ...]:
    """Each method's name and its rule, as the sheet states them."""
    line = f"{sheet.line:g}"
    return (
        (
            floor_the_readings.name,
            f"raise a low (or high) below {line} to {line}; then (high + low) / 2 − {line}.",
        ),
        (floor_the_mean.name, f"(high + low) / 2 − {line}; write 0 where that is below zero."),
        (single_sine.name, _SINE_RULE.format(line=line)),
    )


_SINE_RULE = (
    "M = (high + low) / 2, W = (high − low) / 2. Low at or above {line}: M − {line}. "
    "Otherwise y = distance from {line} to M, divided by W; read g(y) in the table; "
    "heat = (M − {line}, or 0 where M is below {line}) + W × g."
)


def _order(sheet: Worksheet) -> str:
    numbers = f"--seed {sheet.seed} --days {len(sheet.days)} --unit {sheet.unit}"
    return f"gddcast lesson worksheet {numbers}"


def sheet_page(sheet: Worksheet, *, size: paper.Paper = "a4") -> str:
    """The sheet: readings, empty columns, three rules, the curve and its table; no answers."""
    return paper.page(
        f"Heat of a week, sheet {sheet.seed}", _sheet(sheet), paper=size, style=_STYLE
    )  # fmt: skip


def _sheet(sheet: Worksheet) -> Iterator[str]:
    yield (
        f'<div class="band"><h1>Heat of a week above {sheet.line:g} °{sheet.unit}</h1>'
        f"<span>Sheet {sheet.seed}</span>"
        "<span>Name ____________________ Date __________</span></div>"
    )
    yield paper.paragraph(
        "A thermometer at an invented garden gave these readings. "
        f"How much heat did each day give above {sheet.line:g} °{sheet.unit}? Work it three ways."
    )
    yield _rules(sheet)
    yield f"<p><strong>{escape(ROUNDING)}</strong></p>"
    yield _columns([_readings(sheet, row) + [""] * 7 for row in range(len(sheet.days))])
    yield _curve()
    yield paper.paragraph(
        "When you are done: which method gives most, which least, and on which days, if any, do "
        "all three agree? What would go wrong if you used a goal found by one method with another?"
    )
    yield '<div class="line"></div>'


def _rules(sheet: Worksheet) -> str:
    items = "".join(
        f"<li><strong>{escape(name)}</strong>: {escape(rule)}</li>"
        for name, rule in rules_of(sheet)
    )
    return f"<ol>{items}</ol>"


def _readings(sheet: Worksheet, row: int) -> list[str]:
    day = sheet.days[row]
    return [words.day(sheet.date(row)), f"{day.high:g}", f"{day.low:g}"]


def _columns(rows: list[list[str]], totals: tuple[str, ...] = ("", "", "")) -> str:
    first, second, third = (shape.name for shape in _COLUMNS)
    headings = ("day", "high", "low", first, second, "M", "W", "y", "g", third)
    foot = ("total", "", "", totals[0], totals[1], "", "", "", "", totals[2])
    drawn = paper.table(headings, rows, css="write", foot=foot)
    return paper.wide(drawn, "The days")


_COLUMNS = (floor_the_readings, floor_the_mean, single_sine)


def _curve() -> str:
    rows = [(f"{y:.2f}", f"{g:.4f}") for y, g in curve_rows(single_sine)]
    drawn = paper.table(("y", "g(y)"), rows)
    figure = paper.figure("How g falls from the mean (y = 0) to the edge (y = 1)", g_picture())
    return f'<div class="curve">{figure}{drawn}</div>'


def key_page(sheet: Worksheet, *, size: paper.Paper = "a4") -> str:
    """The key: the filled table, then every step of every day."""
    return paper.page(
        f"Heat of a week, key {sheet.seed}", _key(sheet), paper=size, style=_STYLE
    )  # fmt: skip


def _key(sheet: Worksheet) -> Iterator[str]:
    title = f"Key to sheet {sheet.seed}: heat of a week above {sheet.line:g} °{sheet.unit}"
    yield paper.heading(title, 1)
    yield paper.paragraph(ROUNDING)
    totals = tuple(f"{sheet.total(shape):.1f}" for shape in _COLUMNS)
    yield _columns([_answers(sheet, row) for row in range(len(sheet.days))], totals)
    yield paper.paragraph(
        f"Totals in °{sheet.unit}-days. The exact sums and those with the printed table round to "
        "the same tenth. A total that is out by a few tenths was rounded on the way."
    )
    for row, day in enumerate(sheet.days):
        yield '<section class="day">'
        yield paper.heading(f"{words.day(sheet.date(row))}: high {day.high:g}, low {day.low:g}")
        yield f'<div class="steps">{paper.listed(day_steps(day))}</div>'
        yield "</section>"
    yield f"<footer>Made again by: <code>{escape(_order(sheet))}</code></footer>"


def _answers(sheet: Worksheet, row: int) -> list[str]:
    day, y = sheet.days[row], y_of(sheet.days[row])
    by_hand = [f"{heat_by_hand(day, shape):.10g}" for shape in _COLUMNS]
    curve = dict(curve_rows(single_sine))
    looked_up = ["–", "–"] if y is None else [f"{y:.2f}", f"{curve[round(y, 2)]:.4f}"]
    columns = [f"{day.mean:g}", f"{day.half_range:g}", *looked_up]
    return [*_readings(sheet, row), by_hand[0], by_hand[1], *columns, by_hand[2]]


def day_steps(day: Day) -> tuple[str, ...]:
    """The three methods of one day, with the printed table's g and nothing rounded."""
    line, y = f"{day.lower:g}", y_of(day)
    high, low = max(day.high, day.lower), max(day.low, day.lower)
    raised = f"({high:g} + {low:g}) / 2 − {line} = {heat_by_hand(day, floor_the_readings):g}"
    mean = f"({day.high:g} + {day.low:g}) / 2 − {line} = {day.mean - day.lower:g}"
    if day.mean < day.lower:
        mean += ", below zero: 0"
    heat = heat_by_hand(day, single_sine)
    if y is None:
        sine = f"the whole day lies above {line}: {day.mean:g} − {line} = {heat:g}"
    else:
        g = dict(curve_rows(single_sine))[round(y, 2)]
        start = f"{max(day.mean - day.lower, 0.0):g}"
        sine = (
            f"M = {day.mean:g}, W = {day.half_range:g}, "
            f"y = {abs(day.mean - day.lower):g} / {day.half_range:g} = {y:.2f}, g = {g:.4f}; "
            f"{start} + {day.half_range:g} × {g:.4f} = {heat:.10g}"
        )
    methods = zip(_COLUMNS, (raised, mean, sine), strict=True)
    return tuple(f"{shape.name}: {text}".replace("= -", "= −") for shape, text in methods)


assert set(_COLUMNS) == set(SHEET_METHODS)
