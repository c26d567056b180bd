"""A second way to draw the line through rearing jars, in which both variables may err."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gddcast.rearing.fit import Rearing, check_line, split_at_optimum

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class SecondOpinion:
    """Lower threshold and heat sum by the orthogonal line of Ikemoto & Takai."""

    lower: float  # [°C]
    lower_error: float
    heat: float  # [°C·d]
    heat_error: float


def second_opinion(rearing: Rearing, *, up_to: float | None = None) -> SecondOpinion:
    """The same two numbers from days·T = K + t·days, by the reduced major axis.

    The x-intercept treats the temperatures as exact and gives the quick, warm jars most say;
    this line lets both variables err and weighs cool and warm jars more evenly.

    Parameters
    ----------
    rearing : Rearing
    up_to : float, optional
        As for `threshold_line`. [°C]

    Returns
    -------
    SecondOpinion
        Standard errors by the jackknife, one jar left out at a time.

    References
    ----------
    Ikemoto, T. and Takai, K. (2000). A new linearized formula for the law of total effective
    temperature and the evaluation of line-fitting methods with both variables subject to error.
    Environmental Entomology 29, 671-682 (from memory).

    Examples
    --------
    >>> exact = Rearing([15, 20, 25, 30], 200 / (np.array([15, 20, 25, 30]) - 9.0))
    >>> opinion = second_opinion(exact)
    >>> round(opinion.lower, 6), round(opinion.heat, 6)
    (9.0, 200.0)
    """
    kept, _ = split_at_optimum(rearing, up_to=up_to)
    check_line(kept)
    lower, heat = _reduced_major_axis(kept.days, kept.days * kept.temperature, kept.weight)
    jars = np.arange(len(kept))
    without = np.array(
        [
            _reduced_major_axis(each.days, each.days * each.temperature, each.weight)
            for each in (kept.only(jars != jar) for jar in jars)
        ]
    )
    spread = np.sqrt((len(kept) - 1) * np.var(without, axis=0))
    return SecondOpinion(lower, float(spread[0]), heat, float(spread[1]))


def _reduced_major_axis(x: Array, y: Array, weight: Array) -> tuple[float, float]:
    """Slope and intercept of the line whose slope is the ratio of the two spreads."""
    x_mean, y_mean = np.average(x, weights=weight), np.average(y, weights=weight)
    x_var = np.average((x - x_mean) ** 2, weights=weight)
    y_var = np.average((y - y_mean) ** 2, weights=weight)
    joint = np.average((x - x_mean) * (y - y_mean), weights=weight)
    slope = float(np.sign(joint) * np.sqrt(y_var / x_var))
    return slope, float(y_mean - slope * x_mean)
