"""The coming weeks, for people and for programs: what to look for, from which day, how sure."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Mapping, Sequence

from gddcast import words
from gddcast.outlook.changes import Change
from gddcast.outlook.sightings import InsectDates
from gddcast.scouting.windows import ScoutingWindow, without_repeats
from gddcast.skill.track_record import LeadRecord
from gddcast.text import numbers, sentences, weather_so_far, why_moved
from gddcast.text.answer import Json, as_json
from gddcast.text.dates.nothing_due import nothing_is_due
from gddcast.text.dates.window_json import about, item_since, quantity
from gddcast.text.terminal import PLAIN, Line, Terminal, under
from gddcast.today.hindsight import Stage, beside
from gddcast.today.plan import SeasonPlan
from gddcast.units import Unit, from_celsius
from gddcast.words import Status

#: Statuses told in full; the others get a line each.
_IN_FULL = (
    Status.LOOK_NOW, Status.OVERDUE, Status.COMING_UP, Status.BUILDING, Status.SEEN,
    Status.CANT_SAY,
)  # fmt: skip


def ahead_text(
    plan: SeasonPlan,
    show: Unit,
    *,
    terminal: Terminal = PLAIN,
    records: Mapping[Stage, LeadRecord] | None = None,
    moved: Mapping[Stage, Change] | None = None,
    seen: Mapping[Stage, InsectDates] | None = None,
) -> str:
    """The whole answer, most pressing first.

    Parameters
    ----------
    plan : SeasonPlan
    show : {"F", "C"}
    terminal : Terminal
    records : mapping, optional
        How outlooks like each near date have done here.
    moved : mapping, optional
        What has moved each date since an earlier day.
    seen : mapping, optional
        When the insect itself is seen, where its source prints a spread.
    """
    also = _beside(records or {}, moved or {}, seen or {}, show)
    lines = [Line(weather_so_far.weather_line(plan)), *_about_record(plan)]
    told = without_repeats(plan.windows)
    for status in Status:
        chosen = [window for window in told if window.status is status]
        if not chosen:
            if status is Status.LOOK_NOW and (clear := nothing_is_due(plan)):
                lines += ["", f"{status.word.upper()}  {clear}"]
            continue
        lines += ["", status.word.upper()]
        waiting = [window for window in chosen if window.waits]
        for window in (each for each in chosen if not each.waits):
            lines += (
                [*_full(window, plan, show), *also(window)]
                if status in _IN_FULL
                else [_short(window, show)]
            )
        lines += _waiting(waiting)
    lines += ["", Line(weather_so_far.season_line(plan, show)), ""]
    lines += [Line(f"{words.WEATHER_ONLY} {words.AWAY_FROM_HOME}"), Line(words.CAUTIONS)]
    return terminal.show(lines)


def _about_record(plan: SeasonPlan) -> Iterator[str | Line]:
    yield Line(weather_so_far.behind(plan))
    yield from map(Line, weather_so_far.doubts(plan))
    if plan.watches_all:
        yield "Watching every card that has a date or a cue; --watch NAME,… narrows it."
    for note in plan.notes:
        yield Line(note)


def _beside(
    records: Mapping[Stage, LeadRecord],
    moved: Mapping[Stage, Change],
    seen: Mapping[Stage, InsectDates],
    show: Unit,
) -> Callable[[ScoutingWindow], list[Line]]:
    """What stands beside one date: the insect itself, what moved the date, its track record."""

    def lines(window: ScoutingWindow) -> list[Line]:
        said = []
        if (insect := beside(window, seen)) is not None:
            own = window.own_beside
            said.append(under(sentences.insect_date_briefly(insect, show, own)))
        if (change := beside(window, moved)) is not None:
            said.append(under(why_moved.why(change, show)))
        if (record := beside(window, records)) is not None:
            said.append(under(f"Its record here: {record.phrase}."))
        return said

    return lines


def _waiting(windows: Sequence[ScoutingWindow]) -> Iterator[Line]:
    """One line an organism for the stages whose clocks only a find can start."""
    for name in dict.fromkeys(window.card.name for window in windows):
        own = [window for window in windows if window.card.name == name]
        words_ = words.count(len(own), "later stage")
        stand = "waits" if len(own) == 1 else "wait"
        text = f"{words.capital(name)}: {words_} {stand} for your finds; {own[0].reason}."
        yield Line(text, status=own[0].status)


def _full(window: ScoutingWindow, plan: SeasonPlan, show: Unit) -> Iterator[Line]:
    yield Line(sentences.title(window), status=window.status, weight="bold")
    yield under(sentences.when(window, show))
    if window.status not in (Status.SEEN, Status.CANT_SAY):
        yield under(sentences.look(window, plan.today))
        if window.look.looks_like and window.event.opens_looks:
            yield under(f"Look for: {window.look.looks_like}")
    yield under(numbers.basis(window, show))
    for note in (numbers.stand_ins(window, window.moves), *window.notes):
        yield under(note)


def _short(window: ScoutingWindow, show: Unit) -> Line:
    text = f"{sentences.title(window)}. {sentences.when(window, show)}"
    return Line(text, status=window.status)


def ahead_json(
    plan: SeasonPlan,
    show: Unit,
    made: dt.datetime,
    *,
    changes: Mapping[Stage, Change] | None = None,
) -> str:
    """The whole answer as one object."""
    items = [item_since(plan, window, changes or {}, show) for window in plan.windows]
    return as_json("ahead", made, about(plan) | {"items": items, "season": _season(plan, show)})


def _season(plan: SeasonPlan, show: Unit) -> Json | None:
    here, counting = plan.standing, plan.season_sum.counting
    if here is None:
        return None
    return {
        "name": here.season.name,
        "heat": quantity(here.heat, show),
        "above": {"value": round(from_celsius(counting.lower, show), 1), "unit": f"deg{show}"},
        "upper": None
        if counting.upper == float("inf")
        else {"value": round(from_celsius(counting.upper, show), 1), "unit": f"deg{show}"},
        "shape": counting.shape.name,
        "cutoff": counting.cutoff.name,
        "starts": "{:02d}-{:02d}".format(*plan.season_sum.start),
        "rank": here.rank,
        "of": here.compared,
        "days_ahead": here.days_ahead,
        "left_out": list(here.left_out),
    }
