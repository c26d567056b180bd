"""Dates across long gaps: planted in real records, they hold what they say."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pytest

from gddcast.heat.counting import Counting
from gddcast.outlook.bridging import BridgedDate, bridged_date
from gddcast.outlook.dates import outlook_of
from gddcast.outlook.ensemble import climate_of
from gddcast.weather.series import DailySeries, Origin
from tests.real_records import champion
from tests.skill_table import station

SINE = Counting(10.0)


def without(series: DailySeries, first: dt.date, days: int) -> DailySeries:
    """The series with a run of days unknown."""
    at = slice(series.index(first), series.index(first) + days)
    low, high, origin = series.tmin.copy(), series.tmax.copy(), series.origin.copy()
    low[at] = high[at] = np.nan
    origin[at] = Origin.UNKNOWN
    return replace(series, tmin=low, tmax=high, origin=origin)


def planted(
    name: str, length: int, behind: int
) -> Iterator[tuple[BridgedDate | None, dt.date | None]]:
    """Each late season of a station, a gap from 1 May on: what is said, and what came."""
    record = station(name)
    for season in list(record.seasons())[-14:-1]:
        begin = season.first.replace(month=5)
        today = begin + dt.timedelta(days=length + behind)
        holed = without(record.before(season.last), begin, length)
        climate = climate_of(holed, season)
        heat = np.nancumsum(SINE.daily(record.between(season.first, season.last)))
        for lead in (-5, 5, 20):
            goal = float(heat[(today - season.first).days - 1 + lead])
            told = bridged_date(holed, SINE, goal, start=season.first, today=today, climate=climate)
            yield told, today + dt.timedelta(days=lead - 1)


@pytest.mark.parametrize("length", [10, 14, 30])
def test_planted_gaps_hold_four_times_in_five(length: int) -> None:
    """Goals that came five days ago, come in five days and in twenty; four stations."""
    held = []
    for name in ("Champion", "Brussels", "Tunis", "Clemson"):
        for told, came in planted(name, length, 12):
            assert told is not None
            assert told.unknown_days == length
            assert told.last is not None
            assert came is not None
            held.append(told.first <= came <= told.last)
    assert 0.75 <= np.mean(held) <= 0.95


def test_a_longer_gap_costs_more_and_its_span_is_wider() -> None:
    record = champion()
    first, today = dt.date(2005, 1, 1), dt.date(2005, 6, 20)
    whole = outlook_of(record, SINE, 600.0, start=first, today=today)
    assert whole.spans is not None
    widths, gives = (
        [(whole.spans[0.8][1] or first).toordinal() - whole.spans[0.8][0].toordinal()],
        [],
    )
    for length in (8, 16, 30):
        holed = without(record, dt.date(2005, 5, 10), length)
        told = bridged_date(holed, SINE, 600.0, start=first, today=today)
        assert told is not None
        assert told.last is not None
        widths.append((told.last - told.first).days)
        gives.append(told.give)
    assert widths == sorted(widths)
    assert widths[-1] > widths[0]
    assert gives[0] < gives[-1]


@pytest.mark.parametrize("case", ["whole", "longer than 30 days", "no past year"])
def test_nothing_is_said_where_nothing_can_bracket_the_gap(case: str) -> None:
    record, today = champion(), dt.date(2005, 6, 20)
    first = dt.date(2005, 1, 1)
    if case == "longer than 30 days":
        record = without(record, dt.date(2005, 5, 1), 31)
    elif case == "no past year":
        record = without(record.between(first, record.last), dt.date(2005, 5, 1), 10)
    assert bridged_date(record, SINE, 600.0, start=first, today=today) is None


def test_the_record_keeps_its_gap_and_the_date_its_question_mark() -> None:
    holed = without(champion(), dt.date(2005, 5, 1), 14)
    first, today = dt.date(2005, 1, 1), dt.date(2005, 6, 20)
    assert bridged_date(holed, SINE, 600.0, start=first, today=today) is not None
    assert holed.missing == without(champion(), dt.date(2005, 5, 1), 14).missing
    one = outlook_of(holed, SINE, 600.0, start=first, today=today)
    assert one.unknown == (dt.date(2005, 5, 1), dt.date(2005, 5, 14))
    assert one.dots == ()
