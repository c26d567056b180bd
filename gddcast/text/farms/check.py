"""The farms' records beside each other, for people and for programs."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from gddcast import words
from gddcast.farms.check import FarmRecord
from gddcast.text.answer import Json, as_json, iso, refusal_json
from gddcast.text.farms.board_json import alike_json
from gddcast.text.farms.doubt_words import as_sentence
from gddcast.text.terminal import PLAIN, Line, Terminal, narrowed, table
from gddcast.text.weather.record_csv import signed
from gddcast.units import Unit

_NONE = "–"


def check_text(
    records: Sequence[FarmRecord], show: Unit, *, terminal: Terminal = PLAIN
) -> str:  # fmt: skip
    """A row a farm, then the reasons of those that are not sound."""
    good = sum(not each.needs_an_eye for each in records)
    head = f"{words.count(len(records), 'farm')} · {good} as they should be"
    readable = [each for each in records if each.refusal is None]
    cells = [["", "record", "years", "ends", "behind", "gaps", "best neighbour"]]
    cells += [_cells(each, show) for each in readable]
    lines: list[str | Line] = [Line(head, weight="bold")]
    if readable:
        fitted = narrowed(cells, terminal.width, [(2,), (3,)])
        lines += table(fitted, left=(0, 1, len(fitted[0]) - 1))
    for each in records:
        said = [as_sentence(reason) for reason in _reasons(each)]
        if said:
            lines.append(
                Line(f"{each.farm.name}: {' '.join(said)}", "  ", "    ", strong=each.farm.name)
            )
    return terminal.show(lines)


def _cells(each: FarmRecord, show: Unit) -> list[str]:
    ends = words.short_day(each.through) if each.through else _NONE
    gaps = sum((last - first).days + 1 for first, last in each.gaps)
    neighbour = each.neighbour
    lent = _NONE
    if neighbour is not None:
        offset = signed(neighbour.offset, show)
        lent = f"{neighbour.farm}: {words.count(neighbour.days, 'day')}, {offset}"
    return [
        each.farm.name, str(each.trust), str(each.past_years), ends,
        words.count(each.days_behind, "day") if each.days_behind else _NONE,
        words.count(gaps, "day") if gaps else _NONE, lent,
    ]  # fmt: skip


def _reasons(each: FarmRecord) -> list[str]:
    if each.refusal is not None:
        return [f"can't be read: {each.refusal.found}"]
    said = list(each.reasons) if each.trust in ("shaky", "unusable") else []
    if each.same_as:
        most = max(each.same_as, key=lambda one: one.same)
        more = f" and {len(each.same_as) - 1} more" if len(each.same_as) > 1 else ""
        same = words.count(most.same, "day")
        said.append(f"{same} of the last year read exactly as at {most.farm}{more}: a copy?")
    if not each.past_years:
        said.append("no past year is on file to continue this season")
    return [*said, *each.notes]


def check_json(records: Sequence[FarmRecord], show: Unit, made: dt.datetime) -> str:
    """The same for programs."""
    return as_json("farms-check", made, {"farms": [_farm(each, show) for each in records]})


def _farm(each: FarmRecord, show: Unit) -> Json:
    return {
        "name": each.farm.name,
        "file": each.farm.file,
        "needs_your_eye": each.needs_an_eye,
        "trust": each.trust and str(each.trust),
        "reasons": list(each.reasons),
        "last_day": iso(each.through),
        "days_behind": each.days_behind,
        "past_years": each.past_years,
        "gaps": [
            {"first_day": first.isoformat(), "last_day": last.isoformat()}
            for first, last in each.gaps
        ],
        "same_readings": [alike_json(one, show) for one in each.same_as],
        "neighbour": each.neighbour and alike_json(each.neighbour, show),
        "notes": list(each.notes),
        "refusal": each.refusal and refusal_json(each.refusal),
    }
