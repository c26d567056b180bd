"""Crops from seed to frost.

``needs`` is what a crop takes to each of its events; ``frost`` the first and last frosts,
``last_sowing`` the last day worth sowing, ``succession`` one sowing after another, ``standing``
the sowings in the beds today, ``chores`` the jobs done in them.
"""
