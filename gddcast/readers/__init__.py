"""Doors in: files become the types of the garden, and every fault in them gets its cure.

``temperature_file`` lists the way of a thermometer's file; ``reading`` is what comes out of it, and
what must be asked. ``card_files``, ``rearing_file`` and ``forecast_file`` read the other kinds.
"""
