"""A stage counted in days from an earlier one, where no heat sum was published for it."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from gddcast.cards.model import Days


@dataclass(frozen=True, slots=True)
class DayCount:
    """Printed days, run from the days on which the earlier stage begins.

    Parameters
    ----------
    printed : Days
    begins : tuple of datetime.date or None
        First and last day on which the earlier stage may begin. No first day where a find has no
        clean look before it, no last day where in some years it does not come.
    by_find : bool, default: True
        Whether a person's entry says so, not a date of the earlier stage.

    Examples
    --------
    >>> from gddcast.cards.model import Start
    >>> hatch = Days((3.0, 7.0), Start(event="eggs"), "x", "seen")
    >>> counted = DayCount(hatch, (dt.date(2026, 6, 7), dt.date(2026, 6, 8)))
    >>> str(counted.earliest), str(counted.latest)
    ('2026-06-10', '2026-06-15')
    """

    printed: Days
    begins: tuple[dt.date | None, dt.date | None]
    by_find: bool = True

    @property
    def earliest(self) -> dt.date | None:
        """First day by the fewest days."""
        first = self.begins[0]
        return None if first is None else first + dt.timedelta(days=round(self.printed.days[0]))

    @property
    def latest(self) -> dt.date | None:
        """Last day by the most days."""
        last = self.begins[1]
        return None if last is None else last + dt.timedelta(days=round(self.printed.days[1]))

    def opens(self, lead_days: int) -> dt.date | None:
        """Day to start looking; at once where the earlier stage may be older than its find."""
        if self.earliest is None:
            return self.begins[1]
        return self.earliest - dt.timedelta(days=lead_days)
