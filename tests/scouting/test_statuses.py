"""Each status by its rule."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from functools import partial

import pytest

from gddcast.cards.model import Cue, Days, Start
from gddcast.journal.begun import Begun
from gddcast.journal.entries import Bracket, Sighting
from gddcast.outlook.dates import Outlook, YearDot
from gddcast.outlook.sightings import InsectDates
from gddcast.readers.card_files import load_cards
from gddcast.scouting.day_counts import DayCount
from gddcast.scouting.statuses import status_by_chance, status_by_days, status_of, status_on
from gddcast.scouting.windows import ScoutingWindow
from gddcast.words import Status

TODAY = dt.date(2026, 6, 11)
ONE_DAY = dt.timedelta(days=1)


def outlook(*ahead: int | None, reached: int | None = None, unknown: bool = False) -> Outlook:
    """Dots so many days from today; None is a season that does not get there."""
    dots = tuple(
        YearDot(str(2000 + at), None if days is None else TODAY + days * ONE_DAY, 0.0, 0.0)
        for at, days in enumerate(ahead)
    )
    return Outlook(
        goal=500.0, heat=400.0, through=TODAY - ONE_DAY, dots=dots,
        reached=None if reached is None else TODAY + reached * ONE_DAY,
        unknown=(TODAY - 9 * ONE_DAY, TODAY - 5 * ONE_DAY) if unknown else None,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("seen_ahead", "status"),
    [
        (outlook(*range(30, 42)), Status.QUIET),
        (outlook(*range(22, 34)), Status.QUIET),
        (outlook(*range(21, 33)), Status.BUILDING),
        (outlook(*range(11, 23)), Status.BUILDING),
        (outlook(*range(10, 22)), Status.COMING_UP),
        (outlook(*range(4, 16)), Status.COMING_UP),
        (outlook(*range(3, 15)), Status.LOOK_NOW),
        (outlook(reached=0), Status.LOOK_NOW),
        (outlook(reached=-6), Status.LOOK_NOW),
        (outlook(reached=-7), Status.OVERDUE),
        (outlook(reached=-21), Status.OVERDUE),
        (outlook(reached=-22), Status.CLOSED),
        (outlook(*[None] * 12), Status.NOT_THIS_SEASON),
        (outlook(40, *[None] * 11), Status.NOT_THIS_SEASON),
        (outlook(40, *[None] * 10), Status.NOT_THIS_SEASON),
        (outlook(40, *[None] * 9), Status.QUIET),
        (outlook(*[-22] * 12), Status.CLOSED),
        (outlook(*[-21] * 12), Status.OVERDUE),
        (outlook(), Status.CANT_SAY),
        (outlook(*range(3, 15), unknown=True), Status.CANT_SAY),
    ],
)
def test_status_follows_its_rule_to_the_day(seen_ahead: Outlook, status: Status) -> None:
    """The edges of every rule, with a lead of three days."""
    assert status_of(seen_ahead, seen_ahead, TODAY, lead_days=3) is status


def test_a_find_is_seen_whatever_the_dots_say() -> None:
    """The garden knows better than the heat."""
    found = Bracket(None, TODAY, Sighting("bug", "eggs", TODAY))
    assert (
        status_of(outlook(*range(30, 42)), outlook(), TODAY, lead_days=3, bracket=found)
        is Status.SEEN
    )


@pytest.mark.parametrize(
    ("seen_ahead", "looked_for", "beside"),
    [
        (outlook(*range(-18, -8), -7, 0), Status.OVERDUE, Status.COMING_UP),  # the last is today
        (outlook(*range(-18, -7), None), Status.OVERDUE, Status.QUIET),
        (outlook(reached=-8), Status.OVERDUE, Status.QUIET),
        (outlook(reached=-1), Status.LOOK_NOW, Status.QUIET),
        (outlook(*range(3, 15)), Status.LOOK_NOW, Status.COMING_UP),
        (outlook(*range(11, 23)), Status.BUILDING, Status.BUILDING),
        (outlook(*range(-40, -28)), Status.CLOSED, Status.CLOSED),
    ],
)
def test_what_opens_no_look_is_a_date_and_sends_nobody_out(
    seen_ahead: Outlook, looked_for: Status, beside: Status
) -> None:
    """A peak, an end, a crop's own stage: coming up until the slowest year is past, then quiet."""
    status = partial(status_of, seen_ahead, seen_ahead, TODAY, lead_days=3)
    assert (status(), status(opens_looks=False)) == (looked_for, beside)


