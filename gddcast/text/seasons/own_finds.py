"""How a published sum fits one's own finds, for people and for programs."""

from __future__ import annotations

import datetime as dt

from gddcast import words
from gddcast.cards.model import Card, Event, Number
from gddcast.errors import shell
from gddcast.heat.counting import Counting
from gddcast.journal.dating import looks_that_date
from gddcast.journal.entries import Journal, OwnGoal
from gddcast.scouting.own_sums import ENOUGH_SEASONS, Fit, HeatBracket, Tuning, ripe
from gddcast.text import answer
from gddcast.text.terminal import table
from gddcast.units import Unit, from_celsius, from_celsius_days
from gddcast.weather.series import Season

_HEAD = ("season", "last clean look", "first seen", "heat then")


def as_text(
    tuning: Tuning,
    number: Number,
    source: str,
    counting: Counting,
    own: OwnGoal | None,
    command: str,
    show: Unit,
) -> str:
    """The brackets, what they share, what a fit to them gives; nothing is changed."""
    method = f"°{show}-days above {from_celsius(counting.lower, show):.4g}, {counting.shape.name}"
    rows = [
        (*_HEAD[:3], f"{_HEAD[3]} ({method})"),
        *(_row(each, show) for each in tuning.brackets),
    ]
    lines = list(table(rows, left=range(4)))
    lines += [f"{season}: not used, {reason}." for season, reason in tuning.not_used]
    lines.append(_shared(tuning, show))
    lines.append(f"Published: {_printed(number, show)} ({source}).{_lag(tuning)}")
    if own is not None:
        kept = words.day(own.kept_on, weekday=False, year=True)
        lines.append(
            f"Kept: {words.heat(own.goal, show, unit=False)}, on {kept}.   "
            f"By the card again:  {command} --drop"
        )
    if tuning.fit is None:
        lines.append(
            f"{words.count(len(tuning.brackets), 'season')} with a clean look before the find: "
            f"too few to change anything. {ENOUGH_SEASONS} are needed. Nothing has been changed."
        )
        return "\n".join(lines)
    lines += [_fitted(tuning.fit, show), _left_out(tuning)]
    seasons = words.count(len(tuning.brackets), "season")
    keep = f"{from_celsius_days(tuning.fit.mean, show):.0f}"
    unchanged = "nothing has been changed" if own is None else "your number stays as it is"
    lines.append(f"{seasons}: {unchanged}.   To keep the fit:  {command} --keep {keep}")
    return "\n".join(lines)


def to_tune(card: Card, event: Event, journal: Journal, season: Season) -> str:
    """How to fit a sum to one's own finds, where enough seasons of them are on record."""
    number = event.default
    seasons = ripe(looks_that_date(card, event, journal), card.key, event.key, season)
    if number is None or number.kind != "calendar" or seasons < ENOUGH_SEASONS:
        return ""
    few = words.count(seasons, "season")
    return f"Your finds of {few} can fit its sum to your garden:  " + shell(
        "gddcast", "tune", card.key, event.key
    )


def _printed(number: Number, show: Unit) -> str:
    ends = (words.heat(each, show, unit=False) for each in number.goal_c or ())
    return "–".join(dict.fromkeys(ends))


def _row(each: HeatBracket, show: Unit) -> tuple[str, str, str, str]:
    low, high = (words.heat(end, show, unit=False) for end in (each.low, each.high))
    clean, found = (words.day(day, weekday=False) for day in (each.clean_on, each.found_on))
    return each.season, clean, found, f"{low} – {high}"


def _shared(tuning: Tuning, show: Unit) -> str:
    if tuning.shared is not None and len(tuning.brackets) > 1:
        low, high = (words.heat(end, show, unit=False) for end in tuning.shared)
        every = "Both" if len(tuning.brackets) == 2 else f"All {len(tuning.brackets)}"
        return f"{every} brackets share {low}–{high}."
    if len(tuning.brackets) < 2:
        return "One bracket alone shares nothing." if tuning.brackets else "No bracket yet."
    apart = f": {tuning.apart} stands apart" if tuning.apart else ""
    return f"No single number fits all{apart}."


def _lag(tuning: Tuning) -> str:
    lags = [each.lag for each in tuning.brackets if each.lag is not None]
    if not lags:
        return ""
    low, high = min(lags), max(lags)
    if low >= 0:
        few = f"{low}–{high} days" if low != high else words.count(low, "day")
        return f"  Your finds trail it by {few}."
    if high <= 0:
        few = f"{-high}–{-low} days" if low != high else words.count(-low, "day")
        return f"  Your finds come {few} before it."
    return f"  Your finds came from {words.count(-low, 'day')} before it to {high} after."


def _fitted(fit: Fit, show: Unit) -> str:
    mean, low, high, spread = (
        words.heat(each, show, unit=False) for each in (fit.mean, fit.low, fit.high, fit.spread)
    )
    years = f"years differ by about {spread}" if fit.spread else "one number explains every year"
    return f"Fitted to the brackets: {mean}, 95 % interval {low}–{high}; {years}."


def _left_out(tuning: Tuning) -> str:
    days = "/".join("?" if off is None else f"{off:+d}" if off else "0" for off in tuning.off)
    return f"Each season foretold from the others would have been off by {days} days."


def as_json(
    tuning: Tuning,
    number: Number,
    counting: Counting,
    own: OwnGoal | None,
    show: Unit,
    made: dt.datetime,
) -> str:
    """The same for programs; the schema stands in ``data/schemas``."""

    def heat(value: float) -> float:
        return round(from_celsius_days(value, show), 3)

    fit = tuning.fit
    parts = {
        "method": {
            "lower": answer.temperature(counting.lower, show),
            "shape": counting.shape.name,
            "cutoff": counting.cutoff.name,
        },
        "units": {"heat": f"deg{show}-day"},
        "published": [heat(each) for each in number.goal_c or ()],
        "kept": None
        if own is None
        else {
            "goal": heat(own.goal),
            "interval": [heat(own.low), heat(own.high)],
            "seasons": own.seasons,
            "kept_on": own.kept_on.isoformat(),
        },
        "brackets": [
            {
                "season": each.season,
                "clean": each.clean_on.isoformat(),
                "found": each.found_on.isoformat(),
                "heat": [heat(each.low), heat(each.high)],
                "lag_days": each.lag,
            }
            for each in tuning.brackets
        ],
        "not_used": [{"season": name, "reason": reason} for name, reason in tuning.not_used],
        "shared": [heat(end) for end in tuning.shared] if tuning.shared else None,
        "stands_apart": tuning.apart,
        "fit": {name: heat(getattr(fit, name)) for name in ("mean", "spread", "low", "high")}
        if fit
        else None,
        "leave_one_out_days": list(tuning.off),
    }
    return answer.as_json("tune", made, parts)
