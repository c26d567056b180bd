"""The numbers behind the dates: the last days, the formula, each number's method, the sources."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from gddcast import words
from gddcast.handouts import paper
from gddcast.handouts.drawings.season_curve import shown
from gddcast.handouts.report.seasons import counted
from gddcast.heat.daily import no_cutoff
from gddcast.heat.thermal_time import running_heat
from gddcast.lessons.worked_day import Day, steps
from gddcast.scouting.windows import ScoutingWindow
from gddcast.text import sentences
from gddcast.today.plan import SeasonPlan
from gddcast.units import Unit, from_celsius
from gddcast.weather.series import Origin

_DAYS_BEHIND = 14
_FORMULA = (
    "A day’s heat is the mean of its temperature’s excess above the lower threshold. With M half "
    "way between the minimum and the maximum, W half their distance and y the distance of the "
    "threshold from M divided by W (at most 1), heat = (M − threshold, or 0 where that is below) "
    "+ W × g(y). The method is the curve g: 0 for floor the mean, (1 − y)² ÷ 4 for the triangle, "
    "(√(1 − y²) − y × arccos y) ÷ π for the sine, (1 − y) ÷ 2 for floor the readings."
)
_CHOICE = (
    "Each published number is counted by the method it was published with; what its source does "
    "not state is said beside it, with what stood in and what that does to the date."
)


def numbers(plan: SeasonPlan, show: Unit) -> Iterator[str]:
    """The section, behind lines that open it."""
    days = "".join([*_last_days(plan, show), *_worked(plan, show)])
    yield paper.fold("The last days, and one of them worked by hand", days)
    choice = [paper.paragraph(_CHOICE)]
    if plan.overrule.shape or plan.overrule.cutoff or plan.overrule.start:
        choice.insert(0, paper.paragraph(
            "Your own method stands in for the cards’: dates differ from the published way."
        ))  # fmt: skip
    rows = [*_rests_on(plan, show)]
    if rows:
        choice.append(paper.listed(rows))
    yield paper.fold("What each date rests on, and what its card leaves out", "".join(choice))


def _told(plan: SeasonPlan) -> list[ScoutingWindow]:
    """Stages a date or a cue of which stands on the page."""
    return [each for each in plan.windows if each.early is not None or each.cue is not None]


def _rests_on(plan: SeasonPlan, show: Unit) -> Iterator[str]:
    for window in _told(plan):
        rests = sentences.basis(window, show)
        gaps = sentences.stand_ins(window, window.moves)
        said = " ".join(part for part in (rests, gaps, *window.notes) if part)
        if said:
            yield f"{sentences.title(window)}. {said}"


def _last_days(plan: SeasonPlan, show: Unit) -> Iterator[str]:
    season = plan.series.between(plan.season.first, plan.season.last).before(plan.today)
    heat, start = plan.standing_counting.daily(season), plan.season.on(*plan.season_sum.start)
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
        yield paper.paragraph("No day of this season is known yet.")
        return
    headings = ("day", f"min °{show}", f"max °{show}", f"heat °{show}-days", "sum", "origin")
    caption = f"The last {words.count(len(rows), 'day')}: {counted(plan, show)}"
    yield paper.wide(paper.table(headings, rows, caption=caption), "The last days")


def _worked(plan: SeasonPlan, show: Unit) -> Iterator[str]:
    """The formula, and the last known day by it."""
    yield paper.heading("One day by hand", 3)
    yield paper.paragraph(_FORMULA)
    known = plan.series.between(plan.season.first, plan.season.last).before(plan.today)
    at = np.flatnonzero(known.known)
    counting = plan.standing_counting
    if not at.size:
        return
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
    yield paper.paragraph(f"{words.day(known.date(index))}, {counted(plan, show)}:")
    cut = cutoff if high > upper else no_cutoff
    yield paper.listed(steps(day, counting.shape, cut), numbered=True)


def sources(plan: SeasonPlan) -> Iterator[str]:
    """Where the weather and every number told come from."""
    cited = set()
    for window in _told(plan):
        keys = {window.cue.source} if window.cue else set()
        if window.number is not None:
            keys |= {window.number.source} | ({window.number.primary or ""} - {""})
        cited |= {window.card.sources[key].citation for key in keys if key in window.card.sources}
    yield paper.paragraph(f"Weather: {plan.series.source}.")
    if cited:
        yield paper.listed(sorted(cited))
