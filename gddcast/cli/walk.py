"""``gddcast walk``: what to look for today."""

from __future__ import annotations

import datetime as dt
import sys
from pathlib import Path

import click

from gddcast.cli import options, screen
from gddcast.cli.failures import NEEDS_YOUR_EYE


@click.command()
@options.on
@options.book
@options.show
@options.color
@options.as_json
@options.strict
def walk(
    on: dt.date | None, book_folder: Path | None, show: str | None, as_json: bool, strict: bool
) -> None:
    r"""Say what to look for today, where on the plant, on how many, and how often.

    The book remembers the dates a walk told, so that a later one can say what has moved, and why.

    \b
    gddcast walk
    gddcast walk --book larkhollow-patch --on 2026-06-11
    """
    from gddcast.cli.ahead import needs_an_eye
    from gddcast.cli.record import open_today, unit_shown

    today, here = open_today(None, book_folder, on, no_input=False)
    plan, habits, unit = today.plan, today.practice.habits, unit_shown(today, show)
    if as_json:
        from gddcast.cli.clock import now
        from gddcast.text.dates.walk import walk_json

        click.echo(
            walk_json(
                plan, habits, today.sowings, today.plants, today.chores, unit, now(),
                changes=today.changes,
            )
        )  # fmt: skip
    else:
        from gddcast.text.dates.walk import grouped, walk_text
        from gddcast.today.changes import worth_saying

        screen.show(
            walk_text(
                plan, today.journal, habits, today.sowings, today.plants, today.chores, unit,
                picking_days=today.practice.rules.picking_days,
                moved=worth_saying(today.changes), seen=today.insects_seen,
                in_calendar=today.in_calendar, terminal=screen.terminal(),
            )
        )  # fmt: skip
        if here is not None:
            here.announce(today, (each for _, chosen in grouped(plan) for each in chosen), "walk")
    if strict and needs_an_eye(plan):
        sys.exit(NEEDS_YOUR_EYE)
