"""Own finds gathered season by season: brackets by hand, what has no say, how each was foretold."""

from __future__ import annotations

import csv
import datetime as dt
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from gddcast.heat.counting import Counting
from gddcast.journal.entries import Job, Journal, Sighting
from gddcast.quality.findings import Finding
from gddcast.readers.temperature_file import read_temperatures
from gddcast.scouting.own_seasons import OwnFinds, own_finds
from gddcast.units import celsius_days, fahrenheit_days
from gddcast.weather.series import DailySeries, Origin
from tests.sine_by_hand import fahrenheit_days as read_by_hand
from tests.sine_by_hand import heat_through

SAMPLES = Path(__file__).parents[1] / "samples"
FILE = SAMPLES / "larkhollow_2014_to_31aug2026_f.csv"
COUNTING, PRINTED = Counting(10.0), celsius_days(1000.0)


@pytest.fixture(scope="module")
def larkhollow() -> DailySeries:
    return read_temperatures(FILE).series


def finds() -> tuple[Sighting, ...]:
    with (SAMPLES / "observed_first_adults.csv").open(encoding="utf-8") as lines:
        return tuple(
            Sighting(
                "borer", "moths", dt.date.fromisoformat(row["first_seen"]),
                clean_on=dt.date.fromisoformat(row["last_clean_look"]),
            )
            for row in csv.DictReader(lines)
        )  # fmt: skip


def clean(*days: dt.date) -> tuple[Sighting, ...]:
    return tuple(Sighting("borer", "moths", day, "none") for day in days)


def gathered(series: DailySeries, *sightings: Sighting, jobs: tuple[Job, ...] = ()) -> OwnFinds:
    journal = Journal(sightings=sightings, jobs=jobs)
    return own_finds(series, journal, "borer", ["moths"], COUNTING, PRINTED)


def test_the_four_brackets(larkhollow: DailySeries) -> None:
    found, days = gathered(larkhollow, *finds()), read_by_hand(FILE)
    for own, find in zip(found.seasons, finds(), strict=True):
        first = dt.date(find.seen_on.year, 1, 1)
        assert find.clean_on is not None
        by_hand = [heat_through(days, first, day) for day in (find.clean_on, find.seen_on)]
        ours = [fahrenheit_days(own.bracket.low), fahrenheit_days(own.bracket.high)]
        np.testing.assert_allclose(ours, by_hand, rtol=0, atol=1e-6)
        assert (own.early_on, own.found_on, own.assumed) == (find.clean_on, find.seen_on, False)
    whole = [
        (round(fahrenheit_days(own.bracket.low)), round(fahrenheit_days(own.bracket.high)))
        for own in found.seasons
    ]
    assert whole == [(1058, 1099), (1054, 1118), (1049, 1127), (1017, 1064)]
    assert 1030 < fahrenheit_days(found.goal) < 1080
    assert found.finds == 4


def test_a_find_without_a_clean_look_has_an_early_end_assumed(larkhollow: DailySeries) -> None:
    """The last look at anything before it, else the day a fortnight before."""
    (first, *_) = finds()
    bare = replace(first, clean_on=None)
    (own,) = gathered(larkhollow, bare).seasons
    assert (own.early_on, own.assumed) == (dt.date(2022, 6, 10), True)
    other = Sighting("beetle", "adults", dt.date(2022, 6, 1), "none")
    heard = Sighting("borer", "moths", dt.date(2022, 6, 20), "heard")
    before = replace(other, seen_on=dt.date(2021, 6, 20))
    (own,) = gathered(larkhollow, bare, other, heard, before).seasons
    assert (own.early_on, own.assumed) == (dt.date(2022, 6, 1), True)
    (own,) = gathered(larkhollow, bare, *clean(dt.date(2022, 6, 1))).seasons
    assert (own.early_on, own.assumed) == (dt.date(2022, 6, 1), False)


def test_a_season_looked_through_without_a_find_says_that_the_sum_is_higher(
    larkhollow: DailySeries,
) -> None:
    """The printed sum was reached on 19 June 2022: looked for from 1 June to 27 July."""
    weekly = [dt.date(2022, 6, 1) + dt.timedelta(days=7 * week) for week in range(9)]
    (own,) = gathered(larkhollow, *clean(*weekly)).seasons
    assert (own.found_on, own.early_on) == (None, weekly[-1])
    assert math.isinf(own.bracket.high)
    (own,) = gathered(larkhollow, *clean(*weekly[::2])).seasons  # a fortnight is no gap yet
    assert own.early_on == weekly[-1]
    with_gap = [*weekly[:5], weekly[-1]]
    (own,) = gathered(larkhollow, *clean(*with_gap)).seasons
    assert own.early_on == weekly[4]
    assert gathered(larkhollow, *clean(*weekly[:2])).seasons == ()  # not as far as the sum
    assert gathered(larkhollow, *clean(*weekly[4:])).seasons == ()  # only from behind it
    assert gathered(larkhollow, *clean(*weekly)).finds == 0


