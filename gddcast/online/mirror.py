"""A folder laid out as Meteostat's own server is, from which its library reads without a network.

The library reads year files past every HTTP session: no timeout, no User-Agent, a pickle cache
that an offline run overwrites with nothing. So files come through our session, are checked, are
put here whole or not at all, and the library's own settings point at this folder while it reads.
"""

from __future__ import annotations

import gzip
import importlib
import logging
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from gddcast import output_file

_GZIP = b"\x1f\x8b"
_FOREVER = 10**12  # seconds


def list_in(folder: Path) -> Path:
    """Where the station list stands."""
    return folder / "stations.db"


def year_file(folder: Path, station: str, year: int) -> Path:
    """Where a year of a station stands."""
    return folder / "mirror" / str(year) / f"{station}.csv.gz"


def put(path: Path, body: bytes) -> None:
    """Write a file whole or not at all; one that says the same already stays as it is."""
    if path.exists() and path.stat().st_size == len(body) and path.read_bytes() == body:
        return
    path.parent.mkdir(parents=True, exist_ok=True)
    output_file.put(path, body)


def zipped(body: bytes) -> bytes:
    """The bytes as gzip: servers that name it a content encoding have it undone on the way."""
    return body if body.startswith(_GZIP) else gzip.compress(body, mtime=0)


@contextmanager
def meteostat_reading(folder: Path) -> Iterator[Any]:
    """The meteostat library, reading from ``folder`` alone for a while.

    Yields
    ------
    module
        ``meteostat``.
    """
    import meteostat

    plain = str(folder).replace("{", "{{").replace("}", "}}")
    ours = {
        "daily_endpoint": os.path.join(plain, "mirror", "{year}", "{station}.csv.gz"),  # noqa: PTH118
        "cache_enable": False,
        "block_large_requests": False,
        "stations_db_file": str(list_in(folder)),
        "stations_db_ttl": _FOREVER,
    }
    before = {name: getattr(meteostat.config, name) for name in ours}
    quiet = logging.getLogger("meteostat")
    level = quiet.level
    try:
        _set(meteostat.config, ours)
        quiet.setLevel(logging.CRITICAL)  # an absent year is no news
        yield meteostat
    finally:
        _set(meteostat.config, before)
        quiet.setLevel(level)


def _set(config: Any, settings: dict[str, Any]) -> None:
    """Change settings of the library, and let its reader of year files see them.

    It takes the address of these files from the settings once, as it is imported.
    """
    for name, value in settings.items():
        setattr(config, name, value)
    importlib.reload(importlib.import_module("meteostat.providers.meteostat.daily"))
