"""Invented rearing jars: drawn about a threshold and a heat sum that only the key tells."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gddcast.rearing.fit import Rearing, ThresholdLine, threshold_line
from gddcast.units import Unit, from_celsius, from_celsius_days, rounded, to_celsius

#: A jar too warm is slower than the line by this share of its rate, and its days scatter so.
_TOO_WARM, _SCATTER = 0.35, 0.02
_STEP_C, _JARS = 3.5, 6


@dataclass(frozen=True, slots=True)
class InventedJars:
    """A class's jars and their key.

    Parameters
    ----------
    seed : int
    unit : {"F", "C"}
        Of the temperatures as they are written.
    rows : tuple of (float, float, int)
        Temperature [°unit], days, insects that finished; the coolest jar first.
    lower, heat : float
        What the jars were drawn about. [°C, °C·d]
    """

    seed: int
    unit: Unit
    rows: tuple[tuple[float, float, int], ...]
    lower: float
    heat: float

    @property
    def rearing(self) -> Rearing:
        """The jars as they are fitted. [°C, d]"""
        temperature, days, count = zip(*self.rows, strict=True)
        celsius = [float(to_celsius(each, self.unit)) for each in temperature]
        return Rearing(celsius, days, count, f"jars {self.seed}")  # type: ignore[arg-type]

    @property
    def line(self) -> ThresholdLine:
        """What the class should find."""
        return threshold_line(self.rearing)

    @property
    def drawn_about(self) -> tuple[float, float]:
        """Lower threshold [°unit] and heat sum [°unit·d] behind the jars."""
        lower, heat = from_celsius(self.lower, self.unit), from_celsius_days(self.heat, self.unit)
        return float(lower), float(heat)


def invent_jars(seed: int, unit: Unit = "C") -> InventedJars:
    """Draw jars; the last one is too warm, and slower than the line through the others.

    Examples
    --------
    >>> jars = invent_jars(5)
    >>> [jar.temperature for jar in jars.line.left_out] == [jars.rows[-1][0]]
    True
    """
    rng = np.random.default_rng(seed)
    while True:
        lower, heat = float(rng.integers(12, 25)) / 2, float(rng.integers(16, 45)) * 10
        first = np.ceil(lower) + 5.0
        shown = [
            rounded(float(from_celsius(first + _STEP_C * jar, unit)), 1) for jar in range(_JARS + 1)
        ]
        celsius = np.array([float(to_celsius(each, unit)) for each in shown])
        rate = (celsius - lower) / heat * (1 + rng.normal(0.0, _SCATTER, celsius.size))
        rate[-1] *= 1 - _TOO_WARM
        counts = rng.integers(8, 31, size=celsius.size).tolist()
        days = [rounded(each, 1) for each in (1 / rate).tolist()]
        jars = InventedJars(seed, unit, tuple(zip(shown, days, counts, strict=True)), lower, heat)
        left_out = [jar.days for jar in jars.line.left_out]
        if left_out == days[-1:] and abs(jars.line.lower.value - lower) < 2.5:
            return jars
