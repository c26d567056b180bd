"""``gddcast walk``: what to look for today."""

from __future__ import annotations

import datetime as dt
import sys
from pathlib import Path

import click

from gddcast.cli import options
from gddcast.cli.failures import NEEDS_YOUR_EYE


@click.command()
@options.on
@options.book
@options.show
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
    from gddcast.cli.ahead import needs_an_eye, prints_shapes
    from gddcast.cli.book_here import open_here
    from gddcast.cli.remembered import moved, moved_text, tell
    from gddcast.crops.standing import chores_again, own_chores, sowings_today
    from gddcast.today.hindsight import insects_seen
    from gddcast.today.plants_ahead import plants_ahead
    from gddcast.units import Unit

    here = open_here(book_folder, on)
    book = here.book
    cards = here.cards()
    plan = here.plan(cards)
    if plan is None:
        book.series(here.today)  # says that there is no weather, and what to do
        raise AssertionError("a book without a plan has no weather")
    unit: Unit = book.show if show is None else "C" if show == "C" else "F"
    journal, rules = book.journal(), book.rules
    there = sowings_today(journal, cards, here.season, here.today)
    ahead = plants_ahead(
        there, plan, journal, cards, rules,
        rule_of_days=book.settings.succession.first_pick_days, every_days=book.habits.every_days,
    )  # fmt: skip
    sown = [each for each in journal.sowings if each.sown_on >= here.season.first]
    chores = own_chores(
        there, sown, here.today,
        side_dress_weeks=rules.side_dress_weeks, sow_next_weeks=rules.sow_next_weeks,
    ) + chores_again(journal, book.habits, here.season, here.today)  # fmt: skip
    changes = moved(here.book, plan)
    if as_json:
        from gddcast.cli.clock import now
        from gddcast.text.dates.walk import walk_json

        click.echo(walk_json(plan, book.habits, there, ahead, chores, unit, now(), changes=changes))
    else:
        from gddcast.text.dates.walk import grouped, walk_text
        from gddcast.text.terminal import Terminal

        terminal = Terminal(shapes=prints_shapes())
        told = book.days_told("calendar", here.season.name, here.today)
        click.echo(
            walk_text(
                plan, journal, book.habits, there, ahead, chores, unit,
                picking_days=rules.picking_days, moved=moved_text(changes), seen=insects_seen(plan),
                in_calendar=told, terminal=terminal,
            )
        )  # fmt: skip
        tell(here, plan, [each for _, chosen in grouped(plan) for each in chosen], "walk")
    if strict and needs_an_eye(plan):
        sys.exit(NEEDS_YOUR_EYE)
