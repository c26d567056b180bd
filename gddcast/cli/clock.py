"""The one place that asks what day it is."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from gddcast.weather.series import Place


def today_at(place: Place | None = None) -> dt.date:
    """Today at the place; by the machine's own zone where the place has none."""
    if place is None or place.timezone is None:
        return dt.datetime.now().astimezone().date()
    from zoneinfo import ZoneInfo

    return dt.datetime.now(ZoneInfo(place.timezone)).date()


def machine_timezone() -> str | None:
    """IANA name of this machine's zone, where it has one."""
    import os
    from contextlib import suppress
    from pathlib import Path
    from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

    named = os.environ.get("TZ", "").removeprefix(":")
    if "/" in named and not named.startswith("/"):
        # "America/Indiana" is a folder of zones, and no zone.
        with suppress(ZoneInfoNotFoundError, ValueError, OSError):
            return ZoneInfo(named).key
    target = Path("/etc/localtime")
    if target.is_symlink():
        _, found, name = str(target.readlink()).partition("zoneinfo/")
        if found:
            return name
    return None


def now() -> dt.datetime:
    """The moment, with its zone, for the stamp of an answer."""
    return dt.datetime.now().astimezone().replace(microsecond=0)
