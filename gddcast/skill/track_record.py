"""What a backtest found, said by lead: one sentence first, then the numbers behind it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gddcast.outlook.spans import SHARES
from gddcast.skill import scores
from gddcast.skill.backtest import LEADS, WAYS, Forecasts
from gddcast.words import count, sentence

Array = NDArray[np.float64]

_DRAWS = 4000
_SEED = 1912
# Fewer seasons than these say nothing about a lead.
_FEWEST = 5


@dataclass(frozen=True, slots=True)
class LeadRecord:
    """How past outlooks did at one range of predicted leads.

    Parameters
    ----------
    lead : (int, int)
        More days than the first, up to the last. [d]
    forecasts, seasons : int
        Dates foretold, and past seasons they belong to.
    typical : float
        Median miss of the median date, either way. [d]
    mae : dict of str to float
        Mean miss of each of `WAYS`. [d]
    crps, fair : dict of str to float
        Mean raw and fair CRPS of the members; a fair one only where there are members. [d]
    issued : (float, float)
        Score of the median and spans shown: outlook, plain graft. [d]
    gain : (float, float, float)
        CRPS saved against the plain graft, and its 95 % interval over seasons. [share]
    bias : float
        Mean of foretold minus true: below zero is too early. [d]
    held, width : dict of float to float
        Share of truths in each span, and its mean width. [share, d]
    held_interval : dict of float to (float, float)
        95 % interval of each share held, from how far the seasons differ.
    dates, dates_held : int
        Dates of season and goal, each foretold once from about the middle of this lead, and how
        many of them the 80 % span held.
    within : dict of int to float
        Share of median dates no more than so many days off.
    pit : tuple of float
        Share of the truths in each tenth of the members.
    dots : (float, float)
        Share of truths within the outer and the inner dots.
    """

    lead: tuple[int, int]
    forecasts: int
    seasons: int
    typical: float
    mae: dict[str, float]
    crps: dict[str, float]
    fair: dict[str, float]
    issued: tuple[float, float]
    gain: tuple[float, float, float]
    bias: float
    held: dict[float, float]
    held_interval: dict[float, tuple[float, float]]
    width: dict[float, float]
    dates: int
    dates_held: int
    within: dict[int, float]
    pit: tuple[float, ...]
    dots: tuple[float, float]

    @property
    def days(self) -> str:
        """Range of leads in words."""
        first, last = self.lead
        if first == 0:
            return f"up to {last} days"
        return f"more than {first} days" if last > 365 else f"{first + 1}–{last} days"

    @property
    def phrase(self) -> str:
        """The record in one phrase, with its counts."""
        of = f"{self.dates}" if self.dates == self.seasons else f"{self.dates} dates"
        return (
            f"{self.days} ahead, {count(self.seasons, 'past season')}: typically "
            f"{self.typical:.1f} days off; the 80 % span held in {self.dates_held} of {of}"
        )

    @property
    def sentence(self) -> str:
        """The same as a sentence."""
        return sentence(self.phrase)


def by_lead(forecasts: Forecasts) -> tuple[LeadRecord, ...]:
    """Records of every range of leads that has at least five seasons, nearest first."""
    scored = forecasts.where(np.isfinite(forecasts.came))
    return tuple(_records(scored))


def headline(records: Sequence[LeadRecord]) -> str:
    """One sentence for all of them: the record two weeks ahead, else the nearest there is."""
    return next((each for each in records if each.lead[0] == 7), records[0]).sentence


def _records(scored: Forecasts) -> Iterator[LeadRecord]:
    for first, last in LEADS:
        near = scored.where((scored.lead <= last) & ((scored.lead > first) | (first == 0)))
        if np.unique(near.season).size >= _FEWEST:
            yield _record((first, last), near)


def _record(lead: tuple[int, int], rows: Forecasts) -> LeadRecord:
    miss = rows.median - rows.came[:, None]
    off = np.abs(miss[:, 0])
    inside = scores.covered(rows.spans[:, 0, :, 0], rows.spans[:, 0, :, 1], rows.came[:, None])
    once = _one_a_season(rows, lead)
    outer = scores.covered(rows.dots[:, 0], rows.dots[:, 3], rows.came)
    inner = scores.covered(rows.dots[:, 1], rows.dots[:, 2], rows.came)
    width = rows.spans[:, 0, :, 1] - rows.spans[:, 0, :, 0]
    tenths = np.histogram(rows.pit, bins=10, range=(0.0, 1.0))[0] / len(rows.pit)
    return LeadRecord(
        lead=lead,
        forecasts=len(rows.came),
        seasons=np.unique(rows.season).size,
        typical=float(np.median(off)),
        mae=_by_way(np.abs(miss)),
        crps=_by_way(rows.crps),
        fair=_by_way(rows.fair),
        issued=(float(rows.issued[:, 0].mean()), float(rows.issued[:, 1].mean())),
        gain=gain(rows.crps[:, 1], rows.crps[:, 0], rows.season),
        bias=float(miss[:, 0].mean()),
        held=dict(zip(SHARES, inside.mean(axis=0).tolist(), strict=True)),
        held_interval={
            share: share_interval(inside[:, at], rows.season) for at, share in enumerate(SHARES)
        },
        width=dict(zip(SHARES, width.mean(axis=0).tolist(), strict=True)),
        dates=once.size,
        dates_held=int(np.count_nonzero(inside[once, SHARES.index(0.8)])),
        within={days: float((off <= days).mean()) for days in (3, 7)},
        pit=tuple(tenths.tolist()),
        dots=(float(outer.mean()), float(inner.mean())),
    )


def _one_a_season(rows: Forecasts, lead: tuple[int, int]) -> NDArray[np.intp]:
    """One forecast for each season and goal: the one nearest to the middle of the leads."""
    middle = (lead[0] + min(lead[1], 90)) / 2.0
    nearest = np.lexsort((np.abs(rows.lead - middle), rows.target, rows.season))
    pairs = np.stack([rows.season[nearest], rows.target[nearest]])
    new = np.append(True, (pairs[:, 1:] != pairs[:, :-1]).any(axis=0))
    return np.asarray(nearest[new])


def _by_way(values: Array) -> dict[str, float]:
    known = np.count_nonzero(~np.isnan(values), axis=0)
    means = np.where(known, np.nansum(values, axis=0) / np.maximum(known, 1), np.nan)
    # A score over part of the forecasts is not comparable, so it is not given.
    return {
        way: float(mean)
        for way, mean, scored in zip(WAYS, means, known, strict=True)
        if scored == len(values)
    }


def gain(before: Array, after: Array, cluster: NDArray[np.int64]) -> tuple[float, float, float]:
    """Share of a score saved, and its 95 % interval when whole seasons are drawn again.

    Forecasts of one season share its weather, so seasons are drawn, not forecasts. Quantiles of
    few seasons drawn again are too narrow: five would hold the truth 83 times in 100. They are
    read further out, as far as Student's t and the seasons' own number ask (Hesterberg 2015, Am.
    Stat. 69, 371-386, expanded percentile interval; from memory).
    """
    from scipy.special import ndtr, stdtrit

    _, place = np.unique(cluster, return_inverse=True)
    sums = np.stack([np.bincount(place, before), np.bincount(place, after)])
    count = sums.shape[1]
    draws = np.random.default_rng(_SEED).multinomial(count, np.full(count, 1 / count), _DRAWS)
    drawn = sums @ draws.T
    freedom = max(count - 1, 1)
    tail = float(ndtr(float(stdtrit(freedom, 0.025)) * np.sqrt(count / freedom)))
    low, high = np.quantile(1.0 - drawn[1] / drawn[0], [tail, 1.0 - tail])
    total = sums.sum(axis=1)
    return float(1.0 - total[1] / total[0]), float(low), float(high)


def share_interval(held: NDArray[np.bool_], cluster: NDArray[np.int64]) -> tuple[float, float]:
    """95 % interval of a share, when whole seasons might have gone another way.

    Wilson's score interval (1927, J. Am. Stat. Assoc. 22, 209-212) for the number of independent
    forecasts that would scatter as the seasons do (Korn & Graubard 1998, Surv. Methodol. 24,
    193-201; both from memory), with Student's t for their number. Where all seasons agree their
    number counts, not that of the forecasts.

    Examples
    --------
    >>> low, high = share_interval(np.array([True] * 12), np.repeat(np.arange(6), 2))
    >>> round(low, 2), round(high, 2)
    (0.48, 1.0)
    """
    from scipy.special import stdtrit

    _, place = np.unique(cluster, return_inverse=True)
    size, hits = np.bincount(place), np.bincount(place, held)
    forecasts, seasons = len(held), len(size)
    share = hits.sum() / forecasts
    scatter = seasons / max(seasons - 1, 1) * ((hits - share * size) ** 2).sum() / forecasts**2
    alone = share * (1.0 - share) / scatter if scatter > 0.0 else seasons
    count = min(max(alone, 1.0), forecasts)
    t = float(stdtrit(max(seasons - 1, 1), 0.975)) ** 2 / count
    half = np.sqrt(t * share * (1.0 - share) + t * t / 4.0)
    low, high = ((share + t / 2.0 + side * half) / (1.0 + t) for side in (-1.0, 1.0))
    return float(max(low, 0.0)), float(min(high, 1.0))


def of_lead(records: tuple[LeadRecord, ...], lead: float) -> LeadRecord | None:
    """The record an outlook so many days ahead rests on; None where there is none."""
    fitting = (each for each in records if lead <= each.lead[1] and lead > each.lead[0] - 1e-9)
    return next(fitting, None)


def reached_score(forecasts: Forecasts) -> tuple[float, float]:
    """Brier score of the chance of reaching a goal in its season, and of each goal's mean share."""
    happened = np.isfinite(forecasts.came).astype(np.float64)
    if not happened.size:
        return np.nan, np.nan
    _, goal = np.unique(forecasts.target, return_inverse=True)
    usual = (np.bincount(goal, happened) / np.bincount(goal))[goal]
    ours = scores.brier(forecasts.chance, happened).mean()
    return float(ours), float(scores.brier(usual, happened).mean())
