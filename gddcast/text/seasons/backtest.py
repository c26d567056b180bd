"""How past outlooks did, for people (one sentence first, then a table) and for programs."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import asdict

from gddcast.skill.targets import Target
from gddcast.skill.track_record import LeadRecord, headline
from gddcast.text import answer
from gddcast.text.terminal import PLAIN, Line, Terminal, narrowed, table
from gddcast.weather.series import DailySeries
from gddcast.words import count

_FROM = {
    "past only": "each season foretold from the seasons before it only.",
    "leave one out": "each season foretold from all the others, later ones too.",
}
#: Above the table: whose miss stands in which column.
_WAYS = {
    "outlook": "these dates", "unchanged": "past years joined on as they were",
    "usual": "usual heat added day by day", "calendar": "mean of past dates",
}  # fmt: skip
_NOTES = {
    "issued": "outlooks scored, by how far ahead their date lay; a row may have several of a date, "
    "the first line counts the one nearest the row’s middle",
    "early": "mean of foretold minus true, in days: below zero is too early",
    "saved": "share of the score (raw CRPS) saved against unchanged, in %, and its 95 % interval "
    "over seasons drawn again",
    "in 80": "share of true dates inside the span that promises 80 %, and so on: good is as many",
    "wide": "days the 80 % span takes",
    "±3 d": "share of middle dates no further off than that, in %",
}
_HEAD = ("ahead", "issued", "outlook", "unchanged", "usual", "calendar", "early", "saved", "in 50",
         "in 80", "in 90", "wide", "±3 d", "±7 d")  # fmt: skip
#: Columns a narrow screen goes without, the first to go first.
_SPARE = ((12, 13), (4,), (6,), (11,), (7,), (8, 10), (3,))
_WEATHER_ONLY = "This covers the weather only, not how well a published number fits this place."


def backtest_text(
    series: DailySeries,
    records: Sequence[LeadRecord],
    goals: int,
    protocol: str,
    reached: tuple[float, float],
    screen: Terminal = PLAIN,
) -> str:
    """The whole answer: a sentence, what the columns are, the table.

    Parameters
    ----------
    series : DailySeries
    records : sequence of LeadRecord
    goals : int
        Goals foretold.
    protocol : str
        How each season was foretold.
    reached : (float, float)
        Brier score of the chance of reaching a goal, and of always saying the mean share.
    """
    about = f"{series.place.name}: {count(goals, 'goal')}, one outlook a week, no weather forecast;"
    rows = narrowed([_HEAD, *map(_row, records)], screen.width, _SPARE)
    shown = set(rows[0])
    ways = "; ".join(f"{way} = {said}" for way, said in _WAYS.items() if way in shown)
    notes = (Line(said, f"{name:<6} ") for name, said in _NOTES.items() if name in shown)
    return screen.show([
        Line(headline(records), weight="bold"), "",
        Line(f"{about} {_FROM[protocol]}"), Line(f"Days off, on the mean: {ways}.", rest="  "), "",
        *table(rows), "",
        *notes, Line(_chance(reached)), Line(_WEATHER_ONLY),
    ])  # fmt: skip


def _chance(reached: tuple[float, float]) -> str:
    ours, usual = reached
    if usual == 0.0:
        return "Every goal was reached in every season foretold."
    return (
        f"Chance of reaching a goal in its season at all: Brier score {ours:.3f}; "
        f"always saying each goal’s mean share: {usual:.3f}."
    )


def _row(record: LeadRecord) -> list[str]:
    first, last = record.lead
    ahead = f"{first + (first > 0)}–{last} d" if last < 366 else f"> {first} d"
    miss = (record.mae[way] for way in ("outlook", "plain graft", "mean heat", "calendar"))
    saved, low, high = (_signed(100 * part, 0) for part in record.gain)
    return [
        ahead,
        str(record.forecasts),
        *(f"{days:.1f}" for days in miss),
        _signed(record.bias, 1),
        f"{saved} [{low} … {high}]",
        *(f"{100 * record.held[share]:.0f}" for share in (0.5, 0.8, 0.9)),
        f"{record.width[0.8]:.1f}",
        *(f"{100 * record.within[days]:.0f}" for days in (3, 7)),
    ]


def _signed(value: float, digits: int) -> str:
    return f"{value:+.{digits}f}".replace("-", "−")


def backtest_json(
    series: DailySeries,
    targets: Sequence[Target],
    records: Sequence[LeadRecord],
    protocol: str,
    reached: tuple[float, float],
    moment: dt.datetime,
) -> str:
    """The whole answer as one object."""
    parts = {
        "place": {"name": series.place.name},
        "record": {"first": series.first.isoformat(), "last": series.last.isoformat()},
        "protocol": protocol,
        "covers": "weather only, not how well a published number fits this place",
        "goals": [
            {"name": each.name, "goal_c_days": round(each.goal, 2), "from": each.start}
            for each in targets
        ],
        "reached_brier": {"outlook": reached[0], "mean_share": reached[1]},
        "leads": [_lead(each) for each in records],
    }
    return answer.as_json("backtest", moment, parts)


def _lead(record: LeadRecord) -> dict[str, object]:
    found = asdict(record) | {"sentence": record.sentence}
    for name in ("held", "held_interval", "width"):
        found[name] = {f"{share:.0%}": value for share, value in found[name].items()}
    return {key: _short(value) for key, value in found.items()}


def _short(value: object) -> object:
    """Four decimals are plenty for a score."""
    if isinstance(value, float):
        return round(value, 4)
    if isinstance(value, dict):
        return {str(key): _short(each) for key, each in value.items()}
    if isinstance(value, tuple):
        return [_short(each) for each in value]
    return value
