"""Rows of ``tests/published/*.csv``: values as printed, kept as text, with their tolerance."""

from __future__ import annotations

import csv
from pathlib import Path

FOLDER = Path(__file__).with_name("published")


def rows(name: str) -> list[dict[str, str]]:
    """Every row of one file; lines that start with # say where it was printed."""
    lines = (FOLDER / name).read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def half_last_digit(printed: str) -> float:
    """Largest difference that rounding to the printed digits can hide."""
    _, _, decimals = printed.partition(".")
    return 0.5 * 10.0 ** -len(decimals)
