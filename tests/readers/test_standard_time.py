"""Group T of the bad inputs: when a day begins, clocks that change, hours that are missing."""

import datetime as dt
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from gddcast.errors import Refusal
from gddcast.weather.series import Place
from tests.readers.readings import (
    day,
    fahrenheit_of,
    hourly_lines,
    note_of,
    read_lines,
    read_sample,
    rules,
)

CHICAGO = "America/Chicago"


def test_t1_utc_stamps_make_days_of_local_standard_time() -> None:
    reading = read_sample(17, timezone=CHICAGO)

    assert any("local standard time, UTC −6 h" in line for line in reading.understood)
    assert (reading.series.first, reading.series.last) == (day("2026-05-01"), day("2026-05-04"))


def test_t1_an_afternoon_stays_on_its_own_date() -> None:
    """Warmest at 21 h UTC is 15 h in Illinois."""
    log = [line.replace(",", "Z,") for line in hourly_lines(days=4, warmest=21)]
    reading = read_lines("time,temp_c", *log, place=Place("Larkhollow Patch", timezone=CHICAGO))

    assert reading.hourly is not None
    hours = reading.hourly.stamps[reading.hourly.temperature > 19.99]
    assert {str(hour)[11:13] for hour in hours} == {"15"}


def test_t1_utc_stamps_without_a_place_are_asked_about() -> None:
    with pytest.raises(Refusal, match="its stamps are in UTC") as refused:
        read_sample(17)

    assert refused.value.flag == "--timezone AREA/CITY"


def test_t1_an_unknown_zone_is_refused() -> None:
    with pytest.raises(Refusal, match="there is no such zone"):
        read_sample(17, timezone="America/Larkhollow")


def test_t2_morning_readings_give_the_maximum_to_the_day_before() -> None:
    """Sample 28 is sample 1 as a morning reader writes it down."""
    clean, morning = read_sample(1), read_sample(28, reading_hour=8)

    high, low = fahrenheit_of(clean)
    shifted = morning.series
    assert shifted.first == day("2026-05-01")
    assert morning.day_ends == "morning-reading"
    np.testing.assert_allclose(
        shifted.tmax[:-1] * 9 / 5 + 32, high[: len(shifted) - 1], rtol=0, atol=1e-9
    )
    np.testing.assert_allclose(
        shifted.tmin[1:] * 9 / 5 + 32, low[1 : len(shifted)], rtol=0, atol=1e-9
    )
    assert np.isnan(shifted.tmax[-1])


def test_t2_a_column_of_reading_days_raises_the_question() -> None:
    reading = read_sample(28)

    assert "the maximum belongs to the day before" in note_of(reading, "reading-hour")
    evening = read_sample(28, reading_hour=18)
    assert evening.series.first == day("2026-05-02")
    assert "a hot day counts twice" in note_of(evening, "afternoon-readings")
    assert "counts twice" not in " ".join(map(str, read_sample(28, reading_hour=22).notes))


@pytest.mark.parametrize(("hour", "first"), [(11, "2026-05-01"), (12, "2026-05-02")])
def test_t2_a_thermometer_read_at_noon_is_read_on_the_day_of_its_maximum(
    hour: int, first: str
) -> None:
    """Before noon yesterday's maximum is read; a column of reading days alone says not when."""
    reading = read_sample(28, reading_hour=hour)

    assert reading.series.first == day(first)
    assert (reading.day_ends == "morning-reading") is (hour < 12)


def test_t4_the_hour_shown_twice_in_autumn_is_kept() -> None:
    reading = read_sample(6)

    assert fahrenheit_of(reading) == ([66, 61, 58], [44, 39, 37])
    assert str(reading.series.dates[0]) == "2026-10-31"
    assert "The clock was put back on 1 Nov 2026" in note_of(reading, "clock-change")
    assert note_of(reading, "event-row") == "Line 149 holds no reading but 'Logged'."
    assert reading.hourly is not None
    on_the_first = reading.hourly.stamps.astype("datetime64[D]") == np.datetime64("2026-11-01")
    assert np.count_nonzero(on_the_first) == 50


def test_t4_with_a_zone_the_clock_is_undone() -> None:
    reading = read_sample(6, timezone=CHICAGO)

    assert reading.hourly is not None
    assert reading.hourly.standard_time
    steps = np.diff(reading.hourly.stamps).astype(int)
    assert set(steps.tolist()) == {30}
    assert str(reading.hourly.stamps[0]) == "2026-10-30T23:00"


