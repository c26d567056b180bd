"""Two records of one place side by side, for people and for programs."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from gddcast import words
from gddcast.errors import shell
from gddcast.quality.consequence import FaultEffect
from gddcast.quality.findings import of_days
from gddcast.quality.siting import Siting
from gddcast.text import answer
from gddcast.text.terminal import PLAIN, Line, Terminal
from gddcast.text.weather.record_csv import signed
from gddcast.units import Unit, from_celsius_days
from gddcast.weather.series import DailySeries


def comparison_text(
    siting: Siting, first: str, second: str, show: Unit, terminal: Terminal = PLAIN
) -> str:
    """What ``weather compare`` says of two files."""
    days = words.count(siting.days, "day")
    lines: list[str | Line] = [
        f"{first} beside {second}: {days} in common, {of_days(siting.first, siting.last)}."
    ]
    if siting.identical:
        lines.append("Every day is the same: one file under two names?")
        return terminal.show(lines)
    lines += [
        f"  By day     {_warmer(siting.tmax, siting.tmax_spread, show)}",
        f"  By night   {_warmer(siting.tmin, siting.tmin_spread, show)}",
        "",
        f"  {'month':<12}{'days':>6}{'max':>12}{'min':>12}",
    ]
    lines += [
        f"  {words.month(each.month):<12}{each.days:>6}"
        f"{signed(each.tmax, show):>12}{signed(each.tmin, show):>12}"
        for each in siting.by_month
    ]
    worst = [
        f"{words.day(each.day, weekday=False, year=True)} (max {signed(each.tmax, show)}, "
        f"min {signed(each.tmin, show)})"
        for each in siting.worst
    ]
    lines += ["", Line(words.listed(worst) + ".", "  Furthest apart: ")]
    lines += _pair_lines(siting, first, second, show)
    return terminal.show(lines)


def _pair_lines(siting: Siting, first: str, second: str, show: Unit) -> Iterator[str | Line]:
    if siting.effect is not None:
        days = abs(siting.effect.days)
        size = "less than half a day" if days < 0.5 else words.count(round(days), "day")
        side = "earlier" if siting.effect.days < 0 else "later"
        yield ""
        yield Line(f"By {first} {siting.effect.event(show)} comes {size} {side} than by {second}.")
    if siting.lag:
        late, other = (first, second) if siting.lag > 0 else (second, first)
        yield Line(
            f"{late} books each maximum {words.count(abs(siting.lag), 'day')} later than {other}: "
            "is it read in the morning? If so, say --reading-hour 8 with it."
        )
    if siting.sun_on is not None:
        sunny = first if siting.sun_on == "first" else second
        yield Line(
            f"The sign of sun on the thermometer of {sunny}: it is warmer only by day "
            f"({signed(siting.clear, show)} on the clearest days, {signed(siting.dull, show)} on "
            "the dullest) and alike by night. Hang it in the shade; until then the other is the "
            "one to trust."
        )
    elif siting.tmax_spread < 0.01 and siting.tmin_spread < 0.01:
        yield "The difference is the same on every day: one was made from the other?"
    yield ""
    if siting.lag or siting.sun_on:
        yield "Nothing was changed."
        return
    yield Line(
        f"Nothing was changed. To make {second} stand for {first}’s place:  "
        + shell(
            "gddcast",
            "weather",
            "patch",
            second,
            "--add-max",
            _typed(siting.tmax, show),
            "--add-min",
            _typed(siting.tmin, show),
            "-o",
            "MOVED.csv",
        )
    )


def _typed(difference: float, show: Unit) -> str:
    """A difference as a person would type it."""
    value = round(from_celsius_days(difference, show), 1)
    return f"{value:+.1f}{show}" if value else f"0.0{show}"


def _warmer(difference: float, spread: float, show: Unit) -> str:
    size, around = (from_celsius_days(each, show) for each in (abs(difference), spread))
    said = f"give or take {around:.1f} °{show}"
    if size < 0.05:
        return f"alike, {said}"
    return f"{size:.1f} °{show} {'warmer' if difference > 0 else 'cooler'}, {said}"


def comparison_json(
    siting: Siting, first: DailySeries, second: DailySeries, show: Unit, moment: dt.datetime
) -> str:
    """What ``weather compare`` found."""
    parts: answer.Json = {"place": answer.where(first.place)}
    parts |= {
        "first": first.source,
        "second": second.source,
        "days_in_common": siting.days,
        "first_day": siting.first.isoformat(),
        "last_day": siting.last.isoformat(),
        "identical": siting.identical,
        "difference": answer.differences(siting.tmax, siting.tmin, show),
        "spread": answer.differences(siting.tmax_spread, siting.tmin_spread, show),
        "max_on_clear_days": answer.difference(siting.clear, show),
        "max_on_dull_days": answer.difference(siting.dull, show),
        "sun_on": siting.sun_on,
        "first_books_later_days": siting.lag,
        "effect": _effect(siting.effect, show),
        "months": [
            {"month": each.month, "days": each.days}
            | answer.differences(each.tmax, each.tmin, show)
            for each in siting.by_month
        ],
        "worst": [
            {"day": each.day.isoformat()} | answer.differences(each.tmax, each.tmin, show)
            for each in siting.worst
        ],
    }
    return answer.as_json("weather-compare", moment, parts)


def _effect(effect: FaultEffect | None, show: Unit) -> answer.Json | None:
    if effect is None:
        return None
    return {"days": round(effect.days, 2), "event": effect.event(show)}