@pytest.mark.parametrize(
    ("opens", "closes", "in_season", "unlooked", "looked"),
    [
        (None, None, 1.0, Status.NOT_THIS_SEASON, Status.NOT_THIS_SEASON),
        (0, 20, 0.09, Status.NOT_THIS_SEASON, Status.NOT_THIS_SEASON),
        (0, 20, 0.1, Status.LOOK_NOW, Status.LOOK_NOW),
        (0, None, 0.6, Status.LOOK_NOW, Status.LOOK_NOW),
        (-30, 0, 1.0, Status.LOOK_NOW, Status.LOOK_NOW),
        (-30, -1, 1.0, Status.OVERDUE, Status.CLOSED),
        (-50, -21, 1.0, Status.OVERDUE, Status.CLOSED),
        (-50, -22, 1.0, Status.CLOSED, Status.CLOSED),
        (1, 30, 1.0, Status.COMING_UP, Status.COMING_UP),
        (10, 30, 1.0, Status.COMING_UP, Status.COMING_UP),
        (11, 30, 1.0, Status.BUILDING, Status.BUILDING),
        (21, 30, 1.0, Status.BUILDING, Status.BUILDING),
        (22, 30, 1.0, Status.QUIET, Status.QUIET),
    ],
)
def test_by_own_finds_the_days_of_a_chance_decide(
    opens: int | None, closes: int | None, in_season: float, unlooked: Status, looked: Status
) -> None:
    """The edges of every rule."""
    first, last = (None if each is None else TODAY + each * ONE_DAY for each in (opens, closes))
    insect = InsectDates(90.0, first, {}, 0.0, in_season, (first, last))
    assert status_by_chance(insect, TODAY, looked=False) is unlooked
    assert status_by_chance(insect, TODAY, looked=True) is looked


@pytest.mark.parametrize(
    ("late", "by_find", "looked_for", "beside"),
    [
        (22, True, Status.CLOSED, Status.CLOSED),
        (21, True, Status.OVERDUE, Status.QUIET),
        (7, True, Status.OVERDUE, Status.QUIET),
        (6, True, Status.LOOK_NOW, Status.QUIET),
        (1, True, Status.LOOK_NOW, Status.QUIET),
        (0, True, Status.LOOK_NOW, Status.COMING_UP),
        (1, False, Status.CLOSED, Status.CLOSED),
        (0, False, Status.LOOK_NOW, Status.COMING_UP),
        (-6, True, Status.LOOK_NOW, Status.COMING_UP),
        (-7, True, Status.COMING_UP, Status.COMING_UP),
        (-14, True, Status.BUILDING, Status.BUILDING),
    ],
)
def test_printed_days_stand_by_the_same_rules(
    late: int, looked_for: Status, beside: Status, *, by_find: bool
) -> None:
    """Ten days at most and seven at least from a find, a lead of three: edges by the latest day."""
    printed = Days((7.0, 10.0), Start(event="eggs"), "x", "seen")
    begun = TODAY - (10 + late) * ONE_DAY
    counted = DayCount(printed, (begun, begun), by_find=by_find)
    status = partial(status_by_days, counted, TODAY, lead_days=3)
    assert (status(), status(opens_looks=False)) == (looked_for, beside)


def test_a_longer_lead_looks_earlier() -> None:
    """Look now wins over coming up."""
    ahead = outlook(*range(9, 21))
    assert status_of(ahead, ahead, TODAY, lead_days=3) is Status.COMING_UP
    assert status_of(ahead, ahead, TODAY, lead_days=9) is Status.LOOK_NOW


def test_what_a_later_find_answers_is_neither_overdue_nor_coming_up() -> None:
    find = Sighting("squash-bug", "large-nymphs", TODAY)
    begun = Begun("eggs", TODAY - dt.timedelta(days=9), find)
    for ahead in (outlook(*range(30, 42)), outlook(*range(-30, -18)), outlook(*range(2, 14))):
        assert status_of(ahead, ahead, TODAY, lead_days=3, begun=begun) is Status.UNDER_WAY
        own = Bracket(None, TODAY, find)
        status = status_of(ahead, ahead, TODAY, lead_days=3, bracket=own, begun=begun)
        assert status is Status.SEEN


@pytest.mark.parametrize(
    ("late", "status"), [(9, Status.OVERDUE), (10, Status.OVERDUE), (8, Status.LOOK_NOW)]
)
def test_overdue_is_nine_of_ten_years_a_week_ago(late: int, status: Status) -> None:
    """A record that ended weeks ago: its dots may lie behind today."""
    ahead = outlook(*[-7] * late, *[-6] * (10 - late))
    assert status_of(ahead, ahead, TODAY, lead_days=3) is status


def test_a_day_that_passes_changes_a_status_but_nothing_that_was_seen_or_cannot_be_said() -> None:
    """Three days on, what may begin in six days is to be looked for."""
    card = load_cards()["squash-vine-borer"]
    event = card.event("moths")
    assert event is not None
    ahead, later = outlook(*range(6, 18)), TODAY + 3 * ONE_DAY
    window = ScoutingWindow(
        card=card, event=event, status=Status.COMING_UP, look=card.look_at(event),
        early=ahead, late=ahead,
    )  # fmt: skip
    assert status_on(window, TODAY, lead_days=3) is Status.COMING_UP
    assert status_on(window, later, lead_days=3) is Status.LOOK_NOW
    for stays in (Status.SEEN, Status.CANT_SAY, Status.NOT_THIS_SEASON, Status.CLOSED):
        assert status_on(replace(window, status=stays), later, lead_days=3) is stays
    cue = Cue("look for eggs", "x", "seen", after_sowing_days=22)
    for still in (
        replace(window, cue=cue),
        replace(window, early=None),
        replace(window, late=None),
    ):
        assert status_on(still, later, lead_days=3) is Status.COMING_UP
