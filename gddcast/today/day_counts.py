"""Windows of the stages that only days were published for: after a find, or after a date."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from gddcast.cards.model import Card, Days, Event
from gddcast.journal.clocks import Clock
from gddcast.outlook.dates import FEWEST
from gddcast.scouting.day_counts import DayCount
from gddcast.scouting.statuses import CLOSES_AFTER_DAYS, status_by_days
from gddcast.scouting.windows import ScoutingWindow
from gddcast.today.garden import Garden
from gddcast.words import Status, any_day, day

#: Statuses of an earlier stage that has no date to count from.
_NO_DATE = (Status.CANT_SAY, Status.NOT_THIS_SEASON)


def goes_by_days(card: Card, event: Event) -> bool:
    """Whether days are all there is for a stage of a pest: no sum of air temperatures."""
    number = event.default
    countable = (
        number is not None and number.goal is not None
        and number.of == "air" and number.lower is not None
    )  # fmt: skip
    return card.group == "pest" and bool(event.days) and not countable


def day_windows(
    card: Card, windows: Sequence[ScoutingWindow], garden: Garden
) -> Iterator[ScoutingWindow]:
    """The window of each such stage, in the card's order.

    Parameters
    ----------
    card : Card
    windows : sequence of ScoutingWindow
        Of the card's other stages, by their sums.
    garden : Garden
    """
    dated: dict[str, ScoutingWindow] = {}
    for each in windows:
        if each.card is card and _is_dated(each):
            dated.setdefault(each.event.key, each)
    for event in card.events:
        if goes_by_days(card, event):
            window = _window(card, event, dated, garden)
            yield window
            if window.fastest is not None:
                dated.setdefault(event.key, window)


def _is_dated(window: ScoutingWindow) -> bool:
    """Whether a stage has a date to count from: one that came, or enough past years to call."""
    late = window.late
    if late is None or window.status in _NO_DATE or window.first_possible is None:
        return False
    return late.reached is not None or len(late.dots) >= FEWEST


def _window(
    card: Card, event: Event, dated: Mapping[str, ScoutingWindow], garden: Garden
) -> ScoutingWindow:
    printed, bracket, begun = (
        event.days[0],
        garden.bracket(card, event),
        garden.begun_by(card, event),
    )
    notes = tuple(note for note in (event.caution, card.comes_from_elsewhere) if note)
    blank = ScoutingWindow(
        card=card,
        event=event,
        look=card.look_at(event),
        days=printed,
        bracket=bracket,
        begun=begun,
        status=Status.SEEN if bracket else Status.UNDER_WAY if begun else Status.QUIET,
        reason=f"{in_days(card, printed)}; {waits_for(card, printed)}",
        clean_looks=garden.clean_looks(card, event),
        notes=notes,
    )
    counted, basis = _counted(card, printed, dated, garden)
    if counted is None:
        return blank
    habits = garden.practice.habits
    every = why = opens = None
    if event.opens_looks:
        opens = counted.opens(habits.lead_days)
        every, why = garden.looking_interval(card)
    status = status_by_days(
        counted, garden.today, lead_days=habits.lead_days, opens_looks=event.opens_looks
    )
    return replace(
        blank, by_days=counted, status=blank.status if blank.is_answered else status,
        reason=f"{when(counted)}: {in_days(card, printed)}, {basis}",
        opens=opens, closes=_closes(counted), every_days=every, every_words=why,
    )  # fmt: skip


def _closes(counted: DayCount) -> dt.date | None:
    last = counted.latest
    return None if last is None else last + dt.timedelta(days=CLOSES_AFTER_DAYS)


def _counted(
    card: Card, printed: Days, dated: Mapping[str, ScoutingWindow], garden: Garden
) -> tuple[DayCount | None, str]:
    """The count and what it starts from; None while the earlier stage has neither find nor date."""
    clocks = garden.clocks(card, printed)
    if clocks:
        return DayCount(printed, started(clocks[0])), from_clock(clocks[0])
    key = printed.starts_from.event or ""
    before = card.event(key)
    earlier = dated.get(key) or (dated.get(before.same_time_as or "") if before else None)
    if earlier is None:
        return None, ""
    first, last = earlier.first_possible, earlier.reached or earlier.slowest
    by, came = "by days" if earlier.by_days else "by heat", _when(first, last)
    basis = f"which {by} come {came}"
    if earlier.event.key != key:
        basis = f"which come with {earlier.event.words}, {by} {came}"
    return DayCount(printed, (first, last), by_find=False), basis


def started(clock: Clock) -> tuple[dt.date | None, dt.date]:
    """Days between which the count began: a find's own, not the morning after it."""
    if clock.bracket is not None:
        return clock.bracket.earliest, clock.bracket.found_on
    return clock.earliest, clock.latest


def from_clock(clock: Clock) -> str:
    """What days are counted from, in words."""
    if clock.bracket is None:
        return clock.words
    find, clean = clock.bracket.found_on, clock.bracket.clean_on
    looked = f"clean look of {day(clean, weekday=False)}" if clean else "no clean look before it"
    return f"your find of {day(find, weekday=False)}, {looked}"


def in_days(card: Card, printed: Days) -> str:
    """How many days, from what, by whom."""
    low, high = printed.days
    many = f"{low:g}" if low == high else f"{low:g}–{high:g}"
    source = card.sources.get(printed.source)
    cited = source.short if source else printed.source
    return f"{many} day{'' if many == '1' else 's'} from {_start(card, printed)} ({cited})"


def waits_for(card: Card, printed: Days) -> str:
    """What the days wait for."""
    start = _start(card, printed)
    waits = f"you see {start}" if printed.starts_from.event else f"{start} is on record"
    return f"the days begin when {waits}"


def when(counted: DayCount) -> str:
    """The day, as doubtful as it is."""
    return _when(counted.earliest, counted.latest)


def _when(first: dt.date | None, last: dt.date | None) -> str:
    if first is None:
        return f"by {day(last)}" if last else "some day"
    return any_day(first, last)


def _start(card: Card, printed: Days) -> str:
    event = card.event(printed.starts_from.event or "")
    return event.words if event else (printed.starts_from.crop or "the date printed")
