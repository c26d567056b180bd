"""Heat, running sum and goals of seasons in one pass over the days, compiled by Numba.

The same sentence as in `gddcast.heat.daily`, a tile of pixels at a time: a day's temperatures are
loaded, their heat is counted in the precision they came in, and added to a sum in double precision.
What decides between methods is the same for the whole tile, so the loops over its pixels have no
branches and the processor takes many pixels at once.

With d = 1 − y every curve of the garden is W·g = W·d × what is left of it, and W·d is the distance
of a level from the day's nearer extreme: no digit is lost where they meet. The sine's g/d^1.5 is so
smooth that a polynomial of degree 6 holds g to 1e-9 on the whole of 0 … 1, and the square root is
the only one.
"""
# mypy: disable-error-code="no-untyped-def, untyped-decorator, no-untyped-call"

from __future__ import annotations

import numba
import numpy as np

#: Day shapes and cut-offs by the place they have in these.
SHAPES = ("floor the mean", "floor the readings", "single triangle", "single sine")
CUTOFFS = ("none", "horizontal", "intermediate", "vertical", "cap the readings")
_MEAN, _READINGS, _TRIANGLE, _SINE = range(4)
_NONE, _HORIZONTAL, _INTERMEDIATE, _VERTICAL, _CAP = range(5)

# Pixels a tile holds: few enough for the processor's first cache.
_TILE = 512
# A reading and a threshold no further apart are one number, as in `gddcast.heat.daily`.
_TIE = 1e-9
# How often it is asked whether a whole tile has passed its last goal. [d]
_ASK = 8

# A pixel's answer does not depend on its neighbours: arithmetic is left as it is written, and only
# the order in which pixels are counted is the compiler's.
_kernel = numba.njit(cache=True, nogil=True, error_model="numpy")
_part = numba.njit(nogil=True, error_model="numpy")
_count = numba.njit(nogil=True, fastmath={"reassoc", "nsz"}, error_model="numpy")


@_part
def _arccos(y, kind):
    """Angle of a cosine from 0 to 1, over √(1 − y), to 2.2e-8.

    Abramowitz & Stegun (1964), Handbook of Mathematical Functions, 4.4.46, p. 81.
    """
    p = kind(-0.0012624911)
    p = p * y + kind(0.0066700901)
    p = p * y - kind(0.0170881256)
    p = p * y + kind(0.0308918810)
    p = p * y - kind(0.0501743046)
    p = p * y + kind(0.0889789874)
    p = p * y - kind(0.2145988016)
    return p * y + kind(1.5707963050)


@_part
def _sine(d, kind):
    """g/√(d³) of the sine: our own fit, |g error| < 1e-9, held against arccos by the tests."""
    p = kind(1.0334678e-04)
    p = p * d - kind(1.5465252e-04)
    p = p * d + kind(3.6877471e-04)
    p = p * d + kind(4.3991063e-04)
    p = p * d + kind(2.44657607e-03)
    p = p * d + kind(1.500022822e-02)
    return p * d + kind(3.0010570134e-01)


@_part
def _inside(low, high, level, zero):
    """W·d: how far a level lies inside a day, from its nearer extreme; zero where it is outside."""
    inside = min(level - low, high - level)
    return inside if inside > zero else zero


@_part
def _left(low, high, inside, zero):
    """What d = 1 − y is, with y = |M − c|/W held at 1."""
    return (inside + inside) / (high - low) if inside > zero else zero


@_part
def _add_excess(heat, low, high, level, weight, shape, width, kind):
    """Add ``weight`` × A(level) of each day."""
    zero, half, whole = kind(0.0), kind(0.5) * kind(weight), kind(weight)
    quarter = half * kind(0.5)
    c = kind(level)
    if shape == _MEAN:
        for i in range(width):
            heat[i] += half * max(low[i] + high[i] - (c + c), zero)
    elif shape == _READINGS:
        for i in range(width):
            inside = _inside(low[i], high[i], c, zero)
            heat[i] += half * (max(low[i] + high[i] - (c + c), zero) + inside)
    elif shape == _TRIANGLE:
        for i in range(width):
            inside = _inside(low[i], high[i], c, zero)
            curve = quarter * inside * _left(low[i], high[i], inside, zero)
            heat[i] += half * max(low[i] + high[i] - (c + c), zero) + curve
    else:
        for i in range(width):
            inside = _inside(low[i], high[i], c, zero)
            d = _left(low[i], high[i], inside, zero)
            curve = whole * inside * np.sqrt(d) * _sine(d, kind)
            heat[i] += half * max(low[i] + high[i] - (c + c), zero) + curve


