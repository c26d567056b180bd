"""Breaks the code one place at a time, to see whether a test notices."""
