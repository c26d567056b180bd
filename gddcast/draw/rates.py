"""Development rate against temperature: the jars, the line to its zero, the rate curve."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from gddcast.draw import BLUE, INK, svg
from gddcast.rearing.curves import NoCurve, RateCurve
from gddcast.rearing.fit import Rearing, ThresholdLine

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_WIDTH, _HEIGHT, _LEFT, _RIGHT, _TOP, _FLOOR = 640, 380, 64, 610, 20, 318


@dataclass(frozen=True, slots=True)
class RateDrawing:
    """What stands where. [°C, 1/days]

    Parameters
    ----------
    used, left_out : tuple of (float, float)
        Jars on the line, and those it was not laid through.
    line : tuple of (float, float)
        From its zero to the warmest jar on it.
    curve : tuple of (float, float)
        Nothing where none could be fitted.
    low, high : float
        Ends of the axis of temperatures.
    """

    used: tuple[svg.Point, ...]
    left_out: tuple[svg.Point, ...]
    line: tuple[svg.Point, svg.Point]
    curve: tuple[svg.Point, ...]
    low: float
    high: float


def rate_drawing(
    rearing: Rearing, line: ThresholdLine, curve: RateCurve | NoCurve | None
) -> RateDrawing:
    """Work the drawing out."""
    jars = list(zip(rearing.temperature.tolist(), rearing.rate.tolist(), strict=True))
    too_warm = {jar.temperature for jar in line.left_out if np.isfinite(jar.days)}
    used = tuple(jar for jar in jars if jar[0] not in too_warm and jar[1] > 0)
    low = min(float(rearing.temperature.min()), line.lower.value) - 2.0
    high = float(rearing.temperature.max()) + 3.0
    points: tuple[svg.Point, ...] = ()
    if isinstance(curve, RateCurve):
        warm = np.linspace(low, high, 160)
        points = tuple(zip(warm.tolist(), curve.rate_at(warm).tolist(), strict=True))
    last = max(temperature for temperature, _ in used)
    ends = (line.lower.value, 0.0), (last, float(line.rate_at(last)))
    return RateDrawing(used, tuple(jar for jar in jars if jar not in used), ends, points, low, high)


def takeaway(line: ThresholdLine) -> str:
    """What the drawing shows, in one sentence."""
    return (
        f"The line through the development rates meets zero at {line.lower.value:.1f} °C, the "
        f"lower threshold; its slope gives a heat sum of {line.heat.value:.0f} °C-days."
    )


def rate_picture(rearing: Rearing, line: ThresholdLine, curve: RateCurve | NoCurve) -> svg.Svg:
    """Rates against temperature: jars on the line filled, jars left out hollow."""
    description = takeaway(line) + f" Hollow: {len(line.left_out)} jars left out."
    strokes = _strokes(rate_drawing(rearing, line, curve), 1.15 * float(rearing.rate.max()))
    return svg.picture(_WIDTH, _HEIGHT, "Development rate and temperature", description, strokes)


def _strokes(drawing: RateDrawing, top: float) -> Iterator[str]:
    low, high = drawing.low, drawing.high

    def at(temperature: float, rate: float) -> svg.Point:
        across = _LEFT + (temperature - low) / (high - low) * (_RIGHT - _LEFT)
        return across, _FLOOR - rate / top * (_FLOOR - _TOP)

    yield svg.line([(_LEFT, _TOP), (_LEFT, _FLOOR), (_RIGHT, _FLOOR)], width=1)
    for tick in range(int(np.ceil(low / 5) * 5), int(high) + 1, 5):
        x, _ = at(tick, 0)
        yield svg.line([(x, _FLOOR), (x, _FLOOR + 5)], width=1)
        yield svg.words(x, _FLOOR + 21, f"{tick}", anchor="middle")
    step = 10.0 ** np.floor(np.log10(top))
    step = step / 2 if top / step < 3 else step
    for tick in np.arange(0.0, top, step).tolist():
        yield svg.words(_LEFT - 7, at(low, tick)[1] + 5, f"{tick:g}", anchor="end")
    yield svg.words((_LEFT + _RIGHT) / 2, _FLOOR + 46, "temperature, °C", anchor="middle")
    yield svg.words(_LEFT + 6, _TOP + 8, "development a day, 1/days")
    if drawing.curve:
        yield svg.line([at(*point) for point in drawing.curve], dash="6 4", width=1.6)
    yield svg.line([at(*end) for end in drawing.line], colour=BLUE, width=2.4)
    for hollow, jars in ((False, drawing.used), (True, drawing.left_out)):
        for jar in jars:
            yield svg.dot(*at(*jar), hollow=hollow)
    x, y = at(*drawing.line[0])
    yield svg.words(x + 26, y - 6, f"{drawing.line[0][0]:.1f} °C", colour=BLUE, bold=True)


def draw_rates(
    ax: Axes, rearing: Rearing, line: ThresholdLine, curve: RateCurve | NoCurve | None = None
) -> Axes:
    """Jars on the line filled, jars left out hollow; the line runs down to the threshold."""
    drawing = rate_drawing(rearing, line, curve)
    for fill, jars in ((INK, drawing.used), ("white", drawing.left_out)):
        for jar in jars:
            ax.plot(*jar, "o", ms=7, mec=INK, mfc=fill)
    if drawing.curve:
        ax.plot(*zip(*drawing.curve, strict=True), color=INK, ls="--", lw=1.4)
    ax.plot(*zip(*drawing.line, strict=True), color=BLUE, lw=2)
    ax.annotate(
        f"{line.lower.value:.1f} °C", drawing.line[0], xytext=(14, 4),
        textcoords="offset points", color=BLUE,
    )  # fmt: skip
    ax.set(xlabel="temperature, °C", ylabel="development a day, 1/days", ylim=(0, None))
    ax.spines[["top", "right"]].set_visible(False)
    return ax
