"""Beside a date: its record at this place, and what moved it."""

from __future__ import annotations

import dataclasses
import datetime as dt

import numpy as np

from gddcast.journal.entries import Journal, Sowing
from gddcast.outlook.forecast_archive import ForecastArchive, with_forecasts
from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import read_temperatures
from gddcast.scouting.own_seasons import OwnFinds
from gddcast.text import insect_dates, why_moved
from gddcast.today.beside_dates import (
    beside,
    insect_date,
    insect_dates_of,
    records,
    stage_of,
)
from gddcast.today.changes import changes_since, morning_of
from gddcast.today.plan import SeasonPlan, season_plan
from gddcast.weather.series import DailySeries, Origin
from tests.real_records import SAMPLES

CARDS = load_cards()
TODAY, BEFORE = dt.date(2026, 6, 11), dt.date(2026, 6, 4)
MOTHS = ("squash-vine-borer", "moths", "")


def lark() -> DailySeries:
    """Twelve and a half invented seasons."""
    return read_temperatures(SAMPLES / "larkhollow_2014_to_31aug2026_f.csv").series


def test_the_record_counts_past_seasons_at_the_date_s_own_lead() -> None:
    """Moths stand 8–14 days ahead on 11 June; later seasons never teach earlier ones."""
    plan = season_plan(lark(), CARDS, TODAY, watch=["squash-vine-borer"])
    record = records(plan)[MOTHS]
    assert record.lead == (7, 14)
    assert 5 <= record.seasons <= 12
    assert f"{record.dates_held} of {record.dates}" in record.sentence


def test_three_seasons_have_no_record() -> None:
    """Too few to say anything of how outlooks do."""
    short = lark().between(dt.date(2023, 1, 1), dt.date(2026, 6, 10))
    assert not records(season_plan(short, CARDS, TODAY, watch=["squash-vine-borer"]))


def test_a_week_of_heat_moves_dates_by_weather_alone() -> None:
    """The cause is named with its days, and its warmth."""
    plan = season_plan(lark(), CARDS, TODAY, watch=["squash-vine-borer"])
    change = changes_since(plan, BEFORE)[MOTHS]
    assert [move.cause for move in change.moves if move.is_shift] == ["weather"]
    said = why_moved.why(change, "F")
    assert "4–10 June ran" in said
    assert "warmer than usual" in said


def test_what_moved_is_the_difference_of_two_plans() -> None:
    """The same dates as the plan of that day, made on its own."""
    series = lark()
    now = season_plan(series, CARDS, TODAY, watch=["squash-vine-borer"])
    then = season_plan(series, CARDS, BEFORE, watch=["squash-vine-borer"])
    change = changes_since(now, BEFORE)[MOTHS]
    for plan, outlook in ((now, change.after), (then, change.before)):
        window = next(each for each in plan.windows if each.event.key == "moths" and each.late)
        assert (window.fastest, window.slowest) == (outlook.fastest, outlook.slowest)


def test_a_colder_week_is_said_to_be_colder() -> None:
    """The side follows the weather."""
    series = lark()
    week = slice(series.index(BEFORE), series.index(TODAY))
    low, high = series.tmin.copy(), series.tmax.copy()
    low[week] -= 9.0
    high[week] -= 9.0
    cold = DailySeries(series.first, low, high, place=series.place, unit="F")
    plan = season_plan(cold, CARDS, TODAY, watch=["squash-vine-borer"])
    change = changes_since(plan, BEFORE)[MOTHS]
    assert change.warmth is not None
    assert np.sign(change.warmth) == -1
    assert "cooler than usual" in why_moved.why(change, "F")


def test_the_insect_is_promised_apart_from_its_sum_and_less_closely() -> None:
    """Codling moth prints ± 14.4 °C-days (Jones, Doerr & Brunner 2008): wider than the weather."""
    today = dt.date(2026, 5, 2)  # near the date the number's own spread outweighs the weather
    plan = season_plan(lark(), CARDS, today, watch=["codling-moth"])
    window = next(each for each in plan.windows if each.number and each.number.spread and each.late)
    answer = insect_date(plan, window)
    assert answer is not None
    assert window.late is not None
    assert window.late.spans is not None
    first, last = answer.spans[0.8]
    sum_first, sum_last = window.late.spans[0.8]
    assert last is not None
    assert sum_last is not None
    assert first <= sum_first <= sum_last <= last
    assert (last - first) > (sum_last - sum_first)
    said = insect_dates.dates(answer, "C")
    assert "± 14 °C-days" in said
    assert "only when the sum is reached" in said


def test_without_a_printed_spread_nothing_is_promised_of_the_insect() -> None:
    """The vine borer's source prints none."""
    plan = season_plan(lark(), CARDS, TODAY, watch=["squash-vine-borer"])
    assert all(insect_date(plan, window) is None for window in plan.windows)


def test_a_cue_beside_a_date_does_not_hide_its_insect() -> None:
    """Codling moths have a date and two cues of one stage; the promise stands beside the date."""
    plan = season_plan(lark(), CARDS, dt.date(2026, 5, 2), watch=["codling-moth"])
    moths = [each for each in plan.windows if each.event.key == "moths"]
    assert len(moths) > 1
    answers = insect_dates_of(plan)
    (dated,) = (each for each in moths if each.late is not None)
    assert beside(dated, answers) == insect_date(plan, dated)
    said = insect_dates.dates_briefly(answers[stage_of(dated)], "C")
    assert "printed spread of ± 14 °C-days" in said
    finds = OwnFinds(100.0)
    own = insect_dates.dates_briefly(answers[stage_of(dated)], "C", finds)
    assert "spread of ± 14 °C-days of your own finds" in own


