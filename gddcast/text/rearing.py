"""Thresholds found from rearing jars, as text: the pair, how far to trust it, what was left out."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from gddcast import words
from gddcast.rearing.curves import NoCurve, RateCurve
from gddcast.rearing.fit import Estimate, Rearing, ThresholdLine
from gddcast.rearing.orthogonal import SecondOpinion
from gddcast.units import fahrenheit, fahrenheit_days


def rate_text(
    rearing: Rearing, line: ThresholdLine, opinion: SecondOpinion, curve: RateCurve | NoCurve
) -> str:
    """All of it, for a terminal."""
    return "\n".join(_lines(rearing, line, opinion, curve))


def _lines(
    rearing: Rearing, line: ThresholdLine, opinion: SecondOpinion, curve: RateCurve | NoCurve
) -> Iterator[str]:
    weighed = "each weighs as many insects as it had" if rearing.n is not None else "each weighs 1"
    yield (
        f"{rearing.source}: {words.count(line.jars, 'jar')} of {len(rearing)} on the line; "
        f"{weighed}; the line explains {line.r_squared:.1%} of their rates."
    )
    lower, heat = line.lower, line.heat
    yield (
        f"  Lower threshold  {with_error(lower.value, lower.error, 2, 6)} °C       "
        f"({fahrenheit(lower.value):.1f} °F)"
    )
    yield (
        f"  Heat sum         {with_error(heat.value, heat.error, 1, 6)} °C-days  "
        f"({fahrenheit_days(heat.value):.0f} °F-days)"
    )
    yield f"  95 % intervals   {_interval(lower, 1, '°C')}; {_interval(heat, 0, '°C-days')}"
    yield f"  bootstrap        {_boot(lower, 1, '°C')}; {_boot(heat, 0, '°C-days')}"
    yield (
        f"  Second opinion   {with_error(opinion.lower, opinion.lower_error, 2, 6)} °C and "
        f"{with_error(opinion.heat, opinion.heat_error, 1)} °C-days (orthogonal line, Ikemoto & "
        "Takai 2000)"
    )
    yield "The two numbers of one fit stay together: never use one with another’s partner."
    for jar in line.left_out:
        took = f", {jar.days:.1f} days" if np.isfinite(jar.days) else ""
        yield f"  Left out: {jar.temperature:.1f} °C{took}: {jar.reason}."
    for note in (*curve_words(curve), *line.notes):
        yield f"  {note}"


def _interval(estimate: Estimate, digits: int, unit: str) -> str:
    return f"{ends(estimate.low, estimate.high, digits)} {unit}"


def ends(low: float, high: float, digits: int) -> str:
    """Both ends of an interval, either of which may lie below zero.

    Examples
    --------
    >>> ends(-1.06, 15.2, 1)
    '−1.1 to 15.2'
    """
    return f"{low:.{digits}f} to {high:.{digits}f}".replace("-", "−")


def _boot(estimate: Estimate, digits: int, unit: str) -> str:
    if np.isnan(estimate.boot_low):
        return f"needs four jars ({unit})"
    return f"{ends(estimate.boot_low, estimate.boot_high, digits)} {unit}"


def curve_words(curve: RateCurve | NoCurve) -> list[str]:
    """Optimum and upper limit, or why they can't be had."""
    if isinstance(curve, NoCurve):
        return [f"Optimum and upper limit can’t be said: {curve.reason}."]
    if np.isnan(curve.optimum):
        fastest = f"Optimum can’t be said: the jars at {curve.fastest:.1f} °C are faster than the "
        fastest += f"top of the curve ({curve.name})."
    else:
        fastest = f"Fastest near {curve.optimum:.1f} °C ({curve.name})."
    return [fastest, f"Upper limit: {_upper_words(curve)}."]


def _upper_words(curve: RateCurve) -> str:
    if curve.upper_between is None:
        return f"none develops above {with_error(curve.upper, curve.upper_error, 1)} °C"
    finished, beyond = curve.upper_between
    if np.isinf(beyond):
        return f"somewhere above {finished:.4g} °C; no warmer jar was tried"
    return f"somewhere between {finished:.4g} and {beyond:.4g} °C; no jar stood between"


def with_error(value: float, error: float, digits: int, width: int = 0) -> str:
    """A value with its standard error, which is left out where it rounds to nothing.

    Examples
    --------
    >>> with_error(7.1, 1.89, 2), with_error(33.0, 0.0001, 1)
    ('7.10 ± 1.89', '33.0')
    """
    rest = f"{error:.{digits}f}"
    return f"{value:{width}.{digits}f}" + (f" ± {rest}" if float(rest) else "")
