"""A second brood by heat alone: one round added by hand, counted over past Septembers."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from gddcast.cards.model import Card, Event
from gddcast.heat.counting import counting_of
from gddcast.journal.entries import Bracket, Sighting
from gddcast.outlook.ensemble import PLAIN_GRAFT
from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import read_temperatures
from gddcast.scouting.second_broods import Round, round_of, second_brood
from gddcast.weather.series import DailySeries, Season, season_of
from tests.sine_by_hand import fahrenheit_days as read_by_hand

FILE = Path(__file__).parents[1] / "samples" / "larkhollow_2014_to_31aug2026_f.csv"
BORER = "squash-vine-borer"
TODAY = dt.date(2026, 6, 25)
FOUND = Bracket(
    dt.date(2026, 6, 22), dt.date(2026, 6, 24), Sighting(BORER, "moths", dt.date(2026, 6, 24))
)


@pytest.fixture(scope="module")
def cards() -> dict[str, Card]:
    return load_cards()


@pytest.fixture(scope="module")
def series() -> DailySeries:
    return read_temperatures(FILE).series.before(TODAY)


def whole_round(cards: dict[str, Card], key: str = "moths") -> Round:
    found = round_of(cards[BORER], key)
    assert found is not None
    return found


def test_a_round_is_the_sum_of_the_printed_steps(cards: dict[str, Card]) -> None:
    """245-300 to hatch, 660 as larvae, 745 as pupae: South Dakota State University 2021."""
    found = whole_round(cards)
    assert (found.low, found.high) == (245 + 660 + 745, 300 + 660 + 745)
    assert found.event.key == "second-moths"
    assert whole_round(cards, "eggs") == found  # eggs are laid when moths fly
    later = whole_round(cards, "egg-hatch")
    assert (later.low, later.high) == (660 + 745, 660 + 745)


def test_sums_of_other_methods_or_sources_make_no_round(cards: dict[str, Card]) -> None:
    card = cards[BORER]

    def changed(event: Event, **fields: object) -> Card:
        numbers = tuple(replace(each, **fields) for each in event.numbers)  # type: ignore[arg-type]
        other = replace(event, numbers=numbers)
        return replace(card, events=tuple(
            other if each.key == event.key else each for each in card.events
        ))  # fmt: skip

    larvae = card.event("pupae")
    assert larvae is not None
    assert round_of(changed(larvae), "moths") is not None
    for fields in ({"lower": 48.0}, {"shape": "single sine"}, {"kind": "laboratory"},
                   {"source": "xht1087"}, {"goal": None}, {"starts_from": None}):  # fmt: skip
        assert round_of(changed(larvae, **fields), "moths") is None, fields
    assert round_of(card, "pupae") is None  # one step, with a clock of its own
    assert round_of(card, "second-moths") is None
    assert round_of(card, "larks") is None


def test_past_septembers_are_counted(cards: dict[str, Card], series: DailySeries) -> None:
    """Floored means above 50 °F from 25 June: eight of twelve years come to 1,705 in time."""
    days, years = read_by_hand(FILE), 0
    for year in range(2014, 2026):
        day, heat = dt.date(year, 6, 25), 0.0
        while day <= dt.date(year, 9, 30):
            heat += max(sum(days[day]) / 2 - 50.0, 0.0)
            day += dt.timedelta(days=1)
        years += heat >= 1705
    round_, season = whole_round(cards), season_of(TODAY)
    counting = counting_of(round_.number)
    plain = second_brood(series, round_, counting, FOUND, season, TODAY, PLAIN_GRAFT)
    assert plain is not None
    assert (plain.by, plain.years, plain.total) == (dt.date(2026, 9, 30), years, 12)
    assert years == 8
    shifted = second_brood(series, round_, counting, FOUND, season, TODAY)
    assert shifted is not None
    assert shifted.years >= plain.years  # past years moved up by the warming since


def test_a_gap_hides_it_and_the_south_ends_in_march(
    cards: dict[str, Card], series: DailySeries
) -> None:
    round_ = whole_round(cards)
    counting = counting_of(round_.number)
    low = series.tmin.copy()
    low[-3] = np.nan
    gappy = replace(series, tmin=low, origin=None)
    early = replace(FOUND, found_on=dt.date(2026, 6, 20))
    assert second_brood(gappy, round_, counting, early, season_of(TODAY), TODAY) is None
    place = replace(series.place, season_begins=(7, 1))
    south = replace(series, place=place)
    season = Season(dt.date(2025, 7, 1), dt.date(2026, 6, 30))
    found = replace(FOUND, clean_on=None, found_on=dt.date(2026, 2, 1))
    answer = second_brood(
        south.before(dt.date(2026, 2, 2)), round_, counting, found, season, dt.date(2026, 2, 2)
    )
    assert answer is not None
    assert (answer.by, answer.years) == (dt.date(2026, 3, 31), 0)


def test_a_year_that_comes_round_on_the_last_day_is_in_time(
    cards: dict[str, Card], series: DailySeries
) -> None:
    """The goal is put where the slowest of the years in time ends on 30 September itself."""
    round_, season = whole_round(cards), season_of(TODAY)
    counting = counting_of(round_.number)
    days, by = read_by_hand(FILE), dt.date(2026, 9, 30)
    sums = []
    for year in range(2014, 2026):
        span = [dt.date(year, 6, 25) + dt.timedelta(days=at) for at in range(98)]
        assert (span[-1].month, span[-1].day) == (by.month, by.day)
        heat = [max(sum(days[day]) / 2 - 50.0, 0.0) for day in span]
        sums.append((sum(heat), heat[-1]))
    last_day = max(sums, key=lambda each: each[1])
    goal = last_day[0] - last_day[1] / 2  # reached at noon of that year's 30 September
    answer = second_brood(
        series, replace(round_, high=goal), counting, FOUND, season, TODAY, PLAIN_GRAFT
    )
    assert answer is not None
    assert answer.years == sum(whole >= goal for whole, _ in sums)


def test_a_find_on_the_season_s_last_day_starts_nothing_in_it(
    cards: dict[str, Card], series: DailySeries
) -> None:
    """Its clock would start on 1 January of the next season."""
    round_ = whole_round(cards)
    counting, season = counting_of(round_.number), season_of(TODAY)
    last = replace(FOUND, clean_on=None, found_on=season.last)
    assert second_brood(series, round_, counting, last, season, TODAY) is None
    eve = replace(last, found_on=season.last - dt.timedelta(days=1))
    assert second_brood(series, round_, counting, eve, season, TODAY) is not None


def test_without_a_past_year_nothing_is_counted(
    cards: dict[str, Card], series: DailySeries
) -> None:
    round_ = whole_round(cards)
    counting, season = counting_of(round_.number), season_of(TODAY)
    young = series.between(dt.date(2026, 1, 1), series.last)
    assert second_brood(young, round_, counting, FOUND, season, TODAY) is None
