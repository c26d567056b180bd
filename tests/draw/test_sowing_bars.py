"""Sowings drawn: a bar for each age and for nothing else, each dot over its own day."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest

from gddcast.crops.succession import Rules
from gddcast.draw.scales import RIGHT, WIDTH, DayScale
from gddcast.draw.sowing_bars import (
    _AXIS,
    called,
    described,
    drawn_days,
    pests_to_come,
    picks_of,
    sowing_bars,
    to_come,
)
from gddcast.journal.entries import Job, Journal, Sighting, Sowing
from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import read_temperatures
from gddcast.today.plan import season_plan
from gddcast.today.sowing_courses import CropCourses, crop_courses
from gddcast.words import span

FILE = Path(__file__).parents[1] / "samples" / "larkhollow_2014_to_31aug2026_f.csv"
TODAY = dt.date(2026, 6, 11)


@pytest.fixture(scope="module")
def crops() -> tuple[CropCourses, ...]:
    """Three squashes, one planted out, bugs' eggs found; a cucumber with three own behind it."""
    days = [dt.date(2026, 5, 21), dt.date(2026, 6, 2), dt.date(2026, 5, 25)]
    squash = [
        Sowing("summer-squash", day, f"row {row}", name=f"s{row}", planted_out=row == 2)
        for row, day in enumerate(days)
    ]
    past = [
        Sowing("cucumber", dt.date(year, 5, 20), name=f"c{year}") for year in (2022, 2023, 2024)
    ]
    jobs = tuple(
        Job("first-pick", each.sown_on + dt.timedelta(days=52), sowing=each.name) for each in past
    )
    now = Sowing("cucumber", dt.date(2026, 5, 26), "row 4", name="now")
    find = Sighting("squash-bug", "eggs", dt.date(2026, 6, 10), clean_on=dt.date(2026, 6, 8))
    journal = Journal((find,), (*squash, *past, now), jobs)
    cards = load_cards()
    series = read_temperatures(FILE).series.before(TODAY)
    watch = ["squash-vine-borer", "squash-bug", "seedcorn-maggot"]
    plan = season_plan(series, cards, TODAY, watch=watch, journal=journal)
    return crop_courses(plan, cards, journal, rules=Rules())


@pytest.fixture(scope="module")
def scale(crops: tuple[CropCourses, ...]) -> DayScale:
    days = [day for crop in crops for day in drawn_days(crop)]
    return DayScale.around(min(days), max(days))


def tags(root: ElementTree.Element, name: str) -> list[ElementTree.Element]:
    return [each for each in root.iter() if each.tag.rpartition("}")[2] == name]


def drawn(crop: CropCourses, scale: DayScale) -> ElementTree.Element:
    return ElementTree.fromstring(sowing_bars(crop, f"Sowings of {crop.card.name}", scale, TODAY))


def test_a_bar_is_an_age_and_nothing_else_is_a_bar(
    crops: tuple[CropCourses, ...], scale: DayScale
) -> None:
    """Each begins and ends over its own days, measured from the axis's two ends."""
    day = (RIGHT - _AXIS) / (scale.last - scale.first).days
    for crop in crops:
        key = len({age.age for each in crop.courses for age in each.ages})
        bars = tags(drawn(crop, scale), "rect")[key:]
        ages = [age for each in crop.courses for age in each.ages]
        assert len(bars) == len(ages)
        for bar, age in zip(bars, ages, strict=True):
            begins = (float(bar.get("x", "")) - _AXIS) / day
            lasts = float(bar.get("width", "")) / day
            assert begins == pytest.approx((age.first - scale.first).days, abs=0.05, rel=0)
            assert lasts == pytest.approx((age.last - age.first).days + 1, abs=0.1, rel=0)


def test_every_pick_and_onset_is_a_dot_over_its_day(
    crops: tuple[CropCourses, ...], scale: DayScale
) -> None:
    for crop in crops:
        wanted = [
            dot.day for course in crop.courses if course.ages for dot in picks_of(course) if dot.day
        ]
        for clash in pests_to_come(crop):
            wanted += [*clash.early, *clash.days]
        marks = tags(drawn(crop, scale), "circle")
        places = sorted(float(each.get("cx", "")) for each in marks)
        axis = replace(scale, left=_AXIS)
        np.testing.assert_allclose(places, sorted(map(axis, wanted)), rtol=0, atol=0.051)
    assert any(picks_of(each) for crop in crops for each in crop.courses)
    assert any(clash.early for crop in crops for each in crop.courses for clash in to_come(each))


