"""When each watched stage was due in every season on record, and when it was seen."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field

from gddcast.cards.model import Card, Event
from gddcast.errors import Refusal
from gddcast.journal.dating import bracket_of
from gddcast.journal.entries import Bracket, Journal
from gddcast.outlook.seasons import SeasonCurves, SeasonHeat, whole_sum
from gddcast.today.season_sum import SeasonSum
from gddcast.weather.series import Season

#: Fewer whole past seasons are too few to call a middle or a span.
FEWEST = 5


@dataclass(frozen=True, slots=True)
class StageYear:
    """One stage in one season.

    Parameters
    ----------
    season : Season
    due : (datetime.date, datetime.date) or None
        Days on which the low and the high end of its sum were reached; None where either was not,
        or is not known.
    bracket : Bracket or None
        Its first find.
    whole : bool
        Whether all days of the season are known: only such a one says that a sum was not reached.
    """

    season: Season
    due: tuple[dt.date, dt.date] | None
    bracket: Bracket | None
    whole: bool


@dataclass(frozen=True, slots=True)
class StageYears:
    """One stage over the seasons; no sum where its card has none that counts from a date."""

    card: Card
    event: Event
    sum: SeasonSum | None = None
    years: tuple[StageYear, ...] = field(default=())

    def of(self, season: Season) -> StageYear | None:
        """That of one season."""
        return next((each for each in self.years if each.season == season), None)

    def before(self, season: Season) -> tuple[StageYear, ...]:
        """The whole seasons before one; all their sums are fair."""
        return tuple(each for each in self.years if each.whole and each.season.first < season.first)


def stage_years(
    cards: Iterable[Card],
    journal: Journal,
    seasons: Iterable[Season],
    sum_of: Callable[[Card, str], SeasonSum],
    curves: Callable[[SeasonSum], SeasonCurves],
) -> tuple[StageYears, ...]:
    """Every stage that opens looks and has a sum from a date, or was seen in some season.

    Parameters
    ----------
    cards : iterable of Card
        Those watched.
    journal : Journal
    seasons : iterable of Season
        Those on record.
    sum_of : callable
        The sum a stage goes by; raises a `Refusal` where it has none from a date.
    curves : callable
        The running sums of the seasons, counted so.
    """
    seasons = list(seasons)
    return tuple(
        each
        for card in cards
        for event in card.events
        if event.opens_looks
        for each in _of_stage(card, event, journal, seasons, sum_of, curves)
    )


def _of_stage(
    card: Card,
    event: Event,
    journal: Journal,
    seasons: list[Season],
    sum_of: Callable[[Card, str], SeasonSum],
    curves: Callable[[SeasonSum], SeasonCurves],
) -> Iterator[StageYears]:
    try:
        by: SeasonSum | None = sum_of(card, event.key).for_a_picture
    except Refusal:  # it counts from a find, or has no sum at all
        by = None
    heats = {each.season: each for each in curves(by).every} if by is not None else {}
    years = tuple(
        StageYear(
            season,
            _due(heats.get(season), by.goals if by else ()),
            bracket_of(card, event, journal, season.first, season.last),
            season in heats and whole_sum(heats[season]) is not None,
        )
        for season in seasons
    )
    if by is not None or any(each.bracket for each in years):
        yield StageYears(card, event, by, years)


def _due(heat: SeasonHeat | None, goals: tuple[float, ...]) -> tuple[dt.date, dt.date] | None:
    if heat is None or not goals:
        return None
    low, high = heat.reached(goals[0]), heat.reached(goals[-1])
    return None if low is None or high is None else (low, high)
