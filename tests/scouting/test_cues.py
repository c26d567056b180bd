"""When each cue begins to hold: in real seasons, south of the equator, never in winter."""

from __future__ import annotations

import csv
import datetime as dt
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gddcast.cards.model import Cue
from gddcast.journal.entries import Job, Journal, Sowing
from gddcast.readers.card_files import load_cards
from gddcast.scouting.cues import begins_on, dates_at, ends_on
from gddcast.scouting.windows import ScoutingWindow, without_repeats
from gddcast.text import numbers, sentences
from gddcast.today.plan import season_plan
from gddcast.units import to_celsius
from gddcast.weather.series import DailySeries, Place, Season, season_of
from gddcast.words import Status, day
from tests import real_records
from tests.published_rows import rows

CARDS = load_cards()
HERE = Place("Larkhollow Patch", 41.2, -89.4)
YEAR = Season(dt.date(2026, 1, 1), dt.date(2026, 12, 31))
ONE_DAY = dt.timedelta(days=1)
#: Real seasons: record, a day of the season, place.
SEASONS: dict[str, tuple[Callable[[], DailySeries], dt.date, Place]] = {
    "Champion 2017": (real_records.champion, dt.date(2017, 6, 1), Place("Champion", 40.4)),
    "Seattle 2014": (real_records.seattle, dt.date(2014, 6, 1), Place("Seattle", 47.6)),
    "Brussels 2000": (real_records.brussels, dt.date(2000, 6, 1), Place("Brussels", 50.9)),
    "Córdoba 2015/16": (
        real_records.cordoba, dt.date(2015, 12, 1),
        Place("Córdoba", -31.4, season_begins=(7, 1)),
    ),
}  # fmt: skip
AIR = [(card.key, cue) for card in CARDS.values() for cue in card.cues if cue.air_above]


def expected() -> dict[tuple[str, str, int], dt.date]:
    """Day on which each cue begins to hold, as looked at row by row."""
    text = Path(__file__).with_name("cue_days.csv").read_text(encoding="utf-8")
    table = csv.DictReader(line for line in text.splitlines() if not line.startswith("#"))
    return {
        (row["season"], row["card"], int(row["cue"])): dt.date.fromisoformat(row["begins"])
        for row in table
    }


def begun(name: str) -> dict[tuple[str, str, int], dt.date]:
    """Every cue that holds in a season where nobody keeps sowings, and since when."""
    series, inside, place = SEASONS[name]
    season = season_of(inside, place.season_begins)
    days = {
        (name, card.key, number): begins_on(cue, season, place, series(), season.last)
        for card in CARDS.values()
        for number, cue in enumerate(card.cues, start=1)
    }
    return {key: begins for key, begins in days.items() if begins is not None}


@pytest.mark.parametrize("name", SEASONS)
def test_every_cue_begins_on_the_day_stated(name: str) -> None:
    assert begun(name) == {key: day for key, day in expected().items() if key[0] == name}


def test_no_cue_begins_in_winter_or_in_autumn() -> None:
    """All pests with a cue come in spring or early summer; pepper maggots in July."""
    for (name, *cue), begins in expected().items():
        half_a_year = 6 if name.startswith("Córdoba") else 0
        assert 4 <= (begins.month - half_a_year - 1) % 12 + 1 <= 7, (name, cue)


@pytest.mark.parametrize("name", SEASONS)
@pytest.mark.parametrize(("key", "cue"), AIR, ids=[key for key, _ in AIR])
def test_warm_days_are_those_that_pandas_finds(name: str, key: str, cue: Cue) -> None:
    """The first run of days so warm, from the first day of the year that the card allows."""
    series, inside, place = SEASONS[name]
    record = series()
    air = pd.DataFrame(
        {"maximum": record.tmax, "minimum": record.tmin, "mean": (record.tmin + record.tmax) / 2},
        index=pd.date_range(record.first, periods=len(record)),
    )
    assert cue.air_above is not None
    assert cue.earliest is not None
    assert cue.unit is not None
    month, of_month = cue.earliest
    year = inside.year
    since = pd.Timestamp(year, month, of_month)
    if name.startswith("Córdoba"):
        since += pd.DateOffset(months=6)
    warm = air[cue.used_of_day].loc[since:].ge(to_celsius(cue.air_above, cue.unit))
    run = warm.rolling(cue.days_in_row).sum().eq(cue.days_in_row)
    season = season_of(inside, place.season_begins)
    begins = begins_on(cue, season, place, record, season.last)
    assert begins == (run.idxmax() + pd.Timedelta(days=1)).date(), key


