"""Season by farm, by one sum: the same card, thresholds, method, start and goal at each."""

from __future__ import annotations

import datetime as dt
import statistics
from collections.abc import Mapping
from dataclasses import dataclass, replace

from gddcast.cards.model import Card
from gddcast.errors import Refusal
from gddcast.farms.farm import Farm
from gddcast.heat.counting import AS_PUBLISHED
from gddcast.quality.verdict import Trust
from gddcast.today.season_sum import SeasonSum
from gddcast.today.today import Today
from gddcast.words import day


@dataclass(frozen=True, slots=True)
class FarmSeasons:
    """One farm's seasons.

    Parameters
    ----------
    farm : Farm
    reached : mapping of str to date or None
        By season, the day on which its sum reached the goal, of a range its low end; None where it
        did not, or not yet.
        Seasons with unknown days are left out.
    heat : float
        This season's sum so far; NaN where a day is unknown. [°C·d]
    through : datetime.date, optional
        Last day of it.
    trust : Trust, optional
    refusal : Refusal, optional
        Why there is nothing of it.
    """

    farm: Farm
    reached: Mapping[str, dt.date | None]
    heat: float = float("nan")
    through: dt.date | None = None
    trust: Trust | None = None
    refusal: Refusal | None = None

    @property
    def middle(self) -> dt.date | None:
        """The middle of its days, in the year of the last; None below two of them."""
        days = [each for each in self.reached.values() if each is not None]
        if len(days) < 2:
            return None
        year = days[-1].year
        firsts = [dt.date(each.year, 1, 1) for each in days]
        ages = [(each - first).days for each, first in zip(days, firsts, strict=True)]
        return dt.date(year, 1, 1) + dt.timedelta(days=round(statistics.median(ages)))


@dataclass(frozen=True, slots=True)
class FarmTable:
    """Farms beside each other, by one sum.

    Parameters
    ----------
    by : SeasonSum, optional
        What is counted; None where no farm could be counted.
    season : str
        The one under way.
    farms : tuple of FarmSeasons
        The warmest so far first.
    """

    by: SeasonSum | None
    season: str
    farms: tuple[FarmSeasons, ...]

    @property
    def seasons(self) -> tuple[str, ...]:
        """Every season any farm has, oldest first."""
        return tuple(sorted({name for each in self.farms for name in each.reached}))


def as_published(today: Today) -> Today:
    """The same place with every number counted as its card has it."""
    return replace(today, practice=replace(today.practice, overrule=AS_PUBLISHED))


def farm_seasons(
    farm: Farm, today: Today, card: Card, stage: str | None, by: SeasonSum | None
) -> tuple[FarmSeasons, SeasonSum]:
    """One farm's seasons by a card's sum, and that sum.

    Parameters
    ----------
    farm : Farm
    today : Today
    card : Card
    stage : str, optional
        Default: its first that counts from a date.
    by : SeasonSum, optional
        What the farms before it were counted by.

    Raises
    ------
    Refusal
        If its sums would start on another day, so that they can't stand in one table.
    """
    season_sum = replace(as_published(today).sum_of(card, stage), own_finds=None)
    if by is not None and (season_sum.counting, season_sum.start, season_sum.goals) != (
        by.counting,
        by.start,
        by.goals,
    ):
        starts = (day(dt.date(2024, *each.start), weekday=False) for each in (season_sum, by))
        raise Refusal(
            farm.name, "its sums start on {}, the others’ on {}".format(*starts),
            "Days of one table are counted by one method.", "Compare it by itself.",
            slug="other-method",
        )  # fmt: skip
    table = today.comparison(season_sum)
    rows = {row.season.name: row.reached[0] for row in table.rows if row.reached}
    stands = table.standing
    verdict = today.record.verdict
    if stands is None:
        return FarmSeasons(farm, rows, trust=verdict.trust), season_sum
    return FarmSeasons(farm, rows, stands.heat, stands.through, verdict.trust), season_sum
