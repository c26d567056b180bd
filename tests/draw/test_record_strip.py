"""The strip of a record's days: a box or a line for each run, and the same days in its table."""

from __future__ import annotations

import datetime as dt
from xml.etree import ElementTree

import pytest

from gddcast.draw.record_strip import MOST, record_strip
from gddcast.pages.report.record import days_table, in_words
from gddcast.quality.record_days import DayKind, DayRun, SeasonDays
from gddcast.weather.series import Season


def year(number: int, *runs: DayRun, lends: bool | None = True) -> SeasonDays:
    return SeasonDays(Season(dt.date(number, 1, 1), dt.date(number, 12, 31)), runs, lends)


SEASONS = (
    year(2024, DayRun(DayKind.MISSING, 0, 60), DayRun(DayKind.SOUND, 60, 366), lends=False),
    year(
        2025, DayRun(DayKind.SOUND, 0, 99), DayRun(DayKind.PATCHED, 99, 102),
        DayRun(DayKind.SOUND, 102, 365),
    ),
    year(2026, DayRun(DayKind.SOUND, 0, 139), DayRun(DayKind.SUSPECT, 139, 148), lends=None),
)  # fmt: skip


def tags(root: ElementTree.Element, name: str) -> list[ElementTree.Element]:
    return [each for each in root.iter() if each.tag.rpartition("}")[2] == name]


def test_each_run_is_drawn_where_it_lies_by_a_shape_of_its_own() -> None:
    """Told apart without colour: white box, hatched box, black box, line."""
    root = ElementTree.fromstring(record_strip(SEASONS, "a strip"))
    boxes = tags(root, "rect")[3:]  # behind those of the key
    fills = [(each.get("fill"), float(each.get("x", ""))) for each in boxes]
    assert [fill for fill, _ in fills] == ["url(#suspect-days)", "#FFFFFF", "#000000"]
    lines = tags(root, "polyline")[1:]
    assert len(lines) == 4
    ends = [
        tuple(float(point.split(",")[0]) for point in each.get("points", "").split())
        for each in lines
    ]
    day = (ends[1][1] - ends[1][0]) / 99  # 2025, newest first
    first = ends[1][0]
    assert fills[0][1] == pytest.approx(first + 139 * day, abs=0.1, rel=0)
    assert fills[1][1] == pytest.approx(first + 99 * day, abs=0.1, rel=0)
    assert fills[2][1] == pytest.approx(first, abs=0.1, rel=0)
    assert [each.text for each in tags(root, "text")[4:7]] == ["2026", "2025", "2024"]


def test_a_single_day_is_still_to_be_seen() -> None:
    root = ElementTree.fromstring(
        record_strip(
            [year(2025, DayRun(DayKind.SOUND, 0, 99), DayRun(DayKind.MISSING, 99, 100))], "a"
        )
    )
    assert float(tags(root, "rect")[-1].get("width", "")) >= 3


def test_the_table_counts_the_same_days() -> None:
    assert days_table(SEASONS).rows == [
        ["2026", "139", "0", "9", "0", "so far"],
        ["2025", "362", "3", "0", "0", "yes"],
        ["2024", "306", "0", "0", "60", "no"],
    ]
    assert in_words(SEASONS) == ("807 of 879 days are sound: 3 patched, 9 suspect and 60 missing.")


def test_days_of_a_model_get_a_column_of_their_own_where_there_are_any() -> None:
    seasons = [year(2025, DayRun(DayKind.SOUND, 0, 363), DayRun(DayKind.MODEL, 363, 365))]
    assert days_table(seasons).rows == [["2025", "363", "2", "0", "0", "0", "yes"]]
    root = ElementTree.fromstring(record_strip(seasons, "a"))
    assert [each.get("stroke-dasharray") for each in tags(root, "polyline")][-1] == "2 3"


def test_a_long_record_draws_its_latest_seasons() -> None:
    many = [year(number, DayRun(DayKind.SOUND, 0, 365)) for number in range(1930, 2020)]
    root = ElementTree.fromstring(record_strip(many, "a"))
    names = [each.text for each in tags(root, "text") if (each.text or "").isdigit()]
    assert names == [str(number) for number in range(2019, 2019 - MOST, -1)]
