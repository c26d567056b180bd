"""Weather laid over weather: measured beats the rest, nothing is lost, changes are told."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from gddcast.book.fingerprints import fingerprint
from gddcast.book.opening import Book
from gddcast.today.announcements import Announcement
from gddcast.weather.series import DailySeries, Origin
from tests.book.places import FILE, NOW, TODAY, days, new_book

NAN = float("nan")


def bring(book: Book, series: DailySeries, now: dt.datetime = NOW, **how: bool) -> object:
    with book.writing(now, TODAY, trust_clock=True) as pen:
        return pen.weather(series, FILE, **how)


def test_what_went_in_comes_out_to_the_last_bit(tmp_path: Path) -> None:
    """Readings in °C are stored as they are: no decimal in between."""
    rng = np.random.default_rng(1)
    low = rng.normal(8, 6, 400)
    low[[3, 200]] = np.nan
    coming = days("2025-01-01", low, low + rng.uniform(1, 15, 400))
    book = new_book(tmp_path)
    bring(book, coming)
    read = book.series()
    np.testing.assert_array_equal(read.tmin, coming.tmin)
    np.testing.assert_array_equal(read.tmax, coming.tmax)
    np.testing.assert_array_equal(read.origin, coming.origin)
    assert (read.first, read.place, read.unit) == (coming.first, book.place, "F")


def test_the_same_again_writes_nothing(tmp_path: Path) -> None:
    book = new_book(tmp_path)
    bring(book, days("2026-05-01", [4, 5, 6], [16, 18, 20]))
    again = bring(book, days("2026-05-01", [4, 5, 6], [16, 18, 20]))
    assert (again.entry, again.new, again.unchanged) == (None, 0, 3)
    grown = bring(book, days("2026-05-02", [5, 6.5, 7], [18, 20, 21]))
    assert (grown.new, grown.changed, grown.unchanged) == (1, (dt.date(2026, 5, 3),), 1)
    assert [entry.name for entry in book.entries()] == ["2026-001", "2026-002"]
    assert book.series().tmin.tolist() == [4, 5, 6.5, 7]


def test_withdrawing_a_correction_brings_the_earlier_reading_back(tmp_path: Path) -> None:
    book = new_book(tmp_path)
    bring(book, days("2026-05-01", [4, 5], [16, 18]))
    before = fingerprint(book.series())
    bring(book, days("2026-05-01", [4, 9], [16, 18]))
    assert fingerprint(book.series()) != before
    with book.writing(NOW, TODAY) as pen:
        assert pen.withdraw().source == "garden.csv"
    assert fingerprint(book.series()) == before


def test_measured_beats_patched_and_model(tmp_path: Path) -> None:
    book = new_book(tmp_path)
    order = (Origin.PATCHED, Origin.MODEL, Origin.MEASURED)
    for number, better in enumerate(order):
        bring(book, days("2026-07-01", [number], [20], origin=[better]))
        assert book.series().origin.tolist() == [better]
        for worse in order[:number]:
            kept = bring(book, days("2026-07-01", [90], [99], origin=[worse]))
            assert (kept.entry, kept.known_better) == (None, 1)
        assert book.series().tmin.tolist() == [number]


def test_only_fill_leaves_every_known_day(tmp_path: Path) -> None:
    book = new_book(tmp_path)
    bring(book, days("2026-05-01", [4, NAN, 6], [16, NAN, 20]))
    brought = bring(book, days("2026-05-01", [9, 9, 9], [19, 19, 19]), only_fill=True)
    assert (brought.new, brought.changed, brought.known_better) == (1, (), 2)
    assert book.series().tmin.tolist() == [4, 9, 6]


def test_a_blank_day_is_struck_only_when_asked(tmp_path: Path) -> None:
    book = new_book(tmp_path)
    bring(book, days("2026-05-01", [4, 68, 6], [16, 70, 20]))
    blank = days("2026-05-01", [4, NAN, 6], [16, NAN, 20])
    assert bring(book, blank).entry is None
    struck = bring(book, blank, strike_blank=True)
    assert struck.changed == (dt.date(2026, 5, 2),)
    assert np.isnan(book.series().tmin[1])
    assert book.series().missing == 1
    bring(book, days("2026-05-02", [5], [18]))
    assert book.series().tmin.tolist() == [4, 5, 6]


def test_a_forecast_is_forgotten_when_its_day_has_come(tmp_path: Path) -> None:
    book = new_book(tmp_path)
    promised = [Origin.MEASURED, Origin.FORECAST, Origin.FORECAST]
    bring(book, days("2026-06-24", [10, 11, 12], [20, 21, 22], origin=promised))
    assert book.series(dt.date(2026, 6, 25)).count(Origin.FORECAST) == 2
    later = book.series(dt.date(2026, 6, 26))
    assert later.count(Origin.FORECAST) == 1
    assert np.isnan(later.tmin[1])
    measured = bring(book, days("2026-06-25", [13], [23]))
    assert (measured.new, measured.changed) == (1, ())  # a promise that was not kept is no revision
    assert book.series(dt.date(2026, 6, 26)).tmin.tolist() == [10, 13, 12]


def test_halves_of_a_day_come_together(tmp_path: Path) -> None:
    """A minimum read in the morning, its maximum read on the next."""
    book = new_book(tmp_path)
    bring(book, days("2026-06-24", [11], [NAN]))
    assert book.series().missing == 1
    bring(book, days("2026-06-24", [NAN], [24]))
    read = book.series()
    assert (read.tmin.tolist(), read.tmax.tolist(), read.origin.tolist()) == (
        [11], [24], [Origin.MEASURED],
    )  # fmt: skip


def test_the_book_of_an_earlier_moment_is_there_as_it_was(tmp_path: Path) -> None:
    """What a date was told from can be read again, its forecast among it."""
    book = new_book(tmp_path)
    promised = [Origin.MEASURED] * 3 + [Origin.FORECAST]
    bring(book, days("2026-06-22", [10, 11, 12, 9], [20, 21, 22, 19], origin=promised))
    told = Announcement(
        "walk", NOW, TODAY, "2026", "squash-bug", "eggs", "", TODAY, None, None,
        fingerprint(book.series()),
    )  # fmt: skip
    with book.writing(NOW, TODAY) as pen:
        pen.announce(told)
    assert book.announced("walk", "2026") == book.announced(None, "2026") == [told]
    assert book.announced("sheet", "2026") == []
    later = NOW + dt.timedelta(days=7)
    bring(book, days("2026-06-22", [10, 11.5], [20, 21]), later)
    bring(book, days("2026-06-25", [13], [23], origin=[Origin.FORECAST]), later)
    then = book.weather(TODAY, as_of=NOW)
    assert then is not None
    assert then.tmin.tolist() == [10, 11, 12, 9]
    assert fingerprint(book.weather(as_of=NOW)) == told.fingerprint  # type: ignore[arg-type]
    assert book.series(TODAY).tmin.tolist() == [10, 11.5, 12, 13]
    assert len(book.forecasts(as_of=NOW)) == 1


reading = st.none() | st.integers(-10, 30)
layer = st.tuples(
    st.integers(0, 6),
    st.lists(st.tuples(reading, reading), min_size=1, max_size=6),
    st.booleans(),
)


@settings(max_examples=40, deadline=None, derandomize=True)
@given(st.lists(layer, min_size=1, max_size=5))
def test_layers_are_those_of_a_plain_dictionary(
    tmp_path_factory: object, layers: list[tuple[int, list[tuple[int | None, int | None]], bool]]
) -> None:
    """Laid one over another, withdrawn at will: the same as a dictionary overwritten in turn."""
    book = new_book(tmp_path_factory.mktemp("garden"))  # type: ignore[attr-defined]
    standing: list[dict[tuple[int, str], float]] = []
    for start, values, withdrawn in layers:
        first = str(dt.date(2026, 5, 1) + dt.timedelta(days=start))
        low, high = (
            [NAN if v is None else v for v in column] for column in zip(*values, strict=True)
        )
        wrote = bring(book, days(first, low, high)).entry
        readings = {
            (start + place, name): float(value)
            for place, pair in enumerate(values)
            for name, value in zip(("tmin", "tmax"), pair, strict=True)
            if value is not None
        }
        if withdrawn and wrote:
            with book.writing(NOW, TODAY) as pen:
                pen.withdraw(wrote)
        else:
            standing.append(readings)
    expected: dict[tuple[int, str], float] = {}
    for readings in standing:
        expected |= readings
    read = book.weather()
    if read is None:
        assert expected == {}
        return
    found = {
        ((read.date(place) - dt.date(2026, 5, 1)).days, name): float(value)
        for name in ("tmin", "tmax")
        for place, value in enumerate(getattr(read, name))
        if value == value
    }
    assert found == expected
