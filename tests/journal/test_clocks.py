"""A printed date means a time of year, not a page of the calendar."""

import dataclasses
import datetime as dt

import numpy as np
import pytest

from gddcast.cards.model import Start
from gddcast.journal.clocks import calendar_start, clocks_of, find_clock
from gddcast.journal.entries import Bracket, Journal, Sighting, Sowing
from gddcast.readers.card_files import load_cards
from gddcast.skill.targets import targets_of
from gddcast.today.plan import season_plan
from gddcast.weather.series import DailySeries, Place, season_of

CARD = load_cards()["codling-moth"]
#: Washington State, 1 January.
NUMBER = CARD.event("moths").default
NORTH, SOUTH = Place("north", 40.0), Place("south", -40.0, season_begins=(7, 1))
#: Files without coordinates tell their side by their seasons alone.
UNSAID = Place("south", season_begins=(7, 1))
#: A grower of winter crops in the north, and one in the south who begins in June.
WINTER, JUNE = Place("n", 40.0, season_begins=(7, 1)), Place("s", -40.0, season_begins=(6, 1))


@pytest.mark.parametrize(
    ("latitude", "place", "printed", "here"),
    [
        (47.0, NORTH, (1, 1), (1, 1)),
        (47.0, SOUTH, (1, 1), (7, 1)),
        (None, SOUTH, (3, 1), (9, 1)),
        (47.0, SOUTH, (8, 31), (2, 28)),
        (-37.0, SOUTH, (9, 1), (9, 1)),
        (-37.0, NORTH, (9, 1), (3, 1)),
        (47.0, UNSAID, (1, 1), (7, 1)),
        (47.0, WINTER, (1, 1), (1, 1)),
        (47.0, JUNE, (1, 1), (7, 1)),
    ],
)
def test_half_a_year_lies_between_the_two_sides(
    latitude: float | None, place: Place, printed: tuple[int, int], here: tuple[int, int]
) -> None:
    start = dataclasses.replace(NUMBER.starts_from, date=printed)
    number = dataclasses.replace(NUMBER, latitude=latitude, starts_from=start)
    assert calendar_start(number, place) == here


def test_it_is_said_where_it_is_done() -> None:
    today, journal = dt.date(2026, 1, 20), Journal()
    season = season_of(today, SOUTH.season_begins)
    (south,) = clocks_of(CARD, NUMBER, SOUTH, season, today, journal)
    assert south.latest == dt.date(2025, 7, 1)
    assert south.words == "1 July (1 January north of the equator)"
    (north,) = clocks_of(CARD, NUMBER, NORTH, season_of(today), today, journal)
    assert (north.latest, north.words) == (dt.date(2026, 1, 1), "1 January")
    (own,) = clocks_of(CARD, NUMBER, SOUTH, season, today, journal, (8, 1))
    assert own.words == "1 August (your choice)"


def test_the_same_weather_half_a_year_on_gives_the_same_dates() -> None:
    """One course of the year on both sides: dates 184 days apart, as 1 July from 1 January."""
    days = np.arange(4 * 365 + 200)
    low = 6.0 - 9.0 * np.cos(2.0 * np.pi * days / 365.25)

    def fastest(first: dt.date, place: Place, today: dt.date) -> dt.date:
        series = DailySeries(first, low, low + 11.0, place=place)
        plan = season_plan(series, {CARD.key: CARD}, today)
        window = next(each for each in plan.windows if each.event.key == "moths" and each.late)
        assert window.fastest is not None
        return window.fastest

    north = fastest(dt.date(2022, 1, 1), Place("north", 40.0), dt.date(2026, 3, 1))
    south = fastest(
        dt.date(2021, 7, 1), Place("south", -40.0, season_begins=(7, 1)), dt.date(2025, 8, 29)
    )
    assert abs((north - south).days - 184) <= 1


def test_the_backtest_counts_from_the_same_day() -> None:
    starts = {each.start for each in targets_of([CARD], SOUTH)}
    assert starts == {(7, 1)}
    assert {each.start for each in targets_of([CARD], NORTH)} == {(1, 1)}


def test_a_find_counts_from_the_day_after_it_or_after_the_clean_look() -> None:
    found_on, clean_on = dt.date(2026, 6, 24), dt.date(2026, 6, 20)
    sighting = Sighting("bug", "eggs", found_on)
    clock = find_clock(Bracket(clean_on, found_on, sighting))
    assert (clock.earliest, clock.latest) == (dt.date(2026, 6, 21), dt.date(2026, 6, 25))
    assert clock.words == (
        "21 June or 25 June, after your clean look of 20 June and your find of 24 June"
    )
    alone = find_clock(Bracket(None, found_on, sighting))
    assert (alone.earliest, alone.latest) == (None, dt.date(2026, 6, 25))
    assert alone.words == "25 June, the day after your find of 24 June"


def test_a_sowing_counts_from_its_own_day_if_it_is_of_the_crop_and_put_in_that_way() -> None:
    season, sown = season_of(dt.date(2026, 6, 11)), dt.date(2026, 5, 20)
    journal = Journal(
        sowings=(
            Sowing(CARD.key, sown, name="a"),
            Sowing(CARD.key, dt.date(2026, 6, 1), planted_out=True, name="b"),
            Sowing("beet", sown, name="c"),
        )
    )
    planted = dt.date(2026, 6, 1)
    for start, day, said in (
        ("sowing", sown, "sown 20 May"), ("transplanting", planted, "planted out 1 June")
    ):  # fmt: skip
        number = dataclasses.replace(NUMBER, starts_from=Start(crop=start))
        (clock,) = clocks_of(CARD, number, NORTH, season, dt.date(2026, 6, 11), journal)
        assert (clock.earliest, clock.latest, clock.kind) == (day, day, "sowing")
        assert clock.starts == said


def test_a_sowing_of_an_earlier_or_a_later_season_starts_no_clock_of_this_one() -> None:
    """Last year's was told as a sum reached last year, under CLOSED."""
    season, today = season_of(dt.date(2026, 6, 11)), dt.date(2026, 6, 11)
    number = dataclasses.replace(NUMBER, starts_from=Start(crop="sowing"))
    days = [dt.date(year, 5, 20) for year in (2025, 2026, 2027)]
    journal = Journal(sowings=tuple(Sowing(CARD.key, each) for each in days))
    clocks = clocks_of(CARD, number, NORTH, season, today, journal)
    assert [each.latest for each in clocks] == [days[1]]
