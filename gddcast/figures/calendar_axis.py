"""Days of any season on one axis: by month and day, so that 1 June stands at one place."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from gddcast import words
from gddcast.weather.series import season_of

if TYPE_CHECKING:
    from matplotlib.axis import Axis

_MONTHS_FROM = 100  # an axis longer than this many days is labelled by months
_STEPS = (1, 2, 3, 4, 5, 7, 10, 14, 20, 30)


class Calendar:
    """Places of days on an axis of one season.

    Seasons are laid on each other by calendar day; 29 February has a place of its own, which
    stays empty in common years.

    Parameters
    ----------
    begins : (int, int), default: 1 January
        Month and day on which seasons begin.

    Examples
    --------
    >>> calendar = Calendar()
    >>> calendar.at(dt.date(2025, 3, 1)), calendar.at(dt.date(2024, 3, 1))
    (60, 60)
    """

    def __init__(self, begins: tuple[int, int] = (1, 1)) -> None:
        # A season that holds a 29 February.
        self._season = season_of(dt.date(2024, 2, 29), begins)

    def at(self, day: dt.date) -> int:
        """Days from the season's first day to this one."""
        return (self._season.on(day.month, day.day) - self._season.first).days

    def day(self, at: float) -> dt.date:
        """Some day at that place; its year says nothing."""
        return self._season.first + dt.timedelta(days=int(at))

    @property
    def days(self) -> int:
        """Length of the axis."""
        return self._season.days

    def label(self, axis: Axis, first: float, last: float, *, room: int) -> None:
        """Set limits and at most ``room`` labels: months, or days where there are few of them."""
        if last - first > _MONTHS_FROM:
            places = [at for at in range(int(first), int(last) + 1) if self.day(at).day == 1]
            places = places[:: -(-len(places) // room)]
            labels = [words.month(self.day(place).month)[:3] for place in places]
        else:
            places = days_between(int(first), int(last), room)
            labels = [words.day(self.day(place), weekday=False) for place in places]
        axis.set_ticks(places, labels)
        limit = axis.axes.set_xlim if axis is axis.axes.xaxis else axis.axes.set_ylim
        limit(first, last)


def days_between(first: int, last: int, room: int) -> list[int]:
    """Evenly spaced whole days of a range, at most ``room`` of them.

    Examples
    --------
    >>> days_between(3, 31, 5)
    [3, 10, 17, 24, 31]
    """
    step = next((step for step in _STEPS if (last - first) // step < room), _STEPS[-1])
    return list(range(first, last + 1, step))
