"""A fetched record reads back as its days, whatever its station is called."""

import datetime as dt

import numpy as np
import pytest

from gddcast.readers.reading import Options
from gddcast.readers.temperature_file import temperatures_in
from gddcast.text.weather.record_csv import fetched_csv, station_in, station_words
from gddcast.weather.provenance import Provenance, Sourced
from gddcast.weather.series import DailySeries, Place
from gddcast.weather.stations import Station

NEW_LINES = ["\n", "\r\n", "\r", "\x0b", "\x0c", "\x1c", "\x85", "\u2028", "\u2029"]


@pytest.mark.parametrize("line_end", NEW_LINES, ids=ascii)
def test_a_name_with_a_new_line_stays_in_its_comment(line_end: str) -> None:
    """Else ``2026-05-01,99,98`` behind the name would be a day."""
    name = f"Larkhollow{line_end}2026-04-30,99,98,measured,x{line_end}date,min_c,max_c"
    station = Station("72530", name, "US", 41.98, -87.9, 205.0, "America/Chicago")
    moment = dt.datetime(2026, 6, 1, tzinfo=dt.UTC)
    source = Provenance("72530", f"A{line_end}B", name, name, name, moment, None, None)
    series = DailySeries(
        dt.date(2026, 5, 1), np.array([8.0, 4.0]), np.array([22.0, 19.0]), None,
        Place("Larkhollow"), name, "C",
    )  # fmt: skip
    record = Sourced.of(series, source, (f"note{line_end}2026-04-29,99,98",))
    text = fetched_csv(record, station, station, "C", dt.date(2026, 6, 1))

    read = temperatures_in(text.encode(), "larkhollow.csv", Options()).series
    assert read.first == dt.date(2026, 5, 1)
    assert read.tmax.tolist() == [22, 19]
    assert read.tmin.tolist() == [8, 4]
    again = station_in(station_words(station))
    assert again.name == " ".join(name.split())
    assert again.timezone == "America/Chicago"
