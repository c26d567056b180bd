"""The whole rate curve of a stage: where development is fastest, and where it stops again."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gddcast.rearing.fit import Rearing, fastest_group, temperature_groups, threshold_line

Array = NDArray[np.float64]

# A limit found this near to a jar's temperature was held up by the jar. [°C]
_AT_A_JAR = 0.05


def briere(temperature: ArrayLike, a: float, lower: float, upper: float, m: float = 2.0) -> Array:
    """Development rate by the curve of Brière et al., zero outside its two limits.

    Parameters
    ----------
    temperature : array_like
        Constant temperature. [°C]
    a : float
        Scale.
    lower, upper : float
        Temperatures between which there is development. [°C]
    m : float, default: 2
        Steepness of the fall: 2 is the three-parameter curve.

    Returns
    -------
    ndarray, shape of ``temperature``
        a·T·(T − lower)·(upper − T)^(1/m). [1/d]

    References
    ----------
    Brière, J.-F., Pracros, P., Le Roux, A.-Y. and Pierre, J.-S. (1999). A novel rate model of
    temperature-dependent development for arthropods. Environmental Entomology 28, 22-29
    (equations 1 and 2; from memory).

    Examples
    --------
    >>> briere([8.0, 25.0, 36.0], 1e-4, 9.0, 35.0).round(4)
    array([0.    , 0.1265, 0.    ])
    """
    t = np.asarray(temperature, dtype=np.float64)
    inside = (t > lower) & (t < upper)
    room = np.where(inside, upper - t, 1.0)
    return np.where(inside, a * t * (t - lower) * room ** (1.0 / m), 0.0)


def briere_optimum(lower: float, upper: float, m: float = 2.0) -> float:
    """Temperature of the fastest development on that curve. [°C]

    Notes
    -----
    The root of the derivative between the limits; for m = 2 it is
    (4·upper + 3·lower + √(16·upper² + 9·lower² − 16·lower·upper)) / 10.

    Examples
    --------
    >>> round(briere_optimum(9.0, 35.0), 2)
    29.06
    """
    linear = 2.0 * m * upper + (m + 1.0) * lower
    root = np.sqrt(4 * m**2 * upper**2 + (m + 1) ** 2 * lower**2 - 4 * m**2 * lower * upper)
    return float((linear + root) / (4.0 * m + 2.0))


@dataclass(frozen=True, slots=True)
class RateCurve:
    """A fitted rate curve.

    Parameters
    ----------
    name : str
        ``Brière, 3 numbers`` or ``Brière, 4 numbers``.
    lower, optimum, upper : float
        The optimum is NaN where the curve puts it below the fastest jars, which know better.
        [°C]
    lower_error, upper_error : float
        Standard errors; NaN for an upper limit that is only known to lie between two jars. [°C]
    parameters : tuple of float
        a, lower, upper, and m where it was fitted.
    aicc : float
        Corrected Akaike criterion: the smaller is the better trade of fit against numbers.
    fastest : float
        The coolest of the fastest jars. [°C]
    upper_between : (float, float), optional
        The warmest jar that finished and the next one, where the fit ran into a jar: every limit
        between the two fits as well. [°C]
    """

    name: str
    lower: float
    optimum: float
    upper: float
    lower_error: float
    upper_error: float
    parameters: tuple[float, ...]
    aicc: float
    fastest: float
    upper_between: tuple[float, float] | None = None

    def rate_at(self, temperature: ArrayLike) -> Array:
        """Rate on the curve. [1/d]"""
        return briere(temperature, *self.parameters)


@dataclass(frozen=True, slots=True)
class NoCurve:
    """Why these jars allow no rate curve."""

    reason: str


def rate_curve(rearing: Rearing) -> RateCurve | NoCurve:
    """Optimum and upper limit, where the jars allow them.

    Parameters
    ----------
    rearing : Rearing
        Jars, those above the optimum included; one where nobody finished counts as rate zero.

    Returns
    -------
    RateCurve or NoCurve
        Of Brière's curves with three and with four numbers the one with the smaller AICc; or the
        reason why neither can be had.
    """
    temperatures = np.unique(temperature_groups(rearing.temperature)).size
    if temperatures < 5:
        return NoCurve(f"it needs five temperatures; these are {temperatures}")
    _, fastest = fastest_group(rearing)
    if not np.any(rearing.temperature > fastest):
        return NoCurve(f"no jar is warmer than the fastest one, {fastest:.1f} °C")
    fits = [_fit(rearing, with_m=False)]
    if temperatures >= 6 and len(rearing) >= 7:
        fits.append(_fit(rearing, with_m=True))
    rate_curves = [fit for fit in fits if isinstance(fit, RateCurve)]
    if not rate_curves:
        return NoCurve("the fit did not settle on an upper limit")
    return min(rate_curves, key=lambda fit: fit.aicc)


def _fit(rearing: Rearing, *, with_m: bool) -> RateCurve | None:
    from scipy.optimize import curve_fit

    warmest = float(rearing.temperature.max())
    first = threshold_line(rearing, resamples=0).lower.value
    start = [_scale(rearing, first, warmest + 3.0), min(first, 20.0), warmest + 3.0]
    low, high = [0.0, -10.0, warmest - 5.0], [np.inf, 25.0, warmest + 25.0]
    if with_m:
        start, low, high = [*start, 2.0], [*low, 1.0], [*high, 20.0]
    curve: Callable[..., Array] = briere
    try:
        best, covariance = curve_fit(
            curve, rearing.temperature, rearing.rate, p0=start, bounds=(low, high),
            sigma=1.0 / np.sqrt(rearing.weight), x_scale=[max(start[0], 1e-9), *start[1:]],
            max_nfev=4000,
        )  # fmt: skip
    except RuntimeError:  # no convergence: said by the caller
        return None
    errors = np.sqrt(np.diag(covariance))
    if not np.all(np.isfinite(errors)) or best[2] > high[2] - 0.1:
        return None
    lower, upper = float(best[1]), float(best[2])
    optimum = briere_optimum(lower, upper, *map(float, best[3:]))
    fastest, _ = fastest_group(rearing)
    between = _between_jars(rearing, upper)
    return RateCurve(
        name=f"Brière, {len(best)} numbers",
        lower=lower,
        optimum=optimum if optimum >= fastest else float("nan"),
        upper=upper,
        lower_error=float(errors[1]),
        upper_error=float("nan") if between else float(errors[2]),
        parameters=tuple(map(float, best)),
        aicc=_aicc(rearing, curve(rearing.temperature, *best), len(best)),
        fastest=fastest,
        upper_between=between,
    )


def _between_jars(rearing: Rearing, upper: float) -> tuple[float, float] | None:
    """Warmest jar that finished and the next, where the limit found is a jar's own temperature."""
    if np.abs(rearing.temperature - upper).min() > _AT_A_JAR:
        return None
    finished = float(rearing.temperature[np.isfinite(rearing.days)].max())
    beyond = rearing.temperature[rearing.temperature > finished]
    return finished, float(beyond.min()) if beyond.size else np.inf


def _scale(rearing: Rearing, lower: float, upper: float) -> float:
    shape = briere(rearing.temperature, 1.0, lower, upper)
    return float(rearing.rate.max() / shape.max())


def _aicc(rearing: Rearing, fitted: Array, numbers: int) -> float:
    lost = (rearing.rate - fitted) ** 2 @ rearing.weight / rearing.weight.sum()
    jars, k = len(rearing), numbers + 1
    if jars <= k + 1:
        return float("inf")
    return float(jars * np.log(lost) + 2 * k + 2 * k * (k + 1) / (jars - k - 1))
