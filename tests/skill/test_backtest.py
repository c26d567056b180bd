"""The outlook beats every simpler way and its spans hold: a thinned run of the skill table."""

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from gddcast.heat.counting import Counting, Overrule
from gddcast.heat.daily import floor_the_mean, single_sine
from gddcast.outlook.dates import outlook_of
from gddcast.outlook.ensemble import FULL, PLAIN_GRAFT
from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import read_temperatures
from gddcast.skill.backtest import WAYS, Forecasts, backtest
from gddcast.skill.targets import Target, targets_of
from gddcast.skill.track_record import by_lead, gain, of_lead, reached_score
from gddcast.weather.series import DailySeries, Place, season_of
from tests.real_records import SAMPLES
from tests.skill_table import FRESH, foretold, goals_of, station


@pytest.fixture(scope="module")
def fresh() -> Forecasts:
    """Stations that no choice was made on."""
    return foretold(FRESH)


def test_beats_every_baseline_at_every_lead(fresh: Forecasts) -> None:
    for each in by_lead(fresh):
        assert each.mae["outlook"] < min(each.mae[way] for way in WAYS[1:])
        assert each.crps["outlook"] < min(each.crps[way] for way in WAYS[1:] if way in each.crps)
        assert each.gain[1] > 0.0, f"{each.days}: not clear of zero"


def test_reaches_what_it_must(fresh: Forecasts) -> None:
    # Floors of our own: CRPS skill against the calendar, share of the graft's CRPS and MAE.
    skill = (0.82, 0.62, 0.43, 0.21, 0.05)
    saved = (0.10, 0.05, 0.04, 0.02, 0.02)
    ratio = (0.91, 0.96, 0.97, 0.985, 0.985)
    for each, *must in zip(by_lead(fresh), skill, saved, ratio, strict=True):
        assert 1 - each.crps["outlook"] / each.crps["calendar"] >= must[0]
        assert each.gain[0] >= must[1]
        assert each.mae["outlook"] / each.mae["plain graft"] <= must[2]
        assert abs(each.bias) <= (1.0 if each.lead[1] <= 60 else 1.7)


def test_spans_and_dots_hold_what_they_say(fresh: Forecasts) -> None:
    for each in by_lead(fresh):
        assert 0.46 <= each.held[0.5] <= 0.58
        assert 0.75 <= each.held[0.8] <= 0.86
        assert 0.86 <= each.held[0.9] <= 0.95
        # N dots hold (N − 1) of N + 1 in the long run, 0.90 for these 10 to 30 years.
        assert 0.86 <= each.dots[0] <= 0.95


@pytest.mark.slow
@pytest.mark.parametrize(
    ("step", "first", "last"),
    [("trend", 60, 366), ("window", 14, 30), ("persistence", 0, 7), ("shrinkage", 30, 60)],
)
def test_every_step_brings_something(fresh: Forecasts, step: str, first: int, last: int) -> None:
    """Without it the issued spans score worse at the lead it is for, clear of zero."""
    came = np.isfinite(fresh.came)
    near = came & (fresh.lead <= last) & (fresh.lead > (first or -np.inf))
    whole = fresh.where(near)
    less = foretold(FRESH, steps=replace(FULL, **{step: False})).where(near)
    assert (less.issue == whole.issue).all()
    lost, low, _ = gain(less.issued[:, 0], whole.issued[:, 0], whole.season)
    assert lost > 0.01
    assert low > 0.0, f"{step}: not clear of zero"


def test_few_years_hold_too() -> None:
    few = by_lead(foretold(("Champion", "Tunis"), at_least=4, at_most=4))
    held = np.average([e.held[0.8] for e in few], weights=[e.forecasts for e in few])
    assert 0.75 <= held <= 0.93


def test_a_row_is_the_outlook_of_that_morning() -> None:
    record = station("Champion")
    target = Target("one", Counting(10.0), 600.0)
    rows = backtest(record, [target])
    season = season_of(dt.date(2009, 1, 1))
    for issue in (91, 140):
        (row,) = np.flatnonzero((rows.season == 2009) & (rows.issue == issue))
        today = season.first + dt.timedelta(days=issue)
        one = outlook_of(record, target.counting, 600.0, start=season.first, today=today)
        ends = rows.spans[row, 0, 1]
        assert one.spans is not None
        assert one.spans[0.8] == tuple(
            season.first + dt.timedelta(days=int(np.ceil(end)) - 1) for end in ends
        )
        assert one.dots[0].time == rows.dots[row, 0]
        assert one.dots[-1].time == rows.dots[row, 3]


def test_a_person_s_method_is_the_one_that_is_tried() -> None:
    card = load_cards()["squash-vine-borer"]
    place = Place("here")
    (own,) = targets_of([card], place)
    (overruled,) = targets_of([card], place, Overrule(shape=single_sine, start=(3, 1)))
    assert own.counting.shape is floor_the_mean
    assert overruled.counting.shape is single_sine
    assert (own.start, overruled.start) == ((1, 1), (3, 1))
    assert own.goal == overruled.goal


