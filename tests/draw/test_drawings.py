"""Figures draw what they are given, the same bytes each time, doubt as dots and never as a bar."""

from __future__ import annotations

import datetime as dt
import io
from collections.abc import Callable

import numpy as np
import pytest

matplotlib = pytest.importorskip("matplotlib", reason="figures need the extra [charts]")
matplotlib.use("Agg")

from matplotlib.figure import Figure  # noqa: E402

from gddcast.draw.day_curve import draw_day, draw_g  # noqa: E402
from gddcast.draw.methods import draw_misses  # noqa: E402
from gddcast.draw.rates import draw_rates  # noqa: E402
from gddcast.draw.year_dots import draw_year_dots  # noqa: E402
from gddcast.rearing.fit import Rearing, threshold_line  # noqa: E402

DAYS = [dt.date(2026, 6, day) for day in (18, 20, 20, 20, 21, 22, 22, 24, 24, 25, 25, 26)]
JARS = Rearing([15, 20, 25, 30, 35], [33.0, 18.2, 12.5, 9.6, 12.0])

DRAWINGS: dict[str, Callable[[Figure], object]] = {
    "day": lambda fig: draw_day(fig.add_subplot(), 70, 95, 50, 86),
    "g": lambda fig: draw_g(fig.add_subplot()),
    "misses": lambda fig: draw_misses(
        fig.add_subplot(), {"here": {"sine": -1.0, "mean": 4.0}}, label="days"
    ),
    "dots": lambda fig: draw_year_dots(fig.add_subplot(), DAYS, today=dt.date(2026, 6, 11)),
    "rates": lambda fig: draw_rates(fig.add_subplot(), JARS, threshold_line(JARS)),
}


@pytest.mark.parametrize("name", DRAWINGS)
def test_the_same_drawing_has_the_same_bytes(name: str) -> None:
    """A figure made twice is one file."""

    def drawn() -> bytes:
        fig, page = Figure(), io.BytesIO()
        DRAWINGS[name](fig)
        fig.savefig(page, format="png", metadata={"Software": None})
        return page.getvalue()

    assert drawn() == drawn()


def test_one_dot_a_past_year_and_no_bar() -> None:
    """Twelve past years are twelve dots on their own days, stacked; nothing is drawn between."""
    ax = Figure().add_subplot()
    draw_year_dots(ax, DAYS, inner=1)
    dots = [(line.get_xdata()[0], line.get_ydata()[0]) for line in ax.lines]
    assert len(dots) == len(set(dots)) == 12
    assert sorted(x for x, _ in dots) == [day.toordinal() for day in DAYS]
    assert not ax.patches
    hollow = [line for line in ax.lines if line.get_markerfacecolor() == "white"]
    assert len(hollow) == 2


def test_the_line_meets_zero_at_the_threshold() -> None:
    """The line of a rate figure runs from (threshold, 0) to the warmest jar it uses."""
    line = threshold_line(JARS)
    ax = Figure().add_subplot()
    draw_rates(ax, JARS, line)
    drawn = ax.lines[-1]
    np.testing.assert_allclose(drawn.get_xdata(), [line.lower.value, 30.0], rtol=0, atol=1e-9)
    np.testing.assert_allclose(drawn.get_ydata()[0], 0.0, rtol=0, atol=1e-12)
