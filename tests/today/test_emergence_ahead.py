"""A card's emergence curve over a season: half out when half the heat is in, and what stops it."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import gamma

from gddcast.cards.model import Card, Event
from gddcast.errors import ArgumentRefusal, Refusal
from gddcast.heat.counting import counting_of
from gddcast.journal.entries import Journal, Sighting
from gddcast.outlook.dates import outlook_of
from gddcast.readers.card_files import load_cards
from gddcast.today.emergence_ahead import (
    EmergenceAhead,
    emergence_ahead,
    emergence_of,
    number_with_curve,
)
from gddcast.today.plan import SeasonPlan, season_plan
from gddcast.weather.series import DailySeries
from tests.real_records import sample

TODAY = dt.date(2026, 7, 12)
CARDS = load_cards()


def event_of(card: str, key: str) -> tuple[Card, Event]:
    found = CARDS[card].event(key)
    assert found is not None
    return CARDS[card], found


@pytest.fixture(scope="module")
def series() -> DailySeries:
    return sample("larkhollow_2014_to_31aug2026_f").before(TODAY)


@pytest.fixture(scope="module")
def plan(series: DailySeries) -> SeasonPlan:
    return season_plan(series, CARDS, TODAY, watch=[])


@pytest.fixture(scope="module")
def flies(series: DailySeries) -> EmergenceAhead:
    _, event = event_of("apple-maggot", "half-out")
    number = number_with_curve(CARDS["apple-maggot"], event)
    start = dt.date(2026, 3, 1)
    return emergence_ahead(series, number, counting_of(number), start=start, today=TODAY)


def test_known_shares_are_the_published_curve_of_the_heat(
    series: DailySeries, flies: EmergenceAhead
) -> None:
    """Jones et al. (1989): Erlang, mean 1180 °C·d, k 65; by SciPy's own gamma distribution."""
    _, event = event_of("apple-maggot", "half-out")
    number = number_with_curve(CARDS["apple-maggot"], event)
    spring = series.between(dt.date(2026, 3, 1), TODAY)
    heat = np.cumsum(counting_of(number).daily(spring))
    by_scipy = gamma(a=65, scale=1180 / 65).cdf(heat)
    np.testing.assert_allclose(flies.known, by_scipy, rtol=0, atol=1e-12)
    assert flies.first == dt.date(2026, 3, 1)


def test_each_share_has_the_outlook_of_its_heat(series: DailySeries, flies: EmergenceAhead) -> None:
    _, event = event_of("apple-maggot", "half-out")
    counting = counting_of(number_with_curve(CARDS["apple-maggot"], event))
    for share in (0.5, 0.9):
        goal = float(gamma(a=65, scale=1180 / 65).ppf(share))
        one = outlook_of(series, counting, goal, start=dt.date(2026, 3, 1), today=TODAY)
        assert flies.outlooks[share].days == one.days
    assert list(flies.main_shares) == [0.1, 0.5, 0.9]
    assert flies.outlooks[0.1].reached is not None


def test_lines_of_past_years_rise_and_belong_to_them(flies: EmergenceAhead) -> None:
    for season in ("2014", "2025"):
        times, shares = np.array(flies.year(season)).T
        assert (np.diff(times) > 0).all()
        assert (np.diff(shares) > 0).all()
        assert shares[-1] == 0.99
    assert flies.year("1999") == []


def test_a_curve_printed_in_part_tells_what_it_holds(series: DailySeries) -> None:
    """Of the western bean cutworm only the middle half is printed."""
    _, event = event_of("western-bean-cutworm", "moths")
    number = number_with_curve(CARDS["western-bean-cutworm"], event)
    start = dt.date(2026, 3, 1)
    ahead = emergence_ahead(series, number, counting_of(number), start=start, today=TODAY)
    assert list(ahead.main_shares) == [0.25, 0.5, 0.75]
    assert ahead.middle == 0.5
    assert not (ahead.known < 0.25).any()  # unknown, not nought


def test_half_are_known_to_be_out_on_the_day_half_are_reached() -> None:
    """A curve printed in °F: the shares of the known days and the dates count one heat."""
    _, event = event_of("western-bean-cutworm", "moths")
    number = number_with_curve(CARDS["western-bean-cutworm"], event)
    series, today = sample("larkhollow_2014_to_31aug2026_f"), dt.date(2026, 8, 20)
    start = dt.date(2026, 3, 1)
    ahead = emergence_ahead(series, number, counting_of(number), start=start, today=today)
    out = start + dt.timedelta(days=int(np.argmax(ahead.known >= 0.5)))
    assert out == ahead.outlooks[0.5].reached


def test_the_default_number_comes_first() -> None:
    card, event = event_of("cabbage-maggot", "peak")
    assert number_with_curve(card, event).emergence is not None
    swapped = replace(event, numbers=tuple(reversed(event.numbers)))
    assert number_with_curve(card, swapped) == number_with_curve(card, event)


def test_a_number_without_a_curve_is_refused(series: DailySeries) -> None:
    _, event = event_of("squash-vine-borer", "moths")
    number = event.default
    assert number is not None
    with pytest.raises(ArgumentRefusal, match="no emergence curve"):
        emergence_ahead(series, number, counting_of(number), start=dt.date(2026, 1, 1), today=TODAY)
    with pytest.raises(Refusal, match="chart season --pest squash-vine-borer --stage moths"):
        number_with_curve(*event_of("squash-vine-borer", "moths"))


def test_a_find_starts_it_and_both_ends_are_carried(plan: SeasonPlan) -> None:
    card, event = event_of("corn-rootworms", "western-females")
    with pytest.raises(Refusal, match="gddcast saw corn-rootworms adults"):
        emergence_of(plan, card, event, Journal())
    seen = Sighting("corn-rootworms", "adults", dt.date(2026, 7, 8), clean_on=dt.date(2026, 7, 5))
    window, ahead = emergence_of(plan, card, event, Journal(sightings=(seen,)))
    assert window.clock is not None
    assert (window.clock.earliest, window.clock.latest) == (
        dt.date(2026, 7, 6), dt.date(2026, 7, 9),
    )  # fmt: skip
    assert ahead.first == window.clock.latest
    assert window.early is not None
    assert window.late is not None
    assert window.early.days < window.late.days


def test_unknown_days_and_no_past_seasons_are_refused(series: DailySeries) -> None:
    card, event = event_of("apple-maggot", "half-out")
    low, high = np.copy(series.tmin), np.copy(series.tmax)
    hole = slice(series.index(dt.date(2026, 5, 1)), series.index(dt.date(2026, 5, 20)))
    low[hole] = high[hole] = np.nan
    holed = replace(series, tmin=low, tmax=high, origin=None)  # type: ignore[arg-type]
    with pytest.raises(Refusal, match="from 1 May to 19 May is missing"):
        emergence_of(season_plan(holed, CARDS, TODAY, watch=[]), card, event, Journal())
    first = dt.date(2026, 1, 1)
    alone = season_plan(series.between(first, TODAY), CARDS, TODAY, watch=[])
    with pytest.raises(Refusal, match="no past season"):
        emergence_of(alone, card, event, Journal())
