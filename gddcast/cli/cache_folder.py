"""The folder for what may be lost at any time: answers of services, and answers worked out."""

from __future__ import annotations

import os
from pathlib import Path


def cache_folder() -> Path:
    """The one that ``GDDCAST_CACHE`` names, else this machine's usual one."""
    from platformdirs import user_cache_path

    named = os.environ.get("GDDCAST_CACHE")
    return Path(named) if named else user_cache_path("gddcast", appauthor=False)
