"""The map of farms: true proportions, marks that hide nothing, a scale that can be measured."""

from __future__ import annotations

import math
import re
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gddcast.draw.farm_map import MappedFarm, MapScale, farm_map


def farm(name: str, latitude: float, longitude: float, rank: int | None = None) -> MappedFarm:
    return MappedFarm(name, latitude, longitude, "square", "to come", rank)


def texts(drawing: str) -> list[str]:
    return [each.text or "" for each in ElementTree.fromstring(drawing).iter()
            if each.tag.endswith("text")]  # fmt: skip


def centres(drawing: str) -> list[tuple[float, float]]:
    """Of the squares, the frame and the key left out."""
    boxes = re.findall(r'<rect x="([\d.]+)" y="([\d.]+)" width="20.0"', drawing)
    return [(float(x) + 10, float(y) + 10) for x, y in boxes][:-1]


@pytest.mark.parametrize("latitude", [0.0, 41.0, -38.0, 60.0])
def test_as_many_kilometres_are_as_long_east_as_north(latitude: float) -> None:
    """Ten kilometres east and ten north of a farm."""
    north = 10.0 / 111.195
    east = north / math.cos(math.radians(latitude))
    farms = [farm("a", latitude, 5.0), farm("b", latitude + north, 5.0),
             farm("c", latitude, 5.0 + east)]  # fmt: skip
    scale = MapScale.of(farms)
    a, b, c = (scale(each.latitude, each.longitude) for each in farms)
    assert b[1] < a[1]  # north is up
    assert c[0] > a[0]
    # Of the middle latitude: five kilometres off it, a few parts in a thousand at 60°.
    np.testing.assert_allclose(c[0] - a[0], a[1] - b[1], rtol=0, atol=1.0)
    np.testing.assert_allclose(a[1] - b[1], 10.0 * scale.kilometre, rtol=0, atol=1e-9)


def test_the_bar_is_as_long_as_it_says() -> None:
    farms = [farm("a", 41.0, -89.0), farm("b", 41.4, -89.7)]
    drawing = farm_map(farms, "Farms")
    end = float(re.findall(r"M1 [\d.]+v10M1 [\d.]+H([\d.]+)", drawing)[0])
    (said,) = [each for each in texts(drawing) if each.endswith(" km")]
    length = (end - 1.0) / MapScale.of(farms).kilometre
    np.testing.assert_allclose(length, float(said.removesuffix(" km")), rtol=0, atol=0.1)


@given(st.lists(st.tuples(st.floats(-60, 60), st.floats(-170, 170)), min_size=1, max_size=40))
def test_every_mark_is_on_the_map_and_none_hides_another(places: list[tuple[float, float]]) -> None:
    farms = [farm(f"farm {at}", *place, at) for at, place in enumerate(places)]
    drawing = farm_map(farms, "Farms")
    marks = centres(drawing)
    assert len(marks) == len(farms)
    height = MapScale.of(farms).height
    assert all(0 <= x <= 640 and 0 <= y <= height for x, y in marks)
    apart = [math.dist(one, other) for at, one in enumerate(marks) for other in marks[:at]]
    assert min(apart, default=99.0) >= 23.0


def test_farms_on_one_spot_stand_apart_with_lines_to_it() -> None:
    drawing = farm_map([farm("a", 41.0, -89.0, 1), farm("b", 41.0, -89.0, 2)], "Farms")
    assert drawing.count("<polyline") == 1
    assert {"1", "2", "a", "b"} <= set(texts(drawing))


def test_farms_on_both_sides_of_the_date_line_are_neighbours() -> None:
    scale = MapScale.of([farm("a", -17.0, 179.9), farm("b", -17.0, -179.9)])
    assert scale.kilometre > 20.0  # 21 km over the whole width, not 40,000


def test_hundreds_of_farms_are_marked_by_rank_and_dotted_after() -> None:
    farms = [farm(f"f{at}", 41 + at / 500, -89 + (at * 7 % 100) / 100, at) for at in range(300)]
    drawing = farm_map(farms, "Farms")
    assert "79" in texts(drawing)
    assert "80" not in texts(drawing)
    assert drawing.count("m-2 0h4") == 220


def test_words_are_escaped_and_long_names_cut() -> None:
    drawing = farm_map([farm("<b> & a name that is far too long to stand", 41.0, -89.0)], "Farms")
    assert "<b> & a name that is far…" in " ".join(texts(drawing))
