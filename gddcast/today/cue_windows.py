"""The window of a stage by its cue: whether the cue says to look today, and since when."""

from __future__ import annotations

from gddcast.cards.model import Card, Cue, Event
from gddcast.scouting.cues import begins_on, dates_at, ends_on
from gddcast.scouting.windows import ScoutingWindow
from gddcast.today.garden import Garden
from gddcast.words import Status, day, span


def cue_window(card: Card, cue: Cue, garden: Garden) -> ScoutingWindow:
    """The window of a cue: ``look now`` while it holds, ``closed`` when its time is over."""
    event = card.event(cue.event or "") or Event(key="cue", words="no published heat sum")
    bracket, begun = garden.bracket(card, event), garden.begun_by(card, event)
    status, reason, over = _stands(card, cue, garden)
    if status is Status.LOOK_NOW and not event.opens_looks:
        status = Status.QUIET
    return ScoutingWindow(
        card=card,
        event=event,
        status=Status.SEEN if bracket else Status.UNDER_WAY if begun else status,
        look=card.look_at(event),
        reason=reason,
        cue=cue,
        bracket=bracket,
        begun=begun,
        clean_looks=garden.clean_looks(card, event),
        over=over if bracket is None and begun is None else None,
    )


def _stands(card: Card, cue: Cue, garden: Garden) -> tuple[Status, str, str | None]:
    """Where it stands today, in words, and what ended it."""
    record, season, place, today = garden.record, garden.season, garden.place, garden.today
    reason = cue.sentence_with(*dates_at(cue, place))
    hosts, end = garden.hosts_sown(card), ends_on(cue, season, place)
    if end is not None and end < today:
        return Status.CLOSED, reason, f"by its card it is looked for until {day(end)}"
    begins = begins_on(cue, season, place, record.series, today, hosts)
    if begins is not None:
        since = "" if cue.by_age_alone else f". It has held since {day(begins)}"
        return Status.LOOK_NOW, f"{reason}{since}", None
    first = dates_at(cue, place)[0]
    is_time = first is None or season.on(*first) <= today
    if is_time and cue.after_sowing_days is not None and hosts == []:
        return Status.QUIET, f"{reason}; none of the plants it lives on stands", None
    if is_time and cue.air_above is not None and record.week.of_past_years:
        missing = span(record.week.first, record.week.last)
        unknown = f"can’t say: the weather of {missing} is not on record. The cue: {reason}"
        return Status.CANT_SAY, unknown, None
    return Status.QUIET, reason, None
