"""Where the data that come with gddcast stand: in a checkout, or packed into the wheel."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from gddcast.errors import Refusal


@cache
def data_folder() -> Path:
    """The folder ``data/``: beside the package in a checkout, inside it where installed."""
    package = Path(__file__).resolve().parents[1]
    places = (package / "data", package.parent / "data")
    for place in places:
        if (place / "pests").is_dir():
            return place
    raise Refusal(
        "this installation",
        "its data folder is missing",
        f"Looked for {places[0]} and {places[1]}.",
        "Install gddcast again.",
        slug="data-missing",
    )
