"""What unknown days of this season cost a date, and what it may be all the same."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from gddcast.heat.counting import Counting
from gddcast.outlook.bridging import BridgedDate, bridged_date
from gddcast.outlook.dates import Outlook
from gddcast.quality.findings import Finding
from gddcast.today.garden import Garden


def gap_worth(outlook: Outlook, findings: Sequence[Finding]) -> int | None:
    """Days that the run of unknown days hiding a date would move it, if they were left out."""
    if outlook.unknown is None:
        return None
    first, last = outlook.unknown
    for finding in findings:
        if finding.effect_days and finding.first <= last and finding.last >= first:
            return max(round(abs(finding.effect_days)), 1)
    return None


def across(
    ends: tuple[tuple[float, dt.date], tuple[float, dt.date]], counting: Counting, garden: Garden
) -> tuple[BridgedDate, BridgedDate] | None:
    """Dates of both ends of a sum, goal and first day, with the usual weather on unknown days."""
    record = garden.record
    found = {
        (goal, start): bridged_date(
            record.series, counting, goal,
            start=start, today=garden.today, climate=record.climate, errors=record.errors,
        )
        for goal, start in dict.fromkeys(ends)
    }  # fmt: skip
    early, late = (found[end] for end in ends)
    return None if early is None or late is None else (early, late)
