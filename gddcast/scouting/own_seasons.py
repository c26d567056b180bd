"""A place's own first finds, season by season, and how each was foretold by those before it.

Every season that a person looked in has a say: a find after a clean look brackets the insect's
sum; a find without one takes an early end that is assumed, so that it says something and does not
pull the sum down year after year; a season looked through without a find says that the sum is
higher, or that the insect did not come.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from gddcast.heat.counting import Counting
from gddcast.journal.entries import Bracket, Journal
from gddcast.outlook.seasons import SeasonHeat, season_heats
from gddcast.outlook.sightings import lean
from gddcast.quality.findings import Finding
from gddcast.quality.verdict import SEASON_KNOWN
from gddcast.scouting.own_sums import PLACE_SD, HeatBracket, OwnSum
from gddcast.weather.series import DailySeries, Origin, Season
from gddcast.words import day

#: A find that nobody looked before may be so old. Common practice, no source. [d]
UNSEEN_FOR = 14
#: Fewer seasons than this have no odd one among them.
_ODD_OF = 3
#: From so many finds on a date leans on the mean of their dates.
_LEANS_FROM = 3
#: A season that lies so far out is named: by chance one in ten does.
ODD = 0.1


@dataclass(frozen=True, slots=True)
class OwnSeason:
    """What one season says of the sum.

    Parameters
    ----------
    season : str
    early_on : datetime.date
        Last look that found none, or the day that stands for it.
    found_on : datetime.date or None
        None where the season was looked through and nothing found.
    bracket : HeatBracket
    assumed : bool
        Whether nobody said that the look of ``early_on`` was clean, or there was none.
    heat : SeasonHeat
        Its running sum.
    """

    season: str
    early_on: dt.date
    found_on: dt.date | None
    bracket: HeatBracket
    assumed: bool
    heat: SeasonHeat

    def missed_by(self, foretold: dt.date | None) -> float | None:
        """Days from a foretold day to the true one, later is positive; None where unknown.

        Each day of the bracket is as likely to be the true one, so a day inside it misses too.
        """
        if self.found_on is None or foretold is None:
            return None
        width = (self.found_on - self.early_on).days
        off = (foretold - self.found_on).days + np.arange(width)
        return math.copysign(float(np.abs(off).mean()), float(off.mean()))

    @property
    def middle(self) -> float | None:
        """Middle of the days on which it may have begun, from the season's first day. [d]"""
        if self.found_on is None:
            return None
        first, last = self.early_on + dt.timedelta(days=1), self.found_on
        return ((first - self.heat.season.first) + (last - self.heat.season.first)).days / 2.0

    def leaning(self, foretold: dt.date | None, earlier: Sequence[OwnSeason]) -> dt.date | None:
        """A day foretold by heat, drawn towards the mean date of earlier finds."""
        usual = usual_in(self.heat.season, earlier)
        if foretold is None or usual is None or sum(map(_has_find, earlier)) < _LEANS_FROM:
            return foretold
        return foretold + dt.timedelta(days=lean(foretold, usual))


@dataclass(frozen=True, slots=True)
class Foretold:
    """One past season's find, foretold by its own weather and the seasons before it. [d]

    ``before`` is the sum as it was known then, ``after`` with this season. The three misses are
    by that sum, by the printed one and by the mean of the dates of earlier finds; None where
    there is nothing to go by. ``looked`` are days from the day to look from to the find, negative
    where the find came first.
    """

    season: OwnSeason
    before: OwnSum
    after: OwnSum
    by_finds: float | None
    by_printed: float | None
    by_calendar: float | None
    looked: int | None


@dataclass(frozen=True)
class OwnFinds:
    """The seasons with a say in one stage's sum, oldest first, and those without, with reasons."""

    printed: float  # [°C·d]
    seasons: tuple[OwnSeason, ...] = ()
    not_used: tuple[tuple[str, str], ...] = ()
    place_sd: float = PLACE_SD

    @property
    def finds(self) -> int:
        """Seasons with a find."""
        return sum(map(_has_find, self.seasons))

    @cached_property
    def sum(self) -> OwnSum:
        """What they say."""
        return self._sum_of(self.seasons)

    @property
    def goal(self) -> float:
        """The sum that half the seasons do not exceed. [°C·d]"""
        return self.sum.sum_at(0.5)

    def before(self, day: dt.date) -> OwnFinds:
        """The same without the seasons that were not over before a day."""
        over = tuple(each for each in self.seasons if each.heat.season.last < day)
        return replace(self, seasons=over)

    def usual(self, season: Season) -> dt.date | None:
        """The mean date of the finds, in a season, where they are enough to lean on."""
        return usual_in(season, self.seasons) if self.finds >= _LEANS_FROM else None

    @cached_property
    def odd(self) -> str | None:
        """The one season that the others would hardly have let expect, if any."""
        if self.finds < _ODD_OF:
            return None
        outside = {}
        for each in self.seasons:
            others = [other for other in self.seasons if other is not each]
            if each.found_on is not None:
                outside[each.season] = self._sum_of(others).outside(each.bracket)
        name = min(outside, key=outside.__getitem__)
        return name if outside[name] < ODD else None

    def foretold(self, chance: float) -> tuple[Foretold, ...]:
        """Each season foretold by the seasons before it, its own weather known.

        Parameters
        ----------
        chance : float
            Chance that it has begun on the day to start looking.
        """
        answers = []
        for place, each in enumerate(self.seasons):
            earlier = self.seasons[:place]
            before = self._sum_of(earlier)
            usual = usual_in(each.heat.season, earlier)
            by_finds = looked = None
            if usual is not None:
                middle = each.heat.reached(before.sum_at(0.5))
                leaning = each.leaning(middle, earlier)
                by_finds = each.missed_by(leaning)
                look_from = each.heat.reached(before.sum_at(chance))
                if look_from is not None and middle is not None and leaning is not None:
                    look_from += leaning - middle
                if look_from is not None and each.found_on is not None:
                    looked = (each.found_on - look_from).days
            answers.append(Foretold(
                each, before, self._sum_of(self.seasons[: place + 1]), by_finds,
                each.missed_by(each.heat.reached(self.printed)), each.missed_by(usual), looked,
            ))  # fmt: skip
        return tuple(answers)

    def _sum_of(self, seasons: Sequence[OwnSeason]) -> OwnSum:
        return OwnSum(self.printed, tuple(each.bracket for each in seasons), self.place_sd)


