"""Stages that only days were published for are dated after a find, or after a date."""

from __future__ import annotations

import datetime as dt
import itertools
import json
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner

from gddcast.cards.model import Card
from gddcast.cli import main
from gddcast.journal.entries import Journal, Sighting
from gddcast.pages.calendar_looks import reminders
from gddcast.readers.card_files import load_cards
from gddcast.readers.opening import data_folder
from gddcast.readers.temperature_file import read_temperatures
from gddcast.scouting.statuses import status_on
from gddcast.scouting.windows import ScoutingWindow
from gddcast.text import sentences
from gddcast.text.dates.ahead import ahead_text
from gddcast.today.day_counts import goes_by_days
from gddcast.today.plan import SeasonPlan, season_plan
from gddcast.words import Status, any_day

CARDS = load_cards()
FILE = "tests/samples/larkhollow_2014_2026_f.csv"
SERIES = read_temperatures(Path(FILE)).series
MAGGOT, BEETLE = "cabbage-maggot", "striped-cucumber-beetle"
ONE_DAY = dt.timedelta(days=1)


def plan_on(today: dt.date, key: str, *finds: Sighting) -> SeasonPlan:
    return season_plan(SERIES, CARDS, today, watch=[key], journal=Journal(sightings=finds))


def stage(today: dt.date, key: str, event: str, *finds: Sighting) -> ScoutingWindow:
    (window,) = [
        each for each in plan_on(today, key, *finds).windows
        if each.event.key == event and not each.cue
    ]  # fmt: skip
    return window


def test_stages_that_only_days_were_printed_for_go_by_them() -> None:
    """No sum of air temperatures that can be counted; two of them have one of soil or a date."""
    by_days = {
        (card.key, event.key)
        for card in CARDS.values() for event in card.events if goes_by_days(card, event)
    }  # fmt: skip
    assert len(by_days) >= 29
    assert by_days >= {
        (MAGGOT, "egg-hatch"), (MAGGOT, "pupae"), (MAGGOT, "second-adults"),
        ("colorado-potato-beetle", "second-eggs"), ("mexican-bean-beetle", "pupae"),
        ("peachtree-borer", "egg-hatch"), (BEETLE, "egg-hatch"), (BEETLE, "pupae"),
        (BEETLE, "second-adults"), ("western-bean-cutworm", "egg-hatch"),
        ("western-cherry-fruit-fly", "eggs"),
    }  # fmt: skip


@pytest.mark.parametrize("card", [card for card in CARDS.values() if card.group == "pest"])
def test_each_has_one_window_and_no_other(card: Card) -> None:
    plan = plan_on(dt.date(2026, 6, 11), card.key)
    keys = [each.event.key for each in plan.windows if each.days]
    assert sorted(keys) == sorted(e.key for e in card.events if goes_by_days(card, e))
    assert not {each.event.key for each in plan.windows if each.late} & set(keys)


def test_a_chain_from_a_find_adds_the_fewest_and_the_most_days() -> None:
    """Eggs hatch in about a week, larvae take 2 to 4 weeks, pupae about 7 days (UConn).

    Beetles found on 22 May, none on the 19th; eggs are taken to be laid from then on:
    20 + 7 = 27 May to 22 + 7 = 29 May; + 14 to + 28 days 10 to 26 June; + 7 days 17 June to 3 July.
    """
    find = Sighting(BEETLE, "adults", dt.date(2026, 5, 22), clean_on=dt.date(2026, 5, 19))
    today = dt.date(2026, 5, 25)
    for event, days, basis in (
        ("egg-hatch", "27–29 May", "your find of 22 May, clean look of 19 May."),
        ("pupae", "10–26 June", "which by days come any day 27–29 May."),
        ("second-adults", "17 June – 3 July", "which by days come any day 10–26 June."),
    ):
        window = stage(today, BEETLE, event, find)
        said = sentences.when(window, "F")
        assert said.startswith(f"Any day {days}: ")
        assert said.endswith(basis)
        assert any_day(window.fastest or today, window.slowest) == f"any day {days}"


def test_each_day_of_a_bracket_and_of_the_print_stays_inside() -> None:
    """Whatever day the eggs were laid, and however long they take within the print."""
    find = Sighting(MAGGOT, "eggs", dt.date(2026, 5, 8), clean_on=dt.date(2026, 5, 4))
    hatch = stage(dt.date(2026, 5, 9), MAGGOT, "egg-hatch", find)
    laid = [dt.date(2026, 5, at) for at in range(5, 9)]
    all_days = {day + days * ONE_DAY for day, days in itertools.product(laid, range(3, 8))}
    assert (hatch.fastest, hatch.slowest) == (min(all_days), max(all_days))


def test_without_a_clean_look_only_the_late_end_is_said_and_it_is_looked_for_at_once() -> None:
    find = Sighting(MAGGOT, "eggs", dt.date(2026, 6, 8))
    hatch = stage(dt.date(2026, 6, 9), MAGGOT, "egg-hatch", find)
    assert hatch.status is Status.LOOK_NOW
    assert hatch.fastest is None
    assert sentences.when(hatch, "F") == (
        "By Mon 15 June: 3–7 days from eggs at the stem base (Wilsey et al., 2007), your find of 8 "
        "June, no clean look before it."
    )