def test_dots_do_not_cover_each_other_and_all_stays_inside(
    crops: tuple[CropCourses, ...], scale: DayScale
) -> None:
    for crop in crops:
        root = drawn(crop, scale)
        height = float(root.get("viewBox", "").split()[3])
        at = np.array(
            [[float(each.get(k, "")) for k in ("cx", "cy")] for each in tags(root, "circle")]
        )
        apart = np.linalg.norm(at[:, None] - at[None], axis=2)
        assert apart[~np.eye(len(at), dtype=bool)].min(initial=9) >= 3.8
        for each in tags(root, "text"):
            x, y, long = float(each.get("x", "")), float(each.get("y", "")), len(each.text or "")
            anchor = {"start": 0.0, "middle": 0.5, "end": 1.0}[each.get("text-anchor", "start")]
            left = x - anchor * 5.5 * long
            assert left >= -1, each.text
            assert left + 5.5 * long <= WIDTH + 1, each.text
            assert 0 < y <= height


def test_a_pest_has_one_row_under_all_sowings_and_says_what_open_means(
    crops: tuple[CropCourses, ...], scale: DayScale
) -> None:
    """Two squashes meet the same moths: they are drawn once, below the last bar."""
    squash = next(crop for crop in crops if crop.card.key == "summer-squash")
    root = drawn(squash, scale)
    texts = [each.text for each in tags(root, "text")]
    assert texts.count("Squash vine borer:") == 1
    lowest_bar = max(float(bar.get("y", "")) for bar in tags(root, "rect"))
    assert all(float(dot.get("cy", "")) > lowest_bar for dot in tags(root, "circle"))
    assert {"pest’s sum reached, at the earliest", "at the latest, a past year each"} < set(texts)
    assert {"row 0", "sown 21 May"} < set(texts)
    left = {each.get("x") for each in tags(root, "text") if each.text == "sown 21 May"}
    assert left == {"8.0"}


def test_nobody_is_called_by_a_key() -> None:
    """A sowing without a bed is its day, not the name a command needs."""
    bare = Sowing("summer-squash", dt.date(2026, 5, 21), name="summer-squash 2026-1")
    assert called(bare) == "sown 21 May"
    assert called(replace(bare, bed="row 2", variety="Gold")) == "row 2 (Gold), sown 21 May"


def test_what_has_begun_is_drawn_no_more(crops: tuple[CropCourses, ...], scale: DayScale) -> None:
    """The eggs were found: the table tells of them, no dot doubts them."""
    squash = next(crop for crop in crops if crop.card.key == "summer-squash")
    begun = {
        clash.stage for each in squash.courses for clash in each.planned.clashes if clash.began
    }
    assert "first egg masses" in begun
    text = "".join(drawn(squash, scale).itertext())
    assert "first egg masses" not in text
    assert "eggs hatching" in text


def test_one_that_nothing_foretells_says_so(
    crops: tuple[CropCourses, ...], scale: DayScale
) -> None:
    squash = next(crop for crop in crops if crop.card.key == "summer-squash")
    planted = next(each for each in squash.courses if each.sowing.planted_out)
    assert planted.ages == ()
    text = "".join(drawn(squash, scale).itertext())
    assert "planted out 25 May" in text
    assert "not foretold" in text
    assert "not foretold" in described(planted)


def test_read_aloud_it_says_what_its_dots_show(crops: tuple[CropCourses, ...]) -> None:
    cucumber = next(crop for crop in crops if crop.card.key == "cucumber")
    (course,) = cucumber.courses
    said = described(course)
    days = sorted(dot.day for dot in picks_of(course) if dot.day)
    assert f"first pick {len(days)} past years, any day {span(days[0], days[-1])}, middle" in said
    assert len(said) < 300


def test_dots_of_a_sum_of_own_finds_say_so(crops: tuple[CropCourses, ...], scale: DayScale) -> None:
    """Where looking goes by chance, a dot is no day of the insect: the row and the key say it."""
    squash = next(crop for crop in crops if crop.card.key == "summer-squash")
    assert "finds" not in "".join(drawn(squash, scale).itertext())
    courses = []
    for each in squash.courses:
        clashes = tuple(
            replace(one, by_finds=one.pest == "squash vine borer") for one in each.planned.clashes
        )
        courses.append(replace(each, planned=replace(each.planned, clashes=clashes)))
    root = drawn(replace(squash, courses=tuple(courses)), scale)
    texts = [each.text for each in tags(root, "text")]
    assert "first moths*" in texts
    assert "* the middle sum of your finds; finds scatter wider" in texts
    assert "squash vine borer, first moths, sum of your finds" in "".join(root.itertext())
