"""Answers held against the key: right within a tolerance, or which slip it likely was."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from gddcast.lessons.rounding import DIGITS
from gddcast.lessons.slips import Asked
from gddcast.units import Unit

Verdict = Literal["right", "slip", "wrong", "empty"]


@dataclass(frozen=True, slots=True)
class Mark:
    """One answer marked.

    Parameters
    ----------
    asked : Asked
    given : float or None
        What the student wrote; None for nothing.
    verdict : {"right", "slip", "wrong", "empty"}
    slip : str
        The likely slip; empty where there is none with a name.
    """

    asked: Asked
    given: float | None
    verdict: Verdict
    slip: str = ""


@dataclass(frozen=True, slots=True)
class StudentMarks:
    """A student's sheet marked."""

    student: str
    sheet: str
    marks: tuple[Mark, ...]

    @property
    def right(self) -> int:
        """How many answers are right."""
        return sum(mark.verdict == "right" for mark in self.marks)


def tolerance(unit: Unit) -> float:
    """What a right answer may be off: one in its last printed digit. [°unit·d]"""
    return float(10.0 ** -DIGITS[unit])


def mark(asked: Asked, given: float | None, within: float) -> Mark:
    """Mark one answer.

    Parameters
    ----------
    asked : Asked
    given : float or None
    within : float
        How far off a right answer may be. Days and figures must be exact.

    Examples
    --------
    >>> from gddcast.lessons.slips import asked
    >>> from gddcast.lessons.worksheet import make_worksheet
    >>> total = asked(make_worksheet(7))[1]
    >>> mark(total, total.right - 32, 0.1).slip
    'minus 32: a heat sum has none'
    """
    if given is None:
        return Mark(asked, None, "empty")
    room = (0.0 if asked.whole else within) + 1e-6
    if abs(given - asked.right) <= room:
        return Mark(asked, given, "right")
    # A slip was rounded like any answer; of several that fit, the likeliest is named.
    near = [slip for slip in asked.slips if abs(given - slip.value) <= room]
    if not near:
        return Mark(asked, given, "wrong")
    return Mark(asked, given, "slip", near[0].name)


def mark_sheet(
    student: str, sheet: str, asked: Sequence[Asked], given: Mapping[str, float | None],
    within: float,
) -> StudentMarks:  # fmt: skip
    """Mark A, B and C of a student."""
    marks = tuple(mark(each, given.get(each.letter), within) for each in asked)
    return StudentMarks(student, sheet, marks)


def slips_of(students: Iterable[StudentMarks]) -> list[tuple[str, int]]:
    """How often each slip was made, the commonest first."""
    made = Counter(
        one.slip for student in students for one in student.marks if one.verdict == "slip"
    )
    return made.most_common()
