"""Grids made for tests: a continent's wave of temperatures, with what goes wrong planted in it."""

from __future__ import annotations

import numpy as np
import xarray as xr

from gddcast.weather.series import DailySeries

#: Planted pixels of `planted`: (lat, lon) positions.
OCEAN, HOLED, POLAR, TROPIC = (3, 0), (4, 1), (7, 2), (2, 2)
#: Where a day of HOLED is unknown.
HOLE = 540


def planted(
    years: int = 3, kind: str = "float32", units: str = "K", step: float = 0.25
) -> xr.Dataset:
    """Eight by three pixels of 0.25° about the equator; the last rows lie far north."""
    rng = np.random.default_rng(5)
    days = xr.date_range("2001-01-01", f"{2000 + years}-12-31")
    lat = np.array([-35.0, -35.0 + step, -0.125, 0.125, 44.0, 44.0 + step, 60.0, 60.0 + step])
    lon = 10.0 + step * np.arange(3)
    wave = np.cos((np.arange(days.size) - 20) * 2 * np.pi / 365.25)[:, None]
    swing = np.where(np.abs(lat) < 1, 1.0, 12.0) * np.sign(lat)
    mean = 24.0 - 0.3 * np.abs(lat) - swing * wave + rng.normal(0, 2.0, (days.size, lat.size))
    mean = mean[:, :, None] + rng.normal(0, 1.0, (days.size, lat.size, lon.size))
    half = np.abs(rng.normal(5.0, 1.5, mean.shape))
    mean[(slice(None), *OCEAN)] = np.nan
    mean[(slice(HOLE, HOLE + 1), *HOLED)] = np.nan
    mean[(slice(None), *POLAR)] -= 30.0
    scale, shift = {"K": (1.0, 273.15), "degC": (1.0, 0.0), "degF": (1.8, 32.0)}[units]
    dims = ("time", "lat", "lon")
    return xr.Dataset(
        {
            name: (dims, ((mean + sign * half) * scale + shift).astype(kind), {"units": units})
            for name, sign in (("tasmin", -1), ("tasmax", 1))
        },
        {
            "time": days,
            "lat": ("lat", lat, {"units": "degrees_north", "standard_name": "latitude"}),
            "lon": ("lon", lon, {"units": "degrees_east", "standard_name": "longitude"}),
        },
    )  # fmt: skip


def as_pixel(series: DailySeries, latitude: float) -> xr.Dataset:
    """A station's days as a network of one."""
    days = np.arange(series.tmin.size) + np.datetime64(series.first, "D")
    return xr.Dataset(
        {
            "tasmin": (("time", "station"), series.tmin[:, None], {"units": "degC"}),
            "tasmax": (("time", "station"), series.tmax[:, None], {"units": "degC"}),
        },
        {"time": days.astype("datetime64[ns]"), "lat": ("station", [latitude])},
    )
