"""Days ahead and behind over the line of the middle past year."""

from __future__ import annotations

import datetime as dt
from xml.etree import ElementTree

import numpy as np
import pytest

from gddcast.draw.days_ahead import days_ahead
from gddcast.outlook.seasons import SeasonCurves, SeasonHeat
from gddcast.weather.series import season_of

CURRENT = SeasonHeat(season_of(dt.date(2026, 5, 1), (1, 1)), np.arange(120.0), 0)
CURVES = SeasonCurves(CURRENT, (), None, None)


def _points(drawn: str) -> tuple[np.ndarray, float]:
    """Of the season's own line; and the height of the dashed one."""
    lines = [each for each in ElementTree.fromstring(drawn).iter() if each.tag.endswith("polyline")]
    own = next(each for each in lines if each.get("stroke-width") == "3")
    zero = next(each for each in lines if each.get("stroke-dasharray"))
    pairs = [tuple(map(float, each.split(","))) for each in own.get("points", "").split()]
    return np.array(pairs), float(zero.get("points", "").split()[0].split(",")[1])


def test_the_last_two_months_are_drawn_ahead_above_the_line() -> None:
    ahead = np.where(np.arange(120) < 90, 4.0, -2.0)
    drawn = days_ahead(ahead, CURVES, "said")
    assert drawn is not None
    points, zero = _points(drawn)
    assert len(points) == 60
    assert (points[:30, 1] < zero).all()
    assert (points[30:, 1] > zero).all()
    step = (zero - points[0, 1]) / 4
    np.testing.assert_allclose(points[-1, 1], zero + 2 * step, rtol=0, atol=0.11)
    assert ">2026<" in drawn


def test_level_seasons_and_unknown_days_make_no_mountains() -> None:
    level = days_ahead(np.zeros(120), CURVES, "said")
    assert level is not None
    points, zero = _points(level)
    np.testing.assert_allclose(points[:, 1], zero, rtol=0, atol=0.06)
    assert days_ahead(np.full(120, np.nan), CURVES, "said") is None


@pytest.mark.parametrize("days", [-6.0, -3.0, 0.0, 3.0, 6.0])
def test_no_name_on_the_right_stands_on_another(days: float) -> None:
    """A season that ends furthest ahead has its own name where "ahead" would stand."""
    ahead = np.linspace(-days / 2, days, 120)
    drawn = days_ahead(ahead, CURVES, "said")
    assert drawn is not None
    texts = [each for each in ElementTree.fromstring(drawn).iter() if each.tag.endswith("text")]
    (own,) = [each for each in texts if each.text == "2026"]
    right = [each for each in texts if each.get("x") == own.get("x") and each is not own]
    heights = sorted(float(each.get("y", "")) for each in right)
    assert heights
    assert min(abs(each - float(own.get("y", ""))) for each in heights) > 12
