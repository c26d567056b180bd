"""How outlooks of cards would have done in the past seasons of a record."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from gddcast.cards.model import Card
from gddcast.errors import Refusal
from gddcast.heat.counting import Overrule
from gddcast.skill.backtest import Protocol, backtest
from gddcast.skill.targets import Target, targets_of
from gddcast.skill.track_record import LeadRecord, by_lead, reached_score
from gddcast.today.record import Record
from gddcast.weather.series import DailySeries

#: Five seasons are the fewest an outlook speaks for.
FEWEST = 5
# Records of so many seasons can afford to wait for ten.
_LONG, _PATIENT = 20, 10


@dataclass(frozen=True, slots=True)
class BacktestSummary:
    """What was foretold of a record's past seasons, and how it did.

    Parameters
    ----------
    series : DailySeries
        The seasons foretold and learnt from.
    targets : tuple of Target
        Dates tried.
    protocol : {"past only", "leave one out"}
    records : tuple of LeadRecord
        How the dates did, by their lead.
    reached : (float, float)
        Brier score of reaching a sum at all, and of what is usual.
    """

    series: DailySeries
    targets: tuple[Target, ...]
    protocol: Protocol
    records: tuple[LeadRecord, ...]
    reached: tuple[float, float]


def backtest_of(
    record: Record,
    cards: Iterable[Card],
    overrule: Overrule,
    protocol: Protocol = "past only",
    progress: Callable[[int, int], None] | None = None,
) -> BacktestSummary:
    """Foretell the past seasons of a record.

    Raises
    ------
    Refusal
        If no sum of the cards starts on a date, or the seasons are too few.
    """
    series = record.known
    targets = targets_of(cards, record.place, overrule)
    at_least = _PATIENT if sum(1 for _ in series.seasons()) >= _LONG else FEWEST
    forecasts = backtest(series, targets, protocol=protocol, at_least=at_least, progress=progress)
    records = by_lead(forecasts)
    if not records:
        raise _too_few(series, targets, protocol)
    return BacktestSummary(series, targets, protocol, records, reached_score(forecasts))


def _too_few(series: DailySeries, targets: tuple[Target, ...], protocol: Protocol) -> Refusal:
    if not targets:
        return Refusal(
            "these pests and crops",
            "none of their sums starts on a date",
            "Sums that start with a find or a sowing can’t be tried on temperatures alone.",
            "Leave --pests away to try every card that starts on a date.",
            slug="no-calendar-sums",
        )
    whole = sum(each.last <= series.last for each in series.seasons())
    others = whole > FEWEST and protocol == "past only"
    return Refusal(
        series.source,
        "it has too few whole seasons to foretell one from others",
        f"It runs from {series.first} to {series.last}. At least five seasons to be foretold are "
        "needed, each with five others to learn from.",
        "Add older years, or try --leave-one-out." if others else
        "Add older years:  gddcast weather fetch  brings those of a station near by.",
        slug="too-few-seasons",
    )  # fmt: skip
