"""The coming weeks in plain text: what to look for, from which day, and how sure."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterator, Mapping, Sequence

from gddcast import words
from gddcast.handouts.dates.nothing_due import nothing_is_due
from gddcast.outlook.changes import Change
from gddcast.outlook.sightings import Seen
from gddcast.scouting.windows import ScoutingWindow, told_once
from gddcast.skill.track_record import LeadRecord
from gddcast.text import sentences
from gddcast.today.hindsight import Stage, beside
from gddcast.today.plan import SeasonPlan
from gddcast.units import Unit
from gddcast.words import Status

_WIDTH = 98
#: Statuses told in full; the others get a line each.
_IN_FULL = (
    Status.LOOK_NOW, Status.OVERDUE, Status.COMING_UP, Status.BUILDING, Status.SEEN,
    Status.CANT_SAY,
)  # fmt: skip


def ahead_text(
    plan: SeasonPlan,
    show: Unit,
    *,
    ascii_only: bool = False,
    records: Mapping[Stage, LeadRecord] | None = None,
    moved: Mapping[Stage, Change] | None = None,
    seen: Mapping[Stage, Seen] | None = None,
) -> str:
    """The whole answer, most pressing first.

    Parameters
    ----------
    plan : SeasonPlan
    show : {"F", "C"}
    ascii_only : bool
        The terminal has no status shapes.
    records : mapping, optional
        How outlooks like each near date have done here.
    moved : mapping, optional
        What has moved each date since an earlier day.
    seen : mapping, optional
        When the insect itself is seen, where its source prints a spread.
    """
    also = _beside(records or {}, moved or {}, seen or {}, show)
    lines = [*_wrap(sentences.weather_line(plan), ""), *_about_record(plan)]
    told = told_once(plan.windows)
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
                [*_full(window, plan, show, ascii_only), *also(window)]
                if status in _IN_FULL
                else _short(window, show, ascii_only)
            )
        lines += _waiting(waiting, ascii_only)
    lines += ["", *_wrap(sentences.season_line(plan, show), ""), "", *_foot()]
    return "\n".join(lines)


def _about_record(plan: SeasonPlan) -> Iterator[str]:
    yield from _wrap(sentences.behind(plan), "")
    if plan.verdict.trust != "sound":
        reasons = "; ".join(plan.verdict.reasons)
        yield from _wrap(f"Weather record: {plan.verdict.trust.upper()} ({reasons}).", "")
    if plan.watches_all:
        yield "Watching every card that has a date or a cue; --watch NAME,… narrows it."
    if plan.overrule.shape or plan.overrule.cutoff or plan.overrule.start:
        yield "Your own method stands in for the cards': dates differ from the published way."
    for note in plan.notes:
        yield from _wrap(note, "")


def _beside(
    records: Mapping[Stage, LeadRecord],
    moved: Mapping[Stage, Change],
    seen: Mapping[Stage, Seen],
    show: Unit,
) -> Callable[[ScoutingWindow], list[str]]:
    """What stands beside one date: the insect itself, what moved the date, its track record."""

    def lines(window: ScoutingWindow) -> list[str]:
        said = []
        if (insect := beside(window, seen)) is not None:
            said += _wrap(sentences.insect_seen_briefly(insect, show, own=window.own is not None))
        if (change := beside(window, moved)) is not None:
            said += _wrap(sentences.moved(change, show))
        if (record := beside(window, records)) is not None:
            said += _wrap(f"Its record here: {record.sentence}")
        return said

    return lines


def _waiting(windows: Sequence[ScoutingWindow], ascii_only: bool) -> Iterator[str]:
    """One line an organism for the stages whose clocks only a find can start."""
    for name in dict.fromkeys(window.card.name for window in windows):
        own = [window for window in windows if window.card.name == name]
        words_ = words.count(len(own), "later stage")
        stand = "waits" if len(own) == 1 else "wait"
        text = f"{_mark(own[0], ascii_only)} {name[:1].upper()}{name[1:]}: {words_} {stand}"
        yield from _wrap(f"{text} for your finds; {own[0].reason}.", "", "  ")


def _mark(window: ScoutingWindow, ascii_only: bool) -> str:
    return window.status.ascii_shape if ascii_only else window.status.shape


def _full(window: ScoutingWindow, plan: SeasonPlan, show: Unit, ascii_only: bool) -> Iterator[str]:
    yield f"{_mark(window, ascii_only)} {sentences.title(window)}"
    yield from _wrap(sentences.when(window, show))
    if window.status not in (Status.SEEN, Status.CANT_SAY):
        yield from _wrap(sentences.look(window, plan.today))
        if window.look.looks_like:
            yield from _wrap(f"Look for: {window.look.looks_like}")
    yield from _wrap(sentences.basis(window, show))
    for note in (sentences.stand_ins(window, window.moves), *window.notes):
        yield from _wrap(note)


def _short(window: ScoutingWindow, show: Unit, ascii_only: bool) -> Iterator[str]:
    words_ = sentences.when(window, show)
    yield from _wrap(f"{_mark(window, ascii_only)} {sentences.title(window)}. {words_}", "", "  ")


def _wrap(text: str, indent: str = "  ", hanging: str | None = None) -> list[str]:
    if not text:
        return []
    after = indent if hanging is None else hanging
    return textwrap.wrap(
        text, _WIDTH, initial_indent=indent, subsequent_indent=after, break_on_hyphens=False
    )


def _foot() -> Iterator[str]:
    for sentence in (words.WEATHER_ONLY + " " + words.AWAY_FROM_HOME, words.CAUTIONS):
        yield from _wrap(sentence, "")
