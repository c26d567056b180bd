"""A judged record, for people and for programs: what was read, what is doubtful, what cures it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

import numpy as np

from gddcast import words
from gddcast.quality.findings import Finding, effect_words
from gddcast.quality.verdict import Verdict
from gddcast.text import answer
from gddcast.text.terminal import PLAIN, Line, Terminal
from gddcast.units import Unit
from gddcast.weather.series import DailySeries

#: Findings told in full; programs get all of them.
IN_FULL = 12
#: How notes that come in numbers are told in one line.
_MANY = {
    "missing": "{runs} of up to five days missing ({days}): filled by a straight line and marked.",
    "streak": "{runs} of five or six equal readings ({days}): chance, or stuck?",
}


def verdict_text(
    verdict: Verdict,
    understood: Sequence[str],
    duplicates: str,
    show: Unit,
    terminal: Terminal = PLAIN,
) -> str:
    """What ``weather check`` says.

    Parameters
    ----------
    verdict : Verdict
    understood : sequence of str
        Lines of the reader: columns first, then the unit and how it was decided.
    duplicates : str
        What the reader found of days that stand twice; empty for none.
    show : {"F", "C"}
    """
    lines = [*_read(verdict, understood, duplicates, show), ""]
    lines.append(f"Weather record: {verdict.trust.upper()}")
    lines += [Line(reason, "  because ") for reason in verdict.reasons]
    lines += _findings(verdict)
    return terminal.show(lines)


def _read(
    verdict: Verdict, understood: Sequence[str], duplicates: str, show: Unit
) -> Iterator[str | Line]:
    series = verdict.judged
    first, last = (words.day(day, weekday=False, year=True) for day in (series.first, series.last))
    columns = f" {understood[0]}." if understood else ""
    yield Line(f"Read {len(series):,} days, {first} to {last}.{columns}")
    for line in understood[1:]:
        name, _, rest = line.partition(" ")
        yield Line(rest, f"  {name:<10}")
    missing = sum(each.days for each in verdict.of("missing"))
    crossed = len(verdict.of("swapped"))
    yield (
        f"  {'Missing':<10}{words.count(missing, 'day') if missing else 'none'}"
        f"        Duplicates {duplicates or 'none'}"
        f"        Max below min {words.count(crossed, 'day') if crossed else 'none'}"
    )
    if extreme := extremes(series, show):
        yield f"  {'Hottest':<10}{extreme[0]}      Coldest  {extreme[1]}"
    yield f"  {usable_seasons(verdict)}"
    yield Line(", ".join(verdict.lost_seasons), "  Too many days missing in: ")


def extremes(series: DailySeries, show: Unit) -> tuple[str, str] | None:
    """The hottest and the coldest day: wrong units and wrong thermometers show here first."""
    if not series.known.any():
        return None
    hot, cold = int(np.nanargmax(series.tmax)), int(np.nanargmin(series.tmin))
    high, low = (
        f"{words.temperature(float(value), show)} on "
        f"{words.day(series.date(at), weekday=False, year=True)}"
        for value, at in ((series.tmax[hot], hot), (series.tmin[cold], cold))
    )
    return high, low


def usable_seasons(verdict: Verdict) -> str:
    """How many past seasons can be used, and which."""
    usable = verdict.usable_seasons
    run = f" ({'–'.join(dict.fromkeys((usable[0], usable[-1])))})" if usable else ""
    return f"Past seasons that can be used: {len(usable)}{run}"


def _findings(verdict: Verdict) -> Iterator[str | Line]:
    grave = gravest_first(verdict)
    for finding in grave[:IN_FULL]:
        yield ""
        yield Line(finding.sentence, "  ")
        for line in (effect_words(finding), finding.cure):
            if line:
                yield Line(line, "    ")
    if len(grave) > IN_FULL:
        yield ""
        yield f"  and {len(grave) - IN_FULL} more; --json lists them all."
    notes = list(_notes(verdict))
    if notes:
        yield ""
        yield from notes


def gravest_first(verdict: Verdict) -> list[Finding]:
    """What is more than a note, by what it does to a date."""
    return sorted((each for each in verdict.findings if each.level == "finding"), key=_weight)


def _weight(finding: Finding) -> tuple[float, float]:
    """Gravest first: by the days it moves a date, then the latest."""
    return -abs(finding.effect_days or 0.0), -finding.last.toordinal()


def _notes(verdict: Verdict) -> Iterator[str | Line]:
    notes = [each for each in verdict.findings if each.level == "note"]
    for rule in dict.fromkeys(each.rule for each in notes):
        of_rule = [each for each in notes if each.rule == rule]
        if rule in _MANY and len(of_rule) > 1:
            days = words.count(sum(each.days for each in of_rule), "day")
            runs = words.count(len(of_rule), "run")
            yield Line(_MANY[rule].format(runs=runs, days=days), "  Note: ")
            continue
        for each in of_rule:
            yield Line(f"{each.sentence} {each.cure}", "  Note: ")


def verdict_json(
    verdict: Verdict,
    unit: str,
    unit_decided_by: str,
    notes: Sequence[tuple[str, str]],
    show: Unit,
    moment: dt.datetime,
) -> str:
    """What ``weather check`` found."""
    series = verdict.judged
    parts: answer.Json = {"place": answer.where(series.place)}
    parts["weather"] = {
        "source": series.source,
        "first_day": series.first.isoformat(),
        "last_day": series.last.isoformat(),
        "days": len(series),
        "missing_days": sum(each.days for each in verdict.of("missing")),
        "unknown_days": series.missing,
        "unit": unit,
        "unit_decided_by": unit_decided_by,
        "trust": str(verdict.trust),
        "reasons": list(verdict.reasons),
        "hottest": _extreme(series, show, "tmax"),
        "coldest": _extreme(series, show, "tmin"),
        "usable_seasons": list(verdict.usable_seasons),
        "lost_seasons": list(verdict.lost_seasons),
    }
    parts["items"] = [finding_json(each, show) for each in verdict.findings]
    parts["notes"] = [{"slug": slug, "text": text} for slug, text in notes]
    return answer.as_json("weather-check", moment, parts)


def _extreme(series: DailySeries, show: Unit, name: str) -> answer.Json | None:
    values = series.tmax if name == "tmax" else series.tmin
    if np.isnan(values).all():
        return None
    at = int(np.nanargmax(values) if name == "tmax" else np.nanargmin(values))
    return {"day": series.date(at).isoformat()} | answer.temperature(float(values[at]), show)


def finding_json(finding: Finding, show: Unit) -> answer.Json:
    """One finding."""
    # An excess is a difference, every other value a temperature: 8 °F wider is not 40 °F.
    value = answer.difference if finding.rule == "wide-range" else answer.temperature
    return {
        "rule": finding.rule,
        "level": finding.level,
        "first_day": finding.first.isoformat(),
        "last_day": finding.last.isoformat(),
        "days": finding.days,
        "values": [value(each, show) for each in finding.values],
        "words": finding.sentence,
        "cure": finding.cure,
        "removed": finding.removed,
        "effect": None
        if finding.effect_days is None
        else {"days": round(finding.effect_days, 2), "event": finding.event},
    }