def test_catches_of_a_trap_table_are_the_dates_of_the_cards() -> None:
    """Lexington, Kentucky, 1979-82: average first catch, and average date of 90 % of the catch."""
    season, lexington = YEAR, Place("Lexington", 38.0, -84.5)
    still = DailySeries(dt.date(2026, 1, 1), np.full(365, 10.0), np.full(365, 20.0))
    for row in rows("clearwing_flights.csv"):
        (cue,) = [each for each in CARDS[row["card"]].cues if each.source == "lexington"]
        begins = begins_on(cue, season, lexington, still, season.last)
        ends = ends_on(cue, season, lexington)
        assert begins is not None
        assert ends is not None
        assert day(begins, weekday=False) == row["first_catch"]
        assert day(ends, weekday=False) == row["ninety_percent"]
        far = Place("Burlington", 44.5, -73.2)
        assert begins_on(cue, season, far, still, season.last) is None
        assert begins_on(cue, season, Place("unknown"), still, season.last) is None


def test_leek_moths_are_looked_for_while_a_flight_was_caught() -> None:
    """Traps hung in early April 2013, Waterloo Region, Ontario: caught from 22 April to 21 May.

    "Captured … beginning April 22nd – 29th with trap captures continuing until May 15th – 21st"
    (ONvegetables, Leek moth update, 4 July 2013). "Adults start emerging late April to early May
    when daytime temperatures reach 15 °C" (Paibomesai & Appleby 2013).
    """
    (cue,) = CARDS["leek-moth"].cues
    assert cue.used_of_day == "maximum"
    assert cue.air_above_c == 15.0
    assert (ends_on(cue, YEAR, HERE), cue.earliest) == (dt.date(2026, 5, 21), (4, 22))


def test_every_cue_by_warmth_has_its_season() -> None:
    """And says which temperature of the day: three sources do, or mean the hour's."""
    assert {key: (cue.of_day, cue.used_of_day) for key, cue in AIR} == {
        "colorado-potato-beetle": ("maximum", "maximum"),
        "leek-moth": ("maximum", "maximum"),
        "striped-cucumber-beetle": (None, "mean"),
        "tarnished-plant-bug": ("maximum", "maximum"),
    }
    for key, cue in AIR:
        assert cue.earliest is not None, key
        assert cue.latest is not None, key


def warm_days(*warm: dt.date, degrees: float = 30.0) -> DailySeries:
    """A year of 2 to 8 °C, but for some days."""
    high = np.full(365, 8.0)
    for each in warm:
        high[(each - YEAR.first).days] = degrees
    return DailySeries(YEAR.first, np.full(365, 2.0), high, place=HERE)


@pytest.mark.parametrize("key", [key for key, _ in AIR])
def test_one_warm_february_afternoon_says_nothing(key: str) -> None:
    series = warm_days(*(dt.date(2026, 2, at) for at in range(14, 20)), degrees=31.0)
    today = dt.date(2026, 2, 20)
    plan = season_plan(series.before(today), CARDS, today, watch=[key])
    assert not [each for each in plan.windows if each.cue and each.status is Status.LOOK_NOW]


def cue_of(key: str, series: DailySeries, today: dt.date, *sown: Sowing) -> ScoutingWindow:
    journal = Journal(sowings=sown)
    plan = season_plan(series.before(today), CARDS, today, watch=[key], journal=journal)
    return next(each for each in plan.windows if each.cue and each.cue.air_above)


