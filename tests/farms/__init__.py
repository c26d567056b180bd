"""Several farms on a day."""
