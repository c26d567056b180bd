"""The lower bands of a scouting sheet: my plants, the grower's own chores, weather to copy in."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from html import escape

from gddcast import words
from gddcast.crops.standing import OwnChore, SowingToday, own_days
from gddcast.crops.succession import Rules
from gddcast.handouts import paper
from gddcast.handouts.sheet.room import LEADING, Block, height, line_height
from gddcast.handouts.sheet.rows import BOX, write_in
from gddcast.handouts.sheet.style import Print
from gddcast.today.walk_week import WalkWeek
from gddcast.units import Unit

#: Rows left blank for plants where no sowing is on record.
_BLANK = 2
#: Lines in a table stand closer than elsewhere by so much.
_DENSE = 1.1 / LEADING
#: Of the width of the table, for each of its columns. [%]
_SHARES = (20, 9, 7, 8, 13, 11, 9, 12, 11)
#: A box in a cell of a table.
TICK = '<div class="box"></div>'
_SIZES = ("small", "flowering", "bearing")
#: Said beside dust; what is flowering is named after it.
_DUST = "not on flowers · stem base, outer leaves · again after rain"


def my_plants(
    there: Sequence[SowingToday], day: dt.date, today: dt.date, rules: Rules, size: Print,
    room: float,
) -> Block:  # fmt: skip
    """A row a sowing: what is known of it, boxes for its size, lines for the rest.

    Parameters
    ----------
    there : sequence of SowingToday
        Sowings in the ground; blank rows where there are none.
    day, today : datetime.date
        Day the ages are for, and the day they were worked out on.
    rules : Rules
        The grower's own, for side-dressing and the next sowing.
    size : Print
    room : float
        Width of the table. [mm]
    """
    low, high = rules.sow_next_weeks
    weeks = f"{high}" if low == high else f"{low}–{high}"
    headings = (
        f"My plants on {words.short_day(day)}", "sown", "days old", *_SIZES, "first pick",
        f"side-dress, +{rules.side_dress_weeks} wk", f"sow next, +{weeks} wk",
    )  # fmt: skip
    rows, tall = [], 0.0
    for each in there:
        row = _sowing(each, there, (day - today).days, rules)
        rows.append(row)
        called = height(row[0], room * _SHARES[0] / 100 - 2.5, size.words) * _DENSE
        tall += max(size.write, called) + 0.3
    if not there:
        rows = [[""] * 3 for _ in range(_BLANK)]
        tall = _BLANK * (size.write + 0.3)
    head = "".join(
        f'<th scope="col" style="width: {share}%">{escape(each)}</th>'
        for each, share in zip(headings, _SHARES, strict=True)
    )
    body = "\n".join(_row(row) for row in rows)
    table = (
        f'<table class="plants"><thead><tr>{head}</tr></thead>\n<tbody>\n{body}\n</tbody></table>'
    )
    html = f'<div class="my">{paper.wide(table, "My plants")}</div>'
    return Block(html, 2.0 + 2 * line_height(size.words) * _DENSE + 0.6 + tall)


def _sowing(each: SowingToday, there: Sequence[SowingToday], later: int, rules: Rules) -> list[str]:
    """What is on record: name, sown, age, first pick, side-dressing, next sowing."""
    picked, short = each.done("first-pick"), words.short_day
    row = [each.called, short(each.sowing.sown_on), str(each.age_days + later)]
    if picked is None:
        return row
    side, (first, last) = own_days(picked, rules.side_dress_weeks, rules.sow_next_weeks)
    dressed = each.done("side-dressed")
    newer = [other.sowing.sown_on for other in there if other.names == each.names]
    newer = [day for day in newer if day > each.sowing.sown_on]
    return [
        *row,
        short(picked),
        f"done {short(dressed)}" if dressed else short(side),
        f"sown {short(min(newer))}" if newer else f"{short(first)} – {short(last)}",
    ]


def _row(row: Sequence[str]) -> str:
    known, later = list(row[:3]), [*row[3:], "", "", ""][:3]
    cells = [f"<td>{escape(each)}</td>" for each in known]
    if known[0]:
        cells[0] = f'<th scope="row">{escape(known[0])}</th>'
    boxes = [f"<td>{TICK}</td>"] * len(_SIZES)
    return f"<tr>{''.join(cells + boxes)}{''.join(f'<td>{escape(e)}</td>' for e in later)}</tr>"


def chores(
    there: Sequence[SowingToday], due: Sequence[OwnChore], water: Sequence[dt.date], week: WalkWeek,
    size: Print, room: float,
) -> Block:  # fmt: skip
    """Ticks for the days of the week, covers, dust with its caution, and what was picked off.

    Parameters
    ----------
    there : sequence of SowingToday
    due : sequence of OwnChore
        What the grower's own rules ask by the end of the week.
    water : sequence of datetime.date
        Days of the week that get a box.
    week : WalkWeek
    size : Print
    room : float
        Width of the band. [mm]
    """
    days = "".join(
        f"<span>{words.weekday(each)}</span>{BOX if each in water else '<span>–</span>'}"
        for each in week.days
    )
    lines = [
        f"<b>Water</b>{days}{write_in('hand-picked')}",
        (
            f"<b>Cover</b>{BOX}{write_in('on', 18)}{BOX}{write_in('off', 18)}"
            f"<b>Dust again</b>{BOX}{write_in('on', 18)}"
            f'<span class="pair">{BOX}<span>rained</span></span>'
        ),
    ]
    told = " ".join([f"Dust: {_DUST}.", *_asked(due), *_about(there)])
    html = (
        '<section class="chores" aria-label="Chores I set">'
        + "".join(f'<div class="fill">{line}</div>' for line in lines)
        + f"<p>{escape(told)}</p></section>"
    )
    return Block(html, 2.0 + len(lines) * size.write + height(told, room, size.words))


def _asked(due: Sequence[OwnChore]) -> Iterator[str]:
    said = [f"{each.words}, {each.where}, from {words.short_day(each.first)} ({each.rule})"
            for each in due]  # fmt: skip
    if said:
        yield f"By your rules: {'; '.join(said)}."


def _about(there: Sequence[SowingToday]) -> Iterator[str]:
    covered = [each for each in there if each.covered]
    if covered:
        names = [
            f"{each.called} since {words.day(on, weekday=False)}"
            for each in covered
            if (on := each.done("covered"))
        ]
        yield f"Covered: {words.listed(names)}; off at the first female flower (common practice)."
    flowering = [each.called for each in there if each.in_flower]
    if flowering:
        yield f"In flower: {words.listed(flowering)}. Nothing on flowers."


def weather_rows(week: WalkWeek, show: Unit, size: Print) -> Block:
    """Seven rows for those who have no logger."""
    rows = "\n".join(
        f'<tr><th scope="row">{words.weekday(each)} {each.day}</th><td></td><td></td>'
        f"<td>{TICK}</td></tr>"
        for each in week.days
    )
    head = "".join(
        f'<th scope="col" style="width: {share}%">{each}</th>'
        for each, share in (("day", 30), ("max", 25), ("min", 25), ("rain", 20))
    )
    html = (
        f"<h2>Weather to copy in, °{show}</h2>\n<table><thead><tr>{head}</tr></thead>\n<tbody>\n"
        f"{rows}\n</tbody></table>"
    )
    return Block(html, 2 * line_height(size.words) + 7 * (size.write + 0.3) + 1.0)
