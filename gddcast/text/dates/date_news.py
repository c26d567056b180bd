"""Which dates moved enough to be news, each in one line: the new days, and by how many."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from gddcast import words
from gddcast.errors import Command, command
from gddcast.outlook.changes import Change, is_move
from gddcast.scouting.windows import ScoutingWindow
from gddcast.text import insect_dates
from gddcast.text.terminal import Line
from gddcast.text.why_moved import dates_in_words
from gddcast.today.beside_dates import Stage, beside, stage_of
from gddcast.today.changes import NEAR
from gddcast.today.today import Today
from gddcast.today.walk_groups import no_longer_near
from gddcast.units import rounded
from gddcast.words import Status, capital, day, spelled

#: A date that moved by less is no news: it may move back tomorrow. [d]
MOVED_DAYS = 2


def change_lines(today: Today, most: int, command: Command = command) -> Iterator[Line]:
    """Dates that moved by two days or more, since they were told or in a week; the most first.

    A day to start looking that became later since it was told is said whatever it moved by, until
    it is there.
    """
    plan, shown = today.plan, {stage_of(each.window) for each in today.by_bed.coming}
    gone = [window for window, _ in no_longer_near(plan, today.changes)]
    moves: dict[Stage, tuple[float, ScoutingWindow, Change]] = {}
    for window in plan.windows:
        if not window.event.opens_looks or (window.status not in NEAR and window not in gone):
            continue
        for known in (today.changes, today.changes_since_last_week):
            change = beside(window, known)
            if change is None:
                continue
            by, later = _days_shifted(change), _opens_later(change, plan.today)
            later = later and stage_of(window) not in shown
            if window.status is Status.BUILDING and not (change.announced or window in gone):
                continue  # nobody was told of it yet
            if later or (is_move(change) and by >= MOVED_DAYS):
                moves.setdefault(stage_of(window), (by, window, change))
    news = sorted(moves.values(), key=lambda each: -each[0])
    if not news:
        return
    days = {change.day for _, _, change in news}
    since = f" since {day(min(days))}" if len(days) == 1 else ""
    yield Line(f"Moved by two days or more{since}", weight="bold")
    for _, window, change in news[:most]:
        than = "" if since else f" than on {day(change.day)}"
        yield Line(_move_words(window, change, plan.today, than), "  ", "    ")
    if more := news[most:]:
        yield Line(f"And {spelled(len(more), 'more date')}:  {command('walk', '--full')}", "  ")


def _opens_later(change: Change, today: dt.date) -> bool:
    """Whether the day to start looking moved and is still to come."""
    return change.opens is not None and change.opens[1] > today


def _move_words(window: ScoutingWindow, change: Change, today: dt.date, than: str) -> str:
    then, now = dates_in_words(change.before), dates_in_words(change.after)
    if window.goes_by_finds and window.insect is not None:
        # What moved are the days of the sum; the date that people act on is wider.
        now, then = insect_dates.by_finds_briefly(window.insect), f"its sum {then}"
    said = f"{capital(window.card.name)}, {window.event.words}: {now}"
    shift = _shift(change)
    if shift is None or abs(shift) < 1:
        said += f", was {then}"
    else:
        days = words.count(int(rounded(abs(shift))), "day")
        said += f", {days} {'later' if shift > 0 else 'earlier'}{than}"
    if change.opens is not None and _opens_later(change, today):
        said += "; look from {1}, not {0}".format(*map(day, change.opens))
    if [move.cause for move in change.moves if move.is_shift] == ["method or card"]:
        said += "; by another method or card, not by the weather"
    return said


def _shift(change: Change) -> float | None:
    """Days by which the middle of the span moved; None where a date came or went. [d]"""
    before, after = change.before, change.after
    firsts, lasts = (before.fastest, after.fastest), (before.slowest, after.slowest)
    if any((then is None) is not (now is None) for then, now in (firsts, lasts)):
        return None
    return (_later(*firsts) + _later(*(lasts if lasts[0] else firsts))) / 2


def _days_shifted(change: Change) -> float:
    """By how much the middle of the span moved, or it now reaches beyond what it was. [d]

    A span that only narrows leaves what was said true: that is no news. A date that came or went
    moved most.
    """
    before, after, shift = change.before, change.after, _shift(change)
    if shift is None:
        return 366.0
    earlier, later = _later(after.fastest, before.fastest), _later(before.slowest, after.slowest)
    return max(earlier, later, abs(shift))


def _later(then: dt.date | None, now: dt.date | None) -> int:
    return 0 if then is None or now is None else (now - then).days
