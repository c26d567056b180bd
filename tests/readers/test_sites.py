"""Two thermometers in one file, told apart by numbers or by nothing: asked about, never mixed."""

import numpy as np
import pytest

from gddcast.readers.reading import Reading
from tests.readers.known_days import (
    ABOVE,
    BELOW,
    DAYS,
    HIGH,
    LOW,
    assert_asked,
    assert_true_days,
    half_hours,
    outcome,
    rows,
)


def two_logs(*names: str, apart: int = 0, blocks: bool = False) -> list[str]:
    """Lines of a log for each name, the second 5 °C warmer and some minutes later."""
    lines = [
        (stamp if not at else f"{stamp[:-2]}{int(stamp[-2:]) + apart:02d}", at, warmth + 5 * at)
        for at in range(len(names))
        for stamp, warmth in half_hours()
    ]
    if not blocks:
        lines.sort()
    return [f"{names[at]},{stamp},{warmth:.2f}" for stamp, at, warmth in lines]


@pytest.mark.parametrize(
    "column", ["serial", "Serial No", "S/N", "device", "id", "logger", "which"]
)
@pytest.mark.parametrize("blocks", [False, True])
@pytest.mark.parametrize("names", [("20114", "20115"), ("1", "2"), ("a1", "a2")])
def test_loggers_with_the_same_stamps(column: str, blocks: bool, names: tuple[str, str]) -> None:
    lines = [f"{column},time,temp C", *two_logs(*names, blocks=blocks)]
    assert_asked(outcome(lines), "--site", names[0])
    assert_true_days(outcome(lines, site=names[0]))


@pytest.mark.parametrize("column", ["serial", "device", "id", "logger", "node", "station"])
@pytest.mark.parametrize("blocks", [False, True])
def test_loggers_whose_stamps_lie_minutes_apart(column: str, blocks: bool) -> None:
    lines = [f"{column},time,temp C", *two_logs("20114", "20115", apart=7, blocks=blocks)]
    assert_asked(outcome(lines), "--site", "20114")
    assert_true_days(outcome(lines, site="20114"))


def test_loggers_that_nothing_tells_apart_are_refused() -> None:
    lines = [line.split(",", 1)[1] for line in two_logs("1", "2")]
    refusal = assert_asked(outcome(["time,temp C", *lines]))

    assert "5.0 °C apart" in refusal.expected
    assert "file of its own" in refusal.cure


@pytest.mark.parametrize("column", ["serial", "which"])
def test_days_of_two_loggers(column: str) -> None:
    one, other = rows(HIGH, LOW), rows(ABOVE, BELOW)
    lines = [f"{n},{line}" for pair in zip(one, other, strict=True) for n, line in enumerate(pair)]
    lines = [f"{column},date,max_c,min_c", *lines]
    assert_asked(outcome(lines), "--site", "0")
    assert_true_days(outcome(lines, site="0"))


@pytest.mark.parametrize("column", ["id", "serial", "record", "No"])
def test_a_column_that_numbers_the_rows_names_no_sites(column: str) -> None:
    lines = [f"{n},{line}" for n, line in enumerate(rows(HIGH, LOW))]
    assert_true_days(outcome([f"{column},date,max_c,min_c", *lines]))


def test_one_logger_alone_is_read() -> None:
    lines = [f"20114,{stamp},{warmth:.2f}" for stamp, warmth in half_hours()]
    assert_true_days(outcome(["serial,time,temp C", *lines]))


def test_a_logger_that_drops_its_seconds_is_one_thermometer() -> None:
    lines = [
        f"{stamp},{warmth + shift:.2f}" for stamp, warmth in half_hours() for shift in (0, -0.1)
    ]
    read = outcome(["time,temp C", *lines])

    assert isinstance(read, Reading), read
    np.testing.assert_allclose(read.series.tmax, HIGH, rtol=0, atol=0.006)
    np.testing.assert_allclose(read.series.tmin, LOW, rtol=0, atol=0.106)


def test_a_day_that_stands_twice_beside_numbers_is_no_second_site() -> None:
    lines = [f"{line},{n // 2}" for n, line in enumerate([*rows(HIGH, LOW), rows(HIGH, LOW)[0]])]
    assert_true_days(outcome(["date,max_c,min_c,cloud", *lines]))
    assert DAYS.size == 20