def test_looks_into_traps_and_at_plants_are_kept_apart(larkhollow: DailySeries) -> None:
    first, second, *_ = finds()
    catch = replace(first, trap=True, seen_on=dt.date(2022, 6, 15), clean_on=dt.date(2022, 6, 14))
    journal = Journal(sightings=(catch, first, second))

    def brackets(*, in_traps: bool) -> list[tuple[dt.date, dt.date | None]]:
        found = own_finds(
            larkhollow, replace(journal, in_traps=in_traps), "borer", ["moths"], COUNTING, PRINTED
        )
        return [(each.early_on, each.found_on) for each in found.seasons]

    assert brackets(in_traps=True) == [(catch.clean_on, catch.seen_on)]
    assert brackets(in_traps=False) == [(each.clean_on, each.seen_on) for each in (first, second)]


def test_looks_after_the_day_are_not_known_yet(larkhollow: DailySeries) -> None:
    found = own_finds(
        larkhollow, Journal(sightings=finds()), "borer", ["moths"], COUNTING, PRINTED,
        until=dt.date(2024, 6, 24),
    )  # fmt: skip
    assert [each.season for each in found.seasons] == ["2022", "2023"]
    over = gathered(larkhollow, *finds()).before(dt.date(2024, 1, 1))
    assert [each.season for each in over.seasons] == ["2022", "2023"]


@pytest.mark.parametrize(
    ("moved", "left"),
    [
        ((2024, 8, 1), {"2022": "after it", "2023": "after it", "2024": "after it"}),
        ((2023, 3, 9), {"2022": "after it", "2023": "in it"}),
        ((2022, 1, 1), {}),
        ((2026, 2, 2), dict.fromkeys(("2022", "2023", "2024", "2025"), "after it")),
    ],
)
def test_a_moved_thermometer_parts_the_seasons(
    larkhollow: DailySeries, moved: tuple[int, int, int], left: dict[str, str]
) -> None:
    """Sums of two sites are not of one kind: only those since the last move count."""
    job = Job("moved-sensor", dt.date(*moved))
    older = Job("moved-sensor", dt.date(2021, 5, 5))
    found = gathered(larkhollow, *finds(), jobs=(job, older))
    when = f"on {job.done_on.day} {job.done_on:%B} {job.done_on.year}"
    said = {name: f"the thermometer was moved {where}, {when}" for name, where in left.items()}
    assert dict(found.not_used) == said
    assert [each.season for each in found.seasons] == [
        name for name in ("2022", "2023", "2024", "2025") if name not in left
    ]


def test_a_season_of_filled_or_faulty_days_has_no_say(larkhollow: DailySeries) -> None:
    """Four of the 175 days to 24 June 2022 filled are more than 2 in 100; three are not."""
    journal, origin = Journal(sightings=finds()), larkhollow.origin.copy()
    begin = larkhollow.index(dt.date(2022, 5, 1))

    def left(series: DailySeries, *found: Finding) -> dict[str, str]:
        return dict(
            own_finds(
                series, journal, "borer", ["moths"], COUNTING, PRINTED, findings=found
            ).not_used
        )

    for filled, said in (
        (3, {}),
        (4, {"2022": "4 of its 175 days up to the find were filled"}),
    ):
        origin[begin : begin + filled] = Origin.PATCHED
        assert left(replace(larkhollow, origin=origin)) == said
    sun = Finding(
        "wide-range", dt.date(2023, 5, 1), dt.date(2023, 7, 30), "The sun shone on it.", "",
        effect_days=-6.0,
    )  # fmt: skip
    assert left(larkhollow, sun) == {"2023": "The sun shone on it"}
    assert left(larkhollow, replace(sun, effect_days=-0.4)) == {}
    assert left(larkhollow, replace(sun, removed=True)) == {}
    assert left(larkhollow, replace(sun, level="note")) == {}
    assert left(larkhollow, replace(sun, first=dt.date(2023, 7, 13))) == {}


