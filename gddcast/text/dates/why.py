"""The reasons behind one date: heat so far, past years, what the card says and leaves out."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

import numpy as np

from gddcast import words
from gddcast.cards.model import Card
from gddcast.errors import Command, command
from gddcast.outlook.dates import Outlook
from gddcast.outlook.effects import Effect
from gddcast.outlook.sightings import InsectDates
from gddcast.scouting.reservations import last_promised
from gddcast.scouting.windows import ScoutingWindow
from gddcast.skill.track_record import LeadRecord
from gddcast.text import insect_dates, looks, numbers, sentences, weather_so_far
from gddcast.text.answer import as_json
from gddcast.text.dates.dotplot import dotplot
from gddcast.text.dates.window_json import about, insect_dates_json, item
from gddcast.text.terminal import PLAIN, Line, Terminal, under
from gddcast.today.beside_dates import forecast_trust, insect_date
from gddcast.today.day_counts import in_days
from gddcast.today.plan import SeasonPlan, other_readings
from gddcast.today.today import Today
from gddcast.units import Unit

_LABEL = 22
_WEEK = "This year’s last 7 days"


def why_text(
    plan: SeasonPlan,
    window: ScoutingWindow,
    moves: tuple[Effect, ...],
    show: Unit,
    record: LeadRecord | None = None,
    insect: InsectDates | None = None,
    chance: float = 0.1,
    terminal: Terminal = PLAIN,
    notes_shown: set[tuple[str, str]] | None = None,
    *,
    brood: str = "",
    signs: Sequence[str] = (),
    full: bool = True,
    command: Command = command,
) -> str:
    """The answer: the number used first, then the sum, the years and what is left open.

    ``notes_shown`` are the notes that stages before it had already; ``signs`` stand beside the sum;
    ``brood`` is what heat allows of a later one; ``full`` adds the citation, other numbers, dots
    of both ends, and every other reading.
    """
    lines: list[str | Line] = [
        Line(weather_so_far.weather_line(plan)), Line(weather_so_far.behind(plan)), "",
        Line(sentences.title(window), weight="bold"), under(sentences.when(window, show)), "",
    ]  # fmt: skip
    lines += reasons(
        plan, window, moves, show, record, insect, chance, notes_shown,
        brood=brood, signs=signs, full=full, width=terminal.width, command=command,
    )  # fmt: skip
    if window.number is not None and window.own_finds is None:
        doubt = insect_dates.first_find_helps(window) or words.AWAY_FROM_HOME
        only = words.WEATHER_ONLY if full else words.WEATHER_BRIEFLY
        lines += ["", Line(f"{only} {doubt}")]
    if not full and window.number is not None:
        lines.append(Line("Citation, other numbers, dots of both ends, every reading:  --full"))
    return terminal.show(_no_double_gaps(lines))


def reasons(
    plan: SeasonPlan,
    window: ScoutingWindow,
    moves: tuple[Effect, ...],
    show: Unit,
    record: LeadRecord | None,
    insect: InsectDates | None,
    chance: float,
    notes_shown: set[tuple[str, str]] | None,
    *,
    brood: str,
    signs: Sequence[str],
    full: bool,
    width: int | None,
    command: Command = command,
) -> list[str | Line]:
    """What a date rests on, a label and a text a line; without a width nothing for a terminal."""
    lines: list[str | Line] = []
    lines += [*_card(window, full=full), *_days(window, full=full)]
    if window.early is not None and window.late is not None:
        lines += _heat(plan, window, show)
        dots = None if window.early is not window.late and not full else width
        lines += [*_years(window.early, window.late, dots), *_calibrated(window)]
    if insect is not None and window.own_finds is None:
        said = insect_dates.dates(insect, show, window.finds_beside)
        lines.append(_labelled("When it is seen", said))
    trust = forecast_trust(plan) if window.late is not None and window.late.forecast_days else None
    if trust is not None:
        lines.append(_labelled("Weather forecast", weather_so_far.forecast_errors(trust, show)))
    elif old := weather_so_far.old_forecast(plan):
        lines.append(_labelled("Weather forecast", old))
    if record is not None and window.late is not None:
        lines.append(_labelled("Its record here", record.sentence))
    if fitted := numbers.own_number(window, show, labelled=True):
        lines.append(_labelled("Your own finds", fitted))
    if window.own_finds is not None:
        lines += [_labelled("", insect_dates.looking_costs(window.own_finds, chance))]
    if window.own_finds is not None and width is not None:
        finds = command("tune", window.card.key, window.event.key)
        lines += [_labelled("", f"Season by season:  {finds}")]
    lines += [_labelled("Or by a sign", sign) for sign in signs]
    lines.append(_labelled("Second brood", brood))
    lines += _left_out(window, moves, full=full)
    if full:
        lines += _starts(window, command)[: 2 if width is not None else 1]
    lines += [
        _labelled("Mind", note)
        for note in looks.notes_once(window, set() if notes_shown is None else notes_shown)
    ]
    return lines


def _no_double_gaps(lines: Sequence[str | Line]) -> Iterator[str | Line]:
    """Lines with one empty one where several, or nothing, would stand between."""
    gap = False
    for line in lines:
        if line == "":
            gap = True
            continue
        if isinstance(line, Line) and not line.text:
            continue
        if gap:
            yield ""
        gap = False
        yield line


def stages_text(
    plan: SeasonPlan,
    windows: Sequence[ScoutingWindow],
    show: Unit,
    brood: str = "",
    terminal: Terminal = PLAIN,
    command: Command = command,
) -> str:
    """Every stage of a pest in a sentence, those of one date once; the sums are a stage's own."""
    lines: list[str | Line] = [
        Line(weather_so_far.weather_line(plan)), Line(weather_so_far.behind(plan)), ""
    ]  # fmt: skip
    card = windows[0].card
    lines.append(Line(words.capital(card.name), weight="bold"))
    said: set[str] = set()
    for window in sorted(windows, key=lambda each: card.events.index(each.event)):
        one = f"{words.capital(window.event.words)}: {sentences.when(window, show)}"
        if one not in said:
            lines.append(Line(one, "  ", "      ", status=window.status))
        said.add(one)
    lines += ["", Line(brood and f"Second brood: {brood}")]
    keys = ", ".join(dict.fromkeys(each.event.key for each in windows))
    sums = command("why", card.key, "STAGE")
    lines.append(Line(f"The sums:  {sums}  ({keys}), or  --full"))
    return terminal.show(_no_double_gaps(lines))


