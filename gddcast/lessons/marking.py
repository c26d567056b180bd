"""Answers held against the key: right within a tolerance, or which slip it likely was."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from gddcast.lessons.planted import PlantedFault
from gddcast.lessons.rounding import DIGITS
from gddcast.lessons.slips import SheetItem, Slip
from gddcast.units import Unit

Verdict = Literal["right", "slip", "wrong", "empty"]


@dataclass(frozen=True, slots=True)
class Mark:
    """One answer marked.

    Parameters
    ----------
    item : SheetItem
    answer : float or None
        What the student wrote; None for nothing.
    verdict : {"right", "slip", "wrong", "empty"}
    slip : Slip or None
        The likely slip; None where there is none with a name.
    """

    item: SheetItem
    answer: float | None
    verdict: Verdict
    slip: Slip | None = None


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


def mark(item: SheetItem, answer: float | None, within: float) -> Mark:
    """Mark one answer.

    Parameters
    ----------
    item : SheetItem
    answer : float or None
    within : float
        How far off a right answer may be. Days and figures must be exact.

    Examples
    --------
    >>> from gddcast.lessons.slips import worksheet_items
    >>> from gddcast.lessons.worksheet import make_worksheet
    >>> total = worksheet_items(make_worksheet(7))[1]
    >>> str(mark(total, total.right - 32, 0.1).slip)
    'minus 32: a heat sum has none'
    """
    if answer is None:
        return Mark(item, None, "empty")
    room = (0.0 if item.whole else within) + 1e-6
    if abs(answer - item.right) <= room:
        return Mark(item, answer, "right")
    # A slip was rounded like any answer; of several that fit, the likeliest is named.
    near = [slip for slip in item.slips if abs(answer - slip.value) <= room]
    if not near:
        return Mark(item, answer, "wrong")
    return Mark(item, answer, "slip", near[0])


def mark_sheet(
    student: str, sheet: str, items: Sequence[SheetItem], answers: Mapping[str, float | None],
    within: float,
) -> StudentMarks:  # fmt: skip
    """Mark A, B and C of a student."""
    marks = tuple(mark(each, answers.get(each.letter), within) for each in items)
    return StudentMarks(student, sheet, marks)


def slips_of(students: Iterable[StudentMarks]) -> list[tuple[str, int]]:
    """How often each slip was made, the commonest first."""
    made = Counter(
        one.slip.name for student in students for one in student.marks if one.slip is not None
    )
    return made.most_common()


@dataclass(frozen=True, slots=True)
class FaultsFound:
    """What a student found in a class file.

    Parameters
    ----------
    student : str
    planted_faults, missed : tuple of PlantedFault
    otherwise : tuple of PlantedFault
        Those of ``planted_faults`` that were given another kind.
    sound : tuple of int
        Lines called wrong in which nothing is.
    """

    student: str
    planted_faults: tuple[PlantedFault, ...]
    missed: tuple[PlantedFault, ...]
    otherwise: tuple[PlantedFault, ...]
    sound: tuple[int, ...]


def mark_faults(
    student: str, faults: Sequence[PlantedFault], named: Sequence[tuple[int, str]]
) -> FaultsFound:
    """Hold the lines a student named against the key.

    Parameters
    ----------
    student : str
    faults : sequence of PlantedFault
    named : sequence of (int, str)
        Line, and kind of fault or nothing. Any line of a fault counts; of a gap the two beside it.

    Examples
    --------
    >>> from gddcast.lessons.planted import plant_faults
    >>> faults = plant_faults(3).faults
    >>> found = mark_faults("Ada", faults, [(faults[0].first_line, "")])
    >>> len(found.planted_faults), len(found.missed), found.sound
    (1, 6, ())
    """
    kinds: dict[PlantedFault, set[str]] = {}
    sound = []
    for line, kind in named:
        hit = [fault for fault in faults if fault.first_line <= line <= _last_line(fault)]
        for fault in hit:
            kinds.setdefault(fault, set()).add(kind or fault.kind)
        if not hit:
            sound.append(line)
    return FaultsFound(
        student,
        tuple(fault for fault in faults if fault in kinds),
        tuple(fault for fault in faults if fault not in kinds),
        tuple(fault for fault in faults if fault in kinds and fault.kind not in kinds[fault]),
        tuple(sorted(set(sound))),
    )


def _last_line(fault: PlantedFault) -> int:
    return fault.last_line + (fault.kind == "gap")
