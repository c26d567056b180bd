"""The rows of a scouting sheet: what to look for, where, how many boxes there are to tick."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from gddcast import words
from gddcast.pages.sheet.boxes import plant_boxes
from gddcast.scouting.windows import Habits, ScoutingWindow
from gddcast.text import sentences


@dataclass(frozen=True, slots=True)
class Row:
    """One stage to look for, with room to write.

    Parameters
    ----------
    number : int
        Its place on the sheet: the strip names it by that.
    title, status : str
    place : str
        Which drawing shows where; as a card's `picture`.
    words : tuple of (str, str)
        Leads and what follows them.
    boxes : int
        Boxes to tick; none where a day is written down, not a count.
    """

    number: int
    title: str
    status: str
    place: str
    words: tuple[tuple[str, str], ...]
    boxes: int


def sheet_row(
    window: ScoutingWindow, number: int, day: dt.date, habits: Habits, most: int
) -> Row:  # fmt: skip
    """The row of one stage.

    Parameters
    ----------
    window : ScoutingWindow
        With the status it has in the week of the sheet.
    number : int
    day : datetime.date
        First day the sheet is for.
    habits : Habits
    most : int
        Letters after each lead; longer words are cut at a comma, and it is shown that they were.
    """
    boxes = plant_boxes(window.look, habits.plants_all_below)
    return Row(
        number,
        sentences.title(window),
        window.status.name.lower(),
        window.look.picture or "whole-plant",
        tuple(_words(window, day, habits, boxes.each, most)),
        boxes.count if window.card.group == "pest" else 0,
    )


def _words(
    window: ScoutingWindow, day: dt.date, habits: Habits, each: str, most: int
) -> list[tuple[str, str]]:
    """When and how often, what, where, at which hour, how many."""
    often = ""
    if window.every_days is not None:
        often = "every day" if window.every_days == 1 else f"every {window.every_days} days"
    late = window.opens is not None and window.opens > day
    opens = f"from {words.day(window.opens)}" if late and window.opens else ""
    look, plants = window.look, sentences.plants_wanted(window, habits)
    now = ", ".join(filter(None, (opens, often)))
    rest = [
        ("Look for", look.looks_like, most),
        ("Where", look.where_on_plant, most),
        ("When", None if look.time_of_day == "not stated" else look.time_of_day, most),
        # A number is cut last.
        ("How many", plants if window.card.group == "pest" else None, most + 16),
    ]
    kept = [(lead, words.shortened(text, longest)) for lead, text, longest in rest if text]
    if each:
        kept[-1] = (kept[-1][0], f"{kept[-1][1]} ({each})")
    status = window.status.word.capitalize()
    leads = [(status, now) if now else (f"{status}.", ""), *kept]
    return [(lead, text if not text or text.endswith((words.CUT, ".")) else f"{text}.")
            for lead, text in leads]  # fmt: skip
