"""Group D of the bad inputs, as far as a reader can know: marks, gaps, duplicates, footers."""

import datetime as dt

import numpy as np
import pytest

from gddcast.errors import Refusal
from gddcast.readers.values import cell_value
from gddcast.weather.series import Origin
from tests.readers.readings import (
    THREE_DAYS,
    day,
    fahrenheit_of,
    note_of,
    read_lines,
    read_sample,
    rules,
)


def test_d1_days_absent_from_the_file_are_unknown_days() -> None:
    reading = read_sample(11)

    assert (len(reading.series), reading.series.missing) == (41, 14)
    assert note_of(reading, "days-absent") == "14 days are absent: 12 May 2026 to 25 May 2026."


def test_d4_a_column_of_origins_is_kept() -> None:
    reading = read_lines(
        "date,max_c,min_c,how", "2026-05-01,22,8,model", "2026-05-02,19,4,measured"
    )

    assert reading.series.origin is not None
    assert reading.series.origin.tolist() == [Origin.MODEL, Origin.MEASURED]


def test_d4_columns_of_a_weather_model_are_named_as_such() -> None:
    reading = read_lines("time,temperature_2m_max (°C),temperature_2m_min (°C)", *THREE_DAYS)

    assert "values nobody measured" in note_of(reading, "model-values")


def test_d5_missing_marks_are_missing_and_listed() -> None:
    reading = read_sample(7)

    missing = [str(each) for each in reading.series.dates[~reading.series.known]]
    assert missing == [f"2026-05-{number}" for number in ("06", "10", "15", "21", "26", "31")]
    for mark in ("'-9999' ×1", "'M' ×1", "'***' ×1", "'-99.9' ×2", "empty ×1", "'T' ×1"):
        assert mark in note_of(reading, "missing-marks")


MARKS = (
    "9999", "-9999.0", "-999", "999", "999.9", "-999.9", "9999.9", "-9999.9", "99999", "-99999",
    "-99.9", "-99.99", "8888", "-8888", "32767", "-32768", "6999", "-6999", "7999", "-7999",
    "NaN", "n/a", "---", "1e309", "∞",
)  # fmt: skip


@pytest.mark.parametrize("mark", MARKS)
def test_d5_no_mark_becomes_a_temperature(mark: str) -> None:
    assert np.isnan(cell_value(mark).value)


def test_d6_an_accumulated_value_makes_its_run_missing() -> None:
    lines = [f"2026-05-{number:02d},70,50" for number in range(1, 31)]
    lines[3:6] = ["2026-05-04,S,50", "2026-05-05,S,50", "2026-05-06,71A,50"]
    reading = read_lines("date,max_f,min_f", *lines)

    assert np.flatnonzero(~reading.series.known).tolist() == [3, 4, 5]
    assert note_of(reading, "accumulated").startswith("Line 7: is marked as standing for several")


def test_d7_swapped_columns_are_asked_about() -> None:
    with pytest.raises(Refusal, match="below column 'min_f' on 41 of 41 days") as refused:
        read_sample(9)

    assert refused.value.flag == "--max-column min_f --min-column max_f"
    reading = read_sample(9, max_column="min_f", min_column="max_f")
    assert fahrenheit_of(reading) == fahrenheit_of(read_sample(1))


def test_d7_a_few_swapped_days_are_missing_never_clipped() -> None:
    reading = read_lines("date,max_c,min_c", "2026-05-01,8,22", *THREE_DAYS[1:])

    assert np.isnan(reading.series.tmax[0])
    assert np.isnan(reading.series.tmin[0])
    assert "1 day has a maximum below the minimum" in note_of(reading, "swapped-days")


def test_d10_a_day_twice_with_different_readings_is_refused_with_both() -> None:
    with pytest.raises(Refusal, match="12 May 2026 stands in it twice") as refused:
        read_sample(10)

    assert refused.value.expected == (
        "Highest and lowest: line 13 has 65 and 52, line 14 has 71 and 52."
    )


