"""Spans that hold what they say: which dates a share of the years to come will fall between."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

#: Shares of the central spans worked out.
SHARES = (0.5, 0.8, 0.9)
#: First and last end of each, as shares of the years.
EDGES = tuple(edge for share in SHARES for edge in (0.5 - share / 2.0, 0.5 + share / 2.0))
#: Years from which the members' own quantiles are trusted.
ENOUGH = 15
# Beyond so many days even many years are steadied: it gains 1 % there and nothing nearer.
_FAR = 30.0


def quantile(times: ArrayLike, share: ArrayLike, years: ArrayLike) -> Array:
    """Time by which a share of seasons like these has reached the goal.

    Parameters
    ----------
    times : array_like, shape (..., members)
        Times of the members; +∞ where not reached, NaN not counted. [d]
    share : array_like, shape (shares,)
        Wanted shares, 0…1.
    years : array_like of int, shape (...)
        Past seasons behind the members: a season shifted by days is no season more.

    Returns
    -------
    ndarray, shape (..., shares)

    Notes
    -----
    Of N + 1 seasons, this one included, none is special, so the level p is read at
    ``(p(N + 1) − 1/2)/N``, and there as Hazen (1914) plots: member i of M at ``(i − 1/2)/M``.
    The usual reading makes 80 % spans of 29 seasons that hold 75 % of the time.

    Examples
    --------
    >>> quantile([3.0, 1.0, 2.0], [0.5, 0.9], years=3)
    array([2., 3.])
    """
    ordered = np.sort(np.asarray(times, dtype=np.float64), axis=-1)
    count = np.count_nonzero(~np.isnan(ordered), axis=-1)[..., None]
    wanted = np.asarray(share, dtype=np.float64)
    seasons = np.maximum(np.asarray(years, dtype=np.float64), 1.0)[..., None]
    level = np.clip((wanted * (seasons + 1.0) - 0.5) / seasons, 0.0, 1.0)
    place = np.clip(level * count - 0.5, 0.0, np.maximum(count - 1.0, 0.0))
    below = place.astype(np.intp)
    part = place - below
    first = np.take_along_axis(ordered, below, axis=-1)
    second = np.take_along_axis(ordered, np.minimum(below + 1, count - 1), axis=-1)
    with np.errstate(invalid="ignore"):
        between = first + part * (second - first)
    return np.where((part == 0.0) | (first == second), first, between)


def unshifted(times: Array) -> Array:
    """Times of the past seasons themselves: the middle one of their shifts (last axis).

    A season's own date spreads as dates do; the median over its shifts spreads less, and dots
    made of such medians held 72 % within a week where they should hold 91.
    """
    return np.asarray(times[..., times.shape[-1] // 2])


def telling(times: Array, first_unknown: Array) -> NDArray[np.bool_]:
    """Which past seasons tell a time: their own is known, and no unknown day comes before it.

    Parameters
    ----------
    times : ndarray, shape (..., Y, shifts)
        NaN where an unknown day hides one. [d]
    first_unknown : ndarray, shape (Y,)
        First unknown day of each; +∞ for none. [d]
    """
    return np.asarray(first_unknown >= unshifted(times))  # never true of NaN


def inner_places(years: ArrayLike) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Places, the earliest being 0, of the first and the last inner one of so many sorted dots.

    A tenth of them is dropped at each end, one at least.

    Examples
    --------
    >>> [int(each) for each in inner_places(29)]
    [2, 26]
    """
    last = np.maximum(np.asarray(years, dtype=np.intp) - 1, 0)
    dropped = np.minimum(np.maximum(1, (last + 1) // 10), last)
    return dropped, last - dropped


def middle(times: Array) -> Array:
    """Median over the shifts (last axis) of the known times, the earlier of two middle ones."""
    ordered = np.sort(times, axis=-1)
    place = np.maximum(np.count_nonzero(~np.isnan(ordered), axis=-1) - 1, 0) // 2
    return np.take_along_axis(ordered, place[..., None], axis=-1)[..., 0]


def usual_width(
    lead: ArrayLike, spread: float, heat_a_day: ArrayLike, years: ArrayLike = ENOUGH
) -> Array:
    """Standard deviation a date usually has so many days ahead. [d]

    Parameters
    ----------
    lead : array_like
        Days from the last known day to the date. [d]
    spread : float
        Standard deviation of the daily mean temperature about normal. [°C]
    heat_a_day : array_like
        Mean heat of the days until then. [°C·d a day]
    years : array_like, default: 15
        Past seasons; with fewer the width is too generous close by, and is held back there.

    Notes
    -----
    Our own fit to stations in five countries; not published.
    """
    ahead = np.asarray(lead, dtype=np.float64)
    with np.errstate(divide="ignore", invalid="ignore"):
        walk = 0.75 * spread * np.sqrt(5.7 * ahead) / np.asarray(heat_a_day)
    width = np.fmin(0.4 + 9.0 * (1.0 - np.exp(-ahead / 27.0)), walk)
    held = np.select([ahead <= 7.0, ahead <= 14.0, ahead <= 30.0], [0.5, 0.7, 0.8], 1.0)
    return np.asarray(width * np.where(np.asarray(years) < ENOUGH, held, 1.0))


def shrunk(times: Array, usual: ArrayLike, share: ArrayLike) -> Array:
    """Student's t about the mean of few years, its width steadied by the usual one.

    Parameters
    ----------
    times : ndarray, shape (..., years, shifts)
        Finite for every season's own time; a season whose own is NaN is not counted. [d]
    usual : array_like, shape (...)
        From `usual_width`; worth four years. [d]
    share : array_like, shape (shares,)
        Wanted shares, 0…1.

    Returns
    -------
    ndarray, shape (..., shares)
        Time by which each share of seasons has reached the goal. [d]
    """
    from scipy.special import stdtrit

    own, steadied = unshifted(times), middle(times)
    known = ~np.isnan(own)
    count = np.maximum(np.count_nonzero(known, axis=-1), 1)
    # The shifts steady the centre; the seasons' own dates have the spread that dates have.
    steadied = np.where(np.isfinite(steadied), steadied, own)
    centre = np.where(known, steadied, 0.0).sum(axis=-1) / count
    mean = np.where(known, own, 0.0).sum(axis=-1) / count
    squares = np.where(known, own - mean[..., None], 0.0) ** 2
    variance = (4.0 * np.asarray(usual) ** 2 + squares.sum(axis=-1)) / (count + 3.0)
    scale = np.sqrt(variance * (1.0 + 1.0 / count))
    t = stdtrit((count + 3.0)[..., None], np.asarray(share, dtype=np.float64))
    return np.asarray(centre[..., None] + scale[..., None] * t)


def foretold(
    times: Array,
    share: ArrayLike,
    *,
    earliest: ArrayLike,
    needed: ArrayLike,
    spread: float,
    steady: bool = True,
    doubt: float = 0.0,
) -> Array:
    """Time by which each share of seasons like these reaches a goal.

    Parameters
    ----------
    times : ndarray, shape (..., years, shifts)
        +∞ where not reached; NaN not counted. [d]
    share : array_like, shape (shares,)
        Wanted shares, 0…1.
    earliest : array_like, shape (...)
        Start of the first day that is not known; nothing is foretold before it. [d]
    needed : array_like, shape (...)
        Heat still missing. [°C·d]
    spread : float
        Standard deviation of the daily mean temperature about normal. [°C]
    steady : bool, default: True
        Below 15 years, and beyond 30 days, use `shrunk` where every year reaches the goal.
    doubt : float, default: 0
        Standard deviation of the heat so far, where days of it were patched. [°C·d]

    Returns
    -------
    ndarray, shape (..., shares)
    """
    year = unshifted(times)
    known = ~np.isnan(year)
    count = np.count_nonzero(known, axis=-1)
    read = quantile(times.reshape(*times.shape[:-2], -1), share, count)
    begin = np.broadcast_to(np.asarray(earliest, dtype=np.float64), count.shape)
    missing = np.broadcast_to(np.asarray(needed, dtype=np.float64), count.shape)
    with np.errstate(invalid="ignore"):
        lead = np.where(known, year, 0.0).sum(axis=-1) / np.maximum(count, 1) - begin
    rough = ((count < ENOUGH) | (lead > _FAR)) & (count > 0) & np.isfinite(lead)
    if steady and rough.any():
        usual = usual_width(
            lead[rough], spread, missing[rough] / np.maximum(lead[rough], 1e-9), count[rough]
        )
        read[rough] = np.maximum(shrunk(times[rough], usual, share), begin[rough][..., None])
    if doubt > 0.0:
        comes = np.isfinite(year)
        days = np.where(comes, year, 0.0).sum(axis=-1) / np.maximum(comes.sum(axis=-1), 1) - begin
        pace = missing / np.maximum(days, 1.0)
        more = doubt / np.maximum(pace, 1e-9)
        read = np.maximum(_widened(read, share, more), begin[..., None])
    return read


def _widened(read: Array, share: ArrayLike, more: Array) -> Array:
    """Quantiles about their middle, with an independent normal error added. [d]"""
    from scipy.special import ndtri

    level = np.asarray(share, dtype=np.float64)
    centre = np.take(read, [int(np.argmin(np.abs(level - 0.5)))], axis=-1)
    with np.errstate(invalid="ignore"):
        apart = np.hypot(read - centre, ndtri(level) * more[..., None])
        wider = centre + np.sign(level - 0.5) * apart
    return np.where(np.isfinite(read), wider, read)
