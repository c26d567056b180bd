"""weather."""
