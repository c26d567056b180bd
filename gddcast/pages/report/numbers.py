"""The numbers behind the dates: the last days, the formula, each number's method, the sources."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from gddcast import words
from gddcast.heat.daily import no_cutoff
from gddcast.heat.thermal_time import running_heat
from gddcast.lessons.day_steps import steps
from gddcast.lessons.worked_day import Day
from gddcast.pages.paper import PageTable
from gddcast.pages.report.seasons import counted, shown
from gddcast.scouting.windows import ScoutingWindow
from gddcast.text import sentences
from gddcast.text.numbers import basis, stand_ins
from gddcast.today.plan import SeasonPlan
from gddcast.units import Unit, from_celsius
from gddcast.weather.series import Origin

_DAYS_BEHIND = 14


@dataclass(frozen=True, slots=True)
class Worked:
    """The last known day of the season by the formula."""

    day: str
    steps: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Numbers:
    """The section, behind lines that open it."""

    last_days: PageTable | None
    worked: Worked | None
    overruled: bool
    rests_on: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Sources:
    """Where the weather and every number told come from."""

    weather: str
    cited: tuple[str, ...]
    briefly: str  # authors and years, for paper


def numbers(plan: SeasonPlan, show: Unit) -> Numbers:
    """The section."""
    overrule = plan.overrule
    return Numbers(
        _last_days(plan, show),
        _worked(plan, show),
        bool(overrule.shape or overrule.cutoff or overrule.start),
        tuple(_rests_on(plan, show)),
    )


def _shown_stages(plan: SeasonPlan) -> list[ScoutingWindow]:
    """Stages a date or a cue of which stands on the page."""
    return [each for each in plan.windows if each.early or each.cue or each.by_days]


def _rests_on(plan: SeasonPlan, show: Unit) -> Iterator[str]:
    for window in _shown_stages(plan):
        said = (basis(window, show), stand_ins(window, window.moves), *window.notes)
        if rests := " ".join(filter(None, said)):
            yield f"{sentences.title(window)}. {rests}"


def _last_days(plan: SeasonPlan, show: Unit) -> PageTable | None:
    season = plan.series.between(plan.season.first, plan.season.last).before(plan.today)
    heat, start = plan.season_sum.counting.daily(season), plan.season.on(*plan.season_sum.start)
    total = running_heat(heat, max(season.index(start), 0)) if len(season) else heat
    rows = []
    for index in range(max(0, len(season) - _DAYS_BEHIND), len(season)):
        low, high = (
            "–" if np.isnan(each[index]) else f"{float(from_celsius(each[index], show)):.0f}"
            for each in (season.tmin, season.tmax)
        )
        origin = Origin(season.origin[index]).name.lower()
        rows.append(
            [words.day(season.date(index)), low, high, shown(heat[index], show),
             shown(total[index], show), origin]
        )  # fmt: skip
    if not rows:
        return None
    headings = ("day", f"min °{show}", f"max °{show}", f"heat °{show}-days", "sum", "origin")
    caption = f"The last {words.count(len(rows), 'day')}: {counted(plan, show)}"
    return PageTable("The last days", headings, rows, caption=caption)


def _worked(plan: SeasonPlan, show: Unit) -> Worked | None:
    known = plan.series.between(plan.season.first, plan.season.last).before(plan.today)
    at = np.flatnonzero(known.known)
    counting = plan.season_sum.counting
    if not at.size:
        return None
    index = int(at[-1])
    low, high, lower = (
        round(float(from_celsius(each, show)), 1)
        for each in (known.tmin[index], known.tmax[index], counting.lower)
    )
    upper, cutoff = float("inf"), no_cutoff
    if np.isfinite(counting.upper):
        upper, cutoff = round(float(from_celsius(counting.upper, show)), 1), counting.cutoff
    # The last day on record has no next night yet: it takes its own low (as the sum does).
    next_low = low if counting.shape.halves else None
    day = Day(high, low, lower, show, upper=upper, next_low=next_low)
    cut = cutoff if high > upper else no_cutoff
    heading = f"{words.day(known.date(index))}, {counted(plan, show)}:"
    return Worked(heading, tuple(steps(day, counting.shape, cut)))


def sources(plan: SeasonPlan) -> Sources:
    """The section."""
    cited, briefly = set(), set()
    for window in _shown_stages(plan):
        own = window.card.sources
        cited |= {own[key].citation for key in window.sources if key in own}
        briefly |= {own[key].short for key in window.sources if key in own}
    return Sources(plan.series.source, tuple(sorted(cited)), "; ".join(sorted(briefly)))
