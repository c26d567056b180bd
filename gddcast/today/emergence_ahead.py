"""When which share of a population is out: a card's emergence curve run over a season's heat."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gddcast.cards.model import Card, Event, Number
from gddcast.errors import ArgumentRefusal, Refusal, shell
from gddcast.heat.counting import Counting
from gddcast.heat.emergence import heat_at, share
from gddcast.journal.clocks import clocks_of
from gddcast.journal.entries import Journal
from gddcast.outlook.dates import Outlook, outlooks
from gddcast.outlook.effects import effects
from gddcast.outlook.season_so_far import known_on, so_far
from gddcast.scouting.windows import ScoutingWindow
from gddcast.today.plan import SeasonPlan
from gddcast.units import from_celsius_days, to_celsius_days
from gddcast.weather.series import DailySeries, Season
from gddcast.words import Status, day

Array = NDArray[np.float64]

#: Shares whose days are told.
TOLD = (0.1, 0.5, 0.9)
#: Shares that make up a line; those outside a printed curve are left out.
DRAWN = (0.01, 0.02, 0.05, *np.arange(0.1, 0.95, 0.05).round(2).tolist(), 0.95, 0.98, 0.99)


@dataclass(frozen=True, slots=True, eq=False)
class EmergenceAhead:
    """Share out by day: this season as far as it is known, then as each past year went on.

    Parameters
    ----------
    season : Season
    first : datetime.date
        Day of the first known share.
    known : ndarray, shape (days,)
        Share out by the end of each known day; NaN outside a printed curve.
    outlooks : dict of float to Outlook
        When each share of the curve is reached, rising.
    """

    season: Season
    first: dt.date
    known: Array
    outlooks: dict[float, Outlook]

    @property
    def main_shares(self) -> dict[float, Outlook]:
        """A tenth, half and nine tenths, or what lies nearest of a curve printed in part."""
        shares = np.array(list(self.outlooks))
        near = [float(shares[np.abs(shares - wanted).argmin()]) for wanted in TOLD]
        return {share: self.outlooks[share] for share in dict.fromkeys(near)}

    @property
    def middle(self) -> float:
        """The share nearest to a half."""
        return min(self.outlooks, key=lambda share: abs(share - 0.5))

    def year(self, season: str) -> list[tuple[float, float]]:
        """Time from the season's first day and share, along one past year's line. [d, share]"""
        return [
            (dot.time, share)
            for share, one in self.outlooks.items()
            for dot in one.dots
            if dot.season == season and np.isfinite(dot.time)
        ]


def emergence_ahead(
    series: DailySeries,
    number: Number,
    counting: Counting,
    *,
    start: dt.date,
    today: dt.date,
) -> EmergenceAhead:
    """Run the emergence curve of a number over this season.

    Parameters
    ----------
    series : DailySeries
        Past seasons and this one; short gaps patched.
    number : Number
        One with an emergence curve.
    counting : Counting
        The number's own.
    start : datetime.date
        First day counted.
    today : datetime.date

    Raises
    ------
    ArgumentRefusal
        If the number has no emergence curve.
    """
    curve = number.emergence
    if curve is None:
        raise ArgumentRefusal(
            f"the number {number.goal} of {number.source}",
            "no emergence curve was published with it",
            "It says when one moment comes, not how many are out by a day.",
            "Use a number that has one.",
            slug="no-emergence-curve",
        )
    now = so_far(known_on(series, today), counting, start)
    heat = from_celsius_days(now.sums[now.begin :], number.unit)
    wanted = dict(zip(DRAWN, heat_at(curve, DRAWN).tolist(), strict=True))
    goals = {share: goal for share, goal in wanted.items() if np.isfinite(goal)}
    in_celsius = [to_celsius_days(goal, number.unit) for goal in goals.values()]
    found = outlooks(series, counting, in_celsius, start=start, today=today)
    return EmergenceAhead(
        now.season, start, share(curve, heat), dict(zip(goals, found, strict=True))
    )


def emergence_of(
    plan: SeasonPlan, card: Card, event: Event, journal: Journal
) -> tuple[ScoutingWindow, EmergenceAhead]:
    """The emergence curve of a card's event over the season of a plan.

    Returns
    -------
    window : ScoutingWindow
        How the curve's number is counted, with the day half are out; where its sum starts with a
        find, `early` runs from the last clean look.
    ahead : EmergenceAhead

    Raises
    ------
    Refusal
        If the event has no curve, its sum has not started, a day is unknown, or there is no past
        season to go on with.
    """
    number = number_with_curve(card, event)
    overrule, season, today = plan.overrule, plan.season, plan.today
    clocks = clocks_of(card, number, plan.series.place, season, today, journal, overrule.start)
    if not clocks:
        raise _not_started(card, event, number)
    clock = clocks[0]
    counting = overrule.counting(number)
    ahead, early = (
        emergence_ahead(plan.series, number, counting, start=start, today=today)
        for start in (clock.latest, clock.earliest or clock.latest)
    )
    half = ahead.outlooks[ahead.middle]
    if half.unknown is not None or not (half.reached or half.dots):
        raise _unknowable(plan, half)
    window = ScoutingWindow(
        card=card, event=event, number=number, clock=clock, status=Status.QUIET,
        look=card.look_at(event), counting=counting, early=early.outlooks[ahead.middle], late=half,
        moves=effects(
            plan.series, counting, clock, half, season, today, fields=number.not_stated
        ),
    )  # fmt: skip
    return window, ahead


def number_with_curve(card: Card, event: Event) -> Number:
    """The number of an event that an emergence curve was published with, its default first."""
    ordered = sorted(event.numbers, key=lambda number: not number.default)
    for number in ordered:
        if number.emergence is not None:
            return number
    raise Refusal(
        f"{card.name}, {event.words}",
        "no emergence curve was published with it",
        "Its number says when one moment comes, not how many are out by a day.",
        "Draw the season instead:  "
        + shell("gddcast", "chart", "season", "--pest", card.key, "--stage", event.key),
        slug="no-emergence-curve",
    )


def _not_started(card: Card, event: Event, number: Number) -> Refusal:
    key = number.starts_from.event if number.starts_from else None
    before = card.event(key) if key else None
    seen = before.words if before else "its start"
    return Refusal(
        f"{card.name}, {event.words}",
        f"its sum starts when you see {seen}, and no such find is in your book",
        "Without that day there is no day to count from.",
        f"Log it:  gddcast saw {shell(card.key)} {key}",
        slug="clock-not-started",
    )


def _unknowable(plan: SeasonPlan, half: Outlook) -> Refusal:
    if half.unknown is not None:
        first, last = (day(each, weekday=False) for each in half.unknown)
        return Refusal(
            plan.place.name,
            f"its weather from {first} to {last} is missing",
            "A sum that runs over unknown days is not known.",
            "Fill them:  gddcast weather patch",
            slug="days-missing",
        )
    return Refusal(
        plan.place.name,
        "no past season on file is whole enough to go on with",
        "The rest of this season is taken from past ones.",
        "Add older years.",
        slug="no-past-seasons",
    )
