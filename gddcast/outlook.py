"""Dates on which a goal may be reached: one dot a past year, spans, and the chance of it at all."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class YearDot:
    """When the goal is reached if the rest of the season runs like one past season.

    ``day`` is None where it is not reached before the season ends; ``time`` is then +∞.
    """

    season: str
    day: dt.date | None
    time: float  # days from the start of the season's first day
    heat: float  # where that season's sum ends. [°C·d]


@dataclass(frozen=True, slots=True)
class Outlook:
    """What past years make of this season's heat so far.

    Parameters
    ----------
    goal : float
        Heat wanted. [°C·d]
    heat : float
        Sum through ``through``; NaN where an unknown day hides it. [°C·d]
    through : datetime.date
        Last day the weather is known.
    reached : datetime.date or None
        Day on which the goal was reached, when that has happened.
    dots : tuple of YearDot
        One for each usable past season, earliest first; not reached last.
    left_out : tuple of (str, str)
        Past seasons not used, and why.
    unknown : tuple of (date, date) or None
        First run of unknown days between start and today: dates that cross it can't be said.
    spans : dict of float to (date, date or None)
        Calibrated central spans: 0.5, 0.8, 0.9. Shown in ``why``, JSON and ``backtest`` only.
    """

    goal: float
    heat: float
    through: dt.date
    reached: dt.date | None
    dots: tuple[YearDot, ...]
    left_out: tuple[tuple[str, str], ...] = ()
    unknown: tuple[dt.date, dt.date] | None = None
    spans: dict[float, tuple[dt.date, dt.date | None]] | None = None

    @property
    def days(self) -> tuple[dt.date, ...]:
        """Days of the past seasons that reached the goal, earliest first."""
        return tuple(dot.day for dot in self.dots if dot.day is not None)

    @property
    def fastest(self) -> dt.date | None:
        """Earliest dot."""
        return self.days[0] if self.days else None

    @property
    def slowest(self) -> dt.date | None:
        """Latest dot; None where any past season does not reach the goal."""
        return self.days[-1] if self.days and len(self.days) == len(self.dots) else None
