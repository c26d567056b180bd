"""A place and its days of weather.

``series`` is the record: one minimum and maximum a day in °C, each day marked with its origin;
``calendar_day`` is which day a stamp or a text names. ``gaps`` patches unknown days and marks
them, ``normals`` knows the usual temperature of a calendar day and its warming, ``provenance``
which service each day came from, ``stations`` which weather station is nearest to a garden in more
than kilometres.
"""
