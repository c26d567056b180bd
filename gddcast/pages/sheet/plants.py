"""The lower bands of a scouting sheet: my plants, and the grower's own chores."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from gddcast import words
from gddcast.crops.standing import OwnChore, SowingToday, rule_days
from gddcast.crops.succession import Rules
from gddcast.weather.calendar_day import Span

#: Rows left blank for plants where no sowing is on record.
_BLANK = 2


@dataclass(frozen=True, slots=True)
class Plants:
    """A row a sowing: what is known of it before and after the boxes for its size.

    Parameters
    ----------
    day : str
        What the ages are for.
    side_dress, sow_next : str
        Weeks from the first pick, by the grower's own rules.
    rows : tuple of (tuple of str, tuple of str)
        Name, day sown, age; and first pick, side-dressing, next sowing.
    """

    day: str
    side_dress: str
    sow_next: str
    rows: tuple[tuple[tuple[str, ...], tuple[str, ...]], ...]


def my_plants(
    sowings: Sequence[SowingToday],
    day: dt.date,
    today: dt.date,
    rules: Rules,
    sow_next: Mapping[str | None, Span],
) -> Plants:
    """The band of plants.

    Parameters
    ----------
    sowings : sequence of SowingToday
        Those in the ground; blank rows where there are none.
    day, today : datetime.date
        Day the ages are for, and the day they were worked out on.
    rules : Rules
        The grower's own, for side-dressing and the next sowing.
    sow_next : mapping of str to (datetime.date, datetime.date)
        Days to sow the next one, by the name of a sowing; none where it is not worth it.
    """
    low, high = rules.sow_next_weeks
    later = (day - today).days
    rows = tuple(
        (
            (_name(each), words.short_day(each.sowing.sown_on), str(each.age_days + later)),
            _later(each, sowings, rules, sow_next.get(each.sowing.name)),
        )
        for each in sowings
    )
    return Plants(
        words.short_day(day),
        str(rules.side_dress_weeks),
        f"{high}" if low == high else f"{low}–{high}",
        rows or ((("", "", ""), ("", "", "")),) * _BLANK,
    )


def _name(sowing: SowingToday) -> str:
    """Crop and bed; the day it was sown stands beside them."""
    crop = words.capital(sowing.sowing.crop.replace("-", " "))
    return f"{crop}, {sowing.sowing.bed}" if sowing.sowing.bed else crop


def _later(
    sowing: SowingToday, sowings: Sequence[SowingToday], rules: Rules, next_one: Span | None
) -> tuple[str, ...]:
    """First pick, side-dressing and next sowing, as far as they are on record."""
    picked, short = sowing.done("first-pick"), words.short_day
    if picked is None:
        return ("", "", "")
    side, _ = rule_days(picked, rules.side_dress_weeks, rules.sow_next_weeks)
    dressed = sowing.done("side-dressed")
    newer = [other.sowing.sown_on for other in sowings if other.names == sowing.names]
    newer = [day for day in newer if day > sowing.sowing.sown_on]
    return (
        short(picked),
        f"done {short(dressed)}" if dressed else short(side),
        f"sown {short(min(newer))}"
        if newer
        else f"{short(next_one[0])} – {short(next_one[1])}"
        if next_one
        else "–",
    )


def chore_notes(sowings: Sequence[SowingToday], due: Sequence[OwnChore]) -> Iterator[str]:
    """What the grower's own rules ask for by the end of the week, covers on, plants in flower."""
    asked = [
        f"{each.words}, {each.whose or each.where}, from {words.short_day(each.first)} "
        f"({each.rule})"
        for each in due
    ]
    if asked:
        yield f"By your rules: {'; '.join(asked)}."
    covered = [each for each in sowings if each.covered]
    if covered:
        names = [
            f"{each.called} (since {words.day(on, weekday=False)})"
            for each in covered
            if (on := each.done("covered"))
        ]
        yield f"Covered: {'; '.join(names)}; off at the first female flower (common practice)."
    flowering = [each.called for each in sowings if each.in_flower]
    if flowering:
        yield f"In flower: {'; '.join(flowering)}. Nothing on flowers."
