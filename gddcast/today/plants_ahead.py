"""What each standing sowing does next, and what it asks: is it in flower, is it worn out."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from gddcast.cards.model import Card, crop_card
from gddcast.crops.last_sowing import SownBy, sown_by
from gddcast.crops.needs import Basis, From, Need
from gddcast.crops.standing import SowingToday
from gddcast.crops.succession import LIFE, EventDue, Rules, life_of, needs_of, next_sowing, sown_of
from gddcast.journal.entries import Journal
from gddcast.today.plan import SeasonPlan
from gddcast.weather.calendar_day import Span
from gddcast.words import Status

#: Asked so often whether it flowers, where nobody said how often they walk. [d]
_WEEK = 7
#: And no more so long after the slowest past year (common practice, no source).
_ASKED = dt.timedelta(weeks=6)


@dataclass(frozen=True, slots=True)
class Worn:
    """A sowing picked for longer than its grower wants, with what speaks for one today."""

    picked_for: int  # [d]
    new_one: SownBy | None  # past years that would still leave a sowing of today its picking days
    pests: tuple[str, ...]  # stages on it now


@dataclass(frozen=True, slots=True)
class PlantAhead:
    """One standing sowing: its next event, and what is asked of its grower."""

    next: EventDue | None
    basis: Basis | None  # how the next one is known
    flowers_since: dt.date | None  # asked today: it may flower since that day
    worn: Worn | None
    sow_next: Span | None = None  # once its first pick is on record: `next_sowing`


def plants_ahead(
    sowings: Sequence[SowingToday],
    plan: SeasonPlan,
    journal: Journal,
    cards: Mapping[str, Card],
    rules: Rules,
    *,
    every_days: int | None = None,
) -> tuple[PlantAhead, ...]:
    """Look ahead for each of the standing sowings.

    Parameters
    ----------
    sowings : sequence of SowingToday
    plan : SeasonPlan
        Its series and climate are used, and its windows for the pests of a worn-out sowing.
    journal : Journal
    cards : mapping of str to Card
    rules : Rules
    every_days : int, optional
        How often the grower walks: flowers are asked for on the walks of one such stretch a week.
    """
    known: dict[tuple[str, From], dict[str, Need]] = {}
    plant_aheads = []
    for each in sowings:
        sown = sown_of(each.sowing, journal)
        which = (each.sowing.crop, sown.start)
        card = crop_card(cards, each.sowing.crop)
        if which not in known:
            known[which] = needs_of(
                plan.series, journal, card, sown.start, rules=rules, overrule=plan.overrule
            )
        needs = known[which]
        life = dict(life_of(plan.series, needs, sown, plan.today, plan.climate))
        coming = _coming(life, plan.today)
        plant_aheads.append(
            PlantAhead(
                coming,
                needs[coming.key].basis if coming else None,
                _asks_for_flowers(life, plan.today, every_days or _WEEK),
                _worn(each, needs, plan, rules),
                _sow_next(each, card, needs, plan, rules),
            )
        )
    return tuple(plant_aheads)


def _coming(life: Mapping[str, EventDue], today: dt.date) -> EventDue | None:
    """The next event: what every past year had had by now is passed over, unless it is the last."""
    waiting = [life[key] for key in LIFE if key in life and _waits(key, life)]
    ahead = (each for each in waiting if each.last is None or each.last >= today)
    return next(ahead, waiting[-1] if waiting else None)


def _waits(key: str, life: Mapping[str, EventDue]) -> bool:
    """Whether an event is not on record, nor any that comes after it."""
    later = LIFE[LIFE.index(key) :]
    return not any(life[each].on_record for each in later if each in life)


def _asks_for_flowers(life: Mapping[str, EventDue], today: dt.date, every: int) -> dt.date | None:
    """First day of the flower span, on the walks of one stretch a week from it on."""
    flower = life.get("first-flower")
    if flower is None or flower.first is None or not _waits("first-flower", life):
        return None
    since = (today - flower.first).days
    if today > (flower.last or flower.first) + _ASKED:
        return None
    return flower.first if since >= 0 and since % _WEEK < every else None


def _worn(
    sowing: SowingToday, needs: Mapping[str, Need], plan: SeasonPlan, rules: Rules
) -> Worn | None:
    picked = sowing.done("first-pick")
    if picked is None or (days := (plan.today - picked).days) <= rules.picking_days:
        return None
    need, new = needs.get("first-pick"), None
    if need is not None:
        day = (plan.today.month, plan.today.day)
        rows = sown_by(plan.series, need, plan.today, [day], picking_days=rules.picking_days)
        new = rows[0] if rows[0].years else None
    on_it = (Status.SEEN, Status.LOOK_NOW, Status.OVERDUE)
    pests = dict.fromkeys(
        f"{window.card.name}, {window.event.words}"
        for window in plan.windows
        if window.card.group == "pest"
        and window.status in on_it
        and window.bracket is not None
        and window.card.lives_on(sowing.names)
    )
    return Worn(days, new, tuple(pests))


def _sow_next(
    sowing: SowingToday, card: Card, needs: Mapping[str, Need], plan: SeasonPlan, rules: Rules
) -> Span | None:
    picked = sowing.done("first-pick")
    if picked is None:
        return None
    need = needs.get("first-pick")
    return next_sowing(plan.series, card, need, picked, plan.today, rules)
