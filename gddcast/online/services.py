"""Addresses of the weather services, and how long we wait for them."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Services:
    """Addresses. A farm that keeps a mirror, or a test, gives its own.

    Parameters
    ----------
    station_years : str
        With ``{year}`` and ``{station}``.
    station_list : str
        SQLite file of all stations.
    forecast, archive : str
        Open-Meteo.
    weather_service : str
        US National Weather Service.
    climate_data : str
        NCEI access service.
    """

    station_years: str = "https://data.meteostat.net/daily/{year}/{station}.csv.gz"
    station_list: str = "https://data.meteostat.net/stations.db"
    forecast: str = "https://api.open-meteo.com/v1/forecast"
    archive: str = "https://archive-api.open-meteo.com/v1/archive"
    weather_service: str = "https://api.weather.gov"
    climate_data: str = "https://www.ncei.noaa.gov/access/services/data/v1"

    @classmethod
    def behind(cls, address: str) -> Services:
        """All services behind one address.

        Examples
        --------
        >>> Services.behind("http://127.0.0.1:8000").archive
        'http://127.0.0.1:8000/v1/archive'
        """
        base = address.rstrip("/")
        return cls(
            station_years=base + "/daily/{year}/{station}.csv.gz",
            station_list=base + "/stations.db",
            forecast=base + "/v1/forecast",
            archive=base + "/v1/archive",
            weather_service=base,
            climate_data=base + "/access/services/data/v1",
        )


@dataclass(frozen=True, slots=True)
class Patience:
    """How long and how much we take from a service. Seconds.

    Parameters
    ----------
    connect : float
        Until the service picks up.
    silence : float
        Between two pieces of its answer.
    whole : float
        For name look-up, headers and body together: a slow drip ends here.
    whole_list : float
        The same for the station list, 20 MB.
    retry : float
        Longest ``Retry-After`` we sit out.
    largest : int
        Largest answer taken. [bytes]
    """

    connect: float = 6.0
    silence: float = 12.0
    whole: float = 40.0
    whole_list: float = 240.0
    retry: float = 5.0
    largest: int = 100_000_000