def second_brood(today: Today, card: Card) -> str:
    """What heat allows after this season's first find, and what the card says of it."""
    plan, found = today.plan, (each.bracket for each in today.plan.windows if each.event.brood == 1)
    broods = (today.second_brood(card, each.sighting) for each in found if each is not None)
    brood = next((each for each in broods if each is not None), None)
    if brood is None:
        return ""
    low, high, unit = brood.round.low, brood.round.high, brood.round.number.unit
    years = words.with_weather_of(brood.years, brood.total) if brood.years else (
        f"with the weather of none of {brood.total} past years"
    )  # fmt: skip
    event = brood.round.event
    said = (
        f"heat alone ({numbers.amount(low, high, '–')} °{unit}-days more) allows {event.words} "
        f"by {words.day(brood.by, weekday=False)} {years}"
    )
    too_short = last_promised(card, event, plan.season, plan.place)
    if too_short is not None:
        said += f"; days are too short for it from {words.day(too_short, weekday=False)}"
    if card.second_brood:
        said += f"; your card says: {card.second_brood}"
    return f"{said.rstrip('.')}. {event.caution or ''}".rstrip()


def _labelled(label: str, text: str) -> Line:
    return Line(text, f"{label:<{_LABEL}}")


def _heat(plan: SeasonPlan, window: ScoutingWindow, show: Unit) -> Iterator[str | Line]:
    yield _labelled("Heat so far", numbers.sum_so_far(window, show) + ".")
    if window.counting is not None and (left := numbers.still_to_go(window, show)):
        pace = ""
        known = int(np.count_nonzero(~np.isnan(plan.week.tmin + plan.week.tmax)))
        if plan.through >= plan.season.first and known and not plan.week.of_past_years:
            a_day = words.heat_rate(plan.week.pace(window.counting), show)
            days = f"{words.count(known, 'known day')} of this year’s last 7"
            pace = f" {days if known < 7 else _WEEK} gave {a_day} a day."
        yield _labelled("Still to go", f"{left}.{pace}")


