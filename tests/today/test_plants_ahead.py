"""What a standing sowing does next, held against days counted here; what it asks, and when."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from gddcast.cards.model import Card
from gddcast.crops.standing import sowings_today
from gddcast.crops.succession import Rules
from gddcast.journal.entries import Job, Journal, Sighting, Sowing
from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import read_temperatures
from gddcast.today.plan import SeasonPlan, season_plan
from gddcast.today.plants_ahead import PlantAhead, plants_ahead
from gddcast.weather.series import DailySeries
from tests.sine_by_hand import fahrenheit_days, single_sine

FILE = Path(__file__).parents[1] / "samples" / "larkhollow_2014_to_31aug2026_f.csv"
SQUASH = Sowing("summer-squash", dt.date(2026, 5, 20), "row 2", name="squash")


@pytest.fixture(scope="module")
def cards() -> dict[str, Card]:
    return load_cards()


@pytest.fixture(scope="module")
def series() -> DailySeries:
    return read_temperatures(FILE).series


def day(month: int, date: int) -> dt.date:
    return dt.date(2026, month, date)


def planned(
    series: DailySeries, cards: dict[str, Card], journal: Journal, today: dt.date
) -> SeasonPlan:
    return season_plan(series, cards, today, watch=["squash-bug"], journal=journal)


def of_squash(
    series: DailySeries, cards: dict[str, Card], today: dt.date, *jobs: tuple[str, dt.date],
    every: int | None = None, sightings: tuple[Sighting, ...] = (),
) -> PlantAhead:  # fmt: skip
    """The squash of 20 May as it stands today; its card gives days, no heat."""
    done = tuple(Job(job, on, "squash") for job, on in jobs)
    journal = Journal(sightings, (SQUASH,), done)
    plan = planned(series, cards, journal, today)
    there = sowings_today(journal, cards, plan.season, today)
    (one,) = plants_ahead(there, plan, journal, cards, Rules(), every_days=every)
    return one


def test_the_next_event_is_the_first_that_is_not_over(
    series: DailySeries, cards: dict[str, Card]
) -> None:
    """Up after 4-15 days, flowers after 35-45, fruit after 45-50: the card's days, by calendar."""
    up = of_squash(series, cards, day(5, 25)).next
    assert up is not None
    assert (up.key, up.first, up.last) == ("up", day(5, 24), day(6, 4))
    for jobs in ((), (("up", day(5, 30)),)):  # not on record, but over in every year
        flower = of_squash(series, cards, day(6, 11), *jobs).next
        assert flower is not None
        assert (flower.key, flower.first, flower.last) == ("first-flower", day(6, 24), day(7, 4))
    pick = of_squash(series, cards, day(7, 2), ("first-flower", day(7, 1))).next
    assert pick is not None
    assert (pick.key, pick.first, pick.last) == ("first-pick", day(7, 4), day(7, 9))
    late = of_squash(series, cards, day(7, 30)).next
    assert late is not None
    assert late.key == "first-pick"  # nothing comes after it, so it stays
    assert of_squash(series, cards, day(7, 30), ("first-pick", day(7, 6))).next is None


def test_own_sowings_tell_the_next_event_by_heat(
    series: DailySeries, cards: dict[str, Card]
) -> None:
    """Three sowings of 700, 740 and 780 °F-days to flower, by single sine, added here."""
    days, sowings, jobs = fahrenheit_days(FILE), [], []
    for year, goal in ((2023, 700.0), (2024, 740.0), (2025, 780.0)):
        on, heat = dt.date(year, 5, 20), 0.0
        while (heat := heat + single_sine(*days[on], 50.0)) < goal:
            on += dt.timedelta(days=1)
        sowings.append(Sowing("summer-squash", dt.date(year, 5, 20), name=str(year)))
        jobs.append(Job("first-flower", on, str(year)))
    journal = Journal(sowings=(*sowings, SQUASH), jobs=tuple(jobs))
    today = day(6, 20)
    plan = planned(series, cards, journal, today)
    there = sowings_today(journal, cards, plan.season, today)
    (one,) = plants_ahead(there, plan, journal, cards, Rules())
    assert one.basis == "own sowings"
    assert one.next is not None
    assert one.next.middle is not None
    on, heat = SQUASH.sown_on, 0.0
    while (heat := heat + single_sine(*days[on], 50.0)) < 740.0:
        on += dt.timedelta(days=1)
    assert abs((one.next.middle - on).days) <= 4  # what came, and the middle of what could come
    assert one.next.key == "first-flower"


def test_flowers_are_asked_for_once_a_week_from_their_span_on(
    series: DailySeries, cards: dict[str, Card]
) -> None:
    """From 24 June on; who walks every second day is asked on two days of seven."""

    def asked(every: int | None, *jobs: tuple[str, dt.date]) -> list[int]:
        return [
            date for date in range(22, 31)
            if of_squash(series, cards, day(6, date), *jobs, every=every).flowers_since
        ]  # fmt: skip

    assert asked(2) == [24, 25]
    assert asked(1) == [24]
    assert asked(None) == [24, 25, 26, 27, 28, 29, 30]  # nobody said how often they walk
    assert asked(2, ("first-flower", day(6, 22))) == []
    assert asked(2, ("first-pick", day(6, 23))) == []  # it flowered, or there were no fruit
    assert of_squash(series, cards, day(7, 1), every=1).flowers_since == day(6, 24)
    asked = [day(8, date) for date in range(1, 32)]
    asked = [each for each in asked if of_squash(series, cards, each).flowers_since]
    assert asked[-1] <= day(7, 4) + dt.timedelta(weeks=6)  # 45 days from sowing at the slowest


def test_a_worn_out_sowing_says_what_speaks_for_a_new_one(
    series: DailySeries, cards: dict[str, Card]
) -> None:
    """More than 21 days of picking; a sowing of 28 July: 50 days and 21 more before the frost."""
    picked, eggs = ("first-pick", day(7, 6)), Sighting("squash-bug", "eggs", day(6, 25))
    assert of_squash(series, cards, day(7, 27), picked).worn is None
    worn = of_squash(series, cards, day(7, 28), picked, sightings=(eggs,)).worn
    assert worn is not None
    assert worn.picked_for == 22
    assert worn.pests == ("squash bug, first egg masses",)
    days, fits = fahrenheit_days(FILE), 0
    for year in range(2014, 2026):
        frost = dt.date(year, 7, 2)
        while days[frost][0] > 32:
            frost += dt.timedelta(days=1)
        fits += (frost - dt.date(year, 7, 28)).days >= 50 + 21
    assert worn.new_one is not None
    assert (worn.new_one.fits, worn.new_one.years) == (fits, 12)
    assert 0 < fits < 12
    assert of_squash(series, cards, day(7, 28), picked, ("pulled", day(7, 28))).worn is not None


def test_a_crop_without_a_card_goes_by_the_rule_of_days(
    series: DailySeries, cards: dict[str, Card]
) -> None:
    luffa = Sowing("luffa", dt.date(2026, 5, 20), name="luffa")
    tomato = Sowing("tomato", dt.date(2026, 5, 20), name="tomato")
    journal = Journal(sowings=(luffa, tomato))
    plan = planned(series, cards, journal, day(6, 11))
    there = sowings_today(journal, cards, plan.season, day(6, 11))
    first, second = plants_ahead(there, plan, journal, cards, Rules())
    assert first.next is not None
    assert (first.basis, first.next.first) == ("your rule of days", day(7, 4))
    # A tomato is counted from planting out: 45 days from seed would be nonsense.
    assert second.next is None or second.next.key == "up"