@pytest.mark.parametrize("zone", [CHICAGO, "Europe/Berlin", "Australia/Sydney"])
def test_t4_a_year_by_the_clock_is_the_year_in_standard_time(zone: str) -> None:
    """A log written by a changing clock equals the same log in UTC, hour by hour."""
    utc = np.datetime64("2025-01-01T00:00", "m") + np.arange(0, 365 * 1440, 60)
    values = [f"{15 + 5 * np.sin(at / 24):.3f}" for at in range(utc.size)]
    here = [
        stamp.item().replace(tzinfo=dt.UTC).astimezone(ZoneInfo(zone)).strftime("%Y-%m-%d %H:%M")
        for stamp in utc
    ]
    clock = read_lines("time,temp_c", *map(",".join, zip(here, values, strict=True)), timezone=zone)
    universal = read_lines(
        "time,temp_c", *(f"{s}Z,{v}" for s, v in zip(utc, values, strict=True)), timezone=zone
    )

    assert clock.hourly is not None
    assert universal.hourly is not None
    np.testing.assert_array_equal(clock.hourly.stamps, universal.hourly.stamps)
    np.testing.assert_array_equal(clock.series.tmax, universal.series.tmax)


def test_t5_a_clock_set_wrong_is_noticed_by_its_warmest_hour() -> None:
    reading = read_lines("time,temp_c", *hourly_lines(days=4, warmest=21))

    assert "warmest at 21 h" in note_of(reading, "clock-doubtful")
    assert "clock-doubtful" not in rules(read_lines("time,temp_c", *hourly_lines(days=4)))


def test_t6_standard_time_is_assumed_and_said() -> None:
    reading = read_lines("time,temp_c", *hourly_lines(days=4))

    assert "taken as standard time" in note_of(reading, "standard-time-assumed")
    told = read_lines("time,temp_c", *hourly_lines(days=4), stamps="standard")
    assert "standard-time-assumed" not in rules(told)


def test_t7_each_day_has_its_own_distance_from_utc() -> None:
    """Stamps with zones of summer and winter: −05:00, then −06:00 from 1 November 2026."""
    log = [f"{line[:16]}-05:00{line[16:]}" for line in hourly_lines("2026-10-30", 2)]
    log += [f"{line[:16]}-06:00{line[16:]}" for line in hourly_lines("2026-11-02", 2)]
    reading = read_lines("time,temp_c", *log)

    assert reading.hourly is not None
    assert str(reading.hourly.stamps[0]) == "2026-10-29T23:00"
    assert str(reading.hourly.stamps[-1]) == "2026-11-03T23:00"


def test_t8_the_highest_of_hourly_readings_is_said_to_be_a_little_low() -> None:
    assert "a little higher" in note_of(
        read_lines("time,temp_c", *hourly_lines(days=3)), "between-readings"
    )


def without_hours(*hours: int) -> list[str]:
    """Five days, the third of which lacks hours."""
    return [
        line
        for line in hourly_lines(days=5)
        if not (line.startswith("2026-05-03") and int(line[11:13]) in hours)
    ]


@pytest.mark.parametrize(
    ("hours", "known"),
    [
        ((), True),
        ((9, 10, 11, 20), True),  # 20 of 24 hours are left
        ((9, 10, 11, 20, 21), False),  # 19 are left
        ((14,), True),
        ((14, 15), False),  # the maximum may have been missed
        ((5, 6), False),  # the minimum may have been missed
        (tuple(range(9, 24)), False),
    ],
)
def test_t9_a_day_needs_its_hours(hours: tuple[int, ...], known: bool) -> None:
    reading = read_lines("time,temp_c", *without_hours(*hours))

    assert reading.series.known.tolist() == [True, True, known, True, True]


def test_t9_a_log_of_three_readings_a_day_is_refused() -> None:
    with pytest.raises(Refusal, match="no day in it has readings enough") as refused:
        read_lines("time,temp_c", *hourly_lines(days=5, step=480))

    assert "readings in 3 of 24 hours" in refused.value.expected


def test_half_hours_and_two_columns_of_extremes() -> None:
    log = [f"{line},{float(line.split(',')[1]) - 1:.2f}" for line in hourly_lines(days=2, step=30)]
    reading = read_lines("time,high_c,low_c", *log)

    np.testing.assert_allclose(reading.series.tmax, 20, rtol=0, atol=0.005)
    np.testing.assert_allclose(reading.series.tmin, 9, rtol=0, atol=0.005)
    assert "between-readings" not in rules(reading)


def test_hours_in_a_column_of_their_own() -> None:
    log = [f"{line[:10]},{line[11:16]},{line.split(',')[1]}" for line in hourly_lines(days=2)]
    reading = read_lines("date,time,temp_c", *log)

    assert reading.columns == ("date", "time", "temp_c")
    np.testing.assert_allclose(reading.series.tmax, 20, rtol=0, atol=0.005)


def test_hourly_degree_days_come_from_the_readings_themselves() -> None:
    """All hours of the made-up day lie above 8 °C, so its heat is the mean, 15, less 8."""
    reading = read_lines("time,temp_c", *hourly_lines(days=3))

    assert reading.hourly is not None
    np.testing.assert_allclose(reading.hourly.degree_days(8), 7, rtol=0, atol=0.005)
    holed = read_lines("time,temp_c", *without_hours(14))
    assert holed.hourly is not None
    assert np.isnan(holed.hourly.degree_days(8)).tolist() == [False, False, True, False, False]
