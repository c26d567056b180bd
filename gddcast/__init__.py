"""Temperatures in, scouting windows out: degree-days, heat sums, published thresholds, dates."""

__version__ = "0.1.0"
