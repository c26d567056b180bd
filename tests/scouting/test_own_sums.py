"""Own finds beside a published sum: brackets by hand, the fit against SciPy's censored fit."""

from __future__ import annotations

import csv
import datetime as dt
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from scipy.stats import CensoredData, norm

from gddcast.heat.counting import Counting
from gddcast.heat.daily import floor_the_mean
from gddcast.journal.entries import Job, Journal, Sighting
from gddcast.quality.findings import Finding
from gddcast.readers.temperature_file import read_temperatures
from gddcast.scouting.own_sums import Tuning, fit_brackets, ripe, shared_stretch, tune
from gddcast.units import celsius_days, fahrenheit_days
from gddcast.weather.series import DailySeries, Origin, season_of
from tests.sine_by_hand import fahrenheit_days as read_by_hand
from tests.sine_by_hand import heat_through

SAMPLES = Path(__file__).parents[1] / "samples"
FILE = SAMPLES / "larkhollow_2014_to_31aug2026_f.csv"
CONTRADICTORY = [(968.5, 1009.5), (925.5, 990.0), (989.5, 1067.5), (938.0, 985.0)]


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


def tuned(series: DailySeries, *sightings: Sighting) -> Tuning:
    journal = Journal(sightings=sightings)
    return tune(series, journal, "borer", "moths", Counting(10.0), celsius_days(1000.0))


def test_the_four_brackets_and_their_shared_stretch(larkhollow: DailySeries) -> None:
    tuning, days = tuned(larkhollow, *finds()), read_by_hand(FILE)
    for own, find in zip(tuning.brackets, finds(), strict=True):
        first = dt.date(find.seen_on.year, 1, 1)
        assert find.clean_on is not None
        by_hand = [heat_through(days, first, day) for day in (find.clean_on, find.seen_on)]
        ours = [fahrenheit_days(own.low), fahrenheit_days(own.high)]
        np.testing.assert_allclose(ours, by_hand, rtol=0, atol=1e-6)
    whole = [
        (round(fahrenheit_days(own.low)), round(fahrenheit_days(own.high)))
        for own in tuning.brackets
    ]
    assert whole == [(1058, 1099), (1054, 1118), (1049, 1127), (1017, 1064)]
    assert tuning.shared is not None
    assert [round(fahrenheit_days(end)) for end in tuning.shared] == [1058, 1064]
    assert tuning.fit is not None
    assert round(fahrenheit_days(tuning.fit.mean)) == 1061
    assert [own.lag for own in tuning.brackets] == [4, 3, 5, 2]


def test_each_season_foretold_from_the_others_is_found_by_walking_the_days(
    larkhollow: DailySeries,
) -> None:
    """Counted by the floored mean: one season is foretold too early, one too late."""
    journal = Journal(sightings=finds())
    counting = Counting(10.0, shape=floor_the_mean)
    tuning = tune(larkhollow, journal, "borer", "moths", counting, celsius_days(1000.0))
    days, expected = read_by_hand(FILE), []
    for own in tuning.brackets:
        others = [(each.low, each.high) for each in tuning.brackets if each is not own]
        goal = fahrenheit_days(fit_brackets(others).mean)
        day, heat = dt.date(own.found_on.year, 1, 1), 0.0
        while (heat := heat + max(sum(days[day]) / 2 - 50.0, 0.0)) < goal:
            day += dt.timedelta(days=1)
        allowed = [own.clean_on + dt.timedelta(days=1), own.found_on]
        expected.append((day - min(max(day, allowed[0]), allowed[1])).days)
    assert list(tuning.off) == expected
    assert min(expected) < 0 < max(expected)


def test_a_contradictory_fifth_season_stands_apart(larkhollow: DailySeries) -> None:
    early = Sighting("borer", "moths", dt.date(2021, 6, 12), clean_on=dt.date(2021, 6, 10))
    tuning = tuned(larkhollow, *finds(), early)
    assert tuning.shared is None
    assert tuning.apart == "2021"
    assert tuning.fit is not None
    assert tuning.fit.spread > 0


