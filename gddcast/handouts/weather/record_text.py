"""A judged record, a comparison and a mending in plain words."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

import numpy as np

from gddcast import words
from gddcast.errors import shell
from gddcast.handouts.weather.record_file import signed
from gddcast.quality.findings import Finding, effect_words, of_days
from gddcast.quality.mending import Mended, Span
from gddcast.quality.siting import Comparison
from gddcast.quality.verdict import Verdict
from gddcast.units import Unit
from gddcast.weather.gaps import LONG, share_patched
from gddcast.weather.series import DailySeries, Origin

_WIDTH = 98
#: Findings told in full; programs get all of them.
_IN_FULL = 12
#: How notes that come in numbers are told in one line.
_MANY = {
    "missing": "{runs} of up to five days missing ({days}): filled by a straight line and marked.",
    "streak": "{runs} of five or six equal readings ({days}): chance, or stuck?",
}


def verdict_text(verdict: Verdict, understood: Sequence[str], duplicates: str, show: Unit) -> str:
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
    for reason in verdict.reasons:
        lines += _wrap(reason, "  because ")
    lines += _findings(verdict)
    return "\n".join(lines)


def _read(
    verdict: Verdict, understood: Sequence[str], duplicates: str, show: Unit
) -> Iterator[str]:
    series = verdict.judged
    first, last = (words.day(day, weekday=False, year=True) for day in (series.first, series.last))
    columns = f" {understood[0]}." if understood else ""
    yield from _wrap(f"Read {len(series):,} days, {first} to {last}.{columns}", "")
    for line in understood[1:]:
        name, _, rest = line.partition(" ")
        yield from _wrap(rest, f"  {name:<10}")
    missing = sum(each.days for each in verdict.of("missing"))
    crossed = len(verdict.of("swapped"))
    yield (
        f"  {'Missing':<10}{words.count(missing, 'day') if missing else 'none'}"
        f"        Duplicates {duplicates or 'none'}"
        f"        Max below min {words.count(crossed, 'day') if crossed else 'none'}"
    )
    yield from _extremes(series, show)
    yield from _seasons(verdict)


def _extremes(series: DailySeries, show: Unit) -> Iterator[str]:
    if not series.known.any():
        return
    hot, cold = int(np.nanargmax(series.tmax)), int(np.nanargmin(series.tmin))
    told = [
        f"{words.temperature(float(values[at]), show)} on "
        f"{words.day(series.date(at), weekday=False, year=True)}"
        for values, at in ((series.tmax, hot), (series.tmin, cold))
    ]
    yield f"  {'Hottest':<10}{told[0]}      Coldest  {told[1]}"


def _seasons(verdict: Verdict) -> Iterator[str]:
    usable, lost = verdict.usable_seasons, verdict.lost_seasons
    between = (
        f" ({usable[0]}–{usable[-1]})"
        if len(usable) > 1
        else "".join(f" ({each})" for each in usable)
    )
    yield f"  Past seasons that can be used: {len(usable)}{between}"
    if lost:
        yield from _wrap(f"{', '.join(lost)}", "  Too many days missing in: ")


def _findings(verdict: Verdict) -> Iterator[str]:
    grave = [each for each in verdict.findings if each.level == "finding"]
    for finding in sorted(grave, key=_weight)[:_IN_FULL]:
        yield ""
        yield from _wrap(finding.words, "  ")
        for line in (effect_words(finding), finding.cure):
            if line:
                yield from _wrap(line, "    ")
    if len(grave) > _IN_FULL:
        yield ""
        yield f"  and {len(grave) - _IN_FULL} more; --json lists them all."
    notes = list(_notes(verdict))
    if notes:
        yield ""
        yield from notes


def _weight(finding: Finding) -> tuple[float, float]:
    """Gravest first: by the days it moves a date, then the latest."""
    return -abs(finding.effect_days or 0.0), -finding.last.toordinal()


def _notes(verdict: Verdict) -> Iterator[str]:
    notes = [each for each in verdict.findings if each.level == "note"]
    for rule in dict.fromkeys(each.rule for each in notes):
        of_rule = [each for each in notes if each.rule == rule]
        if rule in _MANY and len(of_rule) > 1:
            days = words.count(sum(each.days for each in of_rule), "day")
            runs = words.count(len(of_rule), "run")
            yield from _wrap(_MANY[rule].format(runs=runs, days=days), "  Note: ")
            continue
        for each in of_rule:
            yield from _wrap(f"{each.words} {each.cure}", "  Note: ")


def comparison_text(found: Comparison, first: str, second: str, show: Unit) -> str:
    """What ``weather compare`` says of two files."""
    days = words.count(found.days, "day")
    lines = [f"{first} beside {second}: {days} in common, {of_days(found.first, found.last)}."]
    if found.identical:
        lines.append("Every day is the same: one file under two names?")
        return "\n".join(lines)
    lines += [
        f"  By day     {_warmer(found.tmax, found.tmax_spread, show)}",
        f"  By night   {_warmer(found.tmin, found.tmin_spread, show)}",
        "",
        f"  {'month':<12}{'days':>6}{'max':>12}{'min':>12}",
    ]
    lines += [
        f"  {words.month(each.month):<12}{each.days:>6}"
        f"{signed(each.tmax, show):>12}{signed(each.tmin, show):>12}"
        for each in found.by_month
    ]
    worst = [
        f"{words.day(each.day, weekday=False, year=True)} (max {signed(each.tmax, show)}, "
        f"min {signed(each.tmin, show)})"
        for each in found.worst
    ]
    lines += ["", *_wrap(words.listed(worst) + ".", "  Furthest apart: ")]
    lines += _told_of_two(found, first, second, show)
    return "\n".join(lines)


def _told_of_two(found: Comparison, first: str, second: str, show: Unit) -> Iterator[str]:
    if found.effect is not None:
        days = abs(found.effect.days)
        size = "less than half a day" if days < 0.5 else words.count(round(days), "day")
        side = "earlier" if found.effect.days < 0 else "later"
        yield ""
        yield from _wrap(
            f"By {first} {found.effect.event(show)} comes {size} {side} than by {second}.", ""
        )
    if found.lag:
        late, other = (first, second) if found.lag > 0 else (second, first)
        yield from _wrap(
            f"{late} books each maximum {words.count(abs(found.lag), 'day')} later than {other}: "
            "is it read in the morning? If so, say --reading-hour 8 with it.",
            "",
        )
    if found.sun_on is not None:
        sunny = first if found.sun_on == "first" else second
        yield from _wrap(
            f"The sign of sun on the thermometer of {sunny}: it is warmer only by day "
            f"({signed(found.clear, show)} on the clearest days, {signed(found.dull, show)} on "
            "the dullest) and alike by night. Hang it in the shade; until then the other is the "
            "one to trust.",
            "",
        )
    elif found.tmax_spread < 0.01 and found.tmin_spread < 0.01:
        yield "The difference is the same on every day: one was made from the other?"
    yield ""
    if found.lag or found.sun_on:
        yield "Nothing was changed."
        return
    yield from _wrap(
        f"Nothing was changed. To make {second} stand for {first}'s place:  "
        + shell(
            "gddcast",
            "weather",
            "patch",
            second,
            "--add-max",
            _typed(found.tmax, show),
            "--add-min",
            _typed(found.tmin, show),
            "-o",
            "MOVED.csv",
        ),
        "",
    )


def _typed(difference: float, show: Unit) -> str:
    return signed(difference, show).replace("−", "-").replace(" °", "")


def _warmer(difference: float, spread: float, show: Unit) -> str:
    size, around = (signed(each, show).lstrip("+") for each in (abs(difference), spread))
    if size.startswith("0.0"):
        return f"alike, give or take {around}"
    return f"{size} {'warmer' if difference > 0 else 'cooler'}, give or take {around}"


def mended_text(mended: Mended, source: str, lender: str | None, output: str, show: Unit) -> str:
    """What ``weather patch`` says it did."""
    lines = []
    struck = [each for each in mended.verdict.findings if each.removed]
    for finding in struck[:_IN_FULL]:
        lines += _wrap(finding.words, "Left out: ")
    if len(struck) > _IN_FULL:
        lines.append(f"Left out: {len(struck) - _IN_FULL} more, listed in the file.")
    if mended.loan is not None:
        loan = mended.loan
        lines += _wrap(
            f"{lender} lent {words.count(loan.lent, 'day')}, moved by "
            f"{signed(loan.offset_max, show)} (max) and {signed(loan.offset_min, show)} (min) as "
            f"{words.count(loan.in_common, 'day')} in common tell.",
            "",
        )
    if mended.beyond is not None:
        before, after = (words.count(each, "day") for each in mended.beyond)
        lines += _wrap(
            f"{lender} also knows {before} before this record and {after} after it. To borrow "
            "them, past years among them, add  --extend",
            "",
        )
    lines += _spans(mended.patched, mended.days_patched, "patched and marked")
    lines += _spans(mended.left, mended.days_left, "still unknown")
    if any((last - first).days >= LONG for first, last in mended.left):
        lines.append(
            f"Gaps longer than {LONG} days are not filled from the record itself: that would be "
            "invented weather."
        )
    if mended.series.count(Origin.PATCHED):
        share = 100.0 * share_patched(mended.series)
        told = f"{share:.0f} %" if share >= 1.0 else "less than 1 %"
        lines.append(f"Patched days are {told} of the days known.")
    lines += [
        f"Wrote {output} from {source}.",
        f"Next:  {shell('gddcast', 'weather', 'check', output)}",
    ]
    return "\n".join(lines)


def _spans(spans: Sequence[Span], days: int, what: str) -> list[str]:
    if not spans:
        return []
    shown = [of_days(*span) for span in spans[:5]]
    if len(spans) > len(shown):
        shown.append(f"{len(spans) - len(shown)} more runs")
    return _wrap(f"{words.count(days, 'day')} {what}: {words.listed(shown)}.", "")


def _wrap(text: str, indent: str) -> list[str]:
    return textwrap.wrap(text, _WIDTH, initial_indent=indent, subsequent_indent=" " * len(indent))
