"""``gddcast lesson mark``: a class's answers held against its key."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

from gddcast.cli import lesson_options, options
from gddcast.cli.lesson_options import refuse_other_endings, write
from gddcast.errors import Refusal

if TYPE_CHECKING:
    from gddcast.lessons.class_sheets import Order
    from gddcast.lessons.marking import FaultsFound, StudentMarks
    from gddcast.readers.class_files import FaultsKey, GivenAnswers, KeyRow


@click.command()
@click.argument("key", type=options.READABLE)
@click.argument("given", type=options.READABLE, metavar="ANSWERS")
@click.option("--within", type=click.FloatRange(min=0.0), metavar="0.1",
              help="How far off a total may be; one in the last digit if not said.")  # fmt: skip
@lesson_options.output
@lesson_options.paper
@lesson_options.force
def mark(
    key: Path, given: Path, within: float | None, output: Path | None,
    paper: Literal["a4", "letter"], force: bool,
) -> None:  # fmt: skip
    r"""Mark a class’s ANSWERS by its KEY, and name the likely slip behind each wrong one.

    KEY is what  lesson class  wrote beside the sheets, or  lesson errors --answers -o key.csv .
    ANSWERS has the columns student, sheet, A, B, C; for planted errors student, line and, if
    asked, fault. -o makes a page or a CSV of the marks.

    \b
    gddcast lesson mark class-key.csv class-answers.csv
    gddcast lesson mark class-key.csv class-answers.csv -o marks.html
    """
    from gddcast.cli import screen
    from gddcast.output_file import refuse_existing
    from gddcast.pages.lessons.class_pages import marks_page
    from gddcast.readers.class_files import FaultsKey, read_answers, read_key
    from gddcast.text.lessons.marks import faults_text, marks_csv, marks_text

    ending = None if output is None else refuse_other_endings(output, "html", "csv")
    if output is not None:
        refuse_existing(output, force=force)
    rows = read_key(key)
    if isinstance(rows, FaultsKey):
        if output is not None:
            raise click.UsageError("Planted errors are marked on the screen: leave -o out.")
        screen.show(faults_text(_faults_found(rows, given), screen.terminal()))
        return
    students = marked(key, rows, given, read_answers(given), within)
    if output is None:
        screen.show(marks_text(students, screen.terminal()))
        return
    made = marks_csv(students) if ending == "csv" else marks_page(students, size=paper)
    write(output, made, force, "the marks")


def marked(
    key: Path, rows: tuple[KeyRow, ...], file: Path, given: tuple[GivenAnswers, ...],
    within: float | None,
) -> list[StudentMarks]:  # fmt: skip
    """Every line of the answers by its line of the key; a sheet nobody handed in is left out."""
    from gddcast.lessons.class_sheets import CARD, sheet_items
    from gddcast.lessons.marking import mark_sheet, tolerance
    from gddcast.readers.card_files import load_cards
    from gddcast.readers.class_files import answer_in, figures_in

    cards = load_cards() if any(row.order.form == CARD for row in rows) else {}
    students = []
    lines: dict[Order, int] = {}
    for each in given:
        row = _row_of(file, each, rows)
        if lines.setdefault(row.order, each.line) != each.line:
            raise Refusal(
                f"{file.name}, line {each.line}",
                f"sheet {row.order.seed} stands on line {lines[row.order]} already",
                "Each sheet is marked once.", "Take one of the two lines out.",
                slug="class-answers",
            )  # fmt: skip
        items = sheet_items(row.order.make(cards))
        if tuple(one.shown for one in items) != row.answers:
            raise Refusal(
                f"{key.name}, sheet {row.order.seed}", "its answers are not those of that sheet",
                f"The sheet has {', '.join(one.shown for one in items)}.",
                "Use the key as it was written, by this version.", slug="class-key",
            )  # fmt: skip
        read = figures_in if row.order.form == CARD else answer_in
        numbers: dict[str, float | None] = {}
        for letter, cell in each.cells.items():
            numbers[letter] = read(cell)
            if numbers[letter] is None:
                raise Refusal(
                    f"{file.name}, line {each.line}", f"“{cell}” stands under {letter}",
                    "A number is expected.", "Correct the cell, or leave it empty.",
                    slug="class-answers",
                )  # fmt: skip
        room = tolerance(row.order.unit) if within is None else within
        students.append(mark_sheet(row.student, str(row.order.seed), items, numbers, room))
    return students


def _row_of(file: Path, given: GivenAnswers, rows: tuple[KeyRow, ...]) -> KeyRow:
    """The line of the key that an answer is of."""
    same = [row for row in rows if row.student.casefold() == given.student.casefold()]
    if given.sheet:
        same = [row for row in same if str(row.order.seed) == given.sheet]
    if len(same) == 1:
        return same[0]
    of = f"sheet {given.sheet} of {given.student}" if given.sheet else given.student
    found = f"the key has {len(same)} sheets of {of}" if same else f"the key has no {of}"
    raise Refusal(
        f"{file.name}, line {given.line}", found, "Each line is one sheet of the key.",
        "Write student and sheet as they stand in the key.", slug="class-answers",
    )  # fmt: skip


def _faults_found(key: FaultsKey, answers: Path) -> list[FaultsFound]:
    from gddcast.lessons.marking import mark_faults
    from gddcast.lessons.planted import plant_faults
    from gddcast.readers.class_files import read_fault_answers

    faults = plant_faults(key.seed, key.unit).faults
    named: dict[str, list[tuple[int, str]]] = {}
    for each in read_fault_answers(answers):
        named.setdefault(each.student, []).append((each.line, each.fault))
    return [mark_faults(student, faults, lines) for student, lines in named.items()]
