"""A day as each method takes it: the area drawn is the heat it finds."""

from __future__ import annotations

import numpy as np
import pytest

pytest.importorskip("matplotlib", reason="figures need the extra [charts]")

from matplotlib.figure import Figure

from gddcast.draw.day_curve import draw_day
from gddcast.draw.methods import draw_methods, methods_takeaway
from gddcast.heat.daily import horizontal, no_cutoff
from gddcast.lessons.worked_day import Day
from tests.draw.looks import laid_out, meetings, text_colours

DAYS = {
    "six": Day(72, 46, 50, "F", next_low=52),
    "upper": Day(95, 70, 50, "F", upper=86, next_low=66),
    "four": Day(22.2, 7.8, 10, "C"),
    "narrow": Day(72, 46, 58, "F", upper=60),
    "cold": Day(48, 30, 50, "F", next_low=28),
    "flat": Day(60, 60, 50, "F"),
}


@pytest.mark.parametrize("name", DAYS)
def test_the_area_drawn_is_the_heat(name: str) -> None:
    """By the polygon's own corners (shoelace), apart from every formula of the methods."""
    day = DAYS[name]
    axes = Figure().subplots(1, len(day.shapes))
    draw_methods(axes, day)
    for ax, shape in zip(axes, day.shapes, strict=True):
        heat = day.heat(shape, no_cutoff if np.isinf(day.upper) else horizontal)
        filled = [each for each in ax.collections if not each.get_hatch()]
        area = 0.0
        for path in filled[0].get_paths() if filled else ():
            x, y = path.vertices.T
            area += abs(np.sum(x[:-1] * y[1:] - x[1:] * y[:-1])) / 2 / 24
        assert area == pytest.approx(heat, rel=0, abs=0.01)
        assert (
            ax.get_title()
            == f"{shape.name}\n{heat:.{1 if day.unit == 'F' else 2}f} °{day.unit}-days"
        )
        assert text_colours(ax) <= {"#000000", "#0072b2"}


def test_six_shapes_where_the_next_night_is_known() -> None:
    assert len(DAYS["six"].shapes) == 6
    assert len(DAYS["four"].shapes) == 4


def test_the_takeaway_holds_both_ends() -> None:
    assert methods_takeaway(DAYS["four"]).startswith(
        "High 22.2, low 7.8, line at 10 °C: from 5.00 °C-days (floor the mean) to 6.10 "
        "(floor the readings)."
    )
    assert methods_takeaway(DAYS["cold"]).endswith("every method gives 0.0 °F-days.")


@pytest.mark.parametrize("width", [80, 180])
@pytest.mark.parametrize("name", DAYS)
def test_no_words_meet(name: str, width: int) -> None:
    day = DAYS[name]
    across = max(min(width // 45, 3 if len(day.shapes) == 6 else 4), 2)
    rows = -(-len(day.shapes) // across)
    fig = laid_out(
        lambda fig: draw_methods(fig.subplots(rows, across, sharey=True).ravel(), day),
        width, 42 * rows,
    )  # fmt: skip
    assert meetings(fig) == []
    curve = laid_out(
        lambda fig: draw_day(
            fig.add_subplot(), day.low, day.high, day.lower, day.upper,
            unit=day.unit, next_low=day.next_low,
        ),
        width, 70,
    )  # fmt: skip
    assert meetings(curve) == []