def usual_in(season: Season, finds: Sequence[OwnSeason]) -> dt.date | None:
    """Mean date of finds, in a season; None where there are none."""
    dates = [each.middle for each in finds if each.middle is not None]
    return season.first + dt.timedelta(days=round(sum(dates) / len(dates))) if dates else None


def _has_find(season: OwnSeason) -> bool:
    return season.found_on is not None


def own_finds(
    series: DailySeries,
    journal: Journal,
    organism: str,
    events: Sequence[str],
    counting: Counting,
    printed: float,
    start: tuple[int, int] | None = None,
    findings: Sequence[Finding] = (),
    *,
    until: dt.date | None = None,
    place_sd: float = PLACE_SD,
) -> OwnFinds:
    """Gather one's own first finds of a stage, in the method that belongs to the printed sum.

    A season has no say where the thermometer was moved in it or after it, where more than 2 in
    100 of its days up to the find were filled, or where a fault in them would move its date.

    Parameters
    ----------
    series : DailySeries
        Short gaps patched; the patches are marked.
    journal : Journal
        Whose looks are at plants or into traps: see `looks_that_date`.
    organism : str
        Key of its card.
    events : sequence of str
        What a find may be logged as: see `stage_keys`.
    counting : Counting
    printed : float
        The card's sum. [°C·d]
    start : tuple of int, optional
        Month and day on which it counts from; default the first day of the season.
    findings : sequence of Finding
        What was found in the record and left in it.
    until : datetime.date, optional
        Last day looked at. Default: all.
    place_sd : float, default: 0.4
        See `own_sums.place_sd`.
    """
    known = (each for each in journal.sightings if until is None or each.seen_on <= until)
    journal = replace(journal, sightings=tuple(known))
    moved = max((job.done_on for job in journal.jobs if job.job == "moved-sensor"), default=None)
    used, not_used = [], []
    for heat in season_heats(series, counting, start):
        season = heat.season
        found = journal.bracket(organism, events, season.first, season.last)
        if found is not None:
            early, assumed = _early_end(found, journal, season.first)
            last = found.found_on
        else:
            through = _looked_through(heat, journal, organism, events, printed)
            if through is None:
                continue
            early, assumed, last = through, False, through
        counted = series.between(season.on(*start) if start else season.first, last)
        why = _unfair(counted, _heat_on(heat, last), moved, findings)
        if why is not None:
            not_used.append((season.name, why))
            continue
        high = math.inf if found is None else _heat_on(heat, last)
        bracket = HeatBracket(_heat_on(heat, early), high)
        used.append(
            OwnSeason(season.name, early, found.found_on if found else None, bracket, assumed, heat)
        )
    return OwnFinds(printed, tuple(used), tuple(not_used), place_sd)


def _early_end(bracket: Bracket, journal: Journal, first: dt.date) -> tuple[dt.date, bool]:
    """The clean look before a find; where none is known, a day that stands for it."""
    if bracket.clean_on is not None:
        return bracket.clean_on, False
    looks = [
        each.seen_on
        for each in journal.sightings
        if each.kind != "heard"
        and each.trap is journal.in_traps
        and first <= each.seen_on < bracket.found_on
    ]
    return max(looks, default=bracket.found_on - dt.timedelta(days=UNSEEN_FOR)), True


def _looked_through(
    heat: SeasonHeat, journal: Journal, organism: str, events: Sequence[str], printed: float
) -> dt.date | None:
    """Last of the looks from before the printed sum until after it, none a fortnight apart."""
    season = heat.season
    looks = journal.clean_days(organism, events, season.first, season.last)
    if not looks or not _heat_on(heat, looks[0]) <= printed:
        return None
    last = looks[0]
    for each in looks[1:]:
        if (each - last).days > UNSEEN_FOR:
            break
        last = each
    return last if _heat_on(heat, last) > printed else None


def _heat_on(heat: SeasonHeat, day: dt.date) -> float:
    return heat.through(day) if day >= heat.season.first else 0.0


def _unfair(
    counted: DailySeries, heat: float, relocation: dt.date | None, findings: Sequence[Finding]
) -> str | None:
    """Why a season's sum up to its find can't be set beside the others."""
    if not np.isfinite(heat):
        return "days before it are unknown"
    if heat == 0.0:
        return "no heat had been counted before the find"
    if relocation is not None and counted.first < relocation:
        when = "in it" if relocation <= counted.last else "after it"
        return f"the thermometer was moved {when}, on {day(relocation, weekday=False, year=True)}"
    filled = counted.count(Origin.PATCHED)
    if filled > (1.0 - SEASON_KNOWN) * len(counted):
        return f"{filled} of its {len(counted)} days up to the find were filled"
    for each in findings:
        left_in = each.level == "finding" and not each.removed and each.rule != "missing"
        moves = each.effect_days is None or abs(each.effect_days) >= 1.0
        if left_in and moves and each.first <= counted.last and each.last >= counted.first:
            return each.words.rstrip(".")
    return None
