"""``gddcast walk``: what to look for today."""

from __future__ import annotations

import datetime as dt
import sys
from pathlib import Path
from typing import Any

import click

from gddcast.cli import options
from gddcast.cli.failures import NEEDS_YOUR_EYE
from gddcast.errors import Refusal


@click.command()
@options.file_argument
@options.on
@options.book
@options.watch
@options.file_options
@options.show
@options.as_json
@options.strict
def walk(
    file: Path | None,
    on: dt.date | None,
    book_folder: Path | None,
    show: str | None,
    as_json: bool,
    strict: bool,
    **how: Any,
) -> None:
    r"""Say what to look for today, where on the plant, on how many, and how often.

    The book remembers the dates a walk told, so that a later one can say what has moved, and why.

    \b
    gddcast walk
    gddcast walk --book larkhollow-patch --on 2026-06-11
    gddcast walk garden.csv --grow summer-squash,kale
    """
    from gddcast.cli.ahead import needs_an_eye, prints_shapes
    from gddcast.cli.record import open_today, unit_shown
    from gddcast.cli.watch import ask_what_grows

    today, here = open_today(file, book_folder, on, no_input=as_json, **how)
    if here is None and today.watch.basis == "every card":
        raise _nothing_said()
    if here is not None and not as_json and ask_what_grows(here, today.cards):
        today, here = open_today(None, book_folder, on, no_input=False, **how)
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
        from gddcast.text.terminal import Terminal
        from gddcast.today.changes import worth_saying

        click.echo(
            walk_text(
                plan, today.journal, habits, today.sowings, today.plants, today.chores, unit,
                picking_days=today.practice.rules.picking_days,
                moved=worth_saying(today.changes), seen=today.insects_seen,
                in_calendar=today.in_calendar, terminal=Terminal(shapes=prints_shapes()),
            )
        )  # fmt: skip
        if here is not None:
            here.announce(today, (each for _, chosen in grouped(plan) for each in chosen), "walk")
    if strict and needs_an_eye(plan):
        sys.exit(NEEDS_YOUR_EYE)


def _nothing_said() -> Refusal:
    return Refusal(
        "this walk", "nobody said what to look for",
        "A file knows no crops, and a walk for every card there is helps nobody.",
        "Say what you grow:  --grow summer-squash,kale     or which pests:  --watch squash-bug",
        slug="nothing-watched",
    )  # fmt: skip
