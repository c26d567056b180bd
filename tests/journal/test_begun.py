"""What a find says of the days before it."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gddcast.cards.model import ANY_STAGE, Card, Days, Event, Look, Number, Sign, Start
from gddcast.journal.begun import Begun, WayBack, begun_before, way_back
from gddcast.journal.entries import Journal, Sighting
from gddcast.readers.card_files import load_cards
from gddcast.weather.series import DailySeries, season_of

TODAY = dt.date(2026, 7, 25)
SEASON = season_of(TODAY)


def on(month: int, day: int) -> dt.date:
    return dt.date(2026, month, day)


def number(goal: tuple[float, float], start: str) -> Number:
    return Number(
        "biofix", "C", 10.0, None, None, "any", "air", Start(event=start), goal, "nowhere",
        "invented", "from memory", default=True,
    )  # fmt: skip


CARD = Card(
    key="squash-bug", name="squash bug", latin="Anasa tristis", group="pest", look=Look(),
    hosts=("summer squash", "pumpkin"), sources={},
    events=(
        Event("eggs", "first egg masses"),
        Event("nymphs", "large nymphs", numbers=(number((100.0, 150.0), "eggs"),)),
    ),
)  # fmt: skip
#: 10 °C·d above 10 °C every day.
WARM = DailySeries(dt.date(2026, 6, 1), np.full(60, 15.0), np.full(60, 25.0))
#: Adults, eggs with them, hatch by heat, pupae by days, a peak, and a second brood.
LONG = Card(
    key="bug", name="bug", latin="Bug bug", group="pest", look=Look(),
    events=(
        Event("petals", "petals fall", purpose="crop stage"),
        Event("adults", "adults"),
        Event("eggs", "eggs", same_time_as="adults"),
        Event("peak", "most eggs", purpose="peak"),
        Event("egg-hatch", "hatch", numbers=(number((100.0, 150.0), "eggs"),)),
        Event("pupae", "pupae", days=(
            Days((14.0, 20.0), Start(event="egg-hatch"), "invented", "from memory"),
            Days((12.0, 20.0), Start(event="egg-hatch"), "invented", "from memory"),
        )),
        Event("second-adults", "new adults", brood=2),
    ),
    signs=(Sign("frass", "frass", "egg-hatch"), Sign("nymphs", "nymphs", "egg-hatch", True)),
)  # fmt: skip


def find(event: str, day: dt.date, **more: object) -> Sighting:
    return replace(Sighting("bug", event, day), **more)  # type: ignore[arg-type]


def latest(*sightings: Sighting, series: DailySeries | None = WARM) -> dict[str, dt.date]:
    begun = begun_before(LONG, Journal(tuple(sightings)), SEASON, TODAY, series)
    return {key: each.latest for key, each in begun.items()}


def test_a_find_is_counted_back_from_stage_to_stage_each_by_its_own_method() -> None:
    """Pupae are 12 days or more after hatch; 100 °C·d at 10 a day are ten days after the eggs.

    A crop's stage and a peak are no beginning of anything, and what comes later is not said.
    """
    assert latest(find("pupae", on(7, 20))) == {
        "egg-hatch": on(7, 8), "eggs": on(6, 28), "adults": on(6, 28),
    }  # fmt: skip


def test_without_heat_or_days_only_the_find_s_own_day_stands() -> None:
    gap = WARM.tmin.copy()
    gap[WARM.index(on(7, 5))] = np.nan
    hidden = DailySeries(WARM.first, gap, WARM.tmax)
    for series in (None, hidden):
        begun = begun_before(LONG, Journal((find("frass", on(7, 10)),)), SEASON, TODAY, series)
        assert {each.latest for each in begun.values()} == {on(7, 10)}
        assert not any(each.counted for each in begun.values())


def test_a_sign_says_that_its_event_has_begun_and_any_stage_that_the_first_has() -> None:
    assert latest(find("frass", on(7, 10))) == {
        "egg-hatch": on(7, 10), "eggs": on(6, 30), "adults": on(6, 30),
    }  # fmt: skip
    assert latest(find(ANY_STAGE, on(7, 10))) == {"adults": on(7, 10)}
    # What is there at once is a find of the event itself: that one is logged, not inferred.
    assert set(latest(find("nymphs", on(7, 10)))) == {"eggs", "adults"}


def test_a_later_brood_says_so_of_the_first_and_not_the_other_way() -> None:
    said = latest(find("second-adults", on(7, 20)))
    assert said == dict.fromkeys(("adults", "eggs", "egg-hatch", "pupae"), on(7, 20)) | {
        "egg-hatch": on(7, 8), "eggs": on(6, 28), "adults": on(6, 28),
    }  # fmt: skip
    assert latest(find("adults", on(7, 20))) == {}


@pytest.mark.parametrize(
    "kept_beside",
    [
        {"sure": False}, {"kind": "heard"}, {"kind": "none"}, {"trap": True},
        {"seen_on": dt.date(2025, 7, 10)}, {"seen_on": dt.date(2026, 7, 26)},
    ],
)  # fmt: skip
def test_what_is_no_sure_find_at_plants_of_this_season_says_nothing(
    kept_beside: dict[str, object],
) -> None:
    for event in ("frass", "pupae", ANY_STAGE):
        assert latest(replace(find(event, on(7, 10)), **kept_beside)) == {}  # type: ignore[arg-type]


def test_of_two_finds_the_earlier_day_stands_and_a_logged_stage_is_left_alone() -> None:
    both = latest(find("frass", on(7, 10)), find("pupae", on(7, 15)))
    assert both["egg-hatch"] == on(7, 3)
    assert "eggs" not in latest(find("frass", on(7, 10)), find("eggs", on(7, 9)))


def test_a_clean_look_before_the_latest_day_is_the_other_end() -> None:
    clean = find("eggs", on(6, 25), kind="none")
    too_late = find("eggs", on(7, 5), kind="none")
    begun = begun_before(
        LONG, Journal((clean, too_late, find("frass", on(7, 10)))), SEASON, TODAY, WARM
    )
    assert begun["eggs"] == Begun("eggs", on(6, 30), find("frass", on(7, 10)), True, on(6, 25))


@settings(deadline=None, max_examples=60)
@given(
    seen=st.dates(on(6, 15), on(7, 25)),
    stage=st.sampled_from(["frass", "nymphs", "egg-hatch", "pupae", "second-adults", ANY_STAGE]),
    heat=st.floats(0.0, 25.0),
)
def test_the_earlier_the_stage_the_earlier_its_latest_day_and_none_is_after_the_find(
    seen: dt.date, stage: str, heat: float
) -> None:
    days = len(WARM)
    series = DailySeries(WARM.first, np.full(days, 10.0), np.full(days, 10.0 + 2.0 * heat))
    said = latest(find(stage, seen), series=series)
    order = [said[event.key] for event in LONG.events if event.key in said]
    assert order == sorted(order)
    assert all(day <= seen for day in order)


def test_events_of_every_card_stand_in_the_order_in_which_they_happen() -> None:
    """On which the rule rests: nothing is counted from an event that stands after it."""
    for card in load_cards().values():
        order = {event.key: place for place, event in enumerate(card.events)}
        for event in card.events:
            before = [
                each.starts_from.event
                for each in (*event.numbers, *event.days)
                if each.starts_from and each.starts_from.event
            ]
            assert all(order[key] < order[event.key] for key in before), (card.key, event.key)
        broods = [event.brood for event in card.events]
        assert broods == sorted(broods), card.key


def test_squash_bug_eggs_by_a_printed_sum() -> None:
    """108.58 °C·d above 14.39 °C from egg to hatch (Fargo and Bonjour 1988, in Buckley 2017).

    At a constant 25 °C that is 10.2 days, as the card's note prints it too: eleven whole days.
    """
    card = load_cards()["squash-bug"]
    days = 60
    series = DailySeries(on(6, 1), np.full(days, 25.0), np.full(days, 25.0))
    nymphs = Sighting("squash-bug", "nymphs", on(7, 20))
    begun = begun_before(card, Journal((nymphs,)), SEASON, TODAY, series)
    assert begun["eggs"].latest == on(7, 20) - dt.timedelta(days=11)
    assert set(begun) == {"adults", "eggs"}


def test_a_late_find_is_counted_back_over_both_ends_of_the_number() -> None:
    """At 10 °C·d a day 100 take ten days and 150 fifteen; the find's own day counts."""
    stage = CARD.events[1].default
    assert stage is not None
    back = way_back(WARM, CARD, stage, on(7, 20), on(6, 1))
    assert back == WayBack("eggs", on(7, 5), on(7, 10))
    # Forward from the day after, the same sum is reached on the day of the find.
    heat = WARM.between(back.last + dt.timedelta(days=1), on(7, 20))
    assert len(heat) * 10.0 == 100.0


def test_a_find_of_today_is_counted_back_though_its_day_is_not_known_yet() -> None:
    stage = CARD.events[1].default
    assert stage is not None
    known = WARM.before(on(7, 20))
    whole = way_back(WARM, CARD, stage, on(7, 20), on(6, 1))
    assert way_back(known, CARD, stage, on(7, 20), on(6, 1)) == whole
    assert way_back(known, CARD, stage, on(7, 21), on(6, 1)) is None


def test_nothing_is_counted_back_over_an_unknown_day() -> None:
    stage = CARD.events[1].default
    assert stage is not None
    low = WARM.tmin.copy()
    low[WARM.index(on(7, 8))] = np.nan
    gap = DailySeries(WARM.first, low, WARM.tmax)
    assert way_back(gap, CARD, stage, on(7, 20), on(6, 1)) is None
    assert way_back(WARM, CARD, stage, on(6, 8), on(6, 1)) is None  # not that far
    assert way_back(WARM, CARD, stage, on(9, 1), on(6, 1)) is None  # weather ends before
