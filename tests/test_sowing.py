"""Last sowings: counted again by hand, and what a crop takes by the best knowledge at hand."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from gddcast.cards import Card
from gddcast.frost import first_frost, last_frost
from gddcast.journal import Job, Journal, Sowing
from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import read_temperatures
from gddcast.series import DailySeries, Place, Season
from gddcast.sowing import PLAIN, Need, SownBy, need_of, own_heat, sown_by, that_differ, weekly
from gddcast.units import celsius_days, fahrenheit_days
from tests.sine_by_hand import fahrenheit_days as read_by_hand
from tests.sine_by_hand import heat_through, single_sine

FILE = Path(__file__).parent / "samples" / "larkhollow_2014_to_31aug2026_f.csv"
TODAY = dt.date(2026, 6, 11)
DAYS = ((7, 11), (7, 25), (8, 1), (8, 10))
DAY = dt.timedelta(days=1)


@pytest.fixture(scope="module")
def larkhollow() -> DailySeries:
    return read_temperatures(FILE).series


@pytest.fixture(scope="module")
def cards() -> dict[str, Card]:
    return load_cards()


def three_sowings() -> Journal:
    """Sowings picked on the first day on which 965, 975 and 1,069 °F-days were there."""
    days = read_by_hand(FILE)
    sowings, jobs = [], []
    for name, sown, heat in (
        ("a", dt.date(2023, 5, 20), 965.0),
        ("b", dt.date(2024, 6, 1), 975.0),
        ("c", dt.date(2025, 6, 20), 1069.0),
    ):
        picked = sown
        while heat_through(days, sown, picked) < heat:
            picked += DAY
        sowings.append(Sowing("cucumber", sown, name=name))
        jobs.append(Job("first-pick", picked, sowing=name))
    return Journal(sowings=tuple(sowings), jobs=tuple(jobs))


def by_hand(month: int, day: int, heat: float, picking: int) -> int:
    """Past years with the picking days between first pick and first freezing night."""
    days = read_by_hand(FILE)
    fits = 0
    for year in range(2014, 2026):
        frost = dt.date(year, 7, 2)
        while days[frost][0] > 32:
            frost += DAY
        pick, so_far = dt.date(year, month, day), 0.0
        while (so_far := so_far + single_sine(*days[pick], 50.0)) < heat:
            pick += DAY
        fits += (frost - pick).days >= picking
    return fits


def test_twelve_nine_eight_six(larkhollow: DailySeries) -> None:
    """Mean of three own sowings, 965, 975 and 1,069 °F-days: 1,003. Common practice, no source."""
    heat = (965 + 975 + 1069) / 3
    need = Need("your number", *[celsius_days(heat)] * 3, counting=PLAIN)
    rows = sown_by(larkhollow, need, TODAY, DAYS, picking_days=21)
    assert [row.fits for row in rows] == [by_hand(*each, heat, 21) for each in DAYS]
    assert [(row.fits, row.years) for row in rows] == [(12, 12), (9, 12), (8, 12), (6, 12)]


def test_own_sowings_are_used_from_three_on(
    larkhollow: DailySeries, cards: dict[str, Card]
) -> None:
    journal, days = three_sowings(), read_by_hand(FILE)
    expected = [
        heat_through(days, sowing.sown_on, job.done_on)
        for sowing, job in zip(journal.sowings, journal.jobs, strict=True)
    ]
    own = own_heat(larkhollow, journal, "cucumber")
    np.testing.assert_allclose([fahrenheit_days(each) for each in own], expected, rtol=0, atol=1e-6)
    need = need_of(larkhollow, journal, cards["cucumber"])
    assert (need.basis, need.sowings) == ("own sowings", 3)
    np.testing.assert_allclose(fahrenheit_days(need.used), np.mean(expected), rtol=0, atol=1e-6)
    rows = sown_by(larkhollow, need, TODAY, DAYS, picking_days=21)
    assert [row.fits for row in rows] == [by_hand(*day, np.mean(expected), 21) for day in DAYS]
    two = replace(journal, sowings=journal.sowings[:2])
    assert need_of(larkhollow, two, cards["cucumber"]).basis == "card days"


@pytest.mark.parametrize(
    ("crop", "basis", "low", "high"),
    [("sweet-corn", "card heat", None, None), ("summer-squash", "card days", 45.0, 50.0)],
)
def test_without_records_the_card_speaks(
    larkhollow: DailySeries, cards: dict[str, Card], crop: str, basis: str,
    low: float | None, high: float | None,
) -> None:  # fmt: skip
    need = need_of(larkhollow, Journal(), cards[crop])
    assert need.basis == basis
    if low is not None:
        assert (need.low, need.used, need.high) == (low, high, high)
        assert need.counting is None


def test_transplants_and_unknown_days_are_no_measure_of_seed(larkhollow: DailySeries) -> None:
    journal = three_sowings()
    planted = replace(journal.sowings[0], planted_out=True)
    low = larkhollow.tmin.copy()
    low[larkhollow.index(journal.sowings[1].sown_on) + 3] = np.nan
    gappy = replace(larkhollow, tmin=low, origin=None)
    rest = replace(journal, sowings=(planted, *journal.sowings[1:]))
    assert len(own_heat(gappy, rest, "cucumber")) == 1


def test_a_year_whose_frost_is_hidden_is_left_out(larkhollow: DailySeries) -> None:
    low = larkhollow.tmin.copy()
    low[larkhollow.index(dt.date(2020, 9, 1))] = np.nan
    need = Need("your rule of days", 45, 50, 50)
    (row,) = sown_by(
        replace(larkhollow, tmin=low, origin=None), need, TODAY, [(7, 11)], picking_days=21
    )
    assert (row.years, row.left_out) == (11, ("2020",))


def test_one_more_picking_day_never_helps(larkhollow: DailySeries) -> None:
    need = Need("your rule of days", 45, 50, 50)
    season = Season(dt.date(2026, 1, 1), dt.date(2026, 12, 31))
    late = [day for day in weekly(season) if day >= (7, 2)]
    fits = np.array(
        [
            [row.fits for row in sown_by(larkhollow, need, TODAY, late, picking_days=wanted)]
            for wanted in (7, 21, 35)
        ]
    )
    assert (np.diff(fits, axis=0) <= 0).all()
    assert (np.diff(fits, axis=1) <= 0).all()
    assert 0 < fits[1].sum() < fits[1].size * 12


def test_days_count_from_sowing_to_the_night_of_frost() -> None:
    """Sown 1 July, 50 days to the first pick on 19 August, 21 picking days: frost 9 September."""
    low = np.full(730, 9.0)
    first = dt.date(2024, 1, 1)
    low[(dt.date(2024, 9, 9) - first).days] = 0.0
    series = DailySeries(first, low, low + 10)
    need = Need("your rule of days", 45, 50, 50)
    rows = sown_by(series, need, dt.date(2025, 12, 1), [(7, 1), (7, 2)], picking_days=21)
    assert [(row.fits, row.years) for row in rows] == [(1, 1), (0, 1)]


def test_frost_in_the_south_lies_in_autumn_and_the_year_turns() -> None:
    first = dt.date(2024, 7, 1)
    low = np.full(365, 6.0)
    for day in (dt.date(2024, 9, 20), dt.date(2025, 5, 3), dt.date(2025, 6, 1)):
        low[(day - first).days] = -0.5
    place = Place("south", -38.0, season_begins=(7, 1))
    series = DailySeries(first, low, low + 10, place=place)
    season = Season(first, dt.date(2025, 6, 30))
    assert last_frost(series, season) == dt.date(2024, 9, 20)
    assert first_frost(series, season) == dt.date(2025, 5, 3)
    assert first_frost(series, season, at=-1.0) == "none"
    assert first_frost(series.before(dt.date(2025, 4, 1)), season) == "unknown"


def test_the_table_runs_from_the_last_sure_day_to_the_first_hopeless_one() -> None:
    rows = [SownBy(7, day, fits, 12, ()) for day, fits in ((1, 12), (8, 12), (15, 7), (22, 0))]
    assert [row.day for row in that_differ([*rows, SownBy(7, 29, 0, 12, ())])] == [8, 15, 22]
    assert [row.day for row in that_differ(rows[2:])] == [15, 22]
