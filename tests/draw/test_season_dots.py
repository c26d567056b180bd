"""Seasons as dots over one line of heat: a dot a season, in the order of the ranks."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from gddcast.draw.season_dots import season_dots
from gddcast.units import celsius_days

HEATS = [("2020", celsius_days(838)), ("2026", celsius_days(669)), ("2023", celsius_days(474)),
         ("2019", celsius_days(470))]  # fmt: skip


def drawn(heats: list[tuple[str, float]]) -> ElementTree.Element:
    return ElementTree.fromstring(season_dots(heats, "2026", "a", "b", "F"))


def tags(root: ElementTree.Element, name: str) -> list[ElementTree.Element]:
    return [each for each in root.iter() if each.tag.rpartition("}")[2] == name]


def test_dots_lie_by_their_heat_and_the_middle_past_year_is_marked() -> None:
    root = drawn(HEATS)
    places = [float(each.get("cx", "")) for each in tags(root, "circle")]
    step = (places[0] - places[3]) / (838 - 470)
    for place, heat in zip(places, (838, 669, 474, 470), strict=True):
        assert place == pytest.approx(places[3] + step * (heat - 470), abs=0.1, rel=0)
    middle = next(each for each in tags(root, "polyline") if each.get("stroke-dasharray"))
    x = float(middle.get("points", "").split(",")[0])
    assert x == pytest.approx(places[2], abs=0.1, rel=0)  # of 838, 474 and 470
    fills = [each.get("fill") for each in tags(root, "circle")]
    assert [fill == "#000000" for fill in fills] == [False, True, False, False]
    assert [each.text for each in tags(root, "text")][1:] == [
        "2020", "838", "2026", "669", "2023", "474", "2019", "470",
    ]  # fmt: skip


def test_seasons_alike_or_alone_still_make_a_drawing() -> None:
    alone = [("2026", 1.0)]
    assert len(tags(drawn(alone), "circle")) == 1
    assert len(tags(drawn([*alone, ("2025", 1.0)]), "circle")) == 2
