"""What is known of a stage that no heat sum was published for: days, company, or that it waits."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from gddcast.cards.model import Card, Event
from gddcast.errors import shell
from gddcast.journal.begun import Begun, begun_before
from gddcast.journal.clocks import clocks_of, sown_words
from gddcast.journal.dating import bracket_of, clean_looks_of
from gddcast.journal.entries import Journal
from gddcast.scouting.day_counts import DayCount
from gddcast.scouting.statuses import status_by_days
from gddcast.scouting.windows import ScoutingWindow
from gddcast.today.day_counts import from_clock, in_days, started, waits_for, when
from gddcast.today.plan import SeasonPlan
from gddcast.words import Status, day


def stages_without_sum(
    plan: SeasonPlan, card: Card, journal: Journal
) -> tuple[ScoutingWindow, ...]:
    """The stages of a card that a plan has no window for, each with what is known instead.

    Parameters
    ----------
    plan : SeasonPlan
        Its windows hold every stage of ``card`` that has a sum or a cue.
    card : Card
    journal : Journal
        A find starts the days that are counted from its stage.

    Returns
    -------
    tuple of ScoutingWindow
        With a reason each, in the card's order; no number, no outlook.
    """
    shown = {window.event.key for window in plan.windows if window.card.key == card.key}
    begun = begun_before(card, journal, plan.season, plan.today, plan.series, plan.overrule)
    return tuple(
        _window(plan, card, event, journal, begun)
        for event in card.events
        if event.key not in shown
    )


def _window(
    plan: SeasonPlan, card: Card, event: Event, journal: Journal, begun: Mapping[str, Begun]
) -> ScoutingWindow:
    looks = (card, event, journal, plan.season.first, plan.today)
    bracket, later = bracket_of(*looks), begun.get(event.key)
    status, reason = _known(plan, card, event, journal, begun)
    return ScoutingWindow(
        card=card, event=event,
        status=Status.SEEN if bracket else Status.UNDER_WAY if later else status,
        look=card.look_at(event), reason=reason, bracket=bracket, begun=later,
        clean_looks=clean_looks_of(*looks),
        notes=tuple(note for note in (event.caution, card.comes_from_elsewhere) if note),
    )  # fmt: skip


def _known(
    plan: SeasonPlan, card: Card, event: Event, journal: Journal, begun: Mapping[str, Begun]
) -> tuple[Status, str]:
    if event.days:
        status, reason = _by_days(plan, card, event, journal, begun)
        if event.opens_looks or status not in (Status.LOOK_NOW, Status.OVERDUE):
            return status, reason
        return Status.COMING_UP if status is Status.LOOK_NOW else Status.QUIET, reason
    other = card.event(event.same_time_as or "")
    if other is not None:
        return Status.QUIET, (
            f"no sum of its own: it comes with {other.words}  "
            f"(gddcast why {shell(card.key)} {shell(other.key)})"
        )
    if event.numbers:
        found_in = event.numbers[0].found_in
        return Status.CANT_SAY, f"no published sum found, only thresholds ({found_in})"
    following = next(card.follows(event.key), None)
    if following is not None:
        return Status.QUIET, "no published sum found: it waits for you to see it"
    return Status.CANT_SAY, "no published sum found"


def _by_days(
    plan: SeasonPlan, card: Card, event: Event, journal: Journal, begun: Mapping[str, Begun]
) -> tuple[Status, str]:
    printed = event.days[0]
    said = f"by days, not a heat sum: {in_days(card, printed)}"
    clocks = clocks_of(card, printed, plan.place, plan.season, plan.today, journal, begun=begun)
    if not clocks:
        return Status.QUIET, f"{said}; {waits_for(card, printed)}"
    done = _logged(card, event, journal)
    each_said, statuses = [], []
    for clock in clocks:
        counted = DayCount(printed, started(clock))
        came = done.get(clock.starts)
        on_record = f"on record {day(came, weekday=False)}" if came else ""
        each_said.append(f"{from_clock(clock)}: {on_record or when(counted)}")
        if came is None:
            statuses.append(status_by_days(counted, plan.today, lead_days=0))
    return next(iter(statuses), Status.SEEN), "; ".join([said, *each_said])


def _logged(card: Card, event: Event, journal: Journal) -> dict[str, dt.date]:
    """Days on which a crop's stage was logged, by what its sowings are called as a start."""
    done = {job.sowing: job.done_on for job in journal.jobs if job.job == event.key}
    own = (each for each in journal.sowings if each.crop == card.key and each.name in done)
    return {sown_words(each): done[each.name] for each in own}
