"""°F at the door, °C inside; heat sums have no zero point, so they never lose a 32.

Nothing else in gddcast converts. The two kinds of quantity have functions of their own because
a heat sum is a difference of temperatures times days: 1,000 °F-days are 556 °C-days, not 538.
"""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING, Literal, TypeVar

from gddcast.errors import ArgumentRefusal

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

#: The two scales thermometers and bulletins use.
Unit = Literal["F", "C"]

# A number or an array of them: the type that goes in comes out.
Value = TypeVar("Value", float, "NDArray[np.float64]")

_F_PER_C = 9.0 / 5.0

_TEMPERATURE = re.compile(r"^\s*([+\-−]?\d+(?:[.,]\d+)?)\s*°?\s*([FfCc])\s*$")
_NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?", re.ASCII | re.IGNORECASE)


def celsius(fahrenheit: Value) -> Value:
    """Temperature in °F to °C.

    Examples
    --------
    >>> celsius(50.0)
    10.0
    """
    return (fahrenheit - 32.0) / _F_PER_C


def fahrenheit(celsius: Value) -> Value:
    """Temperature in °C to °F.

    Examples
    --------
    >>> fahrenheit(10.0)
    50.0
    """
    return celsius * _F_PER_C + 32.0


def celsius_days(fahrenheit_days: Value) -> Value:
    """Heat sum in °F·d to °C·d: a difference, so there is no 32 to subtract.

    Examples
    --------
    >>> celsius_days(360.0)
    200.0
    """
    return fahrenheit_days / _F_PER_C


def fahrenheit_days(celsius_days: Value) -> Value:
    """Heat sum in °C·d to °F·d.

    Examples
    --------
    >>> fahrenheit_days(200.0)
    360.0
    """
    return celsius_days * _F_PER_C


def known_unit(unit: str) -> Unit:
    """The scale a program names; another word is refused, never taken for °C.

    Raises
    ------
    ArgumentRefusal

    Examples
    --------
    >>> known_unit("F")
    'F'
    """
    if unit == "F" or unit == "C":
        return unit  # type: ignore[return-value]  # a plain str to the checker
    raise ArgumentRefusal(
        f"the unit {unit!r}", "it is no scale that is known here",
        "A table is in °F or °C; kelvin less 273.15 are °C.",
        'Write  unit="F"  or  unit="C".', slug="unit-unknown",
    )  # fmt: skip


def to_celsius(value: Value, unit: Unit) -> Value:
    """Temperature in ``unit`` to °C."""
    return celsius(value) if unit == "F" else value


def from_celsius(value: Value, unit: Unit) -> Value:
    """Temperature in °C to ``unit``."""
    return fahrenheit(value) if unit == "F" else value


def to_celsius_days(value: Value, unit: Unit) -> Value:
    """Heat sum, or a difference of temperatures, in ``unit`` to °C·d or °C."""
    return celsius_days(value) if unit == "F" else value


def from_celsius_days(value: Value, unit: Unit) -> Value:
    """Heat sum, or a difference of temperatures, in °C·d or °C to ``unit``."""
    return fahrenheit_days(value) if unit == "F" else value


def rounded(value: float, digits: int = 0) -> float:
    """A number rounded as people round: a half goes away from zero, on every surface.

    A reading that went from °F to °C and back misses its half by the last binary digit; it is
    still a half.

    Examples
    --------
    >>> rounded(20.5), rounded(21.5), rounded(-2.5), rounded(0.25, 1)
    (21.0, 22.0, -3.0, 0.3)
    """
    if not math.isfinite(value):
        return value
    size = 10.0**digits
    whole = math.floor(abs(value) * size + 0.5 + 1e-9) / size
    return math.copysign(whole, value) + 0.0


def temperature_named(text: str) -> tuple[float, Unit]:
    """Read a temperature that names its scale, such as ``50F`` or ``10 °C``.

    Returns
    -------
    value, unit : float, {"F", "C"}
        The number as written and its scale.

    Raises
    ------
    ArgumentRefusal
        If the scale is missing: a bare number never gets a guessed one.

    Examples
    --------
    >>> temperature_named("50F")
    (50.0, 'F')
    >>> temperature_named("10 °C")
    (10.0, 'C')
    """
    match = _TEMPERATURE.match(text)
    if match is None:
        raise ArgumentRefusal(
            f"the temperature '{text}'",
            "it doesn’t name its scale",
            "A temperature is a number and F or C, such as 50F or 10C.",
            "Write the F or C behind the number.",
            slug="unit-missing",
        )
    number = float(match[1].replace("−", "-").replace(",", "."))
    return number, "F" if match[2] in "Ff" else "C"


def number_in(cell: str) -> float:
    """A number as a table has it: plain digits, a point, a sign; nothing that only Python takes.

    Raises
    ------
    ValueError
        For everything else: an infinity spelled in digits, digits parted by _, other alphabets.

    Examples
    --------
    >>> number_in("-3.5")
    -3.5
    >>> number_in("1_0")
    Traceback (most recent call last):
    ValueError: could not convert to a number: '1_0'
    """
    text = cell.strip()
    number = float(text) if _NUMBER.fullmatch(text) else math.nan
    if not math.isfinite(number):
        raise ValueError(f"could not convert to a number: {cell!r}")
    return number