def test_a_forecast_that_is_gone_is_not_called_new() -> None:
    """Ten warm days were foretold; today nothing is."""
    series = lark()
    now = season_plan(series, CARDS, TODAY, watch=["squash-vine-borer"])
    begin = series.index(BEFORE)
    how = np.zeros(len(series), dtype=np.int8)
    how[begin : begin + 14] = Origin.FORECAST
    low, high = series.tmin.copy(), series.tmax.copy()
    low[begin : begin + 14] += 5.0
    high[begin : begin + 14] += 5.0
    foretold = DailySeries(
        series.first, low[: begin + 14], high[: begin + 14],
        origin=how[: begin + 14], place=series.place, unit="F",
    )  # fmt: skip
    before = dataclasses.replace(morning_of(now, BEFORE), series=foretold)
    without = dataclasses.replace(now, series=series.before(TODAY), forecast=0)
    said = why_moved.why(changes_since(without, BEFORE, before=before)[MOTHS], "F")
    assert "the forecast has run out" in said
    assert "new forecast" not in said


def test_a_forecast_a_day_older_is_not_called_new() -> None:
    """Nothing was brought in: one foretold day has gone by, and past years stand in for it."""
    series = lark().before(TODAY)
    archive = ForecastArchive(
        issued=np.full(7, np.datetime64(TODAY)),
        day=np.datetime64(TODAY) + np.arange(7),
        tmin=np.full(7, 10.0),
        tmax=np.full(7, 22.0),
    )
    day = dt.timedelta(days=1)

    def plan(today: dt.date) -> SeasonPlan:
        behind = with_forecasts(series, archive, today)
        return season_plan(
            behind, CARDS, today, watch=["squash-vine-borer"], forecasts=archive
        )  # fmt: skip

    now = plan(TODAY + 2 * day)
    before = morning_of(now, TODAY, forecasts=archive)
    change = changes_since(now, TODAY, before=before)[MOTHS]
    assert [move.cause for move in change.moves if move.is_shift] == ["forecast"]
    assert "foretold days went by and their weather is not in yet" in why_moved.why(change, "F")


def test_a_move_ends_where_the_plan_stands() -> None:
    """Also with a forecast behind the record, and with one that was five degrees off so far."""
    series = lark()
    begin = series.index(TODAY)
    origin = series.origin.copy()
    origin[begin : begin + 7], origin[begin + 7 :] = Origin.FORECAST, Origin.UNKNOWN
    foretold = dataclasses.replace(series, origin=origin).between(
        series.first, TODAY + dt.timedelta(days=6)
    )
    kept = ForecastArchive.of([
        (str(day), str(later), series.tmin[at] + 5.0, series.tmax[at] + 5.0)
        for day in (TODAY - dt.timedelta(days=back) for back in range(60, 0, -1))
        for later in (day + dt.timedelta(days=ahead) for ahead in range(7))
        if later < TODAY and (at := series.index(later))
    ])  # fmt: skip
    for record, forecasts in ((series, None), (foretold, None), (foretold, kept)):
        plan = season_plan(
            record, CARDS, TODAY, watch=["squash-vine-borer", "apple-maggot"], forecasts=forecasts
        )
        changes = changes_since(plan, BEFORE)
        told = [each for each in plan.windows if beside(each, changes)]
        assert len(told) >= 3
        for window in told:
            after = changes[stage_of(window)].after
            assert (after.fastest, after.slowest) == (window.fastest, window.slowest)
    assert foretold.count(Origin.FORECAST) == 7
    assert plan.errors is not None
    assert plan.errors.bias.mean() > 4.0


def test_days_revised_since_are_a_cause_of_their_own() -> None:
    """May was written 3 °C too warm until after 4 June: that is no weather."""
    series = lark().before(TODAY)
    may = slice(series.index(dt.date(2026, 5, 1)), series.index(dt.date(2026, 6, 1)))
    low, high = series.tmin.copy(), series.tmax.copy()
    low[may] += 3.0
    high[may] += 3.0
    then = dataclasses.replace(series, tmin=low, tmax=high).before(BEFORE)
    plan = season_plan(series, CARDS, TODAY, watch=["squash-vine-borer"])
    before = morning_of(plan, BEFORE, then=then, now=series)
    change = changes_since(plan, BEFORE, before=before)[MOTHS]
    causes = {move.cause: move for move in change.moves}
    assert causes["revised days"].is_shift
    assert causes["revised days"].middle is not None
    assert causes["revised days"].middle > 0  # the true May was cooler
    assert "1–31 May were revised" in why_moved.why(change, "F")


def test_each_sowing_has_a_move_of_its_own() -> None:
    """Two sowings of sweet corn are two sums of one stage."""
    days = (dt.date(2026, 5, 5), dt.date(2026, 6, 3))
    journal = Journal(sowings=tuple(Sowing("sweet-corn", day, name=f"{day}") for day in days))
    plan = season_plan(lark(), CARDS, TODAY, watch=["sweet-corn"], journal=journal)
    changes = changes_since(plan, BEFORE)
    told = [each for each in plan.windows if stage_of(each) in changes]
    assert len({stage_of(each) for each in told}) == len(told) == 2
    for window in told:
        assert window.late is not None
        after = changes[stage_of(window)].after
        assert (after.fastest, after.slowest) == (window.fastest, window.slowest)
