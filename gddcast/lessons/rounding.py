"""How a lesson rounds: as people do, and so far that published examples can be seen again.

One decimal in °F-days, two in °C-days, which are 9/5 as large: published examples of 0.47 and
0.29 °C-days would both be 0.3 and 0.5 without.
"""

from __future__ import annotations

from gddcast.units import Unit, rounded

#: Decimals of a day's heat and of a total.
DIGITS: dict[Unit, int] = {"F": 1, "C": 2}
_NUMBER = {1: "one decimal", 2: "two decimals"}


def heat_rounded(heat: float, unit: Unit) -> float:
    """A heat sum as a lesson prints it; a half goes up. [°unit·d]"""
    return rounded(heat, DIGITS[unit])


def heat_shown(heat: float, unit: Unit) -> str:
    """The same as text.

    Examples
    --------
    >>> heat_shown(9.25, "F"), heat_shown(0.47, "C"), heat_shown(-2.0, "F")
    ('9.3', '0.47', '−2.0')
    """
    return f"{heat_rounded(heat, unit):.{DIGITS[unit]}f}".replace("-", "−")


def rounding_rule(unit: Unit) -> str:
    """The one rounding rule of every sheet."""
    return (
        f"Keep every digit on the way; round only the answer, to {_NUMBER[DIGITS[unit]]}, "
        "a 5 upwards."
    )
