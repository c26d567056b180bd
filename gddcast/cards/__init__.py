"""Published thresholds: one organism a card, every number with the method and source it came with.

``model`` says what a card is, ``library`` finds one by any of its names.
"""
