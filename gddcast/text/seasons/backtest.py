"""How past outlooks did, for people (one sentence first, then a table) and for programs."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import asdict

from gddcast.skill.backtest import Target
from gddcast.skill.track_record import LeadRecord, headline
from gddcast.text import answer
from gddcast.weather.series import DailySeries
from gddcast.words import count

_FROM = {
    "past only": "each season foretold from the seasons before it only.",
    "leave one out": "each season foretold from all the others, later ones too.",
}
_NOTES = """\
told      outlooks scored, by the lead they foretold
miss      mean days between the middle date and the true one
graft     past years joined on unchanged;  heat: usual heat added day by day;
          calendar: mean of past dates;  bias: below zero is too early
gain      raw CRPS saved against the graft, and its 95 % interval over seasons drawn again
held      share of true dates inside the span that promises 50, 80 or 90 %
width     days the 80 % span takes;  off by: share of middle dates no further off, in %
""".splitlines()
_WEATHER_ONLY = "This covers the weather only, not how well a published number fits this place."
_HEADINGS = """\
                      miss in days                      gain over        held in %  width  off by
lead        told  outlook graft heat calendar  bias     graft in %      50  80  90         3 d 7 d
""".splitlines()


def backtest_text(
    series: DailySeries,
    records: Sequence[LeadRecord],
    goals: int,
    protocol: str,
    reached: tuple[float, float],
) -> str:
    """The whole answer.

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
    lines = [headline(records), "", about, _FROM[protocol], "", *_table(records), "", *_NOTES]
    return "\n".join([*lines, _chance(reached), _WEATHER_ONLY])


def _chance(reached: tuple[float, float]) -> str:
    ours, usual = reached
    if usual == 0.0:
        return "Every goal was reached in every season foretold."
    return (
        f"Chance of reaching a goal in its season at all: Brier score {ours:.3f}; "
        f"always saying each goal's mean share: {usual:.3f}."
    )


def _table(records: Sequence[LeadRecord]) -> list[str]:
    lines = list(_HEADINGS)
    for each in records:
        first, last = each.lead
        lead = f"{first + (first > 0)}–{last} d" if last < 366 else f"> {first} d"
        miss, within = each.mae, each.within
        saved, low, high = (100 * part for part in each.gain)
        gained = f"{saved:+.0f} [{low:+.0f} … {high:+.0f}]"
        held = "".join(f"{100 * each.held[share]:4.0f}" for share in (0.5, 0.8, 0.9))
        lines.append(
            f"{lead:<9}{each.forecasts:7d}{miss['outlook']:9.1f}{miss['plain graft']:6.1f}"
            f"{miss['mean heat']:5.1f}{miss['calendar']:9.1f}{each.bias:+6.1f}{gained:>19}"
            f"{held:>14}{each.width[0.8]:7.1f}{100 * within[3]:5.0f}{100 * within[7]:4.0f}"
        )
    return lines


def backtest_json(
    series: DailySeries,
    targets: Sequence[Target],
    records: Sequence[LeadRecord],
    protocol: str,
    reached: tuple[float, float],
    made: dt.datetime,
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
    return answer.as_json("backtest", made, parts)


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
