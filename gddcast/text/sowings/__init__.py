"""Sowings: one after another, the first and the last worth it."""
