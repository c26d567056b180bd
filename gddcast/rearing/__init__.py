"""rearing."""
