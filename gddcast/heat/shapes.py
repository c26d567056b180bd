"""Day shapes: how a day's temperature is spread between its minimum and its maximum.

A shape is one function g of ``y = |M − c|/W``: the mean excess of the day above a level c is
``max(M − c, 0) + W·g(y)``, with M the mean of the two readings and W half their range. Its slope's
size s is the share of the day above the level, or below it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from gddcast.errors import ArgumentRefusal

Array = NDArray[np.float64]
_Method = TypeVar("_Method")


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


def shape_named(shape: Shape | str) -> Shape:
    """A day shape, also by its trade name; any other name is refused with the list.

    Examples
    --------
    >>> shape_named("single sine") is single_sine, shape_named("Double_Sine") is double_sine
    (True, True)
    """
    return shape if isinstance(shape, Shape) else method_named("day shape", shape, SHAPES)


def method_named(what: str, given: object, known: Mapping[str, _Method]) -> _Method:
    """The shape or cut-off of a trade name, or the list of names."""
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
