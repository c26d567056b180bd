"""``gddcast ahead``: what is due in the coming weeks, on one axis of days."""

from __future__ import annotations

import datetime as dt
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gddcast.cli import options, screen
from gddcast.cli.failures import NEEDS_YOUR_EYE
from gddcast.units import Unit

if TYPE_CHECKING:
    from gddcast.errors import Refusal
    from gddcast.today.plan import SeasonPlan
    from gddcast.today.today import Today


@click.command()
@options.file_argument
@options.book
@options.watch
@options.on
@click.option("--since", type=options.DAY, metavar="DATE", help="Say what moved since that day.")
@options.full
@options.file_options
@options.forecasts
@options.show
@options.cards
@options.color
@options.as_json
@options.strict
@options.no_input
def ahead(
    file: Path | None,
    book_folder: Path | None,
    watch: str | None,
    on: dt.date | None,
    since: dt.date | None,
    full: bool,
    show: str | None,
    cards_folder: Path | None,
    as_json: bool,
    strict: bool,
    no_input: bool,
    **file_options: Any,
) -> None:
    r"""Say what is due in the coming weeks, from a FILE of daily minima and maxima or a book.

    One row a stage, by the day to start looking: one dot a past year, all rows over the same days.
    From a book it says beside each date that has moved what it was when last told; it writes
    nothing.

    \b
    gddcast ahead
    gddcast ahead --full
    gddcast ahead garden.csv --watch squash-vine-borer,squash-bug
    gddcast ahead garden.csv --on 2026-06-11 --show C
    """
    from gddcast.cards.library import replacement_notes
    from gddcast.cli.record import open_today, unit_shown

    if file is None and book_folder is None and not folder_holds_a_book():
        raise options.a_file_is_needed("ahead")
    if file is not None and file.is_dir():
        _refuse_farms(file)
    today, _ = open_today(
        file, book_folder, on, no_input=no_input, cards=cards_folder, watch=watch, **file_options
    )
    for note in replacement_notes(today.cards.values()):
        click.echo(note, err=True)
    show_dates(today, unit_shown(today, show), as_json=as_json, full=full, since=since)
    if strict and needs_an_eye(today.plan):
        sys.exit(NEEDS_YOUR_EYE)


def _refuse_farms(folder: Path) -> None:
    """A folder of farms has a command of its own."""
    from gddcast.errors import Refusal, command
    from gddcast.readers.farms_list import holds_farms

    if holds_farms(folder):
        raise Refusal(
            str(folder), "it is a folder of farms", "This command looks at one place.",
            f"Rank all of them:  {command('farms', 'ahead', folder)}", slug="folder-of-farms",
        )  # fmt: skip


def needs_an_eye(plan: SeasonPlan) -> bool:
    """Whether a plan stands on a record that can't carry it, or that ends long before today."""
    return plan.is_stale or plan.verdict.trust in ("shaky", "unusable")


def _not_since(plan: SeasonPlan, since: dt.date) -> Refusal:
    from gddcast.errors import Refusal

    why = "today comes before it" if since > plan.today else "the record had not begun then"
    return Refusal(
        f"--since {since}", f"{why}, so nothing can have moved since",
        f"The record begins on {plan.series.first}; today is {plan.today}.",
        "Say a day between the two:  --since DATE", slug="not-since",
    )  # fmt: skip


def folder_holds_a_book() -> bool:
    """Whether this folder is a season book, or holds one."""
    from gddcast.cli.book_here import folder_meant
    from gddcast.errors import Refusal

    try:
        folder_meant(None)
    except Refusal as refusal:
        if refusal.slug == "no-book":
            return False
        raise
    return True


def show_dates(
    today: Today, show: Unit, *, as_json: bool, full: bool = False, since: dt.date | None = None
) -> None:
    """Print the dates of a place for people or for programs, and what has moved them.

    In a book that is since each was last told, unless a day is named.
    """
    plan = today.plan
    if since is not None and not plan.series.first <= since <= plan.today:
        raise _not_since(plan, since)
    changes = today.changes if since is None else today.changes_since(since)
    if as_json:
        from gddcast.cli.clock import now
        from gddcast.text.dates.ahead import ahead_json

        click.echo(ahead_json(plan, show, now(), changes=changes))
        return
    from gddcast.text.dates.ahead import ahead_text
    from gddcast.text.dates.ahead_full import ahead_in_full
    from gddcast.today.changes import worth_saying

    moved = worth_saying(changes) if since is None else changes
    if full:
        text = ahead_in_full(
            plan, show, terminal=screen.terminal(),
            records=today.track_records, changes=moved, insects=today.insects,
        )  # fmt: skip
    else:
        text = ahead_text(
            plan, show, terminal=screen.terminal(), changes=moved, causes=since is not None
        )
    screen.show(text)
