"""text."""
