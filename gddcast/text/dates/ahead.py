"""The coming weeks, for people and for programs: one axis of days, a row a stage, a dot a year."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from gddcast import words
from gddcast.outlook.changes import Change
from gddcast.scouting.windows import ScoutingWindow, without_repeats
from gddcast.text import sentences, weather_so_far, why_moved
from gddcast.text.answer import Json, as_json
from gddcast.text.dates.ahead_full import about_record
from gddcast.text.dates.day_axis import DayAxis
from gddcast.text.dates.nothing_due import nothing_is_due
from gddcast.text.dates.under_way import earlier_stages
from gddcast.text.dates.window_json import about, item_since, quantity
from gddcast.text.terminal import PLAIN, Beside, Line, Terminal
from gddcast.today.beside_dates import Stage, beside
from gddcast.today.plan import SeasonPlan
from gddcast.units import Unit, from_celsius
from gddcast.words import Status

#: A stage to look for, or to begin, within so many days has a row; later ones are named.
NEAR_DAYS = 42
#: With more rows than these, dates that ask for no look are named below, not drawn.
_ROWS = 16
#: So many are named of later stages, and of those that have no date.
_MOST = 4
_DUE = (Status.LOOK_NOW, Status.OVERDUE)
_NO_DATE = (Status.CANT_SAY, Status.NOT_THIS_SEASON)
_TO_COME = (Status.COMING_UP, Status.BUILDING, Status.QUIET)


def ahead_text(
    plan: SeasonPlan,
    show: Unit,
    *,
    terminal: Terminal = PLAIN,
    changes: Mapping[Stage, Change] | None = None,
    causes: bool = False,
) -> str:
    """What is near on one axis, by the day to look; the rest in a line each.

    Parameters
    ----------
    plan : SeasonPlan
    show : {"F", "C"}
    terminal : Terminal
    changes : mapping, optional
        What has moved each date since an earlier day.
    causes : bool
        Whether what moved it is said as well.
    """
    stages = without_repeats(plan.windows)
    due = sorted((each for each in stages if each.status in _DUE), key=_day)
    to_come = sorted((each for each in stages if _is_to_come(each)), key=_day)
    near = [each for each in to_come if (_day(each) - plan.today).days <= NEAR_DAYS]
    lines: list[str | Line | Beside] = [
        Line(weather_so_far.weather_line(plan)), *about_record(plan), ""
    ]  # fmt: skip
    if not due and (clear := nothing_is_due(plan)):
        lines += [Line(f"{words.capital(clear)}.", weight="bold"), ""]
    charted = [*due, *near]
    if len(charted) > _ROWS:
        charted = [each for each in charted if each.event.opens_looks or each.card.group == "crop"]
    dates_only = [each for each in near if each not in charted]
    rows = [
        (each, _date_line(each, plan.today, show, beside(each, changes or {}), causes=causes))
        for each in charted
    ]
    lines += [*_chart(rows, plan.today, terminal.width), ""] if rows else []
    shown = {(each.card.key, each.event.key) for each in (*due, *near)}
    others = [each for each in stages if (each.card.key, each.event.key) not in shown]
    rest = [
        *earlier_stages(others),
        *_named("Dates that ask for no look", dates_only, show),
        *_named("Later", to_come[len(near) :], show),
        *_undated(others, show),
    ]
    lines += [*rest, ""] if rest else []
    lines += [Line(weather_so_far.season_line(plan, show)), _where_the_rest_is(stages)]
    lines += [Line(words.CAUTIONS, weight="dim")]
    return terminal.show(lines)


def _is_to_come(window: ScoutingWindow) -> bool:
    return window.status in _TO_COME and window.late is not None and bool(window.late.days)


def _day(window: ScoutingWindow) -> dt.date:
    """The day to start looking, else the day it may come; a sign has neither and comes first."""
    return window.opens or window.fastest or dt.date.min


def _chart(
    rows: Sequence[tuple[ScoutingWindow, Line]], today: dt.date, width: int
) -> Iterator[str | Line | Beside]:
    """One axis, from this week to the last dot."""
    names = [_name(window) for window, _ in rows]
    column = min(max(map(len, names)), width * 2 // 5) + 2
    dots = [_dots(window) for window, _ in rows]
    days = [today, *(day for ends in dots for end in ends for day in end)]
    axis = DayAxis.over(min(days), max(days), width - column)
    if any(dots):
        yield from (" " * column + line for line in axis.head())
    marks: list[str] = []
    for (window, said), name, ends in zip(rows, names, dots, strict=True):
        opens = window.opens if window.event.opens_looks else None
        drawn = tuple(axis.row(end, today=today, look_from=opens) for end in ends)
        marks += drawn
        yield Beside(name, column, drawn, said)
    if marks:
        both = any(len(ends) > 1 for ends in dots)
        two = " Two lines of dots: at the earliest, at the latest." if both else ""
        yield from ("", Line(f"{axis.legend(marks)}{two}", weight="dim"))


def _name(window: ScoutingWindow) -> str:
    """The stage; of a crop with its sowing, for each has dates of its own."""
    name, clock = sentences.title(window), window.clock
    if clock is None or clock.kind != "sowing":
        return name
    return f"{name} ({clock.starts})"


def _dots(window: ScoutingWindow) -> list[Sequence[dt.date]]:
    """Days of past years in one line, or of both ends of a range or a bracket in two."""
    if window.late is None or not window.late.days or window.bracket is not None:
        return []
    early, late = window.early, window.late
    if early is None or not early.days or early.days == late.days:
        return [late.days]
    return [early.days, late.days]


def _date_line(
    window: ScoutingWindow, today: dt.date, show: Unit, change: Change | None, *, causes: bool
) -> Line:
    parts, opens = [], ""
    if window.status in _DUE:
        parts.append(f"{words.capital(window.status.word)}.")
    elif window.event.opens_looks and window.opens is not None:
        opens = words.day(window.opens)
        parts.append(f"Look from {opens}." if window.opens > today else "Look now.")
    parts.append(sentences.when_briefly(window, show, middle=False))
    if window.early is not None and window.early.reached and _dots(window):
        parts.append("Dots: at the latest.")
    sum_ = window.goes_by_finds and bool(_dots(window))
    if sum_:
        parts.append("Dots: the middle sum of your finds reached.")
    if change is not None:
        was = why_moved.was(change, "that" if sum_ else "it")
        parts.append(why_moved.why(change, show) if causes else was)
    return Line(" ".join(parts), strong=opens or window.status.word.capitalize())


def _named(heading: str, windows: Sequence[ScoutingWindow], show: Unit) -> Iterator[Line]:
    named = []
    for window in windows:
        when = sentences.when_briefly(window, show, middle=False).rstrip(".")
        named.append(f"{_name(window)} ({when[:1].lower()}{when[1:]})")
    if named:
        yield Line(f"{heading}: {_few(named)}")


def _undated(windows: Sequence[ScoutingWindow], show: Unit) -> Iterator[Line]:
    """Stages that have no date, each with the reason."""
    waiting = [each for each in windows if each.waits and each.status is not Status.CANT_SAY]
    if waiting:
        cards = Counter(words.capital(each.card.name) for each in waiting)
        named = [f"{name} ({words.count(many, 'stage')})" for name, many in cards.items()]
        yield Line(f"No date before a find or sowing of yours: {_few(named)}")
    signs = [each for each in windows if each.cue is not None and each.status is Status.QUIET]
    if signs:
        named = list(dict.fromkeys(sentences.title(each) for each in signs))
        yield Line(f"By a sign, not by heat: {_few(named)}")
    unsaid: dict[tuple[Status, str], list[str]] = {}
    for each in windows:
        if each.status in _NO_DATE:
            reason = words.sentence(each.reason or "") if each.waits else sentences.when(each, show)
            unsaid.setdefault((each.status, reason), []).append(sentences.title(each))
    for (status, reason), titles in [*unsaid.items()][:_MOST]:
        yield Line(f"{_few(titles)} {reason}", status=status)
    if more := sum(map(len, [*unsaid.values()][_MOST:])):
        yield Line(f"Of {more} more there is no date.")


def _few(named: Sequence[str]) -> str:
    more = len(named) - _MOST
    said = "; ".join(named[:_MOST])
    return f"{said}; and {more} more." if more > 0 else f"{said}."


def _where_the_rest_is(windows: Sequence[ScoutingWindow]) -> Line:
    """What is left out, and where it is said."""
    seen = sum(each.status is Status.SEEN for each in windows)
    past = sum(
        each.status is Status.CLOSED or (each.status is Status.QUIET and each.reached is not None)
        for each in windows
    )
    out = [f"{many} {word}" for many, word in ((seen, "seen"), (past, "past")) if many]
    also = f", also of stages left out here ({words.listed(out)})" if out else ""
    return Line(f"--full says where to look, the sum and source of each{also}.", weight="dim")


def ahead_json(
    plan: SeasonPlan,
    show: Unit,
    moment: dt.datetime,
    *,
    changes: Mapping[Stage, Change] | None = None,
) -> str:
    """The whole answer as one object."""
    items = [item_since(plan, window, changes or {}, show) for window in plan.windows]
    return as_json("ahead", moment, about(plan) | {"items": items, "season": _season(plan, show)})


def _season(plan: SeasonPlan, show: Unit) -> Json | None:
    standing, counting = plan.standing, plan.season_sum.counting
    if standing is None:
        return None
    return {
        "name": standing.season.name,
        "heat": quantity(standing.heat, show),
        "above": {"value": round(from_celsius(counting.lower, show), 1), "unit": f"deg{show}"},
        "upper": None
        if counting.upper == float("inf")
        else {"value": round(from_celsius(counting.upper, show), 1), "unit": f"deg{show}"},
        "shape": counting.shape.name,
        "cutoff": counting.cutoff.name,
        "starts": "{:02d}-{:02d}".format(*plan.season_sum.start),
        "rank": standing.rank,
        "of": standing.compared,
        "days_ahead": standing.days_ahead,
        "left_out": list(standing.left_out),
    }
