"""Share of a population that has emerged, against heat.

A heat sum says when the middle of a population is out; an emergence curve says how many are.
Its parameters stand on the card as published, in the card's own unit of heat. Near the ends a
curve is fragile: with the same mean and a coefficient of variation of 15 % the families agree
within a day at 10, 50 and 90 %, but lie days apart at 1 and 99 %, so *first* emergence is the
least certain thing a curve tells.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gddcast.cards.model import Emergence
from gddcast.errors import ArgumentRefusal

Array = NDArray[np.float64]
Curve = Callable[[Array], Array]
Parameters = Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Spread:
    """One emergence curve in both directions.

    Parameters
    ----------
    share : callable
        Share emerged at a heat sum.
    heat : callable
        Heat sum at which a share has emerged.
    """

    share: Curve
    heat: Curve


def share(emergence: Emergence, heat: ArrayLike) -> Array:
    """Share of the population that has emerged by each heat sum.

    Parameters
    ----------
    emergence : Emergence
        Curve of a card.
    heat : array_like
        Heat since the start the curve was published with, in the unit of the card's number.
        [°F·d or °C·d]

    Returns
    -------
    ndarray
        0 to 1. NaN where the heat is NaN, and outside printed percentiles: what happens before
        the first and after the last of them was not published.

    Raises
    ------
    ArgumentRefusal
        If the parameters are not those of the family.

    Examples
    --------
    >>> flies = Emergence("erlang", (("mean", 1180.0), ("k", 65.0)), "jones1989")
    >>> share(flies, [900.0, 1180.0, 1371.0]).round(2)
    array([0.02, 0.52, 0.9 ])
    """
    return _spread(emergence).share(np.asarray(heat, dtype=np.float64))


def heat_at(emergence: Emergence, share: ArrayLike) -> Array:
    """Heat sum at which each share of the population has emerged.

    Parameters
    ----------
    emergence : Emergence
        Curve of a card.
    share : array_like
        0 to 1.

    Returns
    -------
    ndarray
        Heat in the unit of the card's number; NaN outside printed percentiles, and for a share
        that is none. [°F·d or °C·d]

    Raises
    ------
    ArgumentRefusal
        If the parameters are not those of the family.

    Examples
    --------
    >>> flies = Emergence("erlang", (("mean", 1180.0), ("k", 65.0)), "jones1989")
    >>> heat_at(flies, [0.1, 0.5, 0.9]).round(1)
    array([ 996.7, 1174. , 1371. ])
    """
    asked = np.asarray(share, dtype=np.float64)
    valid = (asked >= 0.0) & (asked <= 1.0)
    return _spread(emergence).heat(np.where(valid, asked, np.nan))


def lognormal(mean: float, sd: float, source: str) -> Emergence:
    """The curve used where a paper prints mean ± standard deviation and no family.

    Individuals' emergence must be what the deviation is of; the scatter of a threshold among
    years or fields is another thing.

    Examples
    --------
    >>> heat_at(lognormal(200.0, 30.0, "made up"), [0.1, 0.5, 0.9]).round(1)
    array([163.4, 197.8, 239.5])
    """
    note = "lognormal curve through the printed mean and standard deviation: our choice of family"
    return Emergence("lognormal", (("mean", mean), ("sd", sd)), source, note)


def _spread(emergence: Emergence) -> Spread:
    form = _FORMS[emergence.family]
    given = dict(emergence.parameters)
    spread = form(given)
    if spread is None:
        raise ArgumentRefusal(
            f"the {emergence.family} emergence curve of {emergence.source}",
            f"its parameters are {', '.join(f'{n} {v:g}' for n, v in given.items()) or 'none'}",
            f"A curve of that family takes {_TAKES[emergence.family]}.",
            "Name the parameters so in the card, as published.",
            slug="emergence-parameters",
        )
    return spread


#: What each family's parameters are called; sets that say the same stand side by side.
_TAKES = {
    "lognormal": "mean and sd, or q10 and q90, all above 0",
    "normal": "mean and sd, or q10 and q90",
    "erlang": "mean and k, both above 0",
    "weibull": "shape and scale above 0, and a location where one was published",
    "logistic": "intercept and slope of the logit, or median and scale; rising",
    "percentiles": "two or more of p0 … p100 (or q0 … q100), rising",
}


def _middle_and_width(given: Parameters) -> tuple[float, float] | None:
    """Mean and standard deviation of a normal, from themselves or from two percentiles."""
    from scipy.special import ndtri

    if given.keys() == {"mean", "sd"} and given["sd"] > 0.0:
        return given["mean"], given["sd"]
    if given.keys() == {"q10", "q90"} and given["q10"] < given["q90"]:
        low, high = given["q10"], given["q90"]
        return (low + high) / 2.0, (high - low) / (2.0 * float(ndtri(0.9)))
    return None


def _normal(given: Parameters) -> Spread | None:
    from scipy.special import ndtr, ndtri

    found = _middle_and_width(given)
    if found is None:
        return None
    mean, sd = found
    return Spread(lambda heat: ndtr((heat - mean) / sd), lambda share: mean + sd * ndtri(share))


def _lognormal(given: Parameters) -> Spread | None:
    if min(given.values(), default=0.0) <= 0.0:
        return None
    if given.keys() == {"mean", "sd"}:
        variance = np.log1p((given["sd"] / given["mean"]) ** 2)
        logs = {"mean": np.log(given["mean"]) - variance / 2.0, "sd": np.sqrt(variance)}
    else:
        logs = {name: float(np.log(value)) for name, value in given.items()}
    on_logs = _normal(logs)
    if on_logs is None:
        return None
    return Spread(lambda heat: on_logs.share(_log(heat)), lambda share: np.exp(on_logs.heat(share)))


def _log(heat: Array) -> Array:
    """Logarithm, −∞ before any heat."""
    with np.errstate(divide="ignore"):
        return np.log(np.maximum(heat, 0.0))


def _erlang(given: Parameters) -> Spread | None:
    from scipy.special import gammainc, gammaincinv

    if given.keys() != {"mean", "k"} or min(given.values()) <= 0.0:
        return None
    k, step = given["k"], given["mean"] / given["k"]
    return Spread(
        lambda heat: gammainc(k, np.maximum(heat, 0.0) / step),
        lambda share: step * gammaincinv(k, share),
    )


def _weibull(given: Parameters) -> Spread | None:
    start = given.get("location", 0.0)
    if given.keys() - {"location"} != {"shape", "scale"}:
        return None
    shape, scale = given["shape"], given["scale"]
    if min(shape, scale) <= 0.0:
        return None

    def heat(share: Array) -> Array:
        with np.errstate(divide="ignore"):  # the last one never comes: infinite heat
            return np.asarray(start + scale * (-np.log1p(-share)) ** (1.0 / shape))

    return Spread(lambda heat: -np.expm1(-((np.maximum(heat - start, 0.0) / scale) ** shape)), heat)


def _logistic(given: Parameters) -> Spread | None:
    from scipy.special import expit, logit

    if given.keys() == {"intercept", "slope"} and given["slope"] > 0.0:
        median, scale = -given["intercept"] / given["slope"], 1.0 / given["slope"]
    elif given.keys() == {"median", "scale"} and given["scale"] > 0.0:
        median, scale = given["median"], given["scale"]
    else:
        return None
    return Spread(
        lambda heat: expit((heat - median) / scale), lambda share: median + scale * logit(share)
    )


def _percentiles(given: Parameters) -> Spread | None:
    from scipy.interpolate import PchipInterpolator

    points = sorted((_percent(name), heat) for name, heat in given.items())
    shares, heats = np.array(points, dtype=np.float64).reshape(-1, 2).T
    rising = len(points) > 1 and bool(np.all(np.diff(heats) > 0.0))
    if not rising or np.isnan(shares).any():
        return None
    # Piecewise cubics that never fall between rising points (Fritsch & Carlson 1980).
    curve = PchipInterpolator(heats, shares, extrapolate=False)

    def heat(share: Array) -> Array:
        inside = (share >= shares[0]) & (share <= shares[-1])
        low = np.full(share.shape, heats[0])
        high = np.full(share.shape, heats[-1])
        for _ in range(64):  # halved until no digit is left to gain
            middle = (low + high) / 2.0
            below = curve(middle) < share
            low, high = np.where(below, middle, low), np.where(below, high, middle)
        return np.where(inside, high, np.nan)

    return Spread(lambda heat: np.asarray(curve(heat)), heat)


def _percent(name: str) -> float:
    """Share a percentile's name stands for: p25 or q25 is 0.25; NaN where it is no such name."""
    if name[:1] not in ("p", "q") or not name[1:].replace(".", "", 1).isdecimal():
        return np.nan
    percent = float(name[1:])
    return percent / 100.0 if percent <= 100.0 else np.nan


_FORMS: dict[str, Callable[[Parameters], Spread | None]] = {
    "lognormal": _lognormal,
    "normal": _normal,
    "erlang": _erlang,
    "weibull": _weibull,
    "logistic": _logistic,
    "percentiles": _percentiles,
}
