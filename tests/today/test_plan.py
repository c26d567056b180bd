"""The one composition: own numbers in the place of printed ones, stages that were closed."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pytest

from gddcast import words
from gddcast.cards.model import Card, DayLength
from gddcast.heat.counting import Overrule
from gddcast.heat.shapes import single_sine
from gddcast.journal.entries import Closing, Job, Journal, OwnGoal, Sighting, Sowing
from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import read_temperatures
from gddcast.scouting.day_length import day_length
from gddcast.scouting.windows import Habits, ScoutingWindow, without_repeats
from gddcast.text import insect_dates, numbers, sentences
from gddcast.today.beside_dates import insect_date
from gddcast.today.plan import SeasonPlan, other_readings, season_plan
from gddcast.units import celsius_days, fahrenheit_days
from gddcast.weather.series import DailySeries, Place
from gddcast.words import Status
from tests.sine_by_hand import fahrenheit_days as read_by_hand

FILE = Path(__file__).parents[1] / "samples" / "larkhollow_2014_to_31aug2026_f.csv"
BORER = "squash-vine-borer"
TODAY = dt.date(2026, 7, 2)


@pytest.fixture(scope="module")
def cards() -> dict[str, Card]:
    return load_cards()


@pytest.fixture(scope="module")
def series() -> DailySeries:
    return read_temperatures(FILE).series


def own_find(year: int, month: int = 6, day: int = 30) -> Sighting:
    """Moths after a clean look two days before."""
    seen = dt.date(year, month, day)
    return Sighting(BORER, "moths", seen, clean_on=seen - dt.timedelta(days=2))


OWN = Journal(sightings=(own_find(2024), own_find(2025, 7, 5)))


def moths(plan: SeasonPlan) -> ScoutingWindow:
    return next(each for each in plan.windows if each.event.key == "moths" and not each.cue)


def planned(
    series: DailySeries, cards: dict[str, Card], journal: Journal, today: dt.date = TODAY,
    overrule: Overrule | None = None,
) -> SeasonPlan:  # fmt: skip
    return season_plan(series, cards, today, watch=[BORER], journal=journal, overrule=overrule)


def day_of(goal: float) -> dt.date:
    """Day of 2026 on which the floored means above 50 °F come to a goal, read and added here."""
    days, day, heat = read_by_hand(FILE), dt.date(2026, 1, 1), 0.0
    while (heat := heat + max(sum(days[day]) / 2 - 50.0, 0.0)) < goal:
        day += dt.timedelta(days=1)
    return day


def test_own_finds_are_counted_instead_of_the_printed_number_from_the_first_on(
    series: DailySeries, cards: dict[str, Card]
) -> None:
    one = Journal(sightings=OWN.sightings[:1])
    card, first, both = (moths(planned(series, cards, each)) for each in (Journal(), one, OWN))
    assert card.own_finds is None
    for window, seasons in ((first, "1 season"), (both, "2 seasons")):
        assert window.own_finds is not None
        assert window.late is not None
        assert window.late.goal == window.own_finds.goal
        assert window.reached == day_of(fahrenheit_days(window.own_finds.goal))
        sum_ = f"Your finds of {seasons}: {fahrenheit_days(window.own_finds.goal):,.0f} °F-days, "
        assert numbers.own_number(window, "F").startswith(sum_)
        assert numbers.own_number(window, "F").endswith("; published 1,000.")
        assert numbers.own_number(window, "F") in numbers.basis(window, "F")
        assert "Printed: 1,000 °F-days" in numbers.basis(window, "F")


def test_days_to_look_go_by_chance(series: DailySeries, cards: dict[str, Card]) -> None:
    """The days by which 1 in 10 and 9 in 10 of them have begun; others by other habits."""
    early, opens = dt.date(2026, 6, 1), []
    for chance, share in (("1 in 5", 0.5), ("1 in 10", 0.8), ("1 in 20", 0.9)):
        plan = season_plan(series, cards, early, watch=[BORER], journal=OWN,
                           habits=Habits(chance=chance))  # type: ignore[arg-type]  # fmt: skip
        window = moths(plan)
        assert window.insect is not None
        opens.append(window.opens)
        if share in window.insect.spans and chance != "1 in 5":
            assert (window.opens, window.closes) == window.insect.spans[share]
        assert sentences.when(window, "F").startswith("By your finds of 2 seasons it is first seen")
    assert opens == sorted(opens, reverse=True)
    assert len(set(opens)) == 3


def test_own_finds_beside_leave_every_date_as_it_is(
    series: DailySeries, cards: dict[str, Card]
) -> None:
    early = dt.date(2026, 6, 11)
    plan = season_plan(series, cards, early, watch=[BORER], journal=OWN,
                       habits=Habits(own_finds="beside"))  # fmt: skip
    window, plain = moths(plan), moths(planned(series, cards, Journal(), early))
    assert window.own_finds is None
    assert (window.opens, window.closes, window.fastest) == (
        plain.opens, plain.closes, plain.fastest
    )  # fmt: skip
    assert sentences.when(window, "F") == sentences.when(plain, "F")
    assert "own_finds" in numbers.own_number(window, "F")
    found = insect_date(plan, window)
    assert found is not None
    said = insect_dates.dates(found, "F", window.finds_beside)
    assert "of your own finds of 2 seasons" in said
    without = planned(series, cards, Journal(), early)
    assert insect_date(without, moths(without)) is None  # the card prints no spread


def test_this_season_s_own_find_and_a_trap_of_last_year_are_no_earlier_season(
    series: DailySeries, cards: dict[str, Card]
) -> None:
    only_now = Journal(sightings=(own_find(2026, 6, 29),))
    window = moths(planned(series, cards, only_now))
    assert window.own_finds is None
    assert window.status is Status.SEEN
    assert moths(planned(series, cards, OWN)).status is not Status.SEEN


def test_a_stage_looked_for_is_put_away_by_the_other_tail(
    series: DailySeries, cards: dict[str, Card]
) -> None:
    """Overdue where nobody looked; three weeks later it is closed all the same."""
    closes = moths(planned(series, cards, OWN, dt.date(2026, 6, 11))).closes
    assert closes is not None
    look = Sighting(BORER, "moths", dt.date(2026, 7, 4), "none")
    looked = replace(OWN, sightings=(*OWN.sightings, look))
    after = dt.date(2026, 7, 20)
    said = moths(planned(series, cards, OWN, after))
    assert said.closes is not None
    assert said.closes < after
    assert said.status is Status.OVERDUE
    assert "it has begun already, with a chance of" in sentences.when(said, "F")
    assert moths(planned(series, cards, looked, after)).status is Status.CLOSED
    late = said.closes + dt.timedelta(days=22)
    assert moths(planned(series, cards, OWN, late)).status is Status.CLOSED


def test_doubts_about_the_printed_number_do_not_touch_an_own_one(
    series: DailySeries, cards: dict[str, Card]
) -> None:
    printed, own = (planned(series, cards, journal) for journal in (Journal(), OWN))
    assert any("rounded figure" in note for note in moths(printed).notes)
    assert not any("rounded figure" in note for note in moths(own).notes)
    assert moths(printed).moves
    assert other_readings(printed, moths(printed))
    assert moths(own).moves == other_readings(own, moths(own)) == ()


def test_another_method_is_learnt_anew(series: DailySeries, cards: dict[str, Card]) -> None:
    """A sum of one method says nothing of another: the same finds are counted again."""
    card, sine = (
        moths(planned(series, cards, OWN, overrule=each))
        for each in (None, Overrule(shape=single_sine))
    )
    assert card.own_finds is not None
    assert sine.own_finds is not None
    assert sine.own_finds.goal > card.own_finds.goal * 1.02


def test_a_number_kept_in_an_older_book_is_said_and_not_counted(
    series: DailySeries, cards: dict[str, Card]
) -> None:
    goal = celsius_days(1400.0)
    kept = OwnGoal(BORER, "moths", goal, goal - 5.0, goal + 5.0, dt.date(2025, 10, 3))
    window, plain = (
        moths(planned(series, cards, replace(OWN, goals=goals))) for goals in ((kept,), ())
    )
    assert (window.reached, window.opens) == (plain.reached, plain.opens)
    said = "The number kept on 3 October 2025 is not used any more: finds count by themselves."
    assert numbers.own_number(window, "F").endswith(said)
    assert "kept" not in numbers.own_number(plain, "F")
    bare = moths(planned(series, cards, Journal(goals=(kept,))))
    assert numbers.own_number(bare, "F") == said


def test_a_first_find_is_promised_where_it_would_help(
    series: DailySeries, cards: dict[str, Card]
) -> None:
    printed, own = (moths(planned(series, cards, each)) for each in (Journal(), OWN))
    assert "about halves that" in insect_dates.first_find_helps(printed)
    assert insect_dates.first_find_helps(own) == ""
    elsewhere = replace(printed, card=replace(printed.card, comes_from_elsewhere="It flies in."))
    assert insect_dates.first_find_helps(elsewhere) == ""


def test_a_closed_stage_is_put_away_until_it_is_found_again(
    series: DailySeries, cards: dict[str, Card]
) -> None:
    closing = Closing(BORER, "moths", dt.date(2026, 6, 28))
    window = moths(planned(series, cards, Journal(closings=(closing,))))
    assert window.status is Status.CLOSED
    assert sentences.when(window, "F") == "You closed it on Sun 28 June."
    other = planned(series, cards, Journal(closings=(replace(closing, event="eggs"),)))
    assert moths(other).status is Status.OVERDUE
    every = planned(series, cards, Journal(closings=(replace(closing, event=""),)))
    assert {each.status for each in every.windows} == {Status.CLOSED}
    last_year = replace(closing, closed_on=dt.date(2025, 6, 28))
    assert moths(planned(series, cards, Journal(closings=(last_year,)))).status is Status.OVERDUE
    for seen_on, status in ((27, Status.CLOSED), (29, Status.SEEN)):
        find = Sighting(BORER, "moths", dt.date(2026, 6, seen_on))
        journal = Journal(sightings=(find,), closings=(closing,))
        assert moths(planned(series, cards, journal)).status is status


def test_a_stage_that_was_seen_is_put_away_when_it_has_lasted_its_time(
    series: DailySeries, cards: dict[str, Card]
) -> None:
    """Laying lasts 4 to 6 weeks (Brust, University of Delaware): 28 to 42 days from the find."""
    seen = Sighting(BORER, "moths", dt.date(2026, 6, 24), clean_on=dt.date(2026, 6, 22))
    journal = Journal(sightings=(seen,))
    last = dt.date(2026, 6, 24) + dt.timedelta(days=42 - 1)
    there = moths(planned(series, cards, journal, last))
    assert there.status is Status.SEEN
    assert there.goes_on_until == (dt.date(2026, 7, 21), last)
    assert sentences.when(there, "F") == (
        "Began between Tue 23 June and Wed 24 June: you saw it. "
        "By its card it goes on until 21 July – 4 August."
    )
    after = moths(planned(series, cards, journal, last + dt.timedelta(days=1)))
    assert after.status is Status.CLOSED
    assert "you saw it" in sentences.when(after, "F")


@pytest.mark.parametrize(
    ("sown", "pulled", "crop", "status"),
    [
        ("2026-06-10", None, "zucchini", Status.LOOK_NOW),  # day 22 is today
        ("2026-06-11", None, "zucchini", Status.QUIET),
        ("2026-06-10", "2026-07-01", "zucchini", Status.QUIET),
        ("2026-06-10", "2026-07-02", "zucchini", Status.LOOK_NOW),  # on its last day it stands
        ("2026-06-10", None, "tomato", Status.QUIET),
        ("2025-06-10", None, "zucchini", Status.QUIET),  # last season's, never pulled
    ],
)
def test_only_plants_that_stand_are_looked_at_for_pests(
    series: DailySeries, cards: dict[str, Card], sown: str, pulled: str | None, crop: str,
    status: Status,
) -> None:  # fmt: skip
    """Squash bug: "look for eggs from day 22 of each sowing" (common practice, no source)."""
    jobs = (Job("pulled", dt.date.fromisoformat(pulled), sowing="a"),) if pulled else ()
    journal = Journal(sowings=(Sowing(crop, dt.date.fromisoformat(sown), name="a"),), jobs=jobs)
    plan = season_plan(series, cards, TODAY, watch="squash-bug", journal=journal)
    (window,) = (each for each in plan.windows if each.cue and each.cue.after_sowing_days == 22)
    assert window.status is status


@pytest.mark.parametrize("later", [0, 1])
def test_a_stage_due_on_the_day_days_become_too_short_is_not_promised(
    series: DailySeries, cards: dict[str, Card], later: int
) -> None:
    """The rule is made up: its first short day is the fastest year's date, or the day after it.

    Own finds late in July put that date behind midsummer, when days grow shorter.
    """
    here = replace(series, place=Place("Larkhollow Patch", 41.2, -89.4))
    late = (own_find(year, 7, 25) for year in (2023, 2024, 2025))
    journal, early = Journal(sightings=tuple(late)), dt.date(2026, 6, 11)
    plain = moths(season_plan(here, cards, early, watch=BORER, journal=journal))
    assert plain.fastest is not None
    assert plain.status is not Status.NOT_THIS_SEASON
    last_long = plain.fastest + dt.timedelta(days=later - 1)
    hours = float(day_length(last_long.timetuple().tm_yday, 41.2))
    rule = DayLength("made up", (hours, hours), "x", "common practice", "nowhere", ("moths",))
    short = {BORER: replace(cards[BORER], day_length=(rule,))}
    window = moths(season_plan(here, short, early, watch=BORER, journal=journal))
    assert window.fastest == plain.fastest
    assert (window.status is Status.NOT_THIS_SEASON) is (later == 0)


BUTTERFLIES = Sighting("imported-cabbageworm", "adults", dt.date(2025, 5, 6))


def butterflies(plan: SeasonPlan) -> ScoutingWindow:
    return next(each for each in plan.windows if each.event.key == "adults")


@pytest.mark.parametrize(
    ("on", "status"), [((9, 1), Status.SEEN), ((12, 1), Status.CLOSED)], ids=["summer", "winter"]
)
def test_what_was_first_seen_in_spring_is_not_asked_for_in_december(
    series: DailySeries, cards: dict[str, Card], on: tuple[int, int], status: Status
) -> None:
    """Its card gives no end; the first night at 28 °F, read from the file, does."""
    today = dt.date(2025, *on)
    journal = Journal(sightings=(BUTTERFLIES,))
    plan = season_plan(series, cards, today, watch=["imported-cabbageworm"], journal=journal)
    assert butterflies(plan).status is status
    if status is Status.CLOSED:
        lines = FILE.read_text(encoding="utf-8").splitlines()
        rows = [line.split(",") for line in lines if line.startswith("2025-")]
        nights = [row[0] for row in rows if row[0] > "2025-07-02" and float(row[2]) <= 28.0]
        frost = words.day(dt.date.fromisoformat(nights[0]))
        assert sentences.when(butterflies(plan), "F").endswith(f"Over: hard frost on {frost}.")


def test_without_this_autumn_the_past_ones_end_it(
    series: DailySeries, cards: dict[str, Card]
) -> None:
    cut = series.before(dt.date(2025, 6, 11))
    plan = season_plan(
        cut, cards, dt.date(2025, 12, 1), watch=["imported-cabbageworm"],
        journal=Journal(sightings=(BUTTERFLIES,)),
    )  # fmt: skip
    # First nights at 28 °F in the file, 2014 to 2024: nine by 19 November, then 22 and 2 December.
    said = sentences.when(butterflies(plan), "F")
    assert said.endswith("Over: 10 of 11 past years had a hard frost by 22 November.")


def test_a_stage_ends_with_the_last_plant_it_lives_on(
    series: DailySeries, cards: dict[str, Card]
) -> None:
    sown = [Sowing("cabbage", dt.date(2025, 4, day), name=f"cabbage {day}") for day in (10, 20)]
    pulled = [
        Job("pulled", dt.date(2025, 7, day), sowing=each.name)
        for day, each in zip((1, 9), sown, strict=True)
    ]
    for jobs, status in ((pulled[:1], Status.SEEN), (pulled, Status.CLOSED)):
        journal = Journal(sightings=(BUTTERFLIES,), sowings=tuple(sown), jobs=tuple(jobs))
        plan = season_plan(
            series, cards, dt.date(2025, 7, 20), watch=["imported-cabbageworm"], journal=journal
        )
        assert butterflies(plan).status is status


@pytest.mark.parametrize("month", range(1, 13))
def test_one_stage_is_told_once(series: DailySeries, cards: dict[str, Card], month: int) -> None:
    """Codling moth has a sum and a cue for its first moths: under QUIET and CLOSED at once."""
    plan = season_plan(series, cards, dt.date(2025, month, 20))
    stages = [
        (each.card.key, each.event.key) for each in without_repeats(plan.windows) if each.late
    ]
    cues = [
        (each.card.key, each.event.key)
        for each in without_repeats(plan.windows)
        if each.cue and each.status is not Status.LOOK_NOW
    ]
    assert not set(stages) & set(cues)


def test_a_sum_without_a_threshold_says_so_and_not_that_air_is_no_air(
    series: DailySeries, cards: dict[str, Card]
) -> None:
    """Onion bulbs have a sum of air temperatures whose threshold is not printed."""
    reasons = {
        each.number.of: each.reason or ""
        for each in season_plan(series, cards, dt.date(2025, 6, 11)).windows
        if each.number is not None and each.counting is None and each.number.lower is None
    }
    assert "no lower threshold" in reasons["air"]
    assert not any("air temperatures, not for air" in each for each in reasons.values())
