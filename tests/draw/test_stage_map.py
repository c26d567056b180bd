"""A map of days: what is reached is coloured, what is not is hatched, what is unknown is blank."""

from __future__ import annotations

import numpy as np
from matplotlib.figure import Figure

from gddcast.draw.stage_map import draw_stage_map, map_height, map_takeaway

DAYS = np.array([[120.0, 150.0, np.inf], [100.0, np.nan, 400.0]])
EAST, NORTH = np.array([-10.0, 0.0, 10.0]), np.array([-5.0, 5.0])


def test_each_pixel_shows_what_is_known_of_it() -> None:
    ax = Figure().add_subplot()
    draw_stage_map(ax, EAST, NORTH, DAYS)
    unknown, reached = (np.ma.getmaskarray(each.get_array()) for each in ax.collections)
    np.testing.assert_array_equal(~reached.reshape(2, 3), np.isfinite(DAYS))
    np.testing.assert_array_equal(~unknown.reshape(2, 3), np.isnan(DAYS))
    (under,) = ax.patches
    assert under.get_hatch() == "////"
    assert under.get_zorder() < min(each.get_zorder() for each in ax.collections)
    ax.figure.canvas.draw()
    assert {label.get_text() for label in ax.get_xticklabels()} >= {"10° W", "0°", "10° E"}
    scale = ax.figure.axes[1]
    named = [label.get_text() for label in scale.get_yticklabels()]
    assert named == ["3 May", "3 Jul", "2 Sep", "2 Nov", "2 Jan after"]


def test_its_sentence() -> None:
    assert map_takeaway(DAYS, "Moths") == (
        "Moths: in the middle season 11 April where it is earliest, 5 February where it is latest."
    )
    assert "anywhere" in map_takeaway(np.full((2, 2), np.inf), "Moths")


def test_a_map_fills_its_width() -> None:
    assert map_height(EAST, NORTH, 180.0) == 65.0  # half as high as wide, beside its scale
    assert map_height(EAST, np.array([40.0, 80.0]), 180.0) == 180.0
