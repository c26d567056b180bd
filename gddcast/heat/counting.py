"""One way of counting heat: thresholds, day shape and cut-off, kept together so none is swapped.

Every sum can say what it is, and what stood in for something its source does not state.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from gddcast.cards.model import Number
from gddcast.errors import ArgumentRefusal, Refusal
from gddcast.heat.cutoffs import (
    CUTOFFS,
    Cutoff,
    cutoff_named,
    horizontal,
    no_cutoff,
)
from gddcast.heat.daily import degree_days
from gddcast.heat.shapes import (
    SHAPES,
    Shape,
    shape_named,
    single_sine,
)
from gddcast.weather.series import DailySeries, HasSeries, series_of

if TYPE_CHECKING:
    import pandas as pd

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Counting:
    """Thresholds in °C with the day shape and cut-off that belong to them.

    Parameters
    ----------
    lower, upper : float
        Developmental thresholds; ``upper`` is infinite where there is none. [°C]
    shape : Shape or str, default: single_sine
        Also by name: ``"double sine"``.
    cutoff : Cutoff or str, optional
        Default: horizontal where an upper threshold is given, as in `degree_days`; else none.
    stand_ins : tuple of str
        Fields the source does not state: single sine, no cut-off, no upper threshold stand in,
        and every date made with them says so.

    Examples
    --------
    >>> Counting(10, 30).cutoff.name, Counting(10).cutoff.name
    ('horizontal', 'none')
    """

    lower: float
    upper: float = np.inf
    shape: Shape = single_sine
    cutoff: Cutoff = None  # type: ignore[assignment]  # filled in __post_init__
    stand_ins: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        cutoff: Cutoff | str | None = self.cutoff
        if cutoff is None:
            cutoff = horizontal if self.upper < np.inf else no_cutoff
        object.__setattr__(self, "shape", shape_named(self.shape))
        object.__setattr__(self, "cutoff", cutoff_named(cutoff))

    def __repr__(self) -> str:
        limits = f"above {self.lower:g} °C"
        if self.upper < np.inf:
            limits += f", cut-off {self.cutoff.name} at {self.upper:g} °C"
        return f"<Counting {limits}, {self.shape.name}>"

    def to_frame(self) -> pd.DataFrame:
        """Table of one row: thresholds [°C], day shape, cut-off, and what stands in."""
        import pandas as pd

        row = {
            "lower": self.lower, "upper": self.upper, "shape": self.shape.name,
            "cutoff": self.cutoff.name, "stand_ins": ", ".join(self.stand_ins),
        }  # fmt: skip
        return pd.DataFrame([row])

    def daily(self, series: DailySeries | HasSeries) -> Array:
        """Degree-days of each day of a series. [°C·d]"""
        series = series_of(series)
        return self.heat(series.tmin, series.tmax)

    def heat(self, tmin: Array, tmax: Array) -> Array:
        """Degree-days of any array of days, last axis days. [°C·d]"""
        return np.asarray(
            degree_days(
                tmin, tmax,
                lower=self.lower, upper=self.upper, shape=self.shape, cutoff=self.cutoff,
            ),
            dtype=np.float64,
        )  # fmt: skip


def counting_wanted(given: object) -> Counting:
    """What a program gave as its counting; a card or a bare threshold is refused in words.

    Raises
    ------
    ArgumentRefusal
    """
    if isinstance(given, Counting):
        return given
    raise ArgumentRefusal(
        f"this {type(given).__name__}", "it is no Counting",
        "Thresholds, day shape and cut-off of a sum stand together in one.",
        "Make one:  gddcast.Counting(lower=10.0); of a card’s number:  gddcast.counting_of.",
        slug="counting-wanted",
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Overrule:
    """What a person puts in the place of the cards' method; every surface marks it.

    Parameters
    ----------
    shape, cutoff : Shape, Cutoff, optional
    start : (int, int), optional
        Month and day from which sums that start on a date are counted.
    """

    shape: Shape | None = None
    cutoff: Cutoff | None = None
    start: tuple[int, int] | None = None

    def counting(self, number: Number) -> Counting:
        """How a published number is counted by this person; see `counting_of`."""
        return counting_of(number, shape=self.shape, cutoff=self.cutoff)


#: Counted as published.
AS_PUBLISHED = Overrule()


def counting_of(
    number: Number, *, shape: Shape | None = None, cutoff: Cutoff | None = None
) -> Counting:
    """The counting a published number belongs to.

    Parameters
    ----------
    number : Number
        A number of a card.
    shape, cutoff : Shape, Cutoff, optional
        What a person overrules the card with.

    Raises
    ------
    Refusal
        If the number was not found on air temperatures, or states no lower threshold.
    """
    if number.of != "air":
        raise Refusal(
            f"the number {number.goal} found on {number.of}",
            "it does not belong to air temperatures",
            f"It was published for temperatures of {number.of}.",
            "Use another number of the card, or temperatures taken there.",
            slug="not-air",
        )
    if number.lower_c is None:
        raise Refusal(
            f"the number {number.goal} of {number.source}",
            "its lower threshold is not stated",
            "Heat can only be counted above a stated threshold.",
            "Use another number of the card.",
            slug="lower-not-stated",
        )
    upper = number.upper_c
    return Counting(
        lower=number.lower_c,
        upper=np.inf if upper is None else upper,
        shape=shape or SHAPES.get(number.shape or "", single_sine),
        cutoff=cutoff or CUTOFFS.get(number.cutoff or "", no_cutoff),
        stand_ins=number.not_stated,
    )
