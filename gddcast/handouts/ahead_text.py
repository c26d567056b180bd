"""The coming weeks in plain text: what to look for, from which day, and how sure."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from gddcast import sentences, words
from gddcast.plan import SeasonPlan
from gddcast.scouting import ScoutingWindow
from gddcast.units import Unit
from gddcast.words import Status

_WIDTH = 98
#: Statuses told in full; the others get a line each.
_IN_FULL = (
    Status.LOOK_NOW, Status.OVERDUE, Status.COMING_UP, Status.BUILDING, Status.SEEN,
    Status.CANT_SAY,
)  # fmt: skip


def ahead_text(plan: SeasonPlan, show: Unit, *, ascii_only: bool = False) -> str:
    """The whole answer, most pressing first."""
    lines = [sentences.weather_line(plan), *_about_record(plan)]
    for status in Status:
        chosen = [window for window in plan.windows if window.status is status]
        if not chosen:
            if status is Status.LOOK_NOW:
                lines += ["", f"{status.word.upper()}  nothing on your list is due"]
            continue
        lines += ["", status.word.upper()]
        for window in chosen:
            lines += (
                _full(window, plan, show, ascii_only)
                if status in _IN_FULL
                else _short(window, show, ascii_only)
            )
    lines += ["", *_wrap(sentences.season_line(plan, show), ""), "", *_foot()]
    return "\n".join(lines)


def _about_record(plan: SeasonPlan) -> Iterator[str]:
    if plan.verdict.trust != "sound":
        reasons = "; ".join(plan.verdict.reasons)
        yield from _wrap(f"Weather record: {plan.verdict.trust.upper()} ({reasons}).", "")
    if plan.watches_all:
        yield "Watching every card that has a date or a cue; --watch NAME,… narrows it."
    if plan.overrule.shape or plan.overrule.cutoff or plan.overrule.start:
        yield "Your own method stands in for the cards': dates differ from the published way."
    for note in plan.notes:
        yield from _wrap(note, "")


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
