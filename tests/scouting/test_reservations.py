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


@pytest.mark.parametrize(("degrees", "far"), [(5.0, False), (5.5, True), (-5.5, True)])
def test_five_degrees_of_latitude_are_near(degrees: float, far: bool) -> None:
    card = CARDS["squash-vine-borer"]
    event = card.event("moths")
    assert event is not None
    assert event.default is not None
    found = replace(event.default, latitude=40.0, doubt=None)
    place = Place("x", 40.0 + degrees)
    said = reservations(card, event, found, SEASON, place)
    assert any("of latitude from you" in each for each in said) is far
    assert all(said)
    # Distance is the printed number's: a sum of the person's own was found here.
    assert not any("latitude" in each for each in reservations(
        card, event, found, SEASON, place, by_finds=True
    ))  # fmt: skip
    assert not any("latitude" in each for each in reservations(
        card, event, found, SEASON, Place("nowhere said")
    ))  # fmt: skip


@pytest.mark.parametrize(
    ("hours", "words"),
    [
        ((14.25, 14.5), "From 23 July to 1 August days grow too short: adults rest."),
        ((14.5, 14.5), "From 23 July days grow too short: adults rest."),
        ((8.0, 14.5), "From 23 July days grow too short: adults rest."),
        ((8.0, 8.0), None),
    ],
)
def test_short_days_are_said_from_the_longer_to_the_shorter_printed_length(
    hours: tuple[float, float], words: str | None
) -> None:
    """At 39.2° N, where the shortest day has more than nine hours; lengths are made up."""
    event = CARDS["squash-bug"].event("second-eggs")
    other = CARDS["squash-vine-borer"].event("moths")
    assert event is not None
    assert other is not None
    assert other.default is not None
    rule = DayLength("adults rest", hours, "x", "common practice", "nowhere", (event.key,))
    card = replace(CARDS["squash-bug"], day_length=(rule,))
    said = reservations(card, event, other.default, SEASON, Place("x", 39.2))
    assert [each for each in said if "too short" in each] == ([words] if words else [])


def test_of_two_rules_the_one_that_ends_first_counts() -> None:
    event = CARDS["squash-bug"].event("second-eggs")
    assert event is not None
    rules = [
        DayLength("adults rest", (hours, hours), "x", "common practice", "nowhere", (event.key,))
        for hours in (14.25, 14.5, 8.0)
    ]
    card = replace(CARDS["squash-bug"], day_length=tuple(rules))
    assert last_promised(card, event, SEASON, Place("x", 39.2)) == dt.date(2026, 7, 23)


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
