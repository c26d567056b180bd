"""What stands beside a date: doubt, distance, migrants, and days too short for another brood."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from gddcast.cards.model import DayLength
from gddcast.journal.entries import Journal, Sighting
from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import read_temperatures
from gddcast.scouting.reservations import last_promised, reservations
from gddcast.text import sentences
from gddcast.today.plan import season_plan
from gddcast.weather.series import DailySeries, Place, season_of
from gddcast.words import Status
from tests.real_records import SAMPLES

CARDS = load_cards()
SEASON = season_of(dt.date(2026, 6, 11))
HERE = Place("an invented place", 41.2, -89.4)


def test_far_from_where_it_was_found_is_said() -> None:
    """Beyond five degrees of latitude, and only there."""
    card = CARDS["squash-vine-borer"]
    event = card.event("moths")
    assert event is not None
    assert event.default is not None
    far = replace(event.default, latitude=30.0)
    near = replace(event.default, latitude=41.0)
    assert any("11° of latitude" in said for said in reservations(card, event, far, SEASON, HERE))
    said = reservations(card, event, near, SEASON, HERE)
    assert not any("latitude" in each for each in said)
    assert event.default.doubt in said


def test_migrants_say_that_heat_here_does_not_tell() -> None:
    """Every date of a card that comes from elsewhere carries it."""
    card = CARDS["black-cutworm"]
    assert card.comes_from_elsewhere
    event = next(each for each in card.events if each.default)
    assert event.default is not None
    said = reservations(card, event, event.default, SEASON, HERE)
    assert card.comes_from_elsewhere in said


@pytest.mark.parametrize("latitude", [None, 41.2])
def test_a_brood_in_short_days_is_not_promised(latitude: float | None) -> None:
    """The last day follows the printed hours; nobody's latitude gives no rule."""
    card = CARDS["squash-bug"]
    rule = card.day_length[0]
    event = card.event(rule.events[0])
    assert event is not None
    last = last_promised(card, event, SEASON, Place("x", latitude))
    if latitude is None:
        assert last is None
    else:
        assert last is not None
        assert dt.date(2026, 7, 20) < last < dt.date(2026, 8, 31)


def test_the_plan_promises_no_nymphs_after_the_last_long_day() -> None:
    """By heat alone it would come; the days say no, and the reason stands in its place."""
    series = read_temperatures(SAMPLES / "larkhollow_2014_to_31aug2026_f.csv").series
    here = DailySeries(series.first, series.tmin, series.tmax, place=HERE, unit="F")
    card = CARDS["squash-bug"]
    event = next(each for each in card.events if each.default and each.default.starts_from
                 and each.default.starts_from.event == "eggs")  # fmt: skip
    rule = DayLength(
        "made up for this test", (15.13, 15.13), "x", "common practice", "nowhere", (event.key,)
    )
    short = replace(card, day_length=(rule,))
    seen = Journal(
        (Sighting("squash-bug", "eggs", dt.date(2026, 6, 24), clean_on=dt.date(2026, 6, 23)),)
    )
    plan = season_plan(here, {"squash-bug": short}, dt.date(2026, 6, 25), journal=seen)
    window = next(each for each in plan.windows if each.event.key == event.key and each.number)
    assert window.status is Status.NOT_THIS_SEASON
    assert "days are too short" in sentences.when(window, "F")
    plain = season_plan(here, {"squash-bug": card}, dt.date(2026, 6, 25), journal=seen)
    window = next(each for each in plain.windows if each.event.key == event.key and each.number)
    assert window.status is not Status.NOT_THIS_SEASON