def test_a_cue_once_given_is_not_taken_back_by_a_cool_week_and_ends_with_its_time() -> None:
    series = warm_days(dt.date(2026, 4, 24))
    before, since, cool, after = (
        cue_of("leek-moth", series, dt.date(2026, *at))
        for at in ((4, 24), (4, 25), (5, 21), (5, 22))
    )
    assert before.status is Status.QUIET
    for each in (since, cool):
        assert each.status is Status.LOOK_NOW
        assert sentences.when(each, "C") == (
            "First moths fly when days reach 15 °C, from late April (looked for from 22 April "
            "until 21 May). It has held since Sat 25 April."
        )
    assert after.status is Status.CLOSED
    assert sentences.when(after, "C") == "Over: by its card it is looked for until Thu 21 May."
    assert numbers.basis(since, "C") == (
        "By a cue, not a heat sum: Paibomesai and Appleby, 2013; its dates: Ontario Ministry of "
        "Agriculture, Food and Rural Affairs, 2013."
    )


def test_beetles_are_looked_for_on_plants_that_stand() -> None:
    """Where sowings are on record; where none are, nobody knows what stands."""
    series = warm_days(*(dt.date(2026, 5, at) for at in range(1, 9)))
    today = dt.date(2026, 5, 10)
    beetle = "striped-cucumber-beetle"
    lettuce = Sowing("lettuce", dt.date(2026, 4, 2), name="a")
    cucumber = Sowing("cucumber", dt.date(2026, 5, 8), name="b")
    assert cue_of(beetle, series, today).status is Status.LOOK_NOW
    without = cue_of(beetle, series, today, lettuce)
    assert without.status is Status.QUIET
    assert sentences.when(without, "F").endswith("none of the plants it lives on stands.")
    assert cue_of(beetle, series, today, lettuce, cucumber).status is Status.LOOK_NOW
    pulled = Journal(
        sowings=(lettuce, cucumber), jobs=(Job("pulled", dt.date(2026, 5, 9), sowing="b"),)
    )
    plan = season_plan(series.before(today), CARDS, today, watch=[beetle], journal=pulled)
    (gone,) = [each for each in plan.windows if each.cue and each.cue.air_above]
    assert gone.status is not Status.LOOK_NOW


def test_what_its_source_does_not_state_is_said() -> None:
    series = warm_days(*(dt.date(2026, 5, at) for at in range(1, 9)))
    said = sentences.when(cue_of("striped-cucumber-beetle", series, dt.date(2026, 5, 10)), "F")
    assert said == (
        "Beetles leave their shelter when the air is above 55 °F (maximum or mean not stated, the "
        "day’s mean on 3 days in a row used; looked for from 1 April until 30 June, common "
        "practice). It has held since Mon 4 May."
    )


def test_south_of_the_equator_its_dates_lie_half_a_year_on() -> None:
    (cue,) = CARDS["leek-moth"].cues
    south = Place("south", -38.0, season_begins=(7, 1))
    assert dates_at(cue, south) == ((10, 22), (11, 21))
    assert dates_at(replace(cue, latitude=-38.0), south) == (cue.earliest, cue.latest)
    assert cue.sentence_with(*dates_at(cue, south)).endswith(
        "(looked for from 22 October until 21 November)"
    )


def test_cues_by_age_or_by_sight() -> None:
    """Day 22 of a sowing; vines that run are for a person to see."""
    series, today = warm_days(dt.date(2026, 5, 1)), dt.date(2026, 6, 11)
    age = Cue("look for eggs", "x", "seen", after_sowing_days=22)

    def begins(cue: Cue, *days: int) -> dt.date | None:
        sown = [today - each * ONE_DAY for each in days]
        return begins_on(cue, YEAR, HERE, series, today, sown)

    assert begins(age, 21) is None
    assert begins(age, 3, 23) == today - ONE_DAY
    assert begins_on(age, YEAR, HERE, series, today) is None
    assert begins(Cue("when vines run", "x", "seen", crop_stage="vines run"), 90) is None


def test_a_card_without_a_season_goes_by_the_last_week() -> None:
    """As a card of one's own that was written before cues had dates."""
    cue = Cue("beetles are about", "x", "seen", air_above=55.0, unit="F")
    warm = dt.date(2026, 2, 14)
    series = warm_days(warm)
    for today, held in ((warm, False), (warm + ONE_DAY, True), (warm + 8 * ONE_DAY, False)):
        assert (begins_on(cue, YEAR, HERE, series, today) is not None) is held


