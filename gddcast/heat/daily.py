"""Day shapes × upper cut-offs → the degree-days of each day.

Every daily method says how the day's temperature is spread between its minimum *n* and maximum
*x*. With ``M = (n + x)/2``, ``W = (x − n)/2`` and ``y = |M − c|/W`` (held at 1; 1 where ``W = 0``)

    A(c) = max(M − c, 0) + W·g(y)        mean excess of the day above any level c
    F(c) = 1 − s(y) if M ≥ c else s(y)   share of the day spent above it, s = −g′

so a day shape (`shapes`) is one function g, and an upper cut-off (`cutoffs`) is one line of A and
F. There are no
cases to get wrong: all six positions of a day against two thresholds are the same expression.

Arrays in, arrays out: the last axis is always days, thresholds share the scale of the
temperatures, the result is in that scale, and an unknown or impossible day is NaN, never zero.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gddcast.errors import ArgumentRefusal
from gddcast.heat.cutoffs import Cutoff, Level, cutoff_named, horizontal
from gddcast.heat.shapes import Array, Shape, shape_named, single_sine

# A reading and a threshold no further apart are one number: 20.1 °C is not 68.18 °F to the last
# binary digit. Only a vertical cut-off can tell.
_TIE = 1e-9

# Values a block holds: few enough for the processor's cache, enough to forget the loop.
_BLOCK = 65_536


class _Block:
    """A(c) and F(c) of a block of days, in buffers that serve every block of a call in turn."""

    def __init__(self, shape: Shape) -> None:
        self.shape = shape
        self._floats = np.empty((2 if shape.g is None else 5, _BLOCK))
        self._flags = np.empty(_BLOCK, dtype=bool)

    def load(self, tmin: Array, tmax: Array) -> None:
        """Take the days whose A(c) and F(c) are asked for next."""
        size = tmin.size
        self.total, self._above, *of_curve = self._floats[:, :size]
        np.add(tmin, tmax, out=self.total)
        if of_curve:  # a day that is all at its mean has none to cross with
            self._span, self._distance, self._reach = of_curve
            self._crossed = self._flags[:size]
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
    # Where all of a day is at its mean, heat levels off because that mean does: no day is hot.
    levels_off = block.shape.g is None and cutoff is horizontal
    if levels_off:
        np.minimum(block.total, np.multiply(upper, 2.0), out=block.total)
    block.excess(lower, out)
    is_day = tmin <= tmax  # false of a NaN, which compares false with everything
    if not is_day.all():
        out[~is_day] = np.nan
    if cutoff.rule is None or levels_off:
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


def in_order(lower: ArrayLike, upper: ArrayLike) -> tuple[Array, Array]:
    """Both thresholds as arrays, once each lower one is known to lie below its upper one."""
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
    >>> float(degree_days(60, 85, lower=50, upper=86, shape="floor the readings"))
    22.5
    """
    shape, cutoff = shape_named(shape), cutoff_named(cutoff)
    low, high = np.asarray(tmin), np.asarray(tmax)
    lower, upper = in_order(lower, upper)
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
    low, high = (float(level) for level in in_order(lower, upper))
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
