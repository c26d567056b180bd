"""The years that are still to come: when each past season's weather brings each goal."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gddcast.heat.counting import Counting
from gddcast.outlook.continuation import Continued, continued, first_days
from gddcast.outlook.ensemble import Climate
from gddcast.outlook.forecast import ForecastErrors
from gddcast.outlook.season_so_far import SoFar, first_run, forecast_behind
from gddcast.weather.series import DailySeries, Season

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Members:
    """Past seasons that continue one season from its last known day.

    Parameters
    ----------
    climate : Climate
        Of Y past seasons.
    now : SoFar
    ahead : Continued
        Counted from ``now.start``.
    forecast_days : int
        Forecast days used.
    holes : ndarray, shape (Y,)
        First unknown day of each since the start, on this season's calendar; +∞ for none.
    """

    climate: Climate
    now: SoFar
    ahead: Continued
    forecast_days: int
    holes: Array

    def times(self, missing: Array) -> Array:
        """When each member has the heat still missing.

        Parameters
        ----------
        missing : ndarray, shape (goals,) or (goals, Y, shifts)
            [°C·d]

        Returns
        -------
        ndarray, shape (goals, Y, shifts)
            +∞ where the season ends before, NaN where an unknown day hides it. [d]
        """
        return self.ahead.times(missing, np.zeros(len(missing), dtype=np.intp))

    def why_not(self, past: Season) -> str:
        """Why a member tells no time."""
        holes = self.climate.unknown(self.now.begin)[self.climate.members.index(past)]
        run = first_run(holes, past)
        if run is None:
            return "its days are not known"
        first, last = run
        if first == last:
            return f"{first.day} {first:%B} is unknown"
        return f"{first.day} {first:%B} to {last.day} {last:%B} are unknown"


def members_of(
    climate: Climate,
    record: DailySeries,
    counting: Counting,
    now: SoFar,
    errors: ForecastErrors | None,
) -> Members:
    """Continue the season so far with each past one's weather."""
    said = forecast_behind(record, now.through) if climate.steps.forecast else np.empty((2, 0))
    first = first_days(climate, [now.last], forecast=said[:, None], errors=errors)
    return Members(
        climate, now, continued(first, counting, now.begin),
        int(np.count_nonzero(~np.isnan(said[0]))), climate.first_unknown(now.begin),
    )  # fmt: skip
