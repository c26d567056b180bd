"""Days to sow a crop, weighed by the past years of a record made ready."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from gddcast.cards.model import Card
from gddcast.crops.frost import FREEZING_C
from gddcast.crops.last_sowing import (
    CalendarCheck,
    SownBy,
    calendar_check,
    last_safe,
    sown_by,
    that_differ,
    weekly,
)
from gddcast.crops.needs import From, Need, need_of, start_of
from gddcast.crops.succession import Planned, Sown, needs_of, plan_sowings
from gddcast.errors import Refusal, shell
from gddcast.journal.entries import Journal
from gddcast.today.plan import SeasonPlan
from gddcast.today.practice import Practice
from gddcast.today.record import Record
from gddcast.units import rounded


@dataclass(frozen=True, slots=True)
class LastSowing:
    """In how many past years a sowing was still worth it, and the packet's calendar beside it.

    Parameters
    ----------
    need : Need
        What the crop takes to its first pick.
    rows : tuple of SownBy
        One a sowing day; of the usual one a week, those that differ.
    check : CalendarCheck, optional
        By the days on a packet, where there are any.
    picking_days : int
        Wanted from the first pick to the frost. [d]
    frost_at : float
        A night at or below it ends the picking. [°C]
    """

    need: Need
    rows: tuple[SownBy, ...]
    check: CalendarCheck | None
    picking_days: int
    frost_at: float


def last_sowing(
    record: Record,
    card: Card,
    journal: Journal,
    practice: Practice,
    *,
    heat: float | None = None,
    days: Sequence[tuple[int, int]] = (),
    picking_days: int | None = None,
    packet_days: int | None = None,
    frost_at: float = FREEZING_C,
) -> LastSowing:
    """Count the past years in which a sowing day still left its picking days.

    Parameters
    ----------
    record : Record
    card : Card
        Of the crop.
    journal : Journal
    practice : Practice
    heat : float, optional
        A sum to the first pick that the person gives. [°C·d]
    days : sequence of (month, day), optional
        Sowing days to try. Default: one a week.
    picking_days : int, optional
        Default: the practice's. [d]
    packet_days : int, optional
        Default: the longest of the card's days to the first pick. [d]
    frost_at : float, default: 0
        [°C]

    Raises
    ------
    Refusal
        If the record holds no whole past season, or the crop is not counted from its sowing.
    """
    rules = practice.rules
    need = need_of(
        record.known, journal, card, start=start_of(card), heat=heat,
        rule_of_days=rules.first_pick_days, overrule=practice.overrule,
    )  # fmt: skip
    if need is None:
        raise _no_seed_day(card)
    wanted = picking_days or rules.picking_days
    tried = tuple(days) or tuple(weekly(record.season))
    rows = sown_by(record.known, need, record.today, tried, picking_days=wanted, frost_at=frost_at)
    if not any(row.years for row in rows):
        raise no_past_season(record.as_read.source)
    packet = packet_days or _packet_days(card, need)
    check = calendar_check(record.known, record.today, packet, frost_at) if packet else None
    return LastSowing(need, rows if days else that_differ(rows), check, wanted, frost_at)


def _packet_days(card: Card, need: Need) -> int | None:
    """The longest of the card's first days from seed, as a packet prints them."""
    event = card.event("first-pick")
    days = [each for each in (event.days if event else ())
            if each.starts_from.crop == need.start]  # fmt: skip
    return int(rounded(days[0].days[1])) if days else None


def _no_seed_day(card: Card) -> Refusal:
    """Where the rule of days would be false: a perennial is picked years after its sowing."""
    return Refusal(
        f"{card.name} in a last sowing",
        "its card counts picking from a stage of the grown plant, not from seed or planting out",
        "A last sowing is of a crop picked in the same year.",
        f"Read the card:  gddcast crops {shell(card.key)}",
        slug="no-seed-day",
    )


def no_past_season(source: str) -> Refusal:
    """Where no whole season stands behind an answer."""
    return Refusal(
        source,
        "it holds no whole past season",
        "Sowing days are weighed by how past years went, from summer to the first frost; an "
        "unknown day hides a year.",
        "Fetch a longer record:  gddcast weather fetch     "
        "Or fill its gaps:  gddcast weather patch",
        slug="no-past-season",
    )


@dataclass(frozen=True, slots=True)
class SowingPlan:
    """Sowings of one crop, one after another.

    Parameters
    ----------
    season : SeasonPlan
        Of the crop's pests.
    needs : mapping of start to mapping of event to Need
    rows : tuple of Planned
        The sowings, each with the past years that left it its picking days.
    last : tuple of SownBy
        The last days worth sowing on; empty where nothing tells.
    """

    season: SeasonPlan
    needs: Mapping[From, Mapping[str, Need]]
    rows: tuple[Planned, ...]
    last: tuple[SownBy, ...]


def sowing_plan(
    season: SeasonPlan,
    card: Card,
    journal: Journal,
    practice: Practice,
    sowings: Sequence[Sown],
    *,
    heat: float | None = None,
) -> SowingPlan:
    """Lay out sowings of a crop, and the last day worth one.

    Parameters
    ----------
    season : SeasonPlan
        Of the crop's pests.
    card : Card
        Of the crop.
    journal : Journal
    practice : Practice
    sowings : sequence of Sown
    heat : float, optional
        A sum to the first pick that the person gives. [°C·d]
    """
    rules, series, today = practice.rules, season.series, season.today
    needs = {
        start: needs_of(
            series, journal, card, start, heat=heat, rules=rules, overrule=practice.overrule
        )
        for start in sorted({each.start for each in sowings})
    }
    rows, last = [], None
    for row in plan_sowings(
        series, card, needs, sowings, season.windows, today, rules, season.climate
    ):
        need = needs[row.sown.start].get("first-pick")
        if need is None:
            rows.append(row)
            continue
        day, picking = (row.sown.day.month, row.sown.day.day), rules.picking_days
        (one,) = sown_by(series, need, today, [day], picking_days=picking)
        rows.append(replace(row, before_frost=one))
        if last is None:
            days = tuple(weekly(season.season))
            last = last_safe(sown_by(series, need, today, days, picking_days=picking))
    return SowingPlan(season, needs, tuple(rows), last or ())
