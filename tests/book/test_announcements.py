"""Dates that people were told: each stands, word for word, for whoever asks why one has moved."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

from gddcast.book.opening import open_book
from gddcast.today.announcements import Announcement
from tests.book.places import NOW, TODAY, new_book

TOLD = Announcement(
    "walk", NOW, TODAY, "2026", "squash-bug", "eggs", "2026-05-01",
    dt.date(2026, 6, 20), dt.date(2026, 6, 23), None, "3f2a",
)  # fmt: skip


def test_what_was_told_is_there_as_it_was_told(tmp_path: Path) -> None:
    book = new_book(tmp_path)
    later = replace(TOLD, moment=NOW + dt.timedelta(days=1), opens=None)
    page = replace(TOLD, surface="page")
    with book.writing(NOW, TODAY) as pen:
        for each in (TOLD, later, page, replace(TOLD, season="2025")):
            pen.announce(each)
    again = open_book(tmp_path)
    assert again.announced("walk", "2026") == [TOLD, later]
    assert again.announced(None, "2026") == [TOLD, later, page]
    assert again.announced("sheet", "2026") == []
