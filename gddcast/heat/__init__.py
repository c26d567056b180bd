"""How a day's temperatures become heat, and days of heat become a date.

``daily`` holds the day shapes and the upper cut-offs, ``thermal_time`` the running sum and the day
on which it reaches a goal; both know NumPy only. ``counting`` keeps threshold, shape and cut-off
of one published number together; ``emergence`` is the share of a population out by a heat sum;
``heat_days`` the table day by day; ``frames`` the face for pandas, xarray and masked arrays, of
``labels`` of days and ``dimensions`` that have names.
"""
