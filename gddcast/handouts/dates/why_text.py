"""The reasons behind one date: heat so far, past years, what the card says and leaves out."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

import numpy as np

from gddcast import words
from gddcast.errors import shell
from gddcast.handouts.dates.dotplot import dotplot
from gddcast.outlook.dates import Outlook
from gddcast.outlook.effects import Effect
from gddcast.outlook.sightings import Seen
from gddcast.scouting.windows import ScoutingWindow
from gddcast.skill.track_record import LeadRecord
from gddcast.text import sentences
from gddcast.today.hindsight import forecast_trust
from gddcast.today.plan import SeasonPlan
from gddcast.units import Unit

_LABEL = 22
_WIDTH = 98
_WEEK = "This year's last 7 days"


def why_text(
    plan: SeasonPlan,
    window: ScoutingWindow,
    moves: tuple[Effect, ...],
    show: Unit,
    record: LeadRecord | None = None,
    seen: Seen | None = None,
) -> str:
    """The whole answer."""
    lines = [line for said in (sentences.weather_line(plan), sentences.behind(plan))
             for line in textwrap.wrap(said, _WIDTH)]  # fmt: skip
    lines += ["", sentences.title(window)]
    lines += _told("", sentences.when(window, show))
    if window.early is not None and window.late is not None:
        lines += _heat(plan, window, show)
        lines += [*_years(window.early, window.late), *_calibrated(window)]
    if seen is not None:
        lines += _told(
            "When it is seen", sentences.insect_seen(seen, show, own=window.own is not None)
        )
    trust = forecast_trust(plan) if window.late is not None and window.late.forecast_days else None
    if trust is not None:
        lines += _told("Weather forecast", sentences.forecast_errors(trust))
    if record is not None and window.late is not None:
        lines += _told("Its record here", record.sentence)
    if own := sentences.own_number(window, show):
        lines += ["", *_told("Your own number", own.removeprefix("Your own number "))]
    lines += _card(window)
    lines += _starts(window)
    lines += _left_out(window, moves)
    for note in window.notes:
        lines += _told("Mind", note)
    if window.number is not None:
        lines += ["", *textwrap.wrap(f"{words.WEATHER_ONLY} {words.AWAY_FROM_HOME}", _WIDTH)]
    return "\n".join(lines)


def _told(label: str, text: str) -> list[str]:
    return textwrap.wrap(
        text,
        _WIDTH,
        initial_indent=f"{label:<{_LABEL}}" if label else "  ",
        subsequent_indent=" " * (_LABEL if label else 2),
        break_on_hyphens=False,
    )


def _heat(plan: SeasonPlan, window: ScoutingWindow, show: Unit) -> Iterator[str]:
    yield ""
    yield from _told("Heat so far", sentences.sum_so_far(window, show) + ".")
    if window.counting is not None and (left := sentences.still_to_go(window, show)):
        pace = ""
        known = int(np.count_nonzero(~np.isnan(plan.week.tmin + plan.week.tmax)))
        if plan.through >= plan.season.first and known and not plan.week.of_past_years:
            a_day = words.heat_rate(plan.week.pace(window.counting), show)
            days = f"{words.count(known, 'known day')} of this year's last 7"
            pace = f" {days if known < 7 else _WEEK} gave {a_day} a day."
        yield from _told("Still to go", f"{left}.{pace}")


def _years(early: Outlook, late: Outlook) -> Iterator[str]:
    ends = [("", late)] if early is late else [("at the earliest", early), ("at the latest", late)]
    for name, outlook in ends:
        if not outlook.days:
            continue
        first = next(dot for dot in outlook.dots if dot.day == outlook.days[0])
        last = [dot for dot in outlook.dots if dot.day is not None][-1]
        like = f"the rest of the season ran like {first.season}: {words.day(outlook.days[0])}"
        if last is not first:
            like += f" … {last.season}: {words.day(outlook.days[-1])}"
        like += f" ({words.count(len(outlook.dots), 'past year')})"
        yield from _told(f"If{f' ({name})' if name else ''}", like)
        yield dotplot(outlook.days, " " * _LABEL)
        never = [dot.season for dot in outlook.dots if dot.day is None]
        if never:
            yield from _told("Not reached in", words.listed(never))
    for name, why in late.left_out:
        yield from _told("Year left out", f"{name}: {why}")


def _calibrated(window: ScoutingWindow) -> Iterator[str]:
    """Spans of all that is left open: weather, and range and bracket where they are carried."""
    if window.late is None or len(window.late.dots) < sentences.FEW_YEARS:
        return
    said = [
        f"{share:.0%}: {words.span(first, last)}"
        for share, (first, last) in sorted(window.spans.items())
        if last is not None
    ]
    if said:
        yield from _told("Spans, calibrated", "; ".join(said) + ".")


def _card(window: ScoutingWindow) -> Iterator[str]:
    number = window.number
    if number is None:
        return
    yield ""
    source = window.card.citation(number.source)
    printed = sentences.as_printed(number)
    yield from _told("What the card says", f"{printed}. {source}")
    if number.reason:
        yield from _told("Why this number", number.reason)
    for other in window.event.numbers:
        if other is not number and other.goal is not None:
            short = window.card.sources.get(other.source)
            who = short.short if short else other.source
            yield from _told("Beside it", f"{sentences.as_printed(other)} ({who}).")


def _starts(window: ScoutingWindow) -> list[str]:
    """The stages whose clocks a find of this one starts."""
    following = [event.words for event in window.card.follows(window.event.key)]
    if not following or window.cue is not None or window.found is not None:
        return []
    return [
        *_told("A find of it starts", f"the clock of: {'; '.join(following)}."),
        f"{'':<{_LABEL}}gddcast saw {shell(window.card.key)} {window.event.key}",
    ]


def _left_out(window: ScoutingWindow, moves: tuple[Effect, ...]) -> Iterator[str]:
    if window.number is None:
        return
    gaps = [
        f"{sentences.FIELDS[name]}: {sentences.used(window, name)} used"
        for name in window.number.not_stated
    ]
    yield from _told("What it leaves out", "; ".join(gaps) + "." if gaps else "nothing.")
    for move in moves:
        yield from _told("", f"  {sentences.FIELDS[move.field]} {sentences.effect(move)}")
