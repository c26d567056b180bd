"""``gddcast walk``: what to look for today, bed by bed."""

from __future__ import annotations

import datetime as dt
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gddcast.cli import options, screen
from gddcast.cli.failures import NEEDS_YOUR_EYE
from gddcast.errors import Refusal, command

if TYPE_CHECKING:
    from gddcast.cli.book_here import OpenedBook
    from gddcast.today.today import Today
    from gddcast.units import Unit


@click.command()
@options.file_argument
@options.on
@options.book
@click.option("--full", is_flag=True, help="Every stage with its sums, sources and figures.")
@options.watch
@options.file_options
@options.show
@options.color
@options.as_json
@options.strict
def walk(
    file: Path | None,
    on: dt.date | None,
    book_folder: Path | None,
    full: bool,
    show: str | None,
    as_json: bool,
    strict: bool,
    **file_options: Any,
) -> None:
    r"""Say what to look for today: bed by bed, where on the plant, on how many, how often.

    Beds come in the order of [beds] in book.toml, else first sown first. The book remembers the
    dates a walk told, so that a later one can say what has moved, and why.

    \b
    gddcast walk
    gddcast walk --full
    gddcast walk --book larkhollow-patch --on 2026-06-11
    gddcast walk garden.csv --grow summer-squash,kale
    """
    from gddcast.cli.ahead import needs_an_eye
    from gddcast.cli.record import open_today, unit_shown
    from gddcast.cli.watch import ask_what_grows

    today, opened = open_today(file, book_folder, on, no_input=as_json, **file_options)
    if opened is None and today.watch.basis == "every card":
        raise _nothing_watched()
    if opened is not None and not as_json and ask_what_grows(opened, today.cards):
        today, opened = open_today(None, book_folder, on, no_input=False, **file_options)
    show_walk(today, unit_shown(today, show), opened, full=full, as_json=as_json)
    if opened is not None and not as_json:
        announce(opened, today, full=full)
    if strict and needs_an_eye(today.plan):
        sys.exit(NEEDS_YOUR_EYE)


def show_walk(
    today: Today,
    show: Unit,
    opened: OpenedBook | None = None,
    *,
    full: bool = False,
    as_json: bool = False,
) -> None:
    """Print the walk of a place for people, by bed or in full, or for programs."""
    plan, practice = today.plan, today.practice
    if as_json:
        from gddcast.cli.clock import now
        from gddcast.text.dates.walk_json import walk_json

        text = walk_json(
            plan, today.by_bed, practice.habits, today.sowings, today.plants, today.chores, show,
            now(), changes=today.changes,
        )  # fmt: skip
    elif full:
        from gddcast.text.dates.full_walk import full_walk_text
        from gddcast.today.changes import worth_saying

        text = full_walk_text(
            plan, today.journal, practice.habits, today.sowings, today.plants, today.chores, show,
            picking_days=practice.rules.picking_days,
            changes=worth_saying(today.changes), insects=today.insects,
            in_calendar=today.in_calendar, terminal=screen.terminal(),
            command=opened.command if opened else command,
        )  # fmt: skip
    else:
        from gddcast.text.dates.walk_by_bed import walk_by_bed_text

        write = opened.command if opened else command
        text = walk_by_bed_text(today, show, terminal=screen.terminal(), command=write)
    screen.show(text)


def announce(opened: OpenedBook, today: Today, *, full: bool) -> None:
    """Let the book remember the dates it told."""
    from gddcast.today.walk_groups import grouped

    scouting_windows = [each for _, chosen in grouped(today.plan) for each in chosen]
    opened.announce(today, scouting_windows if full else today.by_bed.windows, "walk")


def _nothing_watched() -> Refusal:
    return Refusal(
        "this walk", "nobody said what to look for",
        "A file knows no crops, and a walk for every card there is helps nobody.",
        "Say what you grow:  --grow summer-squash,kale     or which pests:  --watch squash-bug",
        slug="nothing-watched",
    )  # fmt: skip