def _years(early: Outlook, late: Outlook, width: int | None) -> Iterator[str | Line]:
    """The years that come first and last; with a width for it, every year as a dot."""
    ends = [("", late)] if early is late else [("at the earliest", early), ("at the latest", late)]
    for name, outlook in ends:
        if not outlook.days:
            continue
        first = next(dot for dot in outlook.dots if dot.day == outlook.days[0])
        last = [dot for dot in outlook.dots if dot.day is not None][-1]
        like = f"it went on like {first.season}: {words.day(outlook.days[0])}"
        one_day = outlook.days[0] == outlook.days[-1]
        if not one_day:
            like += f" … {last.season}: {words.day(outlook.days[-1])}"
        like += f" ({words.count(len(outlook.dots), 'past year')})"
        yield _labelled(f"If{f' ({name})' if name else ''}", like)
        if width is not None and not one_day:
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
        what = "Spans of the sum" if window.goes_by_finds else "Spans, calibrated"
        yield _labelled(what, "; ".join(said) + ".")


def _card(window: ScoutingWindow, *, full: bool) -> Iterator[str | Line]:
    number = window.number
    if number is None:
        return
    printed = numbers.as_printed(number)
    if not full:
        yield _labelled("What the card says", f"{printed} ({_who(window, number.source)}).")
        return
    yield _labelled("What the card says", f"{printed}. {window.card.citation(number.source)}")
    if number.reason:
        yield _labelled("Why this number", number.reason)
    for other in window.event.numbers:
        if other is not number and other.goal is not None:
            printed = numbers.as_printed(other)
            yield _labelled("Beside it", f"{printed} ({_who(window, other.source)}).")


def _who(window: ScoutingWindow, source: str) -> str:
    cited = window.card.sources.get(source)
    return cited.short if cited else source


def _days(window: ScoutingWindow, *, full: bool) -> Iterator[str | Line]:
    """What is printed in days: first where nothing else is, else beside the sum."""
    card = window.card
    for place, printed in enumerate(window.event.days if window.cue is None else ()):
        if window.days is not None and place == 0:
            said = f"{in_days(card, printed)}."
            if full:
                note = f" {printed.note}" if printed.note else ""
                said += f"{note} {card.citation(printed.source)}"
            yield _labelled("What the card says", said)
        elif full:
            yield _labelled("Beside it, in days", f"{in_days(card, printed)}.")
    if window.days is not None and full:
        for other in window.event.numbers:
            if other.goal is not None:
                yield _labelled("Beside it", f"{numbers.as_printed(other)}.")


def _starts(window: ScoutingWindow, command: Command) -> list[Line]:
    """The stages whose clocks a find of this one starts."""
    following = [event.words for event in window.card.follows(window.event.key)]
    if not following or window.cue is not None or window.is_answered:
        return []
    return [
        _labelled("A find of it starts", f"the clock of: {'; '.join(following)}."),
        _labelled("", command("saw", window.card.key, window.event.key)),
    ]


def _left_out(window: ScoutingWindow, moves: tuple[Effect, ...], *, full: bool) -> Iterator[Line]:
    if window.number is None:
        return
    gaps = [
        f"{numbers.FIELDS[name]}: {numbers.used(window, name)} used"
        for name in window.number.not_stated
    ]
    said = "; ".join(gaps) + "." if gaps else "nothing."
    if not full:
        most = max((abs(each) for move in moves for each in move.days or ()), default=0)
        if most:
            said += f" Read another way the date moves by up to {words.count(most, 'day')}."
    yield _labelled("What it leaves out", said)
    for move in moves if full else ():
        yield under(f"  {numbers.FIELDS[move.field]} {numbers.effect(move)}")


def why_json(
    plan: SeasonPlan, windows: Sequence[ScoutingWindow], show: Unit, moment: dt.datetime
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
    return as_json("why", moment, about(plan) | {"items": items})