@_part
def _add_share(heat, low, high, level, weight, shape, width, kind):
    """Add ``weight`` × F(level), the share of each day spent above a level.

    Distances are taken in double precision: where an extreme comes to the level, a share changes
    with their last digit. What is made of them is not as touchy.
    """
    whole, half, one, zero = kind(weight), kind(0.5), kind(1.0), kind(0.0)
    tie, edge = kind(-_TIE), kind(0.5 * _TIE)
    for i in range(width):
        below, above = level - np.float64(low[i]), np.float64(high[i]) - level
        inside, up = kind(min(below, above)), kind(above - below)
        part = one if up >= tie else zero
        if shape != _MEAN:
            d = _left(low[i], high[i], inside, zero)
            s = half
            if shape == _TRIANGLE:
                s = half * d
            elif shape == _SINE:
                s = np.sqrt(d) * _arccos(one - d, kind) * kind(1.0 / np.pi)
            if inside > edge:
                part = one - s if up >= zero else s
        heat[i] += whole * part


@_part
def _add_day(heat, low, high, lower, upper, shape, cutoff, is_hot, width, kind):
    """Add the degree-days of each pixel's day: one line of A and F a cut-off."""
    _add_excess(heat, low, high, lower, 1.0, shape, width, kind)
    if not is_hot or cutoff in (_NONE, _CAP):
        return
    twice = 2.0 if cutoff == _INTERMEDIATE else 1.0
    _add_excess(heat, low, high, upper, -twice, shape, width, kind)
    if cutoff == _INTERMEDIATE:
        _add_excess(heat, low, high, 2.0 * upper - lower, 1.0, shape, width, kind)
    elif cutoff == _VERTICAL:
        _add_share(heat, low, high, upper, lower - upper, shape, width, kind)


@_part
def _load(into, stored, scale, shift, most, width):
    """Temperatures of a tile on one day in °C, no higher than ``most``."""
    for i in range(width):
        value = stored[i] * scale + shift
        into[i] = most if value > most else value


@_count
def _standing(low, high, night, halves, lower, upper, width, kind):
    """How many pixels' days count heat or are unknown, and how many come to ``upper``.

    Counted, not compared with a highest one: an unknown pixel cannot hide a hot one. In the
    temperatures' own kind, which the processor adds up many at a time.
    """
    zero, one = kind(0.0), kind(1.0)
    counting, hot = zero, zero
    for i in range(width):
        counting += zero if high[i] <= lower and high[i] >= low[i] else one
        hot += one if high[i] >= upper else zero
    if halves:
        for i in range(width):
            counting += zero if night[i] <= lower else one
            hot += one if night[i] >= upper else zero
    return counting, hot


@_count
def _sum_up(total, before, heat, low, high, night, halves, goal, width, kind):
    """Add a day's heat to the sums, NaN where it is unknown; how many come to ``goal``."""
    zero, unknown, part = kind(0.0), kind(np.nan), kind(0.5) if halves else kind(1.0)
    reached = 0.0
    for i in range(width):
        day = max(heat[i], zero) if high[i] >= low[i] else unknown
        if halves:
            day = day if night[i] == night[i] else unknown
        before[i] = total[i]
        total[i] += part * day
        reached += 1.0 if total[i] >= goal else 0.0
    return reached


@_count
def _count_from(total, goal, width):
    """How many sums have come to a goal."""
    reached = 0.0
    for i in range(width):
        reached += 1.0 if total[i] >= goal else 0.0
    return reached


@_count
def _count_below(total, goal, width):
    """How many sums, of those known, have not."""
    waiting = 0.0
    for i in range(width):
        waiting += 1.0 if total[i] < goal else 0.0
    return waiting


@_part
def _cross(time, before, total, goal, day, width):
    """Set the time of the pixels whose sum comes to a goal today."""
    for i in range(width):
        crosses = before[i] < goal and total[i] >= goal
        today = day + (goal - before[i]) / (total[i] - before[i])
        time[i] = today if crosses else time[i]


@_part
def _fill(values, value, width):
    for i in range(width):
        values[i] = value


