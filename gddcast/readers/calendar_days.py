"""Days of the calendar from columns of whole numbers; NaT where there is no such day."""

from __future__ import annotations

import numpy as np

from gddcast.readers.reading import Days, Integers


def calendar_days(year: Integers, month: Integers, day: Integers) -> Days:
    """Days of year, month and day; NaT where there is no such day.

    Examples
    --------
    >>> calendar_days(np.array([2024, 2023]), np.array([2, 2]), np.array([29, 29]))
    array(['2024-02-29',        'NaT'], dtype='datetime64[D]')
    """
    sound = (month >= 1) & (month <= 12) & (day >= 1) & (day <= 31) & (year >= 1) & (year <= 9999)
    months = (np.where(sound, year, 2000) - 1970) * 12 + np.where(sound, month, 1) - 1
    begins = months.astype("datetime64[M]")
    days: Days = begins.astype("datetime64[D]") + (np.where(sound, day, 1) - 1)
    days[~sound | (days.astype("datetime64[M]") != begins)] = np.datetime64("NaT")
    return days


def numbered_days(year: Integers, number: Integers) -> Days:
    """Days of a year and the number of the day in it; NaT where there is no such day.

    Examples
    --------
    >>> numbered_days(np.array([2024, 2023]), np.array([366, 366]))
    array(['2024-12-31',        'NaT'], dtype='datetime64[D]')
    """
    sound = (number >= 1) & (number <= 366) & (year >= 1) & (year <= 9999)
    begins = (np.where(sound, year, 2000) - 1970).astype("datetime64[Y]")
    days: Days = begins.astype("datetime64[D]") + (np.where(sound, number, 1) - 1)
    days[~sound | (days.astype("datetime64[Y]") != begins)] = np.datetime64("NaT")
    return days
