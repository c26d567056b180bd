"""Sowings one after another, for people and for programs."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from gddcast import words
from gddcast.cards.model import Card
from gddcast.crops.frost import FREEZING_C
from gddcast.crops.last_sowing import SownBy
from gddcast.crops.needs import From, Need
from gddcast.crops.succession import LIFE, Clash, EventDue, Meets, Planned, Rules
from gddcast.text import answer, weather_so_far
from gddcast.text.sowings.crop_needs import need_json, takes
from gddcast.text.terminal import PLAIN, Line, Terminal
from gddcast.today.plan import SeasonPlan
from gddcast.units import Unit
from gddcast.weather.calendar_day import date_in

_AGES: dict[Meets, str] = {
    "small plants": "while small", "blossom": "in flower", "harvest": "while picked",
}  # fmt: skip
_WORDS = {"up": "seedlings up", "first-flower": "first flower", "first-pick": "first pick"}
_VERBS = {"sowing": "Sown", "transplanting": "Planted out"}


def as_text(
    card: Card,
    season: SeasonPlan,
    needs: Mapping[From, Mapping[str, Need]],
    rows: Sequence[Planned],
    last: Sequence[SownBy],
    rules: Rules,
    show: Unit,
    terminal: Terminal = PLAIN,
) -> str:
    """When it bears and the next is sown, a few lines a sowing, the last one worth it; sums."""
    lines: list[str | Line] = [Line(_answer(card, rows), rest="  ")]
    for row in rows:
        lines += ["", *_row(row, rules, card)]
    lines += ["", Line(_last(last, rules, rows, show), rest="  ")]
    for start in dict.fromkeys(row.sown.start for row in rows):
        known = needs.get(start, {})
        for key in (key for key in LIFE if key in known):
            text = f"{card.name}: {takes(known[key], show, _WORDS[key])}."
            lines.append(Line(text, rest="  "))
        lines += _unknown(card, start, known)
    lines.append(Line(weather_so_far.behind(season), rest="  "))
    lines.append("Sow-next and side-dress days are your own rules, counted from the middle pick.")
    if any(row.clashes for row in rows):
        lines.append("Of each pest the next stage at that age; --json has them all.")
    return terminal.show(lines)


def _answer(card: Card, rows: Sequence[Planned]) -> str:
    """When the first and the last sowing bear, and when to sow the next: the question asked."""
    many = words.count(len(rows), "sowing")
    name = f"{words.capital(card.name)}, {many}"
    picks = [row.pick for row in rows if row.pick is not None]
    dated = sorted(
        (pick for pick in picks if pick.middle), key=lambda pick: pick.middle or dt.date.max
    )
    if not dated:
        why = "not reached this season" if picks else "not to be foretold"
        return f"{name}: first pick {why}."
    said = f"{name}: first pick {_about(dated[0])}"
    if len(dated) > 1:
        said += f", of the last to bear {_about(dated[-1])}"
    if (following := rows[-1].sow_next) is not None:
        said += f"; sow the next {words.span(*following)}"
    return f"{said}."


def _about(pick: EventDue) -> str:
    middle = words.day(pick.middle or dt.date.max, weekday=False)
    return middle if pick.on_record else f"about {middle}"


def _unknown(card: Card, start: From, known: Mapping[str, Need]) -> Iterator[str]:
    missing = [_WORDS[key] for key in LIFE if key not in known]
    if start == "transplanting":
        missing = [each for each in missing if each != "up"]  # it was up before
    if missing:
        what = words.listed(missing, "or")
        yield f"{card.name}: {what} can’t be foretold, neither card nor own sowings say."


def _row(row: Planned, rules: Rules, card: Card) -> Iterator[str | Line]:
    name = f": {row.sown.name}" if row.sown.name else ""
    yield f"{_VERBS[row.sown.start]} {words.day(row.sown.day)}{name}"
    if "up" in row.life:
        yield _line("up", _due(row.life["up"]))
    for each in row.attracts:
        about = each.cue.evidence if each.cue.evidence == "common practice" else each.cue.source
        yield _line(
            "attracts bugs",
            f"big enough from {words.day(each.day, weekday=False)}: {each.cue.words} "
            f"({each.pest.name}, {about})",
        )
    for key in ("first-flower", "first-pick"):
        if key in row.life:
            yield _line(_WORDS[key], _due(row.life[key], with_years=key == "first-pick"))
    if row.side_dress is not None:
        yield _line("side-dress", words.day(row.side_dress, weekday=False))
        if card.picked == "repeatedly":
            late = f"too late for {rules.picking_days} days of picking before frost"
            yield _line("sow the next", words.span(*row.sow_next) if row.sow_next else late)
    if row.before_frost is not None and row.before_frost.years:
        share = words.of_past_years(row.before_frost.fits, row.before_frost.years)
        yield _line("before frost", f"{rules.picking_days} days of picking in {share}")
    yield from _meets(row)


def _meets(row: Planned) -> Iterator[Line]:
    """The pests of each age, each with the next of its stages there, or the last that began."""
    for age, words_ in _AGES.items():
        stages: dict[str, list[Clash]] = {}
        for clash in sorted(row.clashes, key=lambda each: each.span):
            if age in clash.meets:
                stages.setdefault(clash.pest, []).append(clash)
        if stages:
            each_pest = (_next_of(pest, stages[pest]) for pest in stages)
            yield _line(words_, f"{'; '.join(each_pest)}.")


def _next_of(pest: str, stages: Sequence[Clash]) -> str:
    clash = next((each for each in stages if not each.began), stages[-1])
    when = words.any_day(*clash.span)
    if clash.began:
        when = f"began {'by ' if clash.at_latest else ''}{words.span(*clash.span)}"
    if clash.by_finds:
        when += ", 8 times in 10 by your finds"
    return f"{pest}: {clash.stage} {when}"


def _line(label: str, text: str) -> Line:
    return Line(text, f"  {label:<14} ")


def _due(due: EventDue, *, with_years: bool = False) -> str:
    if due.on_record and due.first is not None:
        return f"{words.day(due.first, weekday=False)}, on record"
    few = due.years is not None and due.years[0] < due.years[1]
    share = ""
    if due.years is not None and (with_years or few):
        share = f" ({words.with_weather_of(*due.years)})"
    if due.first is None or due.middle is None:
        return f"not this season{share}"
    when = words.any_day(due.first, due.last)
    if due.first == due.last and due.years is None:
        return f"{when}, by the sum; not on record"
    if due.first == due.last:
        return when + share
    return f"{when}, middle {words.day(due.middle, weekday=False)}{share}"


def _last(last: Sequence[SownBy], rules: Rules, rows: Sequence[Planned], show: Unit) -> str:
    verb = "planting" if rows and rows[0].sown.start == "transplanting" else "sowing"
    night = words.temperature(FREEZING_C, show)
    wanted = f"{rules.picking_days} days of picking before the first {night} night"
    if not any(row.before_frost and row.before_frost.years for row in rows):
        why = (
            "no past year is known whole"
            if any(row.pick is not None for row in rows)
            else "its first pick can’t be foretold"
        )
        return f"Can’t say how late a {verb} still leaves {wanted}: {why}."
    if not last:
        return f"No {verb} day leaves {wanted} in 5 of 6 past years."
    days = (words.day(date_in(2023, row.month, row.day), weekday=False) for row in last)
    said = [f"{day} in {row.fits} of {row.years}" for day, row in zip(days, last, strict=True)]
    return f"Last {verb} for {wanted}: {words.listed(said)} past years."


def as_json(
    card: Card,
    season: SeasonPlan,
    needs: Mapping[From, Mapping[str, Need]],
    rows: Sequence[Planned],
    last: Sequence[SownBy],
    rules: Rules,
    show: Unit,
    moment: dt.datetime,
) -> str:
    """The same for programs; the schema stands in ``data/schemas/sow-plan.json``."""
    parts = {
        "crop": card.key,
        "needs": [
            {"event": key} | need_json(need, show)
            for known in needs.values()
            for key, need in known.items()
        ],
        "picking_days": rules.picking_days,
        "days_behind": season.days_behind,
        "sowings": [_sowing(row) for row in rows],
        "last": [_sown_by(row) for row in last],
    }
    return answer.as_json("sow-plan", moment, parts)


def _sowing(row: Planned) -> dict[str, Any]:
    return {
        "sown": row.sown.day.isoformat(),
        "name": row.sown.name,
        "from": row.sown.start,
        "life": [
            {
                "event": due.key,
                "first": answer.iso(due.first),
                "middle": answer.iso(due.middle),
                "last": answer.iso(due.last),
                "years": list(due.years) if due.years else None,
                "on_record": due.on_record,
            }
            for due in row.life.values()
        ],
        "attracts": [
            {"pest": each.pest.key, "from": each.day.isoformat(), "cue": each.cue.words}
            for each in row.attracts
        ],
        "side_dress": answer.iso(row.side_dress),
        "sow_next": [answer.iso(day) for day in row.sow_next] if row.sow_next else None,
        "before_frost": _sown_by(row.before_frost) if row.before_frost else None,
        "clashes": [
            {
                "pest": clash.pest, "stage": clash.stage,
                "span": [answer.iso(day) for day in clash.span], "meets": list(clash.meets),
            }
            for clash in row.clashes
        ],
    }  # fmt: skip


def _sown_by(row: SownBy) -> dict[str, Any]:
    return {"day": f"{row.month:02d}-{row.day:02d}", "fits": row.fits, "years": row.years}
