"""The reasons behind one date: heat so far, past years, what the card says and leaves out."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

import numpy as np

from gddcast import words
from gddcast.errors import shell
from gddcast.outlook.dates import Outlook
from gddcast.outlook.effects import Effect
from gddcast.outlook.sightings import InsectDates
from gddcast.scouting.windows import ScoutingWindow
from gddcast.skill.track_record import LeadRecord
from gddcast.text import numbers, sentences, weather_so_far
from gddcast.text.answer import as_json
from gddcast.text.dates.dotplot import dotplot
from gddcast.text.dates.window_json import about, insect_dates_json, item
from gddcast.text.terminal import PLAIN, Line, Terminal, under
from gddcast.today.day_counts import in_days
from gddcast.today.hindsight import forecast_trust, insect_date
from gddcast.today.plan import SeasonPlan, other_readings
from gddcast.units import Unit

_LABEL = 22
_WEEK = "This year's last 7 days"


def why_text(
    plan: SeasonPlan,
    window: ScoutingWindow,
    moves: tuple[Effect, ...],
    show: Unit,
    record: LeadRecord | None = None,
    seen: InsectDates | None = None,
    chance: float = 0.1,
    terminal: Terminal = PLAIN,
    told: set[tuple[str, str]] | None = None,
) -> str:
    """The whole answer; ``told`` are the notes that stages before it had already."""
    lines: list[str | Line] = [
        Line(weather_so_far.weather_line(plan)), Line(weather_so_far.behind(plan)), "",
        Line(sentences.title(window), weight="bold"), under(sentences.when(window, show)),
    ]  # fmt: skip
    if window.early is not None and window.late is not None:
        lines += _heat(plan, window, show)
        lines += [*_years(window.early, window.late, terminal.width), *_calibrated(window)]
    if seen is not None and window.own is None:
        said = sentences.insect_date(seen, show, window.own_beside)
        lines.append(_labelled("When it is seen", said))
    trust = forecast_trust(plan) if window.late is not None and window.late.forecast_days else None
    if trust is not None:
        lines.append(_labelled("Weather forecast", weather_so_far.forecast_errors(trust, show)))
    if record is not None and window.late is not None:
        lines.append(_labelled("Its record here", record.sentence))
    if fitted := numbers.own_number(window, show, labelled=True):
        lines += ["", _labelled("Your own finds", fitted)]
    if window.own is not None:
        lines += [_labelled("", sentences.looking_costs(window.own, chance))]
        lines += [_labelled("", f"Season by season:  gddcast tune {shell(window.card.key)} "
                                f"{window.event.key}")]  # fmt: skip
    lines += [*_card(window), *_days(window)]
    lines += _starts(window)
    lines += _left_out(window, moves)
    lines += [
        _labelled("Mind", note)
        for note in sentences.notes_once(window, set() if told is None else told)
    ]
    if window.number is not None:
        doubt = sentences.first_find_helps(window)
        if window.own is None:
            lines += ["", Line(f"{words.WEATHER_ONLY} {doubt or words.AWAY_FROM_HOME}")]
    return terminal.show(lines)


def _labelled(label: str, text: str) -> Line:
    return Line(text, f"{label:<{_LABEL}}")


def _heat(plan: SeasonPlan, window: ScoutingWindow, show: Unit) -> Iterator[str | Line]:
    yield ""
    yield _labelled("Heat so far", numbers.sum_so_far(window, show) + ".")
    if window.counting is not None and (left := numbers.still_to_go(window, show)):
        pace = ""
        known = int(np.count_nonzero(~np.isnan(plan.week.tmin + plan.week.tmax)))
        if plan.through >= plan.season.first and known and not plan.week.of_past_years:
            a_day = words.heat_rate(plan.week.pace(window.counting), show)
            days = f"{words.count(known, 'known day')} of this year's last 7"
            pace = f" {days if known < 7 else _WEEK} gave {a_day} a day."
        yield _labelled("Still to go", f"{left}.{pace}")


def _years(early: Outlook, late: Outlook, width: int) -> Iterator[str | Line]:
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
        yield _labelled(f"If{f' ({name})' if name else ''}", like)
        yield dotplot(outlook.days, " " * _LABEL, width)
        never = [dot.season for dot in outlook.dots if dot.day is None]
        if never:
            yield _labelled("Not reached in", words.listed(never))
    for name, why in late.left_out:
        yield _labelled("Year left out", f"{name}: {why}")


def _calibrated(window: ScoutingWindow) -> Iterator[Line]:
    """Spans of all that is left open: weather, and range and bracket where they are carried."""
    if window.late is None or len(window.late.dots) < sentences.FEW_YEARS:
        return
    said = [
        f"{share:.0%}: {words.span(first, last)}"
        for share, (first, last) in sorted(window.spans.items())
        if last is not None
    ]
    if said:
        yield _labelled("Spans, calibrated", "; ".join(said) + ".")


def _card(window: ScoutingWindow) -> Iterator[str | Line]:
    number = window.number
    if number is None:
        return
    yield ""
    source = window.card.citation(number.source)
    printed = numbers.as_printed(number)
    yield _labelled("What the card says", f"{printed}. {source}")
    if number.reason:
        yield _labelled("Why this number", number.reason)
    for other in window.event.numbers:
        if other is not number and other.goal is not None:
            short = window.card.sources.get(other.source)
            who = short.short if short else other.source
            yield _labelled("Beside it", f"{numbers.as_printed(other)} ({who}).")


def _days(window: ScoutingWindow) -> Iterator[str | Line]:
    """What is printed in days: in full where nothing else is, else beside the sum."""
    card = window.card
    for place, printed in enumerate(window.event.days if window.cue is None else ()):
        if window.days is not None and place == 0:
            yield ""
            note = f" {printed.note}" if printed.note else ""
            said = f"{in_days(card, printed)}.{note} {card.citation(printed.source)}"
            yield _labelled("What the card says", said)
        else:
            yield _labelled("Beside it, in days", f"{in_days(card, printed)}.")
    if window.days is not None:
        for other in window.event.numbers:
            if other.goal is not None:
                yield _labelled("Beside it", f"{numbers.as_printed(other)}.")


def _starts(window: ScoutingWindow) -> list[Line]:
    """The stages whose clocks a find of this one starts."""
    following = [event.words for event in window.card.follows(window.event.key)]
    if not following or window.cue is not None or window.is_answered:
        return []
    return [
        _labelled("A find of it starts", f"the clock of: {'; '.join(following)}."),
        _labelled("", f"gddcast saw {shell(window.card.key)} {window.event.key}"),
    ]


def _left_out(window: ScoutingWindow, moves: tuple[Effect, ...]) -> Iterator[Line]:
    if window.number is None:
        return
    gaps = [
        f"{numbers.FIELDS[name]}: {numbers.used(window, name)} used"
        for name in window.number.not_stated
    ]
    yield _labelled("What it leaves out", "; ".join(gaps) + "." if gaps else "nothing.")
    for move in moves:
        yield under(f"  {numbers.FIELDS[move.field]} {numbers.effect(move)}")


def why_json(
    plan: SeasonPlan, windows: Sequence[ScoutingWindow], show: Unit, made: dt.datetime
) -> str:
    """Each stage with the effect of every other reading of its card."""
    items = [
        item(window, show)
        | {
            "other_readings": [
                {
                    "field": move.field,
                    "used": move.used,
                    "instead": move.instead,
                    "days": list(move.days) if move.days else None,
                }
                for move in other_readings(plan, window)
            ],
            "insect_seen": insect_dates_json(insect_date(plan, window), show),
        }
        for window in windows
    ]
    return as_json("why", made, about(plan) | {"items": items})
