"""What a window says: counts in the same sentence, never a span that reads as a length of time."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import replace

import numpy as np
import pytest

from gddcast.cards.model import Cue
from gddcast.draw.notes import card_note
from gddcast.heat.counting import Counting
from gddcast.heat.shapes import floor_the_mean
from gddcast.journal.entries import Journal, Sighting
from gddcast.outlook.changes import Change, Dates, Move
from gddcast.outlook.dates import InnerSpan, Outlook, YearDot, outlooks
from gddcast.outlook.effects import Effect
from gddcast.outlook.mixture import Mixture, Part
from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import read_temperatures
from gddcast.text import numbers, sentences, weather_so_far, why_moved
from gddcast.today.plan import season_plan
from gddcast.units import Unit, celsius, celsius_days
from gddcast.weather.series import DailySeries, Origin
from tests.real_records import SAMPLES

CARDS = load_cards()
TODAY = dt.date(2026, 6, 11)


def lark(first_year: int = 2014) -> DailySeries:
    """An invented place from some year on."""
    whole = read_temperatures(SAMPLES / "larkhollow_2014_to_31aug2026_f.csv").series
    return whole.between(dt.date(first_year, 1, 1), whole.last)


def moths(series: DailySeries, today: dt.date = TODAY) -> str:
    """What the vine borer's window says."""
    plan = season_plan(series, CARDS, today, watch=["squash-vine-borer"])
    window = next(each for each in plan.windows if each.event.key == "moths" and each.number)
    return sentences.when(window, "F")


def test_ten_years_or_more_give_a_span_and_how_many_give_its_middle() -> None:
    """Whose weather it is first: past years themselves came on 17 June to 13 July."""
    assert moths(lark()) == (
        "With past years’ weather from here on: any day 19–27 June; 11 of 12 give 22–27 June."
    )


def test_five_to_nine_years_give_a_span_and_no_share() -> None:
    """A middle of seven is no middle."""
    assert re.fullmatch(
        r"With past years’ weather from here on: any day \d+–\d+ June in all 7\.", moths(lark(2019))
    )


def test_fewer_than_five_years_are_listed_and_not_called() -> None:
    """The days themselves, and that they are too few."""
    said = moths(lark(2023))
    assert said.startswith("With the weather of the 3 past years on file from here on: ")
    assert said.endswith("Too few to call.")


JULY = dt.date(2026, 7, 1)


def outlook(*days: int | None, goal: float = 500.0) -> Outlook:
    """Dots so many days into July; None is a year that does not get there."""
    dots = tuple(
        YearDot(
            str(2000 + at), None if day is None else JULY + dt.timedelta(days=day - 1), 0.0, 9.0
        )
        for at, day in enumerate(days)
    )
    return Outlook(goal, 400.0, dt.date(2026, 6, 10), None, dots)


def mixture(of: tuple[Part, ...], never: float = 0.0) -> Mixture:
    """Seven days out of eight within 4–16 July."""
    inner = InnerSpan(dt.date(2026, 7, 4), dt.date(2026, 7, 16), 0.88, 12)
    return Mixture(inner, never, {}, of)


HERE_ON = "With past years’ weather from here on: "


@pytest.mark.parametrize(
    ("early", "late", "mixed", "said"),
    [
        (None, outlook(*range(1, 13)), None, "any day 1–12 July; 10 of 12 give 2–11 July."),
        # The span ends where its middle does: the day is not told a second time.
        (None, outlook(1, *[8] * 11), None, "any day 1–8 July; 11 of 12 give 8 July."),
        (None, outlook(*[5] * 4, *[7] * 8), None, "any day 5–7 July in all 12."),
        (None, outlook(*[5] * 12), None, "5 July in all 12."),
        (None, outlook(*range(3, 14), None), None,
         "any day 3–13 July; 10 of 12 give 4–13 July; 1 of 12 not this season."),
        (None, outlook(1, 2, 3, 4, 5, None), None, "any day 1–5 July; 1 of 6 not this season."),
        # The middle of one end is no middle of the whole: that of the mixture is told.
        (outlook(*range(1, 13)), outlook(*range(9, 21)), mixture(("range",)),
         "any day 1–20 July; 88 % give 4–16 July, over the whole range."),
        (outlook(*range(1, 13)), outlook(*range(9, 21)), mixture(("range", "bracket"), 0.002),
         "any day 1–20 July; 88 % give 4–16 July, over range and bracket; 1 % not this season."),
        (outlook(*range(1, 8)), outlook(*range(9, 16)), mixture(("bracket",)),
         "any day 1–15 July in all 7, over the whole bracket."),
    ],
)  # fmt: skip
def test_a_date_says_whose_weather_and_nothing_twice(
    early: Outlook | None, late: Outlook, mixed: Mixture | None, said: str
) -> None:
    assert sentences.years_say(early or late, late, mixed) == HERE_ON + said


