"""Grids and networks of temperatures: xarray in, heat and dates out, piece by piece on Dask.

``fields`` says what a dataset must say of its temperatures, ``calendars`` counts days and seasons
in any CF calendar, ``stages`` what of a card can be dated without finds; ``season_sums`` runs over
the days of a piece, by ``compiled`` where Numba is installed; ``stage_dates`` and ``daily_heat``
are the two answers, ``datasets`` puts the first in CF’s words; ``files`` opens and writes NetCDF
and Zarr.
"""

from __future__ import annotations

from gddcast.grid.daily_heat import degree_days
from gddcast.grid.files import open_grid, write_grid
from gddcast.grid.stage_dates import stage_days

__all__ = ["degree_days", "open_grid", "stage_days", "write_grid"]
