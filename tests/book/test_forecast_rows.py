"""Forecasts brought in twice: what is there is not written again, what differs is."""

from __future__ import annotations

from pathlib import Path

from gddcast.outlook.forecast_archive import ForecastArchive
from gddcast.weather.series import Origin
from tests.book.places import FILE, NOW, TODAY, days, new_book

ROW = ("2026-06-20", "2026-06-22", 11.7, 24.2)


def test_a_row_is_written_again_only_where_it_differs(tmp_path: Path) -> None:
    book = new_book(tmp_path)
    for low, high, written in ((11.7, 24.2, 1), (11.7, 24.2, 1), (11.7, 24.6, 2), (11.3, 24.6, 3)):
        with book.writing(NOW, TODAY) as pen:
            pen.forecasts(ForecastArchive.of([(*ROW[:2], low, high)]), FILE)
        assert len(book.entries()) == written
    assert book.forecasts().tmin.tolist()[-1] == 11.3


def test_only_days_foretold_from_the_day_of_issue_on_are_forecasts(tmp_path: Path) -> None:
    """What was measured is none, nor what is said of a day gone by."""
    book = new_book(tmp_path)
    foretold, measured = Origin.FORECAST, Origin.MEASURED
    coming = days(
        "2026-06-23", [9, 10, 11, 12], [19, 20, 21, 22],
        origin=[foretold, measured, measured, foretold],
    )  # fmt: skip
    with book.writing(NOW, TODAY) as pen:
        pen.weather(coming, FILE)
    assert book.forecasts().as_rows() == [(str(TODAY), "2026-06-26", 12.0, 22.0)]
