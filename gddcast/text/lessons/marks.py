"""A class marked, for the teacher: who had what right, and the likely slip behind what was not."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from gddcast import words
from gddcast.lessons.marking import FaultsFound, Mark, StudentMarks, slips_of
from gddcast.lessons.planted import PlantedFault, line_words
from gddcast.text.csv_table import table_csv
from gddcast.text.terminal import Line, Terminal, under

_WRONG = "wrong, and no slip with a name"


def marks_text(students: Sequence[StudentMarks], terminal: Terminal) -> str:
    """The whole class: a line a student, what went wrong under it, then the slips counted."""
    return terminal.show(_lines(students))


def _lines(students: Sequence[StudentMarks]) -> Iterator[Line]:
    yield Line(class_line(students), weight="bold")
    for each in students:
        yield Line(f"{each.student}, sheet {each.sheet}: {each.right} of {len(each.marks)}")
        yield from (under(mark_words(one)) for one in each.marks if one.verdict != "right")
    if slips := slips_of(students):
        yield Line("The slips, the commonest first:", weight="bold")
        yield from (under(f"{count} × {name}") for name, count in slips)


def class_line(students: Sequence[StudentMarks]) -> str:
    """How the class did."""
    marks = [mark for each in students for mark in each.marks]
    right = sum(mark.verdict == "right" for mark in marks)
    sheets = words.count(len(students), "sheet")
    return f"{sheets}: {right} of {len(marks)} answers right."


def mark_words(mark: Mark) -> str:
    """What was written, what is right, and why it likely went wrong."""
    letter, shown = mark.item.letter, mark.item.shown
    if mark.verdict == "empty":
        return f"{letter}: nothing; it is {shown}"
    why = _WRONG if mark.slip is None else str(mark.slip)
    given = f"{mark.answer:g}".replace("-", "−")
    return f"{letter}: {given} for {shown}: {why}"


def marks_csv(students: Sequence[StudentMarks]) -> str:
    """A line an answer."""
    rows = [("student", "sheet", "answer", "given", "right", "verdict", "slip")]
    for each in students:
        for mark in each.marks:
            given = "" if mark.answer is None else f"{mark.answer:g}"
            slip = "" if mark.slip is None else str(mark.slip)
            answer = (mark.item.letter, given, mark.item.shown, mark.verdict, slip)
            rows.append((each.student, each.sheet, *answer))
    return table_csv(rows)


def faults_text(faults_founds: Sequence[FaultsFound], terminal: Terminal) -> str:
    """Who found which planted faults, which were missed, and which lines were sound."""
    return terminal.show(_fault_lines(faults_founds))


def _fault_lines(faults_founds: Sequence[FaultsFound]) -> Iterator[Line]:
    for each in faults_founds:
        total = len(each.planted_faults) + len(each.missed)
        wrong = f"; {words.count(len(each.sound), 'sound line')} named" if each.sound else ""
        yield Line(f"{each.student}: {len(each.planted_faults)} of {total} found{wrong}")
        if each.missed:
            yield under("not found: " + words.listed([_where(one) for one in each.missed]))
        if each.otherwise:
            yield under("another kind: " + words.listed([_where(one) for one in each.otherwise]))
        if each.sound:
            yield under("nothing wrong in line " + words.listed([str(one) for one in each.sound]))


def _where(fault: PlantedFault) -> str:
    return f"{fault.kind} ({line_words(fault)})"
