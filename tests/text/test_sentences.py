"""What a window says: counts in the same sentence, never a span that reads as a length of time."""

from __future__ import annotations

import datetime as dt
import re

import pytest

from gddcast.outlook.changes import Change, Dates, Move
from gddcast.outlook.effects import Effect
from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import read_temperatures
from gddcast.text import sentences
from gddcast.today.plan import season_plan
from gddcast.weather.series import DailySeries
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


def test_ten_years_or_more_give_three_marks_and_a_count() -> None:
    """Fastest, the middle with its count, slowest; one sentence."""
    said = moths(lark())
    assert re.fullmatch(
        r"Could begin as early as \w{3} \d+ June; \d+ of 12 past years fall [\d–]+ June; "
        r"slowest \d+ June\.",
        said,
    ), said


def test_five_to_nine_years_give_a_span_and_no_share() -> None:
    """In 7 past years: from … to …"""
    said = moths(lark(2019))
    assert "in 7 past years:" in said
    assert "of 7" not in said


def test_fewer_than_five_years_are_listed_and_not_called() -> None:
    """The days themselves, and that they are too few."""
    said = moths(lark(2023))
    assert said.startswith("The 3 past years on file:")
    assert said.endswith("Too few to call.")


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
    assert sentences.effect(Effect("shape", "y", "x", days)) == said


@pytest.mark.parametrize(
    ("first_year", "today", "said"),
    [
        (
            2014,
            TODAY,
            r"May start any day \d+–\d+ June \((?:\d+ of|all) 12 past years: \d+–\d+ June\)\.",
        ),
        (2019, TODAY, r"Could begin as early as .* in 7 past years: .*"),
        (2023, TODAY, r"The 3 past years on file: .* Too few to call\."),
        (2014, dt.date(2026, 7, 2), r"Sum reached \w{3} \d+ June; no clean look logged\."),
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
    assert sentences.moved(change, "F") == f"On Mon 8 June: any day 9–13 June; now {end}"
