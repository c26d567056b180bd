"""Dates that people were told, so that one that moves can be said to have moved, and why."""

from __future__ import annotations

import datetime as dt
import sqlite3
from dataclasses import astuple, fields

from gddcast.today.announcements import Announcement

COLUMNS = (
    "told_by", "told_at", "told_on",
    *(field.name for field in fields(Announcement)[3:]),
)  # fmt: skip


def add(connection: sqlite3.Connection, announcement: Announcement) -> None:
    """Remember it."""
    marks = ", ".join("?" * len(COLUMNS))
    values = [value and str(value) for value in astuple(announcement)]
    values[COLUMNS.index("told_at")] = announcement.moment.isoformat()
    connection.execute(f"INSERT INTO announcement ({', '.join(COLUMNS)}) VALUES ({marks})", values)


def announced(
    connection: sqlite3.Connection, surface: str | None, season: str
) -> list[Announcement]:
    """Everything one surface, or any of them, told of a season, oldest first."""
    rows = connection.execute(
        f"SELECT {', '.join(COLUMNS)} FROM announcement WHERE ifnull(told_by = ?, 1) "
        "AND season = ? ORDER BY number",
        (surface, season),
    )
    return [_announcement(row) for row in rows]


def _announcement(row: tuple[str, ...]) -> Announcement:
    by, at, on, season, organism, event, clock, *days, fingerprint = row
    opens, earliest, latest = (day and dt.date.fromisoformat(day) for day in days)
    return Announcement(
        by, dt.datetime.fromisoformat(at), dt.date.fromisoformat(on), season, organism, event,
        clock, opens or None, earliest or None, latest or None, fingerprint,
    )  # fmt: skip
