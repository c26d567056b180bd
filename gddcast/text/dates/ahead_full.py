"""The coming weeks in full: a paragraph a stage, with its sum, its source and what moved it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from gddcast import words
from gddcast.outlook.changes import Change
from gddcast.outlook.sightings import InsectDates
from gddcast.scouting.windows import ScoutingWindow, without_repeats
from gddcast.skill.track_record import LeadRecord
from gddcast.text import insect_dates, looks, numbers, sentences, weather_so_far, why_moved
from gddcast.text.dates.nothing_due import nothing_is_due
from gddcast.text.dates.under_way import earlier_stages
from gddcast.text.terminal import PLAIN, Line, Terminal, under
from gddcast.text.watching import watch_hint
from gddcast.today.beside_dates import Stage, beside
from gddcast.today.plan import SeasonPlan
from gddcast.units import Unit
from gddcast.words import Status, day

#: Statuses told in full; the others get a line each.
_IN_FULL = (
    Status.LOOK_NOW, Status.OVERDUE, Status.COMING_UP, Status.BUILDING, Status.SEEN,
    Status.CANT_SAY,
)  # fmt: skip


def ahead_in_full(
    plan: SeasonPlan,
    show: Unit,
    *,
    terminal: Terminal = PLAIN,
    records: Mapping[Stage, LeadRecord] | None = None,
    changes: Mapping[Stage, Change] | None = None,
    insects: Mapping[Stage, InsectDates] | None = None,
) -> str:
    """The whole answer, most pressing first.

    Parameters
    ----------
    plan : SeasonPlan
    show : {"F", "C"}
    terminal : Terminal
    records : mapping, optional
        How outlooks like each near date have done here.
    changes : mapping, optional
        What has moved each date since an earlier day.
    insects : mapping, optional
        When the insect itself is seen, where its source prints a spread.
    """
    also = _beside(records or {}, changes or {}, insects or {}, show)
    lines = [Line(weather_so_far.weather_line(plan)), *about_record(plan)]
    scouting_windows = without_repeats(plan.windows)
    noted: set[tuple[str, str]] = set()
    for status in Status:
        chosen = [window for window in scouting_windows if window.status is status]
        if not chosen:
            if status is Status.LOOK_NOW and (clear := nothing_is_due(plan)):
                lines += ["", f"{status.word.upper()}  {clear}"]
            continue
        lines += ["", status.word.upper()]
        if status is Status.UNDER_WAY:
            lines += earlier_stages(chosen)
            continue
        waiting = [window for window in chosen if window.waits]
        for window in (each for each in chosen if not each.waits):
            lines += (
                [*_full(window, plan, show, noted), *also(window)]
                if status in _IN_FULL
                else [_short(window, show)]
            )
        lines += _waiting(waiting)
    lines += ["", Line(weather_so_far.season_line(plan, show)), ""]
    lines += [Line(f"{words.WEATHER_ONLY} {words.AWAY_FROM_HOME}"), Line(words.CAUTIONS)]
    return terminal.show(lines)


def about_record(plan: SeasonPlan) -> Iterator[str | Line]:
    """What makes all dates less sure, and what is watched."""
    yield Line(weather_so_far.behind(plan))
    yield from map(Line, weather_so_far.doubts(plan))
    if plan.watches_all:
        yield "Every card that has a date or a cue; --grow CROP,… or --watch NAME,… narrows it."
    if said := watch_hint(plan.watching):
        yield Line(said)
    for note in plan.notes:
        yield Line(note)


def _beside(
    records: Mapping[Stage, LeadRecord],
    changes: Mapping[Stage, Change],
    insects: Mapping[Stage, InsectDates],
    show: Unit,
) -> Callable[[ScoutingWindow], list[Line]]:
    """What stands beside one date: the insect itself, what moved the date, its track record."""

    def lines(window: ScoutingWindow) -> list[Line]:
        said = []
        if (insect := beside(window, insects)) is not None:
            own_finds = window.finds_beside
            said.append(under(insect_dates.dates_briefly(insect, show, own_finds)))
        if (change := beside(window, changes)) is not None:
            said.append(under(why_moved.why(change, show)))
        if (record := beside(window, records)) is not None:
            said.append(under(f"Its record here: {record.phrase}."))
        return said

    return lines


def _waiting(windows: Sequence[ScoutingWindow]) -> Iterator[Line]:
    """One line an organism for the stages whose clocks only a find can start."""
    for name in dict.fromkeys(window.card.name for window in windows):
        scouting_windows = [window for window in windows if window.card.name == name]
        words_ = words.count(len(scouting_windows), "later stage")
        stand = "waits" if len(scouting_windows) == 1 else "wait"
        text = (
            f"{words.capital(name)}: {words_} {stand} for your finds; {scouting_windows[0].reason}."
        )
        yield Line(text, status=scouting_windows[0].status)


def _full(
    window: ScoutingWindow, plan: SeasonPlan, show: Unit, noted: set[tuple[str, str]]
) -> Iterator[Line]:
    yield Line(sentences.title(window), status=window.status, weight="bold")
    yield under(sentences.when(window, show))
    if window.status not in (Status.SEEN, Status.CANT_SAY):
        opens = day(window.opens) if window.opens else ""
        yield Line(looks.look(window, plan.today), "  ", strong=opens)
        if window.look.looks_like and window.event.opens_looks:
            yield under(f"Look for: {window.look.looks_like}")
    yield Line(numbers.basis(window, show), "  ", weight="dim")
    for note in (numbers.stand_ins(window, window.moves), *looks.notes_once(window, noted)):
        yield under(note)


def _short(window: ScoutingWindow, show: Unit) -> Line:
    text = f"{sentences.title(window)}. {sentences.when(window, show)}"
    return Line(text, status=window.status)