def test_the_days_said_are_not_those_on_which_past_years_came() -> None:
    """Why "past years fall" would be false: they came on 17 June to 13 July."""
    series, way = lark(), Counting(celsius(50.0), shape=floor_the_mean)
    came = [
        outlooks(series.between(series.first, dt.date(year, 12, 31)), way, [celsius_days(1000.0)],
                 start=dt.date(year, 1, 1))[0].reached
        for year in range(2014, 2026)
    ]  # fmt: skip
    days = sorted((day.month, day.day) for day in came if day)
    assert (days[0], days[-1], len(days)) == ((6, 17), (7, 13), 12)
    assert sum((6, 22) <= day <= (6, 27) for day in days) < 11
    assert "11 of 12 give 22–27 June" in moths(series)


@pytest.mark.parametrize("first_year", [2014, 2019, 2023])
@pytest.mark.parametrize("today", [dt.date(2026, 3, 1), TODAY, dt.date(2026, 6, 23)])
def test_no_onset_reads_as_a_length_of_time(first_year: int, today: dt.date) -> None:
    """Nothing lasts, runs or goes on; no per cent, no plus-minus."""
    said = moths(lark(first_year), today)
    assert not re.search(r"\b(lasts?|until|through|expected|ETA)\b|%|±", said), said


def test_a_sum_reached_says_its_day_and_the_clean_looks() -> None:
    """Overdue is told with what was looked at."""
    said = moths(lark(), dt.date(2026, 7, 6))
    assert "was reached on Thu 25 June" in said
    assert "No clean look is logged." in said


def test_not_this_season_says_how_far_it_got() -> None:
    """Never a blank, never 31 December."""
    plan = season_plan(lark(), CARDS, dt.date(2026, 8, 30), watch=["european-corn-borer"])
    late = [each for each in plan.windows if each.status.word == "not this season"]
    for window in late:
        assert "the warmest got to" in sentences.when(window, "F")


@pytest.mark.parametrize(
    ("days", "said"),
    [
        ((0, 0), "x: no change"),
        ((2, 6), "x: 2–6 days later"),
        ((-4, -2), "x: 2–4 days earlier"),
        ((1, 1), "x: 1 day later"),
        ((-1, 3), "x: 1 earlier to 3 days later"),
        (None, "x: not this season"),
    ],
)
def test_effects_say_which_way(days: tuple[int, int] | None, said: str) -> None:
    """Later or earlier, in days."""
    assert numbers.effect(Effect("shape", "y", "x", days)) == said


@pytest.mark.parametrize(
    ("first_year", "today", "said"),
    [
        (2014, TODAY, r"Any day \d+–\d+ June; \d+ of 12 give .*\."),
        (2019, TODAY, r"Any day \d+–\d+ June in all 7\."),
        (2023, TODAY, r"With the weather of the 3 past years on file .* Too few to call\."),
        (2014, dt.date(2026, 7, 2), r"Sum reached on \w{3} \d+ June; no clean look logged\."),
    ],
)
def test_the_brief_sentence_still_carries_its_count(
    first_year: int, today: dt.date, said: str
) -> None:
    plan = season_plan(lark(first_year).before(today), CARDS, today, watch=["squash-vine-borer"])
    window = next(each for each in plan.windows if each.event.key == "moths" and each.number)
    assert re.fullmatch(said, sentences.when_briefly(window, "F"))