@_kernel
def season_pass(
    tmin, tmax, scale, shift, lower, upper, shape, halves, cutoff, goals, first, end, whole,
    stop, times, totals,
):  # fmt: skip
    """Fill in when each pixel reaches each goal in each season, and its season's heat.

    Parameters
    ----------
    tmin, tmax : ndarray, shape (days, pixels)
        Temperatures as stored, single or double precision.
    scale, shift : scalar of that precision
        °C are ``scale`` × what is stored + ``shift``.
    lower, upper : float
        Thresholds; ``upper`` infinite where there is none. [°C]
    shape, cutoff : int
        Places in `SHAPES` and `CUTOFFS`.
    halves : bool
        Half a day with the next night's minimum.
    goals : ndarray, shape (goals,), rising
        [°C·d]
    first, end : ndarray of int, shape (seasons,)
        First day counted and the day after the last.
    whole : ndarray of bool, shape (seasons,)
        Whether the season ends there; else the record does.
    stop : bool
        Leave a season once its pixels have passed the last goal; ``totals`` then mean nothing.
    times : ndarray, shape (seasons, goals, pixels)
        Filled as by `gddcast.heat.thermal_time.day_reached`; NaN also where the record ended
        before an answer. [d]
    totals : ndarray, shape (seasons, pixels)
        Heat of the whole season; NaN where a day of it is unknown. [°C·d]
    """
    kind = tmin.dtype.type
    days, pixels = tmin.shape
    floats = np.empty((6, _TILE), tmin.dtype)
    low, high, night = floats[0], floats[1], floats[2]
    cool, warm, heat = floats[3], floats[4], floats[5]
    total, before = np.empty(_TILE, np.float64), np.empty(_TILE, np.float64)
    time = np.empty((goals.size, _TILE), np.float64)
    most = kind(upper if cutoff == _CAP else np.inf)
    cold, heated = kind(lower), kind(upper - (1e-5 if tmin.itemsize == 4 else _TIE))
    for start in range(0, pixels, _TILE):
        width = min(_TILE, pixels - start)
        for season in range(first.size):
            begin = first[season]
            _fill(total, 0.0, width)
            # Goals before ``passed`` lie behind every pixel whose sum is known, those from
            # ``ahead`` on before all of them.
            passed = 0
            for goal in range(goals.size):
                _fill(time[goal], np.inf if goals[goal] > 0.0 else 0.0, width)
                passed += goals[goal] <= 0.0
            ahead = passed
            if halves and begin < end[season]:
                _load(night, tmin[begin, start : start + width], scale, shift, most, width)
            for day in range(begin, end[season]):
                _load(high, tmax[day, start : start + width], scale, shift, most, width)
                if halves:
                    low, night = night, low
                    following = tmin[min(day + 1, days - 1), start : start + width]
                    _load(night, following, scale, shift, most, width)
                else:
                    _load(low, tmin[day, start : start + width], scale, shift, most, width)
                counting, hot = _standing(low, high, night, halves, cold, heated, width, kind)
                if counting == 0:
                    continue
                is_hot = hot > 0
                _fill(heat, kind(0.0), width)
                _add_day(heat, low, high, lower, upper, shape, cutoff, is_hot, width, kind)
                if halves:
                    # A night warmer than the day before it: the half day runs up, not down.
                    for i in range(width):
                        cool[i] = min(night[i], high[i])
                        warm[i] = max(night[i], high[i])
                    _add_day(heat, cool, warm, lower, upper, shape, cutoff, is_hot, width, kind)
                coming = goals[ahead] if ahead < goals.size else np.inf
                reached = _sum_up(
                    total, before, heat, low, high, night, halves, coming, width, kind
                )
                while reached > 0 and ahead < goals.size:
                    ahead += 1
                    if ahead < goals.size:
                        reached = _count_from(total, goals[ahead], width)
                for goal in range(passed, ahead):
                    _cross(time[goal], before, total, goals[goal], float(day - begin), width)
                if day % _ASK == 0:
                    while passed < goals.size and _count_below(total, goals[passed], width) == 0:
                        passed += 1
                    ahead = max(ahead, passed)
                    if passed == goals.size and (stop or _count_below(total, np.inf, width) == 0):
                        break
            for i in range(width):
                known = whole[season] and total[i] == total[i]
                totals[season, start + i] = total[i] if known else np.nan
                for goal in range(goals.size):
                    hidden = time[goal, i] == np.inf and not known
                    times[season, goal, start + i] = np.nan if hidden else time[goal, i]
