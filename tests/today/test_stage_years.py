"""When stages were due: each year's day from its own days, summed apart from the library."""

from __future__ import annotations

import datetime as dt

import numpy as np

from gddcast.heat.counting import counting_of
from gddcast.journal.entries import Journal, Sighting
from gddcast.readers.card_files import load_cards
from gddcast.today.practice import Practice
from gddcast.today.record import Record
from gddcast.today.stage_years import StageYears
from gddcast.today.today import Today
from tests.real_records import sample

TODAY = dt.date(2026, 6, 11)
BORER = "squash-vine-borer"
FIND = Sighting(BORER, "egg-hatch", dt.date(2024, 7, 1), clean_on=dt.date(2024, 6, 28))


def today(*finds: Sighting) -> Today:
    record = Record(sample("larkhollow_2014_to_31aug2026_f").before(TODAY), TODAY)
    return Today(record, load_cards(), Journal(sightings=finds), Practice(watch=(BORER,)))


def stage(of: Today, key: str) -> StageYears:
    return next(each for each in of.stage_years if each.event.key == key)


def test_each_year_s_day_is_that_of_its_own_weather() -> None:
    """1,000 °F-days from 1 January, floor the mean (the card's number), year by year."""
    of = today()
    moths = stage(of, "moths")
    number = moths.event.default
    assert number is not None
    daily = counting_of(number).daily(of.record.series) * 1.8
    years = of.record.series.dates.astype("datetime64[Y]").astype(int) + 1970
    for each in moths.years[:-1]:
        sums = np.cumsum(daily[years == each.season.first.year])
        by_hand = each.season.first + dt.timedelta(days=int(np.argmax(sums >= 1000 - 1e-9)))
        assert each.due == (by_hand, by_hand)
        assert each.whole
    this = moths.years[-1]
    assert (this.season.name, this.due, this.whole) == ("2026", None, False)
    assert len(moths.before(this.season)) == 12


def test_a_stage_that_counts_from_a_find_is_there_once_it_was_seen() -> None:
    """No sum of a date, no days due: its find alone."""
    assert "egg-hatch" not in {each.event.key for each in today().stage_years}
    hatch = stage(today(FIND), "egg-hatch")
    assert hatch.sum is None
    assert {each.season.name for each in hatch.years if each.bracket} == {"2024"}
    assert all(each.due is None and not each.whole for each in hatch.years)


def test_peaks_and_ends_are_not_planned_for() -> None:
    assert all(each.event.opens_looks for each in today(FIND).stage_years)
