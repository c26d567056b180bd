"""Day shapes × upper cut-offs → the degree-days of each day.

Every daily method says how the day's temperature is spread between its minimum *n* and maximum
*x*. With ``M = (n + x)/2``, ``W = (x − n)/2`` and ``y = |M − c|/W`` (held at 1; 1 where ``W = 0``)

    A(c) = max(M − c, 0) + W·g(y)        mean excess of the day above any level c
    F(c) = 1 − s(y) if M ≥ c else s(y)   share of the day spent above it, s = −g′

so a *day shape* is one function g, and an *upper cut-off* is one line of A and F. There are no
cases to get wrong: all six positions of a day against two thresholds are the same expression.

Arrays in, arrays out: the last axis is always days, thresholds share the scale of the
temperatures, the result is in that scale, and an unknown or impossible day is NaN, never zero.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gddcast.errors import ArgumentRefusal

Array = NDArray[np.float64]
Level = float | Array
#: A(c) or F(c) of a block of days.
OfLevel = Callable[[Level], Array]

_Method = TypeVar("_Method")

# A reading and a threshold no further apart are one number: 20.1 °C is not 68.18 °F to the last
# binary digit. Only a vertical cut-off can tell.
_TIE = 1e-9

# Values a block holds: few enough for the processor's cache, enough to forget the loop.
_BLOCK = 65_536


@dataclass(frozen=True)
class Shape:
    """How a day's temperature is spread between its minimum and maximum.

    Parameters
    ----------
    name : str
        Trade name.
    g, s : callable or None
        Curve of the excess and its slope's size, on 0…1; None where the whole day is at its mean.
    halves : bool
        Half a day with tonight's minimum and half with tomorrow's.
    """

    name: str
    g: Callable[[Array], Array] | None
    s: Callable[[Array], Array] | None
    halves: bool = False


@dataclass(frozen=True)
class Cutoff:
    """What warmth above the upper threshold does.

    Parameters
    ----------
    name : str
        Trade name.
    rule : callable or None
        ``rule(A, F, lower, upper)``: degree-days to take away from A(lower).
    caps_readings : bool
        Minimum and maximum are lowered to the upper threshold before anything else.
    """

    name: str
    rule: Callable[[OfLevel, OfLevel, Level, Level], Array] | None
    caps_readings: bool = False


def _sine_share(y: Array) -> Array:
    return np.arccos(y) / np.pi


def _sine_excess(y: Array) -> Array:
    # (1 − y)(1 + y) keeps the digits that 1 − y² loses near y = 1; in place, for the cache.
    height = 1.0 - y
    height *= 1.0 + y
    np.sqrt(height, out=height)
    angle = np.arccos(y)
    angle *= y
    height -= angle
    height /= np.pi
    return height


def _triangle_share(y: Array) -> Array:
    return (1.0 - y) / 2.0


def _triangle_excess(y: Array) -> Array:
    return (1.0 - y) ** 2 / 4.0


def _readings_share(y: Array) -> Array:
    return np.where(y < 1.0, 0.5, 0.0)


def _readings_excess(y: Array) -> Array:
    return (1.0 - y) / 2.0


#: All day at the mean of minimum and maximum; negative days count nothing.
#: McMaster & Wilhelm (1997), Agric. For. Meteorol. 87, 291-300, interpretation 1.
floor_the_mean = Shape("floor the mean", None, None)
#: Half the day at the minimum and half at the maximum, each floored at the threshold.
#: McMaster & Wilhelm (1997), interpretation 2; with 50/86 °F horizontal, the rule for maize.
floor_the_readings = Shape("floor the readings", _readings_excess, _readings_share)
#: Straight up and straight down. Lindsey & Newman (1956); Zalom et al. (1983) (from memory).
single_triangle = Shape("single triangle", _triangle_excess, _triangle_share)
#: One sine wave through the extremes. Baskerville & Emin (1969), Ecology 50, 514-517.
single_sine = Shape("single sine", _sine_excess, _sine_share)
#: Half a triangle with this night's minimum, half with the next night's.
double_triangle = Shape("double triangle", _triangle_excess, _triangle_share, halves=True)
#: Half a sine with this night's minimum, half with the next's. Allen (1976), Environ. Entomol. 5.
double_sine = Shape("double sine", _sine_excess, _sine_share, halves=True)

#: Every day shape by its trade name.
SHAPES = {
    shape.name: shape
    for shape in (
        floor_the_mean,
        floor_the_readings,
        single_triangle,
        single_sine,
        double_triangle,
        double_sine,
    )
}


def _level_off(excess: OfLevel, _share: OfLevel, _lower: Level, upper: Level) -> Array:
    return excess(upper)


def _slow(excess: OfLevel, _share: OfLevel, lower: Level, upper: Level) -> Array:
    return 2.0 * excess(upper) - excess(2.0 * upper - lower)


def _stop(excess: OfLevel, share: OfLevel, lower: Level, upper: Level) -> Array:
    above = share(upper)
    # No product where no time is spent above: an upper threshold of infinity must not give ∞·0.
    lost = np.zeros_like(above)
    np.multiply(np.subtract(upper, lower), above, out=lost, where=above != 0.0)
    return excess(upper) + lost


#: Warmth above the upper threshold counts in full.
no_cutoff = Cutoff("none", None)
#: Development levels off: warmth above the upper threshold adds nothing more.
horizontal = Cutoff("horizontal", _level_off)
#: Development slows: the rate falls as fast as it rose, never below zero.
intermediate = Cutoff("intermediate", _slow)
#: Development stops while it is at or above the upper threshold.
vertical = Cutoff("vertical", _stop)
#: Minimum and maximum are lowered to the upper threshold, then no cut-off.
cap_the_readings = Cutoff("cap the readings", None, caps_readings=True)

#: Every cut-off by its trade name.
CUTOFFS = {
    cutoff.name: cutoff
    for cutoff in (no_cutoff, horizontal, intermediate, vertical, cap_the_readings)
}


def shape_named(shape: Shape | str) -> Shape:
    """A day shape, also by its trade name; any other name is refused with the list.

    Examples
    --------
    >>> shape_named("single sine") is single_sine, shape_named("Double_Sine") is double_sine
    (True, True)
    """
    return shape if isinstance(shape, Shape) else _named("day shape", shape, SHAPES)


def cutoff_named(cutoff: Cutoff | str) -> Cutoff:
    """An upper cut-off, also by its trade name; any other name is refused with the list.

    Examples
    --------
    >>> cutoff_named("horizontal") is horizontal, cutoff_named("none") is no_cutoff
    (True, True)
    """
    return cutoff if isinstance(cutoff, Cutoff) else _named("cut-off", cutoff, CUTOFFS)


def _named(what: str, given: object, known: Mapping[str, _Method]) -> _Method:
    method = known.get(str(given).strip().lower().replace("_", " ").replace("-", " "))
    if method is None:
        raise ArgumentRefusal(
            f"the {what} {given!r}",
            "no method has that name",
            f"The names are: {', '.join(known)}.",
            "Write one of them.",
            slug="method-unknown",
        )
    return method


class _Block:
    """A(c) and F(c) of a block of days, in buffers that serve every block of a call in turn."""

    def __init__(self, shape: Shape) -> None:
        self.shape = shape
        self._floats = np.empty((5, _BLOCK))
        self._flags = np.empty(_BLOCK, dtype=bool)

    def load(self, tmin: Array, tmax: Array) -> None:
        """Take the days whose A(c) and F(c) are asked for next."""
        size = tmin.size
        self.total, self._span, self._above, self._distance, self._reach = self._floats[:, :size]
        self._crossed = self._flags[:size]
        np.add(tmin, tmax, out=self.total)
        if self.shape.g is not None:  # a day that is all at its mean has no curve to cross with
            np.subtract(tmax, tmin, out=self._span)
            np.subtract(self._span, _TIE, out=self._reach)

    def _crossing(self, level: Level) -> tuple[NDArray[np.intp], Array, Array]:
        # Only days whose curve crosses the level need the curve: the rest are rectangles.
        np.subtract(self.total, np.multiply(level, 2.0), out=self._above)
        np.abs(self._above, out=self._distance)
        np.less(self._distance, self._reach, out=self._crossed)
        where = np.flatnonzero(self._crossed)
        span, y = self._span.take(where), self._distance.take(where)
        y /= span
        return where, span, y

    def excess(self, level: Level, out: Array | None = None) -> Array:
        """A(c): mean excess of each day above ``level``, into ``out`` if given."""
        if self.shape.g is None:
            np.subtract(self.total, np.multiply(level, 2.0), out=self._above)
            heat = np.maximum(self._above, 0.0, out=out)
        else:
            where, span, y = self._crossing(level)
            heat = np.maximum(self._above, 0.0, out=out)
            span *= self.shape.g(y)
            span += heat.take(where)
            heat[where] = span
        heat *= 0.5
        return np.asarray(heat)

    def share(self, level: Level) -> Array:
        """F(c): share of each day spent above ``level``."""
        if self.shape.s is None:
            np.subtract(self.total, np.multiply(level, 2.0), out=self._above)
            return np.where(np.isnan(self._above), np.nan, self._above >= -_TIE)
        where, _, y = self._crossing(level)
        part = np.where(np.isnan(self._above), np.nan, self._above >= -_TIE)
        curve = self.shape.s(y)
        part[where] = np.where(self._above[where] >= 0.0, 1.0 - curve, curve)
        return part


def _one_shape(
    block: _Block, tmin: Array, tmax: Array, lower: Level, upper: Level, cutoff: Cutoff, out: Array
) -> None:
    block.load(tmin, tmax)
    block.excess(lower, out)
    in_order = tmin <= tmax  # false of a NaN, which compares false with everything
    if not in_order.all():
        out[~in_order] = np.nan
    if cutoff.rule is None:
        return
    # Few days are hot: only those are touched that come to the upper threshold, by their maximum,
    # or by the mean where that is all that counts.
    warmest, level = (tmax, upper) if block.shape.g else (block.total, np.multiply(upper, 2.0))
    hot = np.flatnonzero(warmest >= level - _TIE)
    if hot.size:
        lower, upper = _of_days(lower, hot), _of_days(upper, hot)
        block.load(tmin.take(hot), tmax.take(hot))
        heat = out.take(hot) - cutoff.rule(block.excess, block.share, lower, upper)
        out[hot] = np.maximum(heat, 0.0)


def _of_days(level: Level, days: NDArray[np.intp]) -> Level:
    return level.take(days) if isinstance(level, np.ndarray) else level


def _both_halves(
    block: _Block, tmin: Array, tmax: Array, following: Array,
    lower: Level, upper: Level, cutoff: Cutoff, out: Array,
) -> None:  # fmt: skip
    """Half a day from tonight's minimum and half to ``following``, the next night's."""
    _one_shape(block, tmin, tmax, lower, upper, cutoff, out)
    # A night warmer than the day before it: the half day runs up instead of down.
    low, high = np.minimum(following, tmax), np.maximum(following, tmax)
    second = np.empty_like(out)
    _one_shape(block, low, high, lower, upper, cutoff, second)
    out += second
    out *= 0.5


def _constant(level: Array, part: slice) -> Level:
    """One number where the iterator hands the same number over and over."""
    return float(level[0]) if level.strides == (0,) else level[part]


def _in_blocks(
    operands: list[NDArray[np.generic]], out: NDArray[np.floating], shape: Shape, cutoff: Cutoff
) -> None:
    """Fill ``out`` from [tmin, tmax, lower, upper] or [tmin, tmax, following, lower, upper]."""
    block = _Block(shape)
    # Arrays that already lie as the result does are cut into blocks where they are; the
    # iterator's buffers serve the rest: thresholds by row, turned axes, single precision.
    in_place = all(
        each.dtype == np.float64 and (each.ndim == 0 or each.flags.c_contiguous)
        and each.shape in ((), out.shape)
        for each in (*operands, out)
    )  # fmt: skip
    flags = ["external_loop", "zerosize_ok"] + ([] if in_place else ["buffered"])
    steps = np.nditer(  # type: ignore[call-overload]  # the stubs know no list of flags
        [*operands, out],
        flags=flags,
        op_flags=[*[["readonly"]] * len(operands), ["writeonly"]],
        op_dtypes=[np.float64] * (len(operands) + 1),
        casting="same_kind",
        order="C",
        buffersize=_BLOCK,
    )
    with steps:
        for *readings, lower, upper, heat in steps:
            for start in range(0, heat.size, _BLOCK):
                part = slice(start, start + _BLOCK)
                low, high = _constant(lower, part), _constant(upper, part)
                tmin, tmax, *following = [each[part] for each in readings]
                if cutoff.caps_readings:
                    tmin, tmax, *following = [
                        np.minimum(each, high) for each in (tmin, tmax, *following)
                    ]
                if following:
                    _both_halves(block, tmin, tmax, following[0], low, high, cutoff, heat[part])
                else:
                    _one_shape(block, tmin, tmax, low, high, cutoff, heat[part])


def _thresholds(lower: ArrayLike, upper: ArrayLike) -> tuple[Array, Array]:
    low, high = np.asarray(lower, dtype=np.float64), np.asarray(upper, dtype=np.float64)
    if not np.all(low < high) or not np.all(np.isfinite(low)):
        raise ArgumentRefusal(
            "these thresholds",
            f"lower is {lower!r} and upper is {upper!r}",
            "The lower threshold is a number below the upper one.",
            "Check both against the source they come from.",
            slug="thresholds-crossed",
        )
    return low, high


def _result_type(*temperatures: NDArray[np.generic]) -> np.dtype[np.floating]:
    # Half and single precision come back as they went in; whole numbers become floats.
    found = np.result_type(*temperatures)
    return np.dtype(found if np.issubdtype(found, np.floating) else np.float64)


def degree_days(
    tmin: ArrayLike,
    tmax: ArrayLike,
    *,
    lower: ArrayLike,
    upper: ArrayLike = np.inf,
    shape: Shape | str = single_sine,
    cutoff: Cutoff | str = horizontal,
) -> NDArray[np.floating]:
    """Degree-days of each day from its minimum and maximum.

    Parameters
    ----------
    tmin, tmax : array_like, broadcastable, last axis days
        Lowest and highest air temperature of the day. [°C, or °F if the thresholds are]
    lower, upper : array_like, broadcastable
        Developmental thresholds, on the scale of the temperatures. [°C or °F]
    shape : Shape or str, default: single_sine
        How the day's temperature is spread between its extremes; also by name: ``"double sine"``.
    cutoff : Cutoff or str, default: horizontal
        What warmth above ``upper`` does.

    Returns
    -------
    ndarray, shape of the arguments broadcast together
        Heat units of each day, zero or more; NaN where a reading is missing or the minimum is
        above the maximum. Single precision in gives single precision out. [°C·d or °F·d]

    Raises
    ------
    ArgumentRefusal
        If a lower threshold is not below its upper one, or a name is of no method.

    Notes
    -----
    Double shapes give half the day the next night's minimum. The last day of the axis has none
    and uses its own; a missing one elsewhere makes the day NaN.

    References
    ----------
    Baskerville, G. L. and Emin, P. (1969). Rapid estimation of heat accumulation from maximum
    and minimum temperatures. Ecology 50, 514-517.
    Allen, J. C. (1976). A modified sine wave method for calculating degree days. Environmental
    Entomology 5, 388-396. doi 10.1093/ee/5.3.388 (upper threshold, half days).
    Zalom, F. G. et al. (1983). Degree-days: the calculation and use of heat units in pest
    management. UC Leaflet 21373 (cut-offs; from memory).

    Examples
    --------
    >>> degree_days([46.0, 60.0], [72.0, 85.0], lower=50.0).round(1)
    array([ 9.7, 22.5])
    >>> float(degree_days(60, 85, lower=50, upper=86, shape=floor_the_readings))
    22.5
    """
    shape, cutoff = shape_named(shape), cutoff_named(cutoff)
    low, high = np.asarray(tmin), np.asarray(tmax)
    lower, upper = _thresholds(lower, upper)
    out = np.empty(
        np.broadcast_shapes(low.shape, high.shape, lower.shape, upper.shape),
        dtype=_result_type(low, high),
    )
    if not shape.halves or out.ndim == 0:
        _in_blocks([low, high, lower, upper], out, shape, cutoff)
        return out[()]
    low, high, lower, upper = (
        np.broadcast_to(each, out.shape) for each in (low, high, lower, upper)
    )
    earlier, last = (..., slice(None, -1)), (..., slice(-1, None))
    following = (..., slice(1, None))
    operands = [low[earlier], high[earlier], low[following], lower[earlier], upper[earlier]]
    _in_blocks(operands, out[earlier], shape, cutoff)
    _in_blocks([low[last], high[last], lower[last], upper[last]], out[last], shape, cutoff)
    return out


def hourly_degree_days(
    temperatures: ArrayLike,
    *,
    lower: float,
    upper: float = np.inf,
    cutoff: Cutoff | str = horizontal,
) -> NDArray[np.floating]:
    """Degree-days of each day from readings spaced evenly through it.

    Parameters
    ----------
    temperatures : array_like, shape (..., days, readings a day)
        Air temperature. [°C, or °F if the thresholds are]
    lower, upper : float
        Developmental thresholds. [°C or °F]
    cutoff : Cutoff or str, default: horizontal
        What warmth above ``upper`` does.

    Returns
    -------
    ndarray, shape (..., days)
        Heat units of each day; NaN where any reading of the day is missing. [°C·d or °F·d]

    Raises
    ------
    ArgumentRefusal
        If the lower threshold is not below the upper one.

    Examples
    --------
    >>> float(hourly_degree_days([10.0, 14.0, 18.0, 14.0], lower=12.0))
    2.5
    """
    cutoff = cutoff_named(cutoff)
    low, high = (float(level) for level in _thresholds(lower, upper))
    readings = np.asarray(temperatures)
    kind = _result_type(readings)
    readings = readings.astype(np.float64)
    if cutoff.caps_readings:
        readings = np.minimum(readings, high)
    heat = np.maximum(readings - low, 0.0)
    if cutoff.rule is not None and high != np.inf:
        heat -= cutoff.rule(
            lambda level: np.maximum(readings - level, 0.0),
            lambda level: np.where(np.isnan(readings), np.nan, (readings >= level - _TIE) * 1.0),
            low,
            high,
        )
    return np.asarray(heat.mean(axis=-1).astype(kind))[()]
