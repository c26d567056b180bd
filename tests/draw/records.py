"""Seasons to draw: an invented place, 36 years of Champion NE, three of Seattle."""

from __future__ import annotations

import datetime as dt
from functools import cache

from gddcast.quality.verdict import judge
from gddcast.weather.gaps import patch_short
from gddcast.weather.series import DailySeries
from tests.real_records import champion, sample, seattle

#: A record and the day it is looked at.
RECORDS: dict[str, tuple[str, dt.date]] = {
    "12 years": ("larkhollow", dt.date(2026, 6, 11)),
    "late": ("larkhollow", dt.date(2026, 7, 12)),
    "36 years": ("champion", dt.date(2018, 5, 20)),
    "3 years": ("seattle", dt.date(2015, 5, 1)),
}


@cache
def known(name: str) -> DailySeries:
    """What was on record that morning, short gaps patched."""
    which, today = RECORDS[name]
    record = {
        "larkhollow": lambda: sample("larkhollow_2014_to_31aug2026_f"),
        "champion": lambda: champion(1983),
        "seattle": seattle,
    }[which]()
    return patch_short(judge(record.before(today)).judged)


def today_of(name: str) -> dt.date:
    """The day it is looked at."""
    return RECORDS[name][1]
