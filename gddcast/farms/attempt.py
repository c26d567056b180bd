"""One farm is tried; whatever it raises is its own and stops no other."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from gddcast.errors import Refusal
from gddcast.farms.farm import Farm

Answer = TypeVar("Answer")


def attempt(farm: Farm, work: Callable[[], Answer]) -> Answer | Refusal:
    """What a work on one farm gives, or why it can't; only Ctrl-C passes.

    Examples
    --------
    >>> from gddcast.weather.series import Place
    >>> attempt(Farm("Brook", Place("Brook"), "brook.csv"), lambda: 1 / 0).problem
    'a fault of gddcast: ZeroDivisionError, division by zero'
    """
    try:
        if farm.fault is not None:
            return farm.fault
        return work()
    except Refusal as refusal:
        return refusal
    except Exception as fault:
        return Refusal(
            farm.file, f"a fault of gddcast: {type(fault).__name__}, {fault}",
            "It is not yours; every other farm is answered.",
            "To see where, set GDDCAST_DEBUG=1 and read this farm alone.", slug="our-fault",
        )  # fmt: skip
