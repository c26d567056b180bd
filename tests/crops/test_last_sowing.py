"""Last sowings: counted again by hand, by heat and by the days of a packet."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from gddcast.cards.model import Card
from gddcast.crops.frost import first_frost, last_frost
from gddcast.crops.last_sowing import (
    CalendarCheck,
    SownBy,
    calendar_check,
    last_safe,
    sown_by,
    that_differ,
    weekly,
    worth_sowing,
)
from gddcast.crops.needs import PLAIN, Need
from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import read_temperatures
from gddcast.units import celsius_days
from gddcast.weather.series import DailySeries, Place, Season
from tests.sine_by_hand import fahrenheit_days as read_by_hand
from tests.sine_by_hand import single_sine

FILE = Path(__file__).parents[1] / "samples" / "larkhollow_2014_to_31aug2026_f.csv"
TODAY = dt.date(2026, 6, 11)
DAYS = ((7, 11), (7, 25), (8, 1), (8, 10))
DAY = dt.timedelta(days=1)


@pytest.fixture(scope="module")
def larkhollow() -> DailySeries:
    return read_temperatures(FILE).series


@pytest.fixture(scope="module")
def cards() -> dict[str, Card]:
    return load_cards()


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


@pytest.mark.parametrize("begin", [1, 8, 15, 22])
def test_a_span_is_cut_at_the_last_day_five_in_six_past_years_allowed(
    larkhollow: DailySeries, begin: int
) -> None:
    """By hand, day by day: ten of twelve seasons with 21 days of picking before the frost."""
    need = Need("your number", *[celsius_days(1003.0)] * 3, counting=PLAIN)
    span = dt.date(2026, 7, begin), dt.date(2026, 7, begin + 7)
    worth = [day for day in range(begin, begin + 8) if by_hand(7, day, 1003.0, 21) >= 10]
    found = worth_sowing(larkhollow, need, TODAY, span, 21)
    assert found == ((span[0], dt.date(2026, 7, worth[-1])) if worth else None)


def test_where_no_past_year_says_a_span_is_left_whole() -> None:
    low = np.full(200, 9.0)
    series = DailySeries(dt.date(2026, 1, 1), low, low + 10)
    span = dt.date(2026, 8, 8), dt.date(2026, 8, 15)
    need = Need("your rule of days", 45, 50, 50)
    assert worth_sowing(series, need, dt.date(2026, 7, 1), span, 21) == span


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
    """Sown 1 July, fifty days old and picked on 20 August, 21 picking days: frost 10 September."""
    low = np.full(730, 9.0)
    first = dt.date(2024, 1, 1)
    low[(dt.date(2024, 9, 10) - first).days] = 0.0
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


def test_the_last_safe_days_are_all_years_and_five_in_six() -> None:
    rows = [
        SownBy(7, day, fits, 12, ()) for day, fits in ((1, 12), (8, 11), (15, 10), (22, 9), (29, 0))
    ]
    assert [(row.day, row.fits) for row in last_safe(rows)] == [(1, 12), (15, 10)]
    assert [row.day for row in last_safe(rows[:1])] == [1]
    assert [row.day for row in last_safe(rows[1:3])] == [15]
    assert last_safe(rows[3:]) == ()


def test_packet_days_and_a_cushion_are_counted_back_from_each_frost(
    larkhollow: DailySeries,
) -> None:
    """Fourteen days of cushion, as seed houses teach (botanicalinterests.com: add 14 days)."""
    days, by = read_by_hand(FILE), []
    for year in range(2014, 2026):
        frost = dt.date(year, 7, 2)
        while days[frost][0] > 32:
            frost += DAY
        by.append(dt.date(2026, frost.month, frost.day) - (55 + 14) * DAY)
    check = calendar_check(larkhollow, TODAY, 55)
    assert check is not None
    assert list(check.by) == sorted(by)
    assert check.most == 10
    assert (check.in_time_in(12), check.in_time_in(10)) == (sorted(by)[0], sorted(by)[2])
    assert sum(each >= check.in_time_in(10) for each in by) >= 10
    milder = calendar_check(larkhollow, TODAY, 55, frost_at=2.0)
    assert milder is not None
    assert all(early <= late for early, late in zip(milder.by, check.by, strict=True))
    assert calendar_check(larkhollow, TODAY, 55, frost_at=-60.0) is None


def test_a_frost_that_a_gap_hides_sets_no_day(larkhollow: DailySeries) -> None:
    low = larkhollow.tmin.copy()
    low[larkhollow.index(dt.date(2020, 9, 1))] = np.nan
    check = calendar_check(replace(larkhollow, tmin=low, origin=None), TODAY, 55)
    assert check is not None
    assert (len(check.by), check.left_out) == (11, ("2020",))


@pytest.mark.parametrize(("years", "most"), [(1, 1), (5, 5), (6, 5), (7, 6), (11, 10), (12, 10)])
def test_five_of_six_years_are_rounded_up(years: int, most: int) -> None:
    by = tuple(TODAY + at * DAY for at in range(years))
    check = CalendarCheck(55, by, ())
    assert check.most == most
    assert check.in_time_in(most) == by[years - most]


def test_a_crop_is_ready_on_the_last_day_of_picking_or_too_late() -> None:
    """Ten days of heat, the sowing's own among them, and 21 of picking before 10 September."""
    low = np.full(730, 9.0)
    first = dt.date(2024, 1, 1)
    low[(dt.date(2024, 9, 10) - first).days] = 0.0
    series = DailySeries(first, low, low + 12)
    heat = PLAIN.daily(series)[200]
    ten = Need("your number", *[float(heat) * 10] * 3, counting=PLAIN)
    rows = sown_by(series, ten, dt.date(2025, 12, 1), [(8, 11), (8, 12), (9, 1)], picking_days=21)
    assert [row.fits for row in rows] == [1, 0, 0]


def test_a_week_s_days_run_to_the_season_s_last() -> None:
    days = list(weekly(Season(dt.date(2026, 1, 1), dt.date(2026, 1, 15))))
    assert days == [(1, 1), (1, 8), (1, 15)]
