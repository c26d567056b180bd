"""Station files of the world's daily archive, in both layouts; the values are made up."""

import numpy as np
import pytest

from gddcast.errors import Refusal
from gddcast.readers.reading import Options
from gddcast.readers.temperature_file import temperatures_in
from tests.readers.readings import day, note_of, read_lines

STATION = "XX000000001"


def month(element: str, values: list[int], flags: dict[int, str] | None = None) -> str:
    """One line of a ``.dly`` file: 31 values of five digits and three flags each."""
    fields = [
        f"{value:5d}{(flags or {}).get(number, '  W')}"
        for number, value in enumerate(values + [-9999] * (31 - len(values)), start=1)
    ]
    return f"{STATION}202606{element}{''.join(fields)}"


def test_a_dly_file_is_tenths_of_a_degree_in_lines_of_months() -> None:
    lines = [
        month("TMAX", [256, 144, -33]),
        month("TMIN", [122, 61, -150]),
        month("PRCP", [0, 12, 3]),
    ]
    reading = temperatures_in("\n".join(lines).encode(), "x.dly", Options())

    assert reading.series.first == day("2026-06-01")
    np.testing.assert_allclose(reading.series.tmax, [25.6, 14.4, -3.3], rtol=0, atol=1e-12)
    np.testing.assert_allclose(reading.series.tmin, [12.2, 6.1, -15.0], rtol=0, atol=1e-12)
    assert (reading.unit, reading.unit_decided_by, reading.site) == ("tenths-C", "format", STATION)


def test_a_value_that_failed_the_archives_checks_is_missing() -> None:
    lines = [month("TMAX", [256, 144, 300], {2: " SW"}), month("TMIN", [122, 61, 70])]
    reading = temperatures_in("\n".join(lines).encode(), "x.dly", Options())

    assert reading.series.known.tolist() == [True, False, True]
    assert note_of(reading, "archive-flags").startswith("1 reading failed the archive’s own checks")


def test_rows_by_station() -> None:
    reading = read_lines(
        f"{STATION},20260601,TMAX,256,,,W,",
        f"{STATION},20260601,TMIN,122,,,W,",
        f"{STATION},20260601,PRCP,12,,,W,",
        f"{STATION},20260603,TMAX,200,,G,W,",
        f"{STATION},20260603,TMIN,100,,,W,0700",
    )

    np.testing.assert_allclose(reading.series.tmax, [25.6, np.nan, np.nan], rtol=0, atol=1e-12)
    np.testing.assert_allclose(reading.series.tmin, [12.2, np.nan, 10.0], rtol=0, atol=1e-12)


@pytest.mark.parametrize("left", [-5, -4, -3, -2, -1])
def test_a_line_that_breaks_off_within_a_reading_loses_it_and_says_so(left: int) -> None:
    whole = month("TMIN", list(range(100, 131)))
    lines = [month("TMAX", list(range(200, 231))), whole[: 21 + 8 * 10 + left]]
    reading = temperatures_in("\n".join(lines).encode(), "x.dly", Options())

    assert np.count_nonzero(reading.series.known) == 9
    assert "Line 2 breaks off" in note_of(reading, "cut-end")


def test_a_row_by_station_that_breaks_off_before_its_flags_is_no_reading() -> None:
    reading = read_lines(
        f"{STATION},20260601,TMAX,256,,,W,",
        f"{STATION},20260601,TMIN,122,,,W,",
        f"{STATION},20260602,TMAX,256,,,W,",
        f"{STATION},20260602,TMIN,12",
    )

    assert reading.series.known.tolist() == [True, False]
    assert "Line 4 breaks off" in note_of(reading, "cut-end")


def test_two_stations_are_asked_about() -> None:
    with pytest.raises(Refusal, match="it holds 2 stations"):
        read_lines(f"{STATION},20260601,TMAX,256,,,W,", "XX000000002,20260601,TMAX,256,,,W,")


def test_a_rain_station_is_refused() -> None:
    with pytest.raises(Refusal, match="has no daily maxima or minima"):
        read_lines(f"{STATION},20260601,PRCP,256,,,W,")


def test_an_archive_table_with_attributes() -> None:
    """NCEI's table: a quality flag is the second part of the attributes."""
    reading = read_lines(
        '"STATION","NAME","DATE","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"',
        f'"{STATION}","LARKHOLLOW, XX","2026-06-01","78",",,W,2400","54",",,W,2400"',
        f'"{STATION}","LARKHOLLOW, XX","2026-06-02","99",",S,W,2400","58",",,W,2400"',
        unit="F",
    )

    assert reading.series.known.tolist() == [True, False]
    assert "archive-flags" in {note.rule for note in reading.notes}
