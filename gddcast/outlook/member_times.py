"""The years that are still to come: when each past season's weather brings each goal."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gddcast.heat.counting import Counting
from gddcast.outlook import spans
from gddcast.outlook.continuation import Continued, continued, first_days
from gddcast.outlook.ensemble import Climate, same_days, taken
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
    record : DailySeries
    now : SoFar
    ahead : Continued
        Counted from ``now.start``.
    forecast_days : int
        Forecast days used.
    holes : ndarray, shape (Y,)
        First unknown day of each since the start, on this season's calendar; +∞ for none.
    """

    climate: Climate
    record: DailySeries
    now: SoFar
    ahead: Continued
    forecast_days: int
    holes: Array

    def times(self, missing: Array) -> Array:
        """When each member has the heat still missing.

        Parameters
        ----------
        missing : ndarray, shape (goals,) or (Y, shifts, goals)
            [°C·d]

        Returns
        -------
        ndarray, shape (goals, Y, shifts)
            +∞ where the season ends before, NaN where an unknown day hides it. [d]
        """
        return np.moveaxis(self.ahead.times(missing[..., None, :])[:, :, 0], -1, 0)

    def usable(self, times: Array) -> NDArray[np.bool_]:
        """Which members tell a time, of shape (..., Y, shifts): no unknown day comes before it."""
        own = spans.unshifted(times)
        return np.asarray(~np.isnan(own) & (self.holes >= own))

    def why_not(self, past: Season) -> str:
        """Why a member tells no time."""
        run = first_run(_unknown(_known(self.record), self.record, past, self.now), past)
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
    first = first_days(climate, [now.last], said=said[:, None], errors=errors)
    known = _known(record)
    holes = [_first_unknown(_unknown(known, record, past, now)) for past in climate.members]
    return Members(
        climate, record, now, continued(first, counting, now.begin),
        int(np.count_nonzero(~np.isnan(said[0]))), np.array(holes),
    )  # fmt: skip


def _known(record: DailySeries) -> Array:
    return record.known.astype(np.float64)


def _first_unknown(holes: NDArray[np.bool_]) -> float:
    first = int(holes.argmax())
    return float(first) if holes[first] else np.inf


def _unknown(known: Array, record: DailySeries, past: Season, now: SoFar) -> NDArray[np.bool_]:
    """Days of ``past`` unknown since the start, on this season's calendar."""
    unknown = taken(known, same_days(record, past, now.season)) != 1.0
    unknown[: max(now.begin, 0)] = False
    return np.asarray(unknown)