def test_truth_is_the_day_the_whole_record_reached_it() -> None:
    record = station("Champion")
    rows = backtest(record, [Target("one", Counting(10.0), 600.0)])
    for year in (1999, 2012):
        start = dt.date(year, 1, 1)
        later = outlook_of(record, Counting(10.0), 600.0, start=start, today=dt.date(year, 12, 1))
        came = rows.came[rows.season == year]
        assert np.unique(came).size == 1
        assert start + dt.timedelta(days=int(np.ceil(came[0])) - 1) == later.reached


def test_past_only_never_learns_from_later_seasons() -> None:
    record = station("Champion")
    cut = record.between(record.first, dt.date(2004, 12, 31))
    some = goals_of(record)[::3]
    early = backtest(cut, some)
    both = backtest(record, some)
    np.testing.assert_array_equal(early.median, both.where(both.season <= 2004).median)


def test_unreachable_goal_is_scored_by_its_chance() -> None:
    record = station("Champion")
    rows = backtest(record, [Target("seldom", Counting(10.0), 1900.0)])
    share = np.isfinite(rows.came).mean()
    assert 0.05 < share < 0.95
    ours, usual = reached_score(rows)
    assert ours < usual
    assert np.isinf(rows.came).any()
    assert len(by_lead(rows)) > 0


def test_plain_steps_are_the_graft() -> None:
    record = station("Champion")
    rows = backtest(record, goals_of(record)[::3], steps=PLAIN_GRAFT)
    np.testing.assert_allclose(rows.crps[:, 0], rows.crps[:, 1], rtol=0, atol=1e-9)


def test_bootstrap_draws_seasons_not_forecasts() -> None:
    season = np.repeat(np.arange(20), 50)
    before = 1.0 + np.repeat(np.random.default_rng(1).random(20), 50)
    after = before * np.repeat(np.linspace(0.7, 0.9, 20), 50)
    share, low, high = gain(before, after, season)
    assert low < share < high
    _, narrow, wide = gain(before, before * 0.8, season)
    np.testing.assert_allclose([narrow, wide], 0.2, rtol=0, atol=1e-12)
    # Fifty copies of a season are one season: the interval is as wide as without them.
    once = gain(
        before[::50], (before * np.repeat(np.linspace(0.7, 0.9, 20), 50))[::50], season[::50]
    )
    np.testing.assert_allclose([low, high], once[1:], rtol=0, atol=1e-12)


def test_sentence_counts_dates() -> None:
    rows = backtest(station("Champion"), [Target("one", Counting(10.0), 600.0)])
    records = by_lead(rows)
    near = of_lead(records, 10.0)
    assert near is not None
    assert near.lead == (7, 14)
    assert near.sentence.startswith(f"8–14 days ahead, {near.seasons} past seasons: typically ")
    assert near.sentence.endswith(f"the 80 % span held in {near.dates_held} of {near.dates}.")
    assert near.dates == near.seasons
    assert of_lead((), 10.0) is None


def test_targets_are_calendar_sums_of_the_cards() -> None:
    cards = load_cards()
    found = targets_of(cards.values(), Place("here"))
    assert len(found) >= 40
    moths = next(each for each in found if each.name.startswith("squash vine borer"))
    np.testing.assert_allclose(moths.goal, 1000 / 1.8, rtol=0, atol=1e-9)
    migrants = {card.name for card in cards.values() if card.comes_from_elsewhere}
    assert not any(each.name.split(":")[0] in migrants for each in found)


def test_nothing_to_foretell_is_no_forecast() -> None:
    short = DailySeries(dt.date(2020, 1, 1), np.zeros(400), np.ones(400))
    assert by_lead(backtest(short, [Target("one", Counting(0.0), 10.0)])) == ()


def test_a_year_is_left_out_behind_a_day_whose_maximum_alone_is_unknown() -> None:
    """As the outlook shown leaves it out, and says so."""
    record = read_temperatures(SAMPLES / "larkhollow_2014_2026_f.csv").series
    low, high = record.tmin.copy(), record.tmax.copy()
    high[record.index(dt.date(2016, 3, 20))] = np.nan
    target = Target("heat", Counting(10.0, shape=floor_the_mean), 400.0)
    whole = record.between(record.first, dt.date(2021, 12, 31))
    holed = replace(record, tmin=low, tmax=high, origin=None).between(whole.first, whole.last)
    years = [
        set(found.years[(found.season == 2021) & (found.issue < 100)].tolist())
        for found in (backtest(each, [target], at_least=5) for each in (whole, holed))
    ]
    assert years == [{7}, {6}]
    one = outlook_of(
        holed, target.counting, 400.0, start=dt.date(2021, 1, 1), today=dt.date(2021, 4, 3)
    )
    assert [name for name, _ in one.left_out] == ["2016"]
