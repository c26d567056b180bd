"""Season by farm, by one method."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from gddcast.errors import Refusal
from gddcast.farms.compare import FarmSeasons, farm_seasons
from gddcast.farms.farm import Farm
from gddcast.heat.counting import Overrule
from gddcast.heat.shapes import single_triangle
from gddcast.readers.card_files import load_cards
from gddcast.today.practice import Practice
from gddcast.today.record import Record
from gddcast.today.today import Today
from gddcast.weather.series import Place
from tests.farms.twelve import PEST, TODAY, farm

CARDS = load_cards()
CARD = CARDS[PEST]


def _today(begins: tuple[int, int] = (1, 1), practice: Practice | None = None) -> Today:
    place = Place("A", season_begins=begins)
    record = Record(replace(farm(0), place=place), TODAY)
    return Today(record, CARDS, practice=practice or Practice(watch=(PEST,)))


A = Farm("A", Place("A"), "a.csv")


def test_a_book_s_own_method_has_no_say() -> None:
    own = Practice(watch=(PEST,), overrule=Overrule(shape=single_triangle, start=(3, 1)))
    plain, by = farm_seasons(A, _today(), CARD, None, None)
    overruled, _ = farm_seasons(A, _today(practice=own), CARD, None, by)
    assert overruled.reached == plain.reached
    assert by.counting.shape.name == CARD.event("moths").default.shape  # type: ignore[union-attr]


def test_sums_that_start_on_another_day_are_refused() -> None:
    _, by = farm_seasons(A, _today(), CARD, None, None)
    other = replace(by, start=(3, 1))
    with pytest.raises(Refusal, match="its sums start on 1 January, the others’ on 1 March"):
        farm_seasons(A, _today(), CARD, None, other)


def test_days_are_those_of_the_record_s_own_seasons() -> None:
    seasons, by = farm_seasons(A, _today(), CARD, None, None)
    table = _today().comparison(by)
    assert seasons.reached == {row.season.name: row.reached[0] for row in table.rows}
    assert seasons.reached["2026"] is None
    assert len(seasons.reached) == 12  # the demo's 2019 has a hole


def test_the_middle_is_of_days_of_the_year() -> None:
    days = {"2022": dt.date(2022, 6, 10), "2023": dt.date(2023, 6, 20), "2025": None,
            "2026": dt.date(2026, 6, 12)}  # fmt: skip
    assert FarmSeasons(A, days).middle == dt.date(2026, 6, 12)
    assert FarmSeasons(A, {"2022": dt.date(2022, 6, 10)}).middle is None
