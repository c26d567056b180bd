"""What is ahead, on one axis: its dots are the plan's, its lines keep to the screen."""

from __future__ import annotations

import datetime as dt
import re

import pytest

from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import read_temperatures
from gddcast.text.dates.ahead import NEAR_DAYS, ahead_text
from gddcast.text.terminal import Terminal
from gddcast.today.plan import SeasonPlan, season_plan
from tests.real_records import SAMPLES

CARDS = load_cards()
WATCH = ("squash-vine-borer", "squash-bug", "cabbage-maggot", "seedcorn-maggot", "apple-maggot")


def plan_on(today: dt.date, watch: tuple[str, ...] = WATCH) -> SeasonPlan:
    series = read_temperatures(SAMPLES / "larkhollow_2014_to_31aug2026_f.csv").series
    return season_plan(series.before(today), CARDS, today, watch=watch)


PLANS = {day: plan_on(day) for day in (dt.date(2026, 4, 11), dt.date(2026, 6, 11))}


@pytest.mark.parametrize("width", [60, 80, 92])
@pytest.mark.parametrize("day", PLANS)
def test_it_keeps_to_the_screen(day: dt.date, width: int) -> None:
    for styled in (False, True):
        text = ahead_text(PLANS[day], "F", terminal=Terminal.of(width, styled=styled))
        shown = re.sub("\x1b\\[[012]m", "", text)
        assert max(map(len, shown.split("\n"))) <= width
        assert shown == ahead_text(PLANS[day], "F", terminal=Terminal.of(width))


@pytest.mark.parametrize("day", PLANS)
def test_a_row_holds_one_dot_a_past_year(day: dt.date) -> None:
    """Of the borer, whose card has one number: twelve past years, none lost and none twice."""
    plan = PLANS[day]
    (moths,) = (
        each for each in plan.windows
        if each.card.key == "squash-vine-borer" and each.event.key == "moths" and each.number
    )  # fmt: skip
    assert moths.late is not None
    assert moths.opens is not None
    text = ahead_text(plan, "F", terminal=Terminal.of(92))
    rows = [
        each for each in text.split("\n") if each.startswith("Squash vine borer: first moths  ")
    ]
    near = (moths.opens - day).days <= NEAR_DAYS
    assert len(rows) == near
    for row in rows:
        marks = row.removeprefix("Squash vine borer: first moths")
        assert sum(int(each.replace("·", "1")) for each in marks if each in "·23456789") == 12
        assert marks.index("│") < marks.index("▲") < marks.index("·")
    if not near:
        later = " ".join(text.split("Later: ")[1].split())
        assert "Squash vine borer: first moths (any day " in later


def test_rows_stand_by_the_day_to_look() -> None:
    plan = plan_on(dt.date(2026, 6, 11), (*WATCH, "japanese-beetle", "european-corn-borer"))
    text = ahead_text(plan, "F", terminal=Terminal.of(92))
    days = [
        dt.datetime.strptime(f"{each} 2026", "%d %B %Y").date()
        for each in re.findall(r"Look from \w+ (\d+ (?:June|July))\.", text)
    ]
    assert len(days) >= 4
    assert days == sorted(days)


def test_what_has_no_date_says_why() -> None:
    """A stage of which only a find starts the clock, a sign, and a sum of another air."""
    text = " ".join(ahead_text(PLANS[dt.date(2026, 6, 11)], "F").split())
    assert "No date before a find or sowing of yours: " in text
    assert "By a sign, not by heat: " in text
    rootworms = ahead_text(plan_on(dt.date(2026, 6, 11), ("corn-rootworms",)), "F")
    assert re.search(r"Published for soil \d+ cm temperatures, not for air\.", rootworms)


def test_a_few_lines_answer() -> None:
    """One stage to come: the day, the axis, the words, and where the rest is said."""
    plan = plan_on(dt.date(2026, 6, 11), ("squash-vine-borer",))
    assert len(ahead_text(plan, "F", terminal=Terminal.of(92)).split("\n")) <= 20
