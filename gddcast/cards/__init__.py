"""Published thresholds: one organism a card, every number with the method and source it came with.

``model`` is a card, of ``events``, ``numbers``, ``asides``, ``sources`` and ``values``: the one
schema of card files. ``checks`` is what must hold between their keys, ``audit`` what a packaged
card must answer beyond that; ``library`` finds one by any name, ``plant_names`` tells whether
two name the same plant.
"""
