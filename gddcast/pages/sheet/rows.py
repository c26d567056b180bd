"""The rows of a scouting sheet: one a pest and bed, with what to look for and room to write."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, replace

from gddcast import words
from gddcast.crops.standing import SowingToday
from gddcast.pages.sheet.boxes import PlantBoxes, plant_boxes
from gddcast.scouting.windows import Habits, ScoutingWindow
from gddcast.text import looks
from gddcast.text.dates.bed_words import pest_words, stages_shown
from gddcast.today.beds import BedWalk, Block
from gddcast.units import Unit
from gddcast.words import Status

_NO_BED = "No bed on record"


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One pest to look for in one bed, with room to write.

    Parameters
    ----------
    number : int
        Its place on the sheet, by which the strip and the table name it.
    bed : str
        Which bed, with what stands in it.
    title, status : str
    place : str
        Which drawing shows where; as a card's `picture`.
    words : tuple of (str, str)
        Leads and what follows them.
    boxes : int
        Boxes to tick; none where a day is written down, not a count.
    first : int or None
        The row of a bed before that says how to look for the same pest.
    pest, stages, where : str, tuple of str, str
        Keys of its card and stages, and its bed, for the table.
    windows : tuple of ScoutingWindow
        The stages it tells.
    brief : bool
        Whether it has words for one line only, and no drawing.
    """

    number: int
    bed: str
    title: str
    status: str
    place: str
    words: tuple[tuple[str, str], ...]
    boxes: int
    first: int | None
    pest: str
    stages: tuple[str, ...]
    where: str
    windows: tuple[ScoutingWindow, ...]
    brief: bool = False

    def in_brief(self) -> SheetRow:
        """The same with its first words only: when and how often, and where."""
        kept = [self.words[0], *(each for each in self.words if each[0] == "Where")]
        return replace(self, words=tuple(kept), brief=True, boxes=0)


def sheet_rows(walk: BedWalk, day: dt.date, habits: Habits, show: Unit) -> tuple[SheetRow, ...]:
    """Every pest in every bed, in the order of walking; what is a week overdue last in its bed.

    Parameters
    ----------
    walk : BedWalk
        Of the week.
    day : datetime.date
        First day the sheet is for.
    habits : Habits
    show : {"F", "C"}
    """
    return tuple(
        replace(row, number=number) for number, row in enumerate(_rows(walk, day, habits, show), 1)
    )


def _rows(walk: BedWalk, day: dt.date, habits: Habits, show: Unit) -> Iterator[SheetRow]:
    first: dict[str, int] = {}
    number = 0
    stops = [(bed.name, bed.sowings, (*bed.blocks, *bed.again)) for bed in walk.beds]
    if walk.anywhere:
        stops.append(("", (), walk.anywhere))
    for name, sowings, blocks in stops:
        for block in sorted(blocks, key=lambda each: each.status is Status.OVERDUE):
            number += 1
            row = _row(block, name, sowings, day, habits, show)
            yield replace(row, first=first.get(block.card.key))
            first.setdefault(block.card.key, number)


def _row(
    block: Block, bed: str, sowings: tuple[SowingToday, ...], day: dt.date, habits: Habits,
    show: Unit,
) -> SheetRow:  # fmt: skip
    window = next(each for each in block.windows if each.status is block.status)
    boxes = plant_boxes(window.look, habits.plants_all_below)
    first = stages_shown(block)[0]
    if first.is_answered or not window.is_answered:
        first = window  # else what was seen would be said of what is to come
    said = pest_words(block, habits, day, show, said=first.status)
    return SheetRow(
        0,
        _bed_words(bed, sowings),
        said.name,
        first.status.name.lower(),
        block.place,
        tuple(_words(first, said.why, said.where, boxes, day, habits)),
        boxes.count if block.card.group == "pest" else 0,
        None,
        block.card.key,
        tuple(each.event.key for each in block.windows),
        bed,
        block.windows,
    )


def _bed_words(bed: str, sowings: tuple[SowingToday, ...]) -> str:
    crops = dict.fromkeys(each.sowing.crop.replace("-", " ") for each in sowings)
    if not bed:
        return _NO_BED
    if not any(each.sowing.bed for each in sowings):
        return f"{words.capital(words.listed(list(crops)))} (no bed on record)"
    return f"{words.capital(bed)} · {words.listed(list(crops))}"


def _words(
    window: ScoutingWindow, why: str, where: str, boxes: PlantBoxes, day: dt.date, habits: Habits
) -> Iterator[tuple[str, str]]:
    """When and how often, why, where, what, at which hour, how many."""
    late = window.opens is not None and window.opens > day and not window.is_answered
    opens = f"from {words.day(window.opens)}" if late and window.opens else ""
    often = looks.often(window)
    if often and window.status is Status.OVERDUE:
        often = f"look {often}"
    status = words.capital(window.status.word)
    yield status, f"{', '.join(filter(None, (opens, often, why)))}."
    look = window.look
    hour = None if look.time_of_day == "not stated" else look.time_of_day
    plants = looks.plants_wanted(window, habits) if window.card.group == "pest" else None
    for lead, text in (
        ("Where", where), ("Look for", look.looks_like), ("When", hour), ("How many", plants),
    ):  # fmt: skip
        if text:
            each = f" ({boxes.stands_for})" if lead == "How many" and boxes.stands_for else ""
            yield lead, f"{text.rstrip('.')}{each}."