def test_a_find_before_any_heat_has_no_say(larkhollow: DailySeries) -> None:
    early = Sighting("borer", "moths", dt.date(2022, 1, 2), clean_on=dt.date(2022, 1, 1))
    found = gathered(larkhollow, early)
    assert (found.seasons, found.finds) == ((), 0)
    assert found.not_used == (("2022", "no heat had been counted before the find"),)


def test_each_season_is_foretold_from_those_before_it_only(larkhollow: DailySeries) -> None:
    """The second season by the first alone, its days walked by hand."""
    whole = gathered(larkhollow, *finds()).foretold(0.1)
    alone = gathered(larkhollow, *finds()[:2]).foretold(0.1)
    assert [replace(each, season=None) for each in whole[:2]] == [
        replace(each, season=None) for each in alone
    ]
    assert (whole[0].by_finds, whole[0].by_calendar, whole[0].looked) == (None, None, None)
    days, second = read_by_hand(FILE), whole[1]

    def day_of(goal: float) -> dt.date:
        day = dt.date(2023, 1, 1)
        while heat_through(days, dt.date(2023, 1, 1), day) < goal:
            day += dt.timedelta(days=1)
        return day

    foretold = day_of(fahrenheit_days(second.before.sum_at(0.5)))
    misses = [(foretold - each).days for each in (dt.date(2023, 7, 11), dt.date(2023, 7, 12))]
    assert second.by_finds is not None
    assert abs(second.by_finds) == pytest.approx(np.abs(misses).mean(), rel=0, abs=1e-9)
    look_from = day_of(fahrenheit_days(second.before.sum_at(0.1)))
    assert second.looked == (dt.date(2023, 7, 12) - look_from).days
    # 23-24 June in 2022, so 24 June by the calendar: 17 and 18 days before 11-12 July.
    assert second.by_calendar == pytest.approx(-17.5, rel=0, abs=0.51)


def test_a_day_inside_the_bracket_misses_too(larkhollow: DailySeries) -> None:
    """Nobody knows which of seven days it was: the middle one is 12/7 days off in the mean."""
    wide = Sighting("borer", "moths", dt.date(2022, 6, 24), clean_on=dt.date(2022, 6, 17))
    (own,) = gathered(larkhollow, wide).seasons
    assert own.missed_by(dt.date(2022, 6, 21)) == pytest.approx(12 / 7, rel=0, abs=1e-9)
    assert own.missed_by(dt.date(2022, 6, 28)) == pytest.approx(7.0, rel=0, abs=1e-9)
    assert own.missed_by(dt.date(2022, 6, 14)) == pytest.approx(-7.0, rel=0, abs=1e-9)
    assert own.missed_by(None) is None


def test_a_contradictory_fifth_season_is_named(larkhollow: DailySeries) -> None:
    early = Sighting("borer", "moths", dt.date(2021, 6, 12), clean_on=dt.date(2021, 6, 10))
    assert gathered(larkhollow, *finds()).odd is None
    assert gathered(larkhollow, *finds(), early).odd == "2021"
    assert gathered(larkhollow, finds()[0], early).odd is None  # of two, none is the odd one


def test_from_the_third_find_on_a_date_leans_on_the_mean_date(larkhollow: DailySeries) -> None:
    """The mean of 23.5 June, 11.5 July and 24 June is 29.67 June: the fourth is drawn there."""
    found = gathered(larkhollow, *finds())
    season = found.seasons[-1].heat.season
    assert found.before(dt.date(2025, 1, 1)).usual(season) == dt.date(2025, 6, 30)
    assert found.before(dt.date(2024, 1, 1)).usual(season) is None
    fourth = found.foretold(0.1)[-1]
    heat = fourth.season.heat.reached(fourth.before.sum_at(0.5))
    assert heat is not None
    drawn = heat + dt.timedelta(days=round(0.3 * (dt.date(2025, 6, 30) - heat).days))
    assert drawn != heat
    assert fourth.by_finds == fourth.season.missed_by(drawn)
    look_from = fourth.season.heat.reached(fourth.before.sum_at(0.1))
    assert look_from is not None
    assert fourth.looked == (dt.date(2025, 7, 3) - look_from - (drawn - heat)).days


def test_a_look_on_the_first_day_of_the_season_stands_for_the_clean_one(
    larkhollow: DailySeries,
) -> None:
    found = finds()[0]
    first = dt.date(found.seen_on.year, 1, 1)
    other = Sighting("squash-bug", "eggs", first, "none")
    (own,) = gathered(larkhollow, replace(found, clean_on=None), other).seasons
    assert (own.early_on, own.assumed) == (first, True)