@given(
    st.lists(st.floats(-10.0, 40.0), min_size=120, max_size=120),
    st.floats(0.0, 35.0),
    st.integers(1, 6),
    st.integers(1, 119),
)
def test_more_warmth_or_more_days_asked_for_never_come_sooner(
    highs: list[float], warm: float, row: int, passed: int
) -> None:
    series = DailySeries(YEAR.first, np.array(highs) - 12.0, highs)
    today = YEAR.first + passed * ONE_DAY
    cue = Cue("x", "x", "seen", air_above=warm, unit="C", days_in_row=row, earliest=(1, 20))
    begins = begins_on(cue, YEAR, HERE, series, today)
    for harder in (
        replace(cue, air_above=warm + 1.0), replace(cue, days_in_row=row + 1),
        replace(cue, of_day="mean"), replace(cue, of_day="minimum"),
        replace(cue, earliest=(2, 10)),
    ):  # fmt: skip
        later = begins_on(harder, YEAR, HERE, series, today)
        assert later is None or (begins is not None and begins <= later)
    if begins is not None:
        assert dt.date(2026, 1, 20) < begins <= today
        assert begins_on(cue, YEAR, HERE, series, begins) == begins  # known that very morning
        assert begins_on(cue, YEAR, HERE, series, begins - ONE_DAY) is None


@pytest.mark.parametrize("month", range(1, 13))
def test_of_the_cues_of_a_stage_that_hold_one_is_told(month: int) -> None:
    """Peachtree borers of three states: at 41° north two of the dates hold in June."""
    series, today = warm_days(), dt.date(2026, month, 20)
    plan = season_plan(series.before(today), CARDS, today, watch=["peachtree-borer"])
    told = [each for each in without_repeats(plan.windows) if each.status is Status.LOOK_NOW]
    assert len(told) == (1 if month in (6, 7, 8) else 0)


def test_every_cue_card_begins_somewhere() -> None:
    """Cards that have nothing but cues: a day on record, or something for a person to see."""
    alone = {card for card in CARDS.values() if card.is_cue_card}
    seen = {
        card.key for card in alone if not any(cue.earliest or cue.air_above for cue in card.cues)
    }
    assert {card.key for card in alone} - seen <= {card for _, card, _ in expected()}
    assert seen == {
        "cross-striped-cabbageworm", "eggplant-flea-beetle", "harlequin-bug", "potato-flea-beetle",
        "slugs", "turnip-maggot", "wireworms",
    }  # fmt: skip


def test_a_record_that_begins_later_tells_of_no_warm_day() -> None:
    cue = Cue("beetles are about", "x", "seen", air_above=55.0, unit="F")
    series = warm_days(dt.date(2026, 2, 14))
    assert begins_on(cue, YEAR, HERE, series, series.first) is None
    assert begins_on(cue, YEAR, HERE, series, series.first - 9 * ONE_DAY) is None


def test_a_cue_ends_on_its_last_day_where_it_has_one() -> None:
    cue = Cue("looked for in spring", "x", "seen", earliest=(4, 21), latest=(5, 21))
    assert ends_on(cue, YEAR, HERE) == dt.date(2026, 5, 21)
    assert ends_on(replace(cue, latest=cue.earliest), YEAR, HERE) == dt.date(2026, 4, 21)
    assert ends_on(replace(cue, latest=None), YEAR, HERE) is None
    assert ends_on(replace(cue, earliest=None), YEAR, HERE) == dt.date(2026, 5, 21)
    may = Season(dt.date(2026, 5, 1), dt.date(2027, 4, 30))
    assert ends_on(cue, may, HERE) is None  # its end of this year comes before its beginning


def test_an_unknown_day_is_no_warm_one_and_ends_a_run_of_them() -> None:
    cue = Cue("beetles are about", "x", "seen", air_above=15.0, unit="C", of_day="maximum")
    cue = replace(cue, days_in_row=2)
    first = dt.date(2026, 5, 1)

    def began(*high: float) -> dt.date | None:
        series = DailySeries(first, np.full(len(high), 2.0), np.array(high), place=HERE)
        return begins_on(cue, YEAR, HERE, series, first + len(high) * ONE_DAY)

    nan = float("nan")
    assert began(8.0, 20.0, 20.0, 8.0) == dt.date(2026, 5, 4)
    assert began(8.0, 20.0, nan, 20.0) is None
    assert began(nan, nan, nan, nan) is None
