"""The door to the network: weather stations and forecasts, cached, safe when the network is not.

=====================  ============================================================================
``services``           addresses, and how long we wait
``transport``          one request under one deadline, headers and body together
``session``            the one HTTP cache: checked before kept, stale before nothing
``trouble``            what went wrong, and the three parts in which it is said
``mirror``             a folder the meteostat library reads instead of the network
``station_list``       the list of stations, and which are near
``station_days``       days of a station (Meteostat), by way of a mirror of year files
``forecast_days``      Open-Meteo: sixteen days ahead, three months back
``archive_days``       Open-Meteo: modelled weather since 1950, where no station is near
``weather_service``    forecast of the US National Weather Service
``climate_data``       century-long US station records (NCEI)
``open_meteo``         what these two have in common
``modelled``           what answers of all models have in common
``plausible``          what can be a temperature in °C
``joining``            history, recent days and forecast put together, each day one source's word
=====================  ============================================================================

Each source has one verb, ``daily(where, first, last, session) -> Sourced``. Only
``gddcast weather fetch`` and ``gddcast weather stations`` come through here.
"""
