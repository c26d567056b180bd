"""A worksheet and its key, and a worksheet of cards and its key."""

from __future__ import annotations

from collections.abc import Iterator

from gddcast import words
from gddcast.lessons.by_hand import day_lines, heat_by_hand
from gddcast.lessons.card_sheet import CardSheet, card_items
from gddcast.lessons.sheet_words import question, rounding, rules, task, title
from gddcast.lessons.slips import worksheet_items
from gddcast.lessons.worksheet import Worksheet
from gddcast.text.csv_table import table_csv
from gddcast.text.lessons.card_words import TASK, parts, statement
from gddcast.text.terminal import table


def sheet_text(sheet: Worksheet) -> str:
    """The readings and the rules, without an answer."""
    rows = [_headings(sheet), *(_row(sheet, row) for row in range(len(sheet.days)))]
    return "\n".join(
        [
            f"Sheet {sheet.seed}: {title(sheet)}",
            task(sheet),
            *table(rows, indent="  "),
            *(f"{letter} {name}: {rule}" for letter, name, rule in rules(sheet)),
            rounding(sheet),
            question(sheet),
        ]
    )


def _headings(sheet: Worksheet) -> tuple[str, ...]:
    catch = ("moths",) if sheet.catches else ()
    return ("day" if sheet.goal is None else "row", "high", "low", *catch)


def _row(sheet: Worksheet, row: int) -> tuple[str, ...]:
    day, name = sheet.days[row], words.day(sheet.date(row))
    catch = (str(sheet.catches[row]),) if sheet.catches else ()
    return (
        name if sheet.goal is None else f"{row + 1}  {name}",
        f"{day.high:g}",
        f"{day.low:g}",
        *catch,
    )


def key_text(sheet: Worksheet) -> str:
    """Every step of every day that counts, and the answers."""
    return "\n".join(_key_lines(sheet))


def _key_lines(sheet: Worksheet) -> Iterator[str]:
    yield f"Key to sheet {sheet.seed}: {title(sheet)}"
    for row, day in enumerate(sheet.counted, start=sheet.begin):
        yield f"{words.day(sheet.date(row))}: high {day.high:g}, low {day.low:g}"
        yield from (f"  {step}" for step in day_lines(day))
    yield "Rows" if sheet.goal is not None else f"Totals, °{sheet.unit}-days"
    yield from table([(each.method, each.shown) for each in worksheet_items(sheet)], indent="  ")


def card_sheet_text(sheet: CardSheet) -> str:
    """Three published numbers, and what to say of them."""
    lines = [f"Sheet {sheet.seed}: what does the source leave out?", TASK]
    lines += [f"  {part}" for part in parts()]
    for each, printed in zip(card_items(sheet), sheet.numbers, strict=True):
        lines.append(f"{each.letter} {words.capital(each.method)}")
        lines += [f"  {line}" for line in statement(printed)]
    return "\n".join(lines)


def card_key_text(sheet: CardSheet) -> str:
    """The figures of what each leaves out."""
    lines = [f"Key to sheet {sheet.seed}: what the sources leave out"]
    rows = [(f"{each.letter} {each.method}", each.shown) for each in card_items(sheet)]
    return "\n".join([*lines, *table(rows, indent="  ")])


def sheet_csv(sheet: Worksheet | CardSheet) -> str:
    """The readings, or the published numbers, as a table; no answers."""
    if isinstance(sheet, CardSheet):
        rows = [
            (each.letter, each.method, " ".join(statement(printed)))
            for each, printed in zip(card_items(sheet), sheet.numbers, strict=True)
        ]
        return table_csv([("number", "of", "the source says"), *rows])
    unit = sheet.unit
    heading = ("date", f"high_{unit}", f"low_{unit}", *(("moths",) if sheet.catches else ()))
    return table_csv([heading, *(_csv_row(sheet, row) for row in range(len(sheet.days)))])


def _csv_row(sheet: Worksheet, row: int) -> tuple[str, ...]:
    return (sheet.date(row).isoformat(), *_row(sheet, row)[1:])


def key_csv(sheet: Worksheet | CardSheet) -> str:
    """The answers as a table; of readings also each day's, as a person finds them."""
    if isinstance(sheet, CardSheet):
        answers = [(each.letter, each.method, each.shown) for each in card_items(sheet)]
        return table_csv([("answer", "of", "right"), *answers])
    items = worksheet_items(sheet)
    heading = ("date", *(f"{each.letter} {each.method}" for each in items))
    rows = [
        (
            sheet.date(row).isoformat(),
            *(f"{heat_by_hand(day, *method):.10g}" for method in sheet.methods),
        )
        for row, day in enumerate(sheet.counted, start=sheet.begin)
    ]
    return table_csv([heading, *rows, ("answer", *(each.shown for each in items))])
