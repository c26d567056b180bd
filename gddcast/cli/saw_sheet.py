"""``gddcast saw --from``: a paper sheet, copied into its table, entered whole or not at all."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gddcast.errors import Refusal

if TYPE_CHECKING:
    from gddcast.cards.model import Card
    from gddcast.cli.book_here import OpenedBook
    from gddcast.errors import Command
    from gddcast.journal.entries import Journal
    from gddcast.readers.walk_sheet import WalkSheet
    from gddcast.text.doubts import EntryDoubt


def enter_sheet(opened: OpenedBook, file: Path, *, day: dt.date | None, sure: bool) -> None:
    """Write a filled sheet, and say so."""
    click.echo(record_sheet(opened, file, day=day, sure=sure, command=opened.command)[1])


def record_sheet(
    opened: OpenedBook, file: Path, *, day: dt.date | None, sure: bool, command: Command | None
) -> tuple[list[str], str]:
    """Read a filled sheet, ask what may be a slip, and write all of it: entries, what is said.

    Raises
    ------
    Refusal
        With every fault and its line; nothing is written then.
    """
    from gddcast.cli.certainty import ask_to_be_sure
    from gddcast.day_words import day_meant
    from gddcast.readers.walk_sheet import WalkSheetRefusal, read_walk_sheet
    from gddcast.text.logged import logged_sheet

    cards, journal = opened.cards(), opened.book.journal()
    meant = partial(day_meant, today=opened.today, order=opened.book.settings.number_order)
    sheet = read_walk_sheet(file, cards, meant, day)
    if not sheet.rows:
        raise Refusal(
            file.name, "nothing is filled in", "A row counts where looked, saw or count is filled.",
            "Write 0 under saw where you looked and found none.", slug="sheet-empty",
        )  # fmt: skip
    if faults := list(_impossible(opened, sheet, cards, journal)):
        raise WalkSheetRefusal(file.name, faults)
    ask_to_be_sure(*_doubts(opened, sheet, cards, journal), asks=opened.asks, sure=sure)
    with opened.writing() as pen:
        names = [pen.add(row.sighting) for row in sheet.rows]
    rows = [row.sighting for row in sheet.rows]
    return names, logged_sheet(rows, names, sheet.empty, command)


def _impossible(
    opened: OpenedBook, sheet: WalkSheet, cards: dict[str, Card], journal: Journal
) -> Iterator[str]:
    """What a row says that cannot be, going by the book and by the rows before it."""
    from dataclasses import replace

    from gddcast.journal import finds
    from gddcast.weather.series import season_of

    before = replace(journal, sightings=())
    for row in sheet.rows:
        find = row.sighting
        season = season_of(find.seen_on, opened.book.place.season_begins)
        try:
            finds.refuse_impossible(find, opened.today)
            finds.refuse_before_sowing(find, cards[find.organism], cards, journal, season)
        except Refusal as refusal:
            yield f"{row}: {refusal.where}: {refusal.problem}; {refusal.expected}"
        if finds.same_find(find, before) is not None:
            yield f"{row}: found what an earlier line says; expected each pest and bed once a day"
        before = replace(before, sightings=(*before.sightings, find))


def _doubts(
    opened: OpenedBook, sheet: WalkSheet, cards: dict[str, Card], journal: Journal
) -> Iterator[EntryDoubt]:
    from gddcast.journal.finds import same_find
    from gddcast.text import doubts
    from gddcast.today.early_finds import early_find

    finds = [row.sighting for row in sheet.rows]
    watch = list({each.organism for each in finds if each.kind == "saw"})
    weathered = bool(watch) and opened.book.weather() is not None
    plan = opened.today_with(cards, watch).plan if weathered else None
    for find in finds:
        if same := same_find(find, journal):
            yield doubts.same_again(same)
        if plan and (early := early_find(plan, find)):
            yield doubts.early_find(cards[find.organism], find, early)
