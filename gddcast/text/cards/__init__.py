"""Published numbers: a card on a page, as data, in the overview, as a draft."""
