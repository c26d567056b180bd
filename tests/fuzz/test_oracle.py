"""The judge of the fuzz is judged: each kind of wrong reading is called wrong."""

import dataclasses
import datetime as dt

import numpy as np
import pytest

from gddcast.readers.reading import Note, Options, Reading
from gddcast.readers.temperature_file import temperatures_in
from gddcast.weather.series import DailySeries, Origin
from tests.fuzz.oracle import FLAGGED, RIGHT, WRONG, judged
from tests.fuzz.sheets import NAN, Truth

FIRST = dt.date(2026, 5, 1)
DAYS = [(8.0, 21.5), (9.5, 18.0), (4.0, 13.5), (6.0, 17.0)]


def truth(**changes: object) -> Truth:
    days = {FIRST + dt.timedelta(days=n): list(day) for n, day in enumerate(DAYS)}
    return dataclasses.replace(Truth(days), **changes)  # type: ignore[arg-type]


def reading(series: DailySeries | None = None, *rules: str) -> Reading:
    lines = [f"{FIRST + dt.timedelta(days=n)},{high},{low}" for n, (low, high) in enumerate(DAYS)]
    read = temperatures_in("\n".join(["date,max_c,min_c", *lines]).encode(), "a.csv", Options())
    notes = tuple(Note(rule, "") for rule in rules)
    return dataclasses.replace(read, series=series or read.series, notes=notes)


def changed(**fields: object) -> DailySeries:
    return dataclasses.replace(reading().series, **fields)  # type: ignore[arg-type]


def test_the_true_days_are_right() -> None:
    assert judged(truth(), reading()) == (RIGHT, "")


@pytest.mark.parametrize(
    "series",
    [
        changed(first=FIRST + dt.timedelta(days=1)),  # a day late
        changed(tmin=reading().series.tmin / 1.8, tmax=reading().series.tmax / 1.8),
        changed(tmax=np.array([21.5, 18.0, 15.5, 17.0])),
        changed(tmin=np.nan_to_num(np.array([8.0, np.nan, 4.0, 6.0]))),
    ],
    ids=["late", "scale", "digit", "nought"],
)
def test_other_days_are_wrong(series: DailySeries) -> None:
    assert judged(truth(), reading(series))[0] == WRONG


def test_a_reading_where_the_file_has_none_is_wrong() -> None:
    blank = truth()
    blank.days[FIRST] = [NAN, 21.5]

    assert judged(blank, reading()) == (WRONG, "1 wrong: 2026-05-01 minimum is nan, read 8.00")


def test_an_invented_day_is_wrong_unless_a_damaged_date_may_have_made_it() -> None:
    fewer = truth()
    del fewer.days[FIRST]

    assert judged(fewer, reading())[0] == WRONG
    assert judged(dataclasses.replace(fewer, stray=1), reading())[0] == RIGHT


@pytest.mark.parametrize("kept", [slice(1, 4), slice(0, 3)])
def test_a_day_left_out_is_wrong_in_silence_and_flagged_with_a_note(kept: slice) -> None:
    series = reading().series
    first = series.date(kept.start)
    fewer = DailySeries(first, series.tmin[kept], series.tmax[kept])

    assert judged(truth(), reading(fewer)) == (
        WRONG,
        f"1 days lost without a word, {FIRST + dt.timedelta(days=0 if kept.start else 3)} first",
    )
    assert judged(truth(), reading(fewer, "cells-uneven"))[0] == FLAGGED
    assert judged(truth(), reading(fewer, "out-of-order"))[0] == WRONG


def test_one_line_left_out_explains_one_lost_day_and_no_more() -> None:
    series = reading().series
    fewer = DailySeries(FIRST, series.tmin[:2], series.tmax[:2])
    one_line = Note("cells-uneven", "", (5,))

    assert judged(truth(), dataclasses.replace(reading(fewer), notes=(one_line,)))[0] == WRONG
    assert judged(truth(), dataclasses.replace(reading(fewer), notes=(one_line,) * 2))[0] == FLAGGED


def test_a_forecast_called_measured_is_wrong() -> None:
    coming = truth(forecast={FIRST})
    origin = np.array([Origin.FORECAST, *[Origin.MEASURED] * 3])

    assert judged(coming, reading())[0] == WRONG
    assert judged(coming, reading(changed(origin=origin)))[0] == RIGHT


def test_nobody_can_know_a_digit_that_changed() -> None:
    free = truth(free={(FIRST, 0), (FIRST, 1)})
    other = changed(tmax=np.array([27.5, 18.0, 13.5, 17.0]))

    assert judged(free, reading(other))[0] == RIGHT
