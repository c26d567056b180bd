"""Development rate against temperature: the jars, the line to its zero, the rate curve."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from gddcast.figures import BLUE, INK
from gddcast.rearing.curves import NoCurve, RateCurve
from gddcast.rearing.fit import Rearing, ThresholdLine

if TYPE_CHECKING:
    from matplotlib.axes import Axes


def draw_rates(
    ax: Axes, rearing: Rearing, line: ThresholdLine, curve: RateCurve | NoCurve | None = None
) -> Axes:
    """Jars on the line filled, jars left out hollow; the line runs down to the threshold."""
    left_out = {jar.temperature for jar in line.left_out}
    for temperature, rate in zip(rearing.temperature.tolist(), rearing.rate.tolist(), strict=True):
        fill = "white" if temperature in left_out else INK
        ax.plot(temperature, rate, "o", ms=7, mec=INK, mfc=fill)
    warmest = max(t for t in rearing.temperature.tolist() if t not in left_out)
    ends = np.array([line.lower.value, warmest])
    ax.plot(ends, line.rate_at(ends), color=BLUE, lw=2)
    ax.annotate(
        f"{line.lower.value:.1f} °C", (line.lower.value, 0.0), xytext=(14, 4),
        textcoords="offset points", color=BLUE,
    )  # fmt: skip
    if isinstance(curve, RateCurve):
        warm = np.linspace(rearing.temperature.min() - 2, curve.upper + 0.5, 200)
        ax.plot(warm, curve.rate_at(warm), color=INK, ls="--", lw=1.4)
    ax.set(xlabel="temperature, °C", ylabel="development a day, 1/days", ylim=(0, None))
    ax.spines[["top", "right"]].set_visible(False)
    return ax