def test_a_date_stands_in_for_a_find_and_carries_its_own_doubt() -> None:
    """Flies by heat on any day of some; the hatch 3 days after the first to 7 after the last."""
    today = dt.date(2026, 4, 10)
    flies, hatch = (stage(today, MAGGOT, event) for event in ("adults", "egg-hatch"))
    assert flies.fastest is not None
    assert flies.slowest is not None
    assert hatch.fastest == flies.fastest + 3 * ONE_DAY
    assert hatch.slowest == flies.slowest + 7 * ONE_DAY
    come = any_day(flies.fastest, flies.slowest)
    assert sentences.when(hatch, "F").endswith(f"which come with first flies, by heat {come}.")
    seen = Sighting(MAGGOT, "eggs", today - ONE_DAY, clean_on=today - 2 * ONE_DAY)
    assert stage(today, MAGGOT, "egg-hatch", seen).slowest == today + 6 * ONE_DAY


def test_too_few_past_years_to_call_date_nothing_that_follows() -> None:
    """One past year gives flies a day, not a date; the hatch waits for a find."""
    short = SERIES.between(dt.date(2025, 1, 1), SERIES.last)
    plan = season_plan(short, CARDS, dt.date(2026, 4, 10), watch=[MAGGOT])
    (hatch,) = [each for each in plan.windows if each.event.key == "egg-hatch"]
    assert hatch.waits


def test_without_either_it_waits() -> None:
    waits = stage(dt.date(2026, 6, 11), BEETLE, "egg-hatch")
    assert waits.waits
    assert waits.status is Status.QUIET
    assert waits.fastest is None
    assert sentences.when(waits, "F").endswith("the days begin when you see eggs in the soil.")
    text = ahead_text(plan_on(dt.date(2026, 6, 11), BEETLE), "F")
    assert "No date before a find or sowing of yours: Striped cucumber beetle (3 stages)." in text


def test_status_by_the_days_of_a_find() -> None:
    """Hatch any day 8 to 15 June: looked for from three days before it, overdue a week after."""
    find = Sighting(MAGGOT, "eggs", dt.date(2026, 6, 8), clean_on=dt.date(2026, 6, 4))
    statuses = {
        (6, 8): Status.LOOK_NOW, (6, 15): Status.LOOK_NOW, (6, 21): Status.LOOK_NOW,
        (6, 22): Status.OVERDUE, (7, 6): Status.OVERDUE, (7, 7): Status.CLOSED,
    }  # fmt: skip
    first = stage(dt.date(2026, 6, 8), MAGGOT, "egg-hatch", find)
    for at, status in statuses.items():
        day = dt.date(2026, *at)
        assert stage(day, MAGGOT, "egg-hatch", find).status is status
        assert status_on(first, day, lead_days=3) is status
    hatch = Sighting(MAGGOT, "egg-hatch", dt.date(2026, 6, 14))
    assert stage(dt.date(2026, 6, 22), MAGGOT, "egg-hatch", find, hatch).status is Status.SEEN


def test_days_from_a_date_that_nobody_saw_come_are_never_overdue() -> None:
    for ahead in range(0, 240, 5):
        plan = plan_on(dt.date(2026, 3, 1) + ahead * ONE_DAY, MAGGOT)
        by_days = [each for each in plan.windows if each.by_days]
        assert by_days
        assert Status.OVERDUE not in {each.status for each in by_days}


def test_reminders_say_the_days() -> None:
    find = Sighting(MAGGOT, "eggs", dt.date(2026, 5, 8), clean_on=dt.date(2026, 5, 4))
    plan = plan_on(dt.date(2026, 5, 9), MAGGOT, find)
    titles = [each.title for each in reminders(plan, "F")]
    assert (
        "Start looking: Cabbage maggot: maggots reaching the roots (may begin any day 8–15 May)"
        in titles
    )


def test_why_and_programs_have_days_and_source() -> None:
    words = ["why", FILE, MAGGOT, "second-adults", "--on", "2026-05-11", "--full"]
    text = " ".join(CliRunner().invoke(main, words).stdout.split())
    assert (
        "What the card says 14–21 days from maggots pupating (Wilsey et al., 2007). Wilsey WT,"
        in text
    )
    assert "Beside it 580 °C-days above 6 °C, daily method not stated, of soil 6 cm" in text
    answer = json.loads(CliRunner().invoke(main, [*words, "--json"]).stdout)
    schema = json.loads((data_folder() / "schemas" / "why.json").read_text(encoding="utf-8"))
    jsonschema.validate(answer, schema)
    (item,) = answer["items"]
    assert item["by_days"]["printed"] == [14, 21]
    assert item["by_days"]["after"] == "pupae"
    first, last = (dt.date.fromisoformat(item["by_days"]["begins"][end])
                   for end in ("earliest", "latest"))  # fmt: skip
    assert item["by_days"]["earliest"] == (first + 14 * ONE_DAY).isoformat()
    assert item["by_days"]["latest"] == (last + 21 * ONE_DAY).isoformat()
    item["by_days"]["earliest"] = "soon"
    with pytest.raises(jsonschema.ValidationError, match="soon"):
        jsonschema.validate(answer, schema)
    sums = " ".join(
        CliRunner().invoke(main, ["why", FILE, "squash-bug", "egg-hatch", "--full"]).stdout.split()
    )
    assert "Beside it, in days 7–14 days from" in sums
