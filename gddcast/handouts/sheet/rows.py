"""The rows of a scouting sheet: what to look for, where, boxes to tick and lines to write on."""

from __future__ import annotations

import datetime as dt
from html import escape
from math import ceil

from gddcast import words
from gddcast.handouts.dates.walk_text import plants_wanted
from gddcast.handouts.sheet.boxes import plant_boxes
from gddcast.handouts.sheet.drawings import plant_drawing
from gddcast.handouts.sheet.room import Block, height, line_height, lines
from gddcast.handouts.sheet.style import ACROSS, BESIDE, BETWEEN_BOXES, Print
from gddcast.scouting.windows import Habits, ScoutingWindow
from gddcast.text import sentences
from gddcast.words import Status

BOX = '<span class="box"></span>'
#: What stands for words that were cut.
_MORE = " …"


def sheet_row(
    window: ScoutingWindow, number: int, day: dt.date, habits: Habits, size: Print, room: float,
    *, most: int | None = None,
) -> Block:  # fmt: skip
    """One stage to look for, with room to write.

    Parameters
    ----------
    window : ScoutingWindow
        With the status it has in the week of the sheet.
    number : int
        Its place on the sheet: the strip names it by that.
    day : datetime.date
        First day the sheet is for.
    habits : Habits
    size : Print
    room : float
        Width of the rows. [mm]
    most : int, optional
        Letters after each lead; longer words are cut at a comma, and it is shown that they were.
    """
    title = f"{number} {sentences.title(window)}"
    boxes = plant_boxes(window.look, habits.plants_all_below)
    said = _said(window, day, habits, boxes.each, most)
    told = " ".join(f"<b>{escape(lead)}</b> {escape(text)}".rstrip() for lead, text in said)
    html = (
        f'<article class="item"><h2>{_shape(window.status)}{escape(title)}</h2>\n'
        f"{plant_drawing(window.look.picture or 'whole-plant', f'Row {number}')}<p>{told}</p>\n"
        f"{_write(window, boxes.count)}</article>"
    )
    plain = " ".join(f"{lead} {text}" for lead, text in said)
    leads = sum(len(lead) for lead, _ in said)
    narrow = room - size.drawing - BESIDE
    head = height(f"●{title}", room, size.head, bold=True)
    beside = ceil((size.drawing + 0.5) / line_height(size.words))
    # Leads are bold, which is wider: by a twelfth of an em a letter.
    text = lines(plain + "i" * (leads // 4), room, size.words, beside=(beside, narrow))
    top = head + max(text * line_height(size.words), size.drawing + 0.5)
    across = ceil(boxes.count / ACROSS)
    ticked = across * (size.box + BETWEEN_BOXES) + 0.4 if window.card.group == "pest" else 0.0
    return Block(html, top + ticked + size.write + 2.6)


def _said(
    window: ScoutingWindow, day: dt.date, habits: Habits, each: str, most: int | None
) -> list[tuple[str, str]]:
    """Leads and what follows them: when and how often, what, where, at which hour, how many."""
    often = ""
    if window.every_days is not None:
        often = "every day" if window.every_days == 1 else f"every {window.every_days} days"
    late = window.opens is not None and window.opens > day
    opens = f"from {words.day(window.opens)}" if late and window.opens else ""
    look, plants = window.look, plants_wanted(window, habits)
    now = ", ".join(filter(None, (opens, often)))
    rest = [
        ("Look for", look.looks_like),
        ("Where", look.where_on_plant),
        ("When", None if look.time_of_day == "not stated" else look.time_of_day),
        ("How many", plants if window.card.group == "pest" else None),
    ]
    longest = {"How many": most and most + 16}  # a number is cut last
    kept = [(lead, _cut(text, longest.get(lead, most))) for lead, text in rest if text]
    if each:
        kept[-1] = (kept[-1][0], f"{kept[-1][1]} ({each})")
    status = window.status.word.capitalize()
    told = [(status, now) if now else (f"{status}.", ""), *kept]
    return [(lead, text if text.endswith((_MORE, ".")) else f"{text}.") if text else (lead, "")
            for lead, text in told]  # fmt: skip


def _cut(text: str, most: int | None) -> str:
    """Words up to the last comma or semicolon that leaves them short, else up to the first."""
    marks = [at for at, letter in enumerate(text) if letter in ",;"]
    if most is None or len(text) <= most or not marks:
        return text
    return text[: max((at for at in marks if at <= most), default=marks[0])] + _MORE


def _shape(status: Status) -> str:
    """The status' shape, drawn: not every printer's letters have it. Its word stands below."""
    drawn = {
        Status.LOOK_NOW: '<circle cx="8" cy="8" r="7"/>',
        Status.OVERDUE: '<path d="M8 1L15.5 14.5L0.5 14.5Z"/>',
        Status.COMING_UP: '<circle cx="8" cy="8" r="6.4" fill="none" stroke="#000" '
        'stroke-width="1.3"/><path d="M8 1.6A6.4 6.4 0 0 0 8 14.4Z"/>',
    }
    return f'<svg class="shape" viewBox="0 0 16 16" aria-hidden="true">{drawn[status]}</svg>'


def _write(window: ScoutingWindow, count: int) -> str:
    """Boxes and lines: a pest is counted on plants, a crop's stage has a day."""
    if window.card.group == "crop":
        return f'<div class="fill">{write_in("seen on", 30)}{write_in("note")}</div>'
    return (
        f'<div class="fill tick"><span class="boxes">{BOX * count}</span>'
        f"{write_in('looked')}{write_in('found')}<span>none</span>{BOX}</div>\n"
        f'<div class="fill">{write_in("count")}<span>cluster: 2–3 more →</span>'
        f"{BOX}<span>neighbours</span>{BOX}{write_in('back on')}</div>"
    )


def write_in(label: str, wide: float | None = None) -> str:
    """A word and a line to write on: so wide, or what room there is. [mm]"""
    line = '<span class="line grow"></span>' if wide is None else (
        f'<span class="line" style="width: {wide:g}mm"></span>'
    )  # fmt: skip
    return f"<span>{escape(label)}</span>{line}"