@pytest.mark.parametrize(
    ("fastest", "slowest", "warmth", "said"),
    [
        (9, 12, 2.0, "8–10 June ran 4 °F warmer than usual"),  # a day earlier at the end
        (9, 12, -2.0, "8–10 June are known now"),  # cold, and yet no later
        (10, 14, -2.0, "8–10 June ran 4 °F cooler than usual"),
        (11, 13, 2.0, "8–10 June are known now"),
        (10, 12, -2.0, "8–10 June are known now"),  # narrower at both ends
    ],
)
def test_weather_is_a_cause_only_of_what_it_can_do(
    fastest: int, slowest: int, warmth: float, said: str
) -> None:
    """Warm days bring dates forward; where they came later all the same, less is in doubt."""

    def june(first: int, last: int) -> Dates:
        days = (dt.date(2026, 6, first), dt.date(2026, 6, last))
        return Dates(days[0], days[0], days[1], days[1])

    move = Move("weather", fastest - 9, 0, slowest - 13)
    change = Change(
        dt.date(2026, 6, 8), june(9, 13), june(fastest, slowest), (move,),
        new_days=(dt.date(2026, 6, 8), dt.date(2026, 6, 10)), warmth=warmth,
    )  # fmt: skip
    end = f"any day {fastest}–{slowest} June: {said}."
    assert why_moved.why(change, "F") == f"On Mon 8 June: any day 9–13 June; now {end}"


def test_a_foretold_day_is_not_on_record_and_stands_in_like_past_years() -> None:
    """A forecast for days that went by: their weather is not in yet, and what stands in is said."""
    series = lark().before(TODAY)
    origin = np.copy(series.origin)
    origin[-6:] = Origin.FORECAST
    plan = season_plan(replace(series, origin=origin), CARDS, TODAY, watch=["squash-vine-borer"])
    assert plan.days_behind == 6
    assert weather_so_far.behind(plan) == (
        "No all-clear: the last 6 days are not on record; "
        "forecasts and past years’ weather stand in for them."
    )
    assert "weather through Thu 4 June, 6 days behind" in weather_so_far.weather_line(plan)


@pytest.mark.parametrize(
    ("clean", "begins", "words"),
    [
        (dt.date(2026, 5, 10), dt.date(2026, 5, 11),
         "from 11 May or 1 June, after your clean look of 10 May and your find of 31 May"),
        (dt.date(2026, 5, 30), dt.date(2026, 5, 31),
         "from 31 May or 1 June, after your clean look of 30 May and your find of 31 May"),
        (None, None, "from 1 June, the day after your find of 31 May"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("today", [dt.date(2026, 5, 31), TODAY])
def test_a_sum_is_named_from_the_first_day_it_counts(
    today: dt.date, clean: dt.date | None, begins: dt.date | None, words: str
) -> None:
    """Each end of a bracket with its own sum; on the day of the find the late end has none."""
    find = Sighting("squash-vine-borer", "moths", dt.date(2026, 5, 31), clean_on=clean)
    plan = season_plan(
        lark(), CARDS, today, watch=["squash-vine-borer"], journal=Journal(sightings=(find,))
    )
    window = next(each for each in plan.windows if each.event.key == "egg-hatch" and each.number)
    assert window.counting is not None

    starts = [begins, dt.date(2026, 6, 1)] if begins else [dt.date(2026, 6, 1)]
    by_hand = [
        float(window.counting.daily(lark().between(first, TODAY).before(today)).sum()) * 1.8
        if first < today else 0.0
        for first in starts
    ]  # fmt: skip
    said = numbers.sum_so_far(window, "F")
    sums = [float(each) for each in said.split(" of ")[0].split(" or ")]
    np.testing.assert_allclose(sums, by_hand, rtol=0, atol=0.51)  # printed in whole degree-days
    assert said.endswith(words)
    for surface in (numbers.basis(window, "F"), card_note(window, "F")):
        assert words in surface


@pytest.mark.parametrize(
    ("unit", "show", "said"),
    [
        ("F", "F", "Out above 55 °F, by day"), ("F", "C", "Out above 55 °F (13 °C), by day"),
        ("C", "C", "Out above 55 °C, by day"), ("C", "F", "Out above 55 °C (131 °F), by day"),
    ],
)  # fmt: skip
def test_a_cue_s_temperature_is_said_in_the_reader_s_scale_too(
    unit: Unit, show: Unit, said: str
) -> None:
    words = f"Out above 55 °{unit}, by day"
    cue = Cue(words, "x", "seen", air_above=55.0, unit=unit)
    assert sentences.in_scale(cue, words, show) == said