def test_two_seasons_are_too_few_and_a_find_without_a_clean_look_is_none(
    larkhollow: DailySeries,
) -> None:
    first, second, third, _ = finds()
    tuning = tuned(larkhollow, first, second, replace(third, clean_on=None))
    assert tuning.fit is None
    assert tuning.off == ()
    assert len(tuning.brackets) == 2
    assert tuning.not_used == (("2024", "no clean look before it"),)
    assert tuned(larkhollow, first, second, replace(third, sure=False)).fit is None


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
    """Sums of two sites are not of one kind: only those since the last move are fitted."""
    job = Job("moved-sensor", dt.date(*moved))
    older = Job("moved-sensor", dt.date(2021, 5, 5))
    journal = Journal(sightings=finds(), jobs=(job, older))
    tuning = tune(larkhollow, journal, "borer", "moths", Counting(10.0), celsius_days(1000.0))
    when = f"on {job.done_on.day} {job.done_on:%B} {job.done_on.year}"
    said = {name: f"the thermometer was moved {where}, {when}" for name, where in left.items()}
    assert dict(tuning.not_used) == said
    assert [each.season for each in tuning.brackets] == [
        name for name in ("2022", "2023", "2024", "2025") if name not in left
    ]


def test_a_season_of_filled_or_faulty_days_has_no_say(larkhollow: DailySeries) -> None:
    """Four of the 175 days to 24 June 2022 filled are more than 2 in 100; three are not."""
    journal, origin = Journal(sightings=finds()), larkhollow.origin.copy()
    begin = larkhollow.index(dt.date(2022, 5, 1))

    def left(series: DailySeries, *found: Finding) -> dict[str, str]:
        counting, goal = Counting(10.0), celsius_days(1000.0)
        tuning = tune(series, journal, "borer", "moths", counting, goal, findings=found)
        return dict(tuning.not_used)

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


def test_seasons_are_ripe_when_each_find_has_a_clean_look(larkhollow: DailySeries) -> None:
    assert len(larkhollow)
    first, second, third, fourth = finds()
    journal = Journal(sightings=(first, second, replace(third, clean_on=None), fourth))
    assert ripe(journal, "borer", "moths", season_of(dt.date(2026, 6, 1))) == 3
    assert ripe(journal, "borer", "moths", season_of(dt.date(2024, 6, 1))) == 2
    assert ripe(journal, "borer", "eggs", season_of(dt.date(2026, 6, 1))) == 0


@pytest.mark.parametrize(
    "brackets",
    [CONTRADICTORY, [*CONTRADICTORY, (800.0, 850.0)], [(10.0, 12.0), (13.0, 14.0), (20.0, 22.0)]],
)
def test_the_fit_is_that_of_scipy(brackets: list[tuple[float, float]]) -> None:
    """SciPy's norm.fit on interval-censored data, a different optimum search."""
    fit = fit_brackets(brackets)
    mean, spread = norm.fit(CensoredData(interval=np.array(brackets)))
    np.testing.assert_allclose([fit.mean, fit.spread], [mean, spread], rtol=0, atol=2e-3)
    assert fit.low < fit.mean < fit.high


def test_the_interval_holds_the_truth_about_nineteen_times_in_twenty() -> None:
    """Known sums, looked for every 20 units of heat; 12 seasons, seed 7."""
    random = np.random.default_rng(7)
    held = 0
    for _ in range(200):
        truth = random.normal(1000.0, 30.0, 12)
        edge = np.floor((truth - (shift := random.uniform(0, 20, 12))) / 20) * 20 + shift
        fit = fit_brackets(list(zip(edge, edge + 20, strict=True)))
        held += fit.low <= 1000.0 <= fit.high
    # A profile interval of twelve is a little short; three standard errors about 0.93.
    assert 0.87 <= held / 200 <= 0.985


def test_scale_and_shift_go_through_the_fit() -> None:
    plain = fit_brackets(CONTRADICTORY)
    moved = fit_brackets([(3 * low + 50, 3 * high + 50) for low, high in CONTRADICTORY])
    expected = [3 * plain.mean + 50, 3 * plain.spread, 3 * plain.low + 50, 3 * plain.high + 50]
    ours = [moved.mean, moved.spread, moved.low, moved.high]
    np.testing.assert_allclose(ours, expected, rtol=0, atol=0.05)


def test_brackets_that_only_touch_share_nothing() -> None:
    assert shared_stretch([(1.0, 2.0), (2.0, 3.0)]) is None
    assert shared_stretch([]) is None
