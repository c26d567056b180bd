"""What another reading of a card does to its date: checked by making the other date."""

from __future__ import annotations

import datetime as dt

from gddcast.cards.model import Start
from gddcast.heat.counting import Counting
from gddcast.heat.shapes import floor_the_mean, floor_the_readings, single_sine
from gddcast.journal.clocks import calendar_clock
from gddcast.outlook.dates import outlook_of
from gddcast.outlook.effects import effects
from gddcast.readers.temperature_file import read_temperatures
from gddcast.weather.series import season_of
from tests.real_records import SAMPLES

TODAY = dt.date(2026, 6, 11)
SEASON = season_of(TODAY)


def test_each_effect_is_the_difference_of_two_outlooks() -> None:
    """Shape by shape and start by start, over the same past years."""
    series = read_temperatures(SAMPLES / "larkhollow_2014_2026_f.csv").series
    counting = Counting(lower=10.0, shape=single_sine)
    clock = calendar_clock(Start(date=(1, 1)), SEASON)
    now = outlook_of(series, counting, 555.6, start=SEASON.first, today=TODAY)
    found = {
        (move.field, move.instead): move.days
        for move in effects(series, counting, clock, now, SEASON, TODAY)
    }
    for shape in (floor_the_mean, floor_the_readings):
        other = outlook_of(
            series, Counting(lower=10.0, shape=shape), 555.6, start=SEASON.first, today=TODAY
        )
        days = {dot.season: dot.day for dot in now.dots}
        shifts = [(dot.day - days[dot.season]).days for dot in other.dots if dot.day]
        assert found["shape", shape.name] == (min(shifts), max(shifts))
    low, high = found["shape", "floor the mean"]
    assert 0 < low <= high  # flooring the mean counts less, so it comes later
    low, high = found["shape", "floor the readings"]
    assert low <= high < 0
    start = found["starts_from", "1 March"]
    assert start is not None
    assert 0 <= start[0] <= start[1] <= 2
