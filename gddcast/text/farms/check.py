"""The farms' records beside each other, for people and for programs."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from gddcast import words
from gddcast.farms.check import FarmRecord
from gddcast.text.answer import Json, as_json, iso, refusal_json
from gddcast.text.farms.board_json import alike_json
from gddcast.text.farms.doubt_words import as_sentence, same_readings
from gddcast.text.terminal import PLAIN, Line, Terminal, narrowed, table
from gddcast.text.weather.record_csv import signed
from gddcast.units import Unit

_NONE = "–"
#: Of a farm's name in a table, the first that the screen has room for.
_LETTERS = (28, 20, 14, 10)


def check_text(
    records: Sequence[FarmRecord], show: Unit, *, terminal: Terminal = PLAIN
) -> str:  # fmt: skip
    """A row a farm, then the reasons of those that are not sound."""
    good = sum(not each.needs_an_eye for each in records)
    head = f"{words.count(len(records), 'farm')} · {good} as they should be"
    readable = [each for each in records if each.refusal is None]
    lines: list[str | Line] = [Line(head, weight="bold")]
    if readable:
        lines += _table(readable, show, terminal.width)
    for each in records:
        said = [as_sentence(reason) for reason in _reasons(each)]
        if said:
            lines.append(
                Line(f"{each.farm.name}: {' '.join(said)}", "  ", "    ", strong=each.farm.name)
            )
    return terminal.show(lines)


def _table(records: Sequence[FarmRecord], show: Unit, width: int) -> list[str]:
    """Without some columns, then with shorter names, where the screen is narrow."""
    for letters in _LETTERS:
        cells = [["", "record", "years", "ends", "behind", "gaps", "best neighbour"]]
        cells += [_cells(each, show, letters) for each in records]
        fitted = narrowed(cells, width, [(2,), (3,)])
        lines = list(table(fitted, left=(0, 1, len(fitted[0]) - 1)))
        if max(map(len, lines)) <= width:
            break
    return lines


def _cells(record: FarmRecord, show: Unit, letters: int) -> list[str]:
    ends = words.short_day(record.through) if record.through else _NONE
    gaps = sum((last - first).days + 1 for first, last in record.gaps)
    neighbour = record.neighbour
    lent = _NONE
    if neighbour is not None:
        offset = signed(neighbour.offset, show)
        name = words.shortened(neighbour.farm, letters)
        lent = f"{name}: {words.count(neighbour.days, 'day')}, {offset}"
    return [
        words.shortened(record.farm.name, letters), str(record.trust), str(record.past_years),
        ends,
        words.count(record.days_behind, "day") if record.days_behind else _NONE,
        words.count(gaps, "day") if gaps else _NONE, lent,
    ]  # fmt: skip


def _reasons(record: FarmRecord) -> list[str]:
    if record.refusal is not None:
        return [f"can’t be read: {record.refusal.problem}"]
    said = list(record.reasons) if record.trust in ("shaky", "unusable") else []
    if record.same_as:
        most = max(record.same_as, key=lambda one: one.same)
        more = f" and {len(record.same_as) - 1} more" if len(record.same_as) > 1 else ""
        said.append(same_readings(most, most.farm + more))
    if not record.past_years:
        said.append("no past year is on file to continue this season")
    return [*said, *record.notes]


def check_json(records: Sequence[FarmRecord], show: Unit, moment: dt.datetime) -> str:
    """The same for programs."""
    return as_json("farms-check", moment, {"farms": [_farm(each, show) for each in records]})


def _farm(record: FarmRecord, show: Unit) -> Json:
    return {
        "name": record.farm.name,
        "file": record.farm.file,
        "needs_your_eye": record.needs_an_eye,
        "trust": record.trust and str(record.trust),
        "reasons": list(record.reasons),
        "last_day": iso(record.through),
        "days_behind": record.days_behind,
        "past_years": record.past_years,
        "gaps": [
            {"first_day": first.isoformat(), "last_day": last.isoformat()}
            for first, last in record.gaps
        ],
        "same_readings": [alike_json(one, show) for one in record.same_as],
        "neighbour": record.neighbour and alike_json(record.neighbour, show),
        "notes": list(record.notes),
        "refusal": record.refusal and refusal_json(record.refusal),
    }
