"""The door to the network: weather stations and forecasts, cached, safe when the network is not.

=====================  ============================================================================
``services``           addresses, and how long we wait
``transport``          one request under one deadline, headers and body together
``session``            the one HTTP cache: checked before kept, stale before nothing
``trouble``            what went wrong, and the three parts in which it is said
``stations``           the list of stations: which are near, ranked by a rule that is explained
``station_days``       days of a station (Meteostat), by way of a mirror of year files
``open_meteo``         forecast, past days and gridded archive
``weather_service``    forecast of the US National Weather Service
``climate_data``       century-long US station records (NCEI)
``joining``            history, recent days and forecast put together, each day one source's word
=====================  ============================================================================

Each source has one verb, ``daily(where, first, last, session) -> Sourced``. Only
``gddcast weather fetch`` and ``gddcast weather stations`` come through here.
"""