def test_d10_a_day_twice_with_the_same_readings_is_counted_once() -> None:
    reading = read_lines("date,max_c,min_c", *THREE_DAYS, THREE_DAYS[1])

    assert reading.series.tmax.tolist() == [22, 19, 13]
    assert "counted once" in note_of(reading, "duplicate-days")


def test_d10_two_halves_of_a_day_are_put_together() -> None:
    reading = read_lines("date,max_c,min_c", "2026-05-01,22,", "2026-05-01,,8", "2026-05-02,19,4")

    assert (reading.series.tmax[0], reading.series.tmin[0]) == (22, 8)


def test_d11_a_footer_is_left_out_and_named() -> None:
    reading = read_sample(18)

    assert fahrenheit_of(reading) == fahrenheit_of(read_sample(1))
    assert "Lines 43 and 44" in note_of(reading, "footer")
    assert "'Total', 'Average'" in note_of(reading, "footer")


def test_d11_a_row_without_a_date_in_the_middle_is_refused() -> None:
    with pytest.raises(Refusal, match="line 3 has no date I can read"):
        read_lines("date,max_c,min_c", THREE_DAYS[0], "31 Nov,20,9", THREE_DAYS[2])


def test_d11_a_day_that_does_not_exist_is_refused() -> None:
    with pytest.raises(Refusal, match="line 2 has no date I can read"):
        read_lines("date,max_c,min_c", "2026-02-30,20,9", *THREE_DAYS)


def test_d12_days_after_today_are_forecast_never_measured() -> None:
    reading = read_sample(25, today=day("2026-06-10"))

    series = reading.series
    assert series.origin is not None
    assert series.count(Origin.FORECAST) == 10
    assert (series.origin[-10:] == Origin.FORECAST).all()
    assert series.count(Origin.MEASURED) == 41
    assert "11 Jun 2026 to 20 Jun 2026" in note_of(reading, "forecast-rows")


def test_d12_a_file_that_calls_the_future_measured_is_not_believed() -> None:
    reading = read_lines(
        "date,max_c,min_c,how", "2026-05-01,22,8,measured", "2026-05-02,19,4,measured",
        today=day("2026-05-01"),
    )  # fmt: skip

    assert reading.series.origin is not None
    assert reading.series.origin.tolist() == [Origin.MEASURED, Origin.FORECAST]


def test_m12_daily_means_alone_are_marked_as_such() -> None:
    reading = read_sample(22)

    assert reading.means_only
    np.testing.assert_array_equal(reading.series.tmin, reading.series.tmax)
    assert "flooring the mean" in note_of(reading, "means-only")


def test_m12_one_reading_a_day_is_no_mean() -> None:
    with pytest.raises(Refusal, match="one temperature a day"):
        read_lines("date,temp_c", "2026-05-01,12", "2026-05-02,13", "2026-05-03,14")


def test_d8_d9_spikes_and_stuck_readings_are_left_to_the_judge() -> None:
    assert fahrenheit_of(read_sample(24))[0].count(155) == 1
    assert "missing-marks" not in rules(read_sample(24))
    assert read_sample(12).notes == ()


def test_p3_a_sheltered_thermometer_is_pointed_out() -> None:
    reading = read_lines("date,greenhouse max C,greenhouse min C", *THREE_DAYS)

    assert "under cover" in note_of(reading, "sensor-spot")


@pytest.mark.parametrize(
    ("swapped", "said"),
    [
        (1, "1 day has a maximum below the minimum and is taken as missing: 1 May 2026."),
        (4, "are taken as missing: 1 May 2026, 2 May 2026, 3 May 2026, 4 May 2026."),
        (6, "are taken as missing: 1 May 2026, 2 May 2026, 3 May 2026, 4 May 2026 and 2 more."),
    ],
)
def test_d7_a_few_swapped_days_are_named_and_the_rest_counted(swapped: int, said: str) -> None:
    first = dt.date(2026, 5, 1)
    lines = [
        f"{first + dt.timedelta(days=at)}," + ("10,20" if at < swapped else "20,10")
        for at in range(200)
    ]
    reading = read_lines("date,max_c,min_c", *lines)
    assert np.count_nonzero(~reading.series.known) == swapped
    assert said in note_of(reading, "swapped-days")
