"""``gddcast report``: the season on one page, for phone, wall and paper."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gddcast.cli import options

if TYPE_CHECKING:
    from collections.abc import Mapping

    from gddcast.cli.record import Record
    from gddcast.outlook.changes import Change
    from gddcast.pages.report import Beside
    from gddcast.today.hindsight import Stage
    from gddcast.today.plan import SeasonPlan

#: Without a day named, dates are held against those of so many days ago.
_A_WEEK = dt.timedelta(days=7)


@click.command()
@options.file_argument
@options.book
@click.option(
    "-o", "--output", type=options.HAND_OUT, metavar="OUT", help="Default: report-DATE.html here."
)
@click.option("--force", "-f", is_flag=True, help="Write over a file that is there.")
@options.watch
@options.on
@click.option(
    "--since", type=options.DAY, metavar="DATE",
    help="Say what moved since that day. Default: a week ago, where you have a watch list.",
)  # fmt: skip
@options.file_options
@options.show
@options.cards
@options.no_input
def report(
    file: Path | None,
    book_folder: Path | None,
    output: Path | None,
    force: bool,
    watch: str | None,
    on: dt.date | None,
    since: dt.date | None,
    show: str | None,
    cards_folder: Path | None,
    no_input: bool,
    **how: Any,
) -> None:
    r"""Write the season report of a FILE, or of your season book, as one HTML page.

    It needs no network and no scripts: open it on a phone, print it, pin it up.

    \b
    gddcast report garden.csv --watch squash-vine-borer,squash-bug
    gddcast report --book larkhollow-patch -o report.html
    """
    from gddcast.cli.opening import shown_unit, watch_list
    from gddcast.cli.record import open_record
    from gddcast.output_file import write_text
    from gddcast.pages.report import report_page

    record = open_record(file, book_folder, on, no_input=no_input, cards=cards_folder, **how)
    plan = record.plan(watch_list(record.cards, watch))
    unit = shown_unit(show or record.show, record.series)
    target = output or Path(f"report-{plan.today}.html")
    write_text(target, report_page(plan, unit, _beside(plan, record, since)), force=force)
    click.echo(f"Wrote {target}: open it in a browser, or print it.", err=True)
    if record.here is not None:
        from gddcast.cli.remembered import NEAR, tell

        tell(record.here, plan, [each for each in plan.windows if each.status in NEAR], "report")


def _beside(plan: SeasonPlan, record: Record, since: dt.date | None) -> Beside:
    """What the book knows, how such dates did before, and what has moved."""
    from gddcast.crops.standing import sowings_today
    from gddcast.pages.report import Beside
    from gddcast.today.hindsight import records
    from gddcast.today.sowing_courses import crop_courses

    # Both take a moment a date: for a watch list it is worth it, for every card it is not.
    if since is None and not plan.watches_all:
        since = plan.today - _A_WEEK
    return Beside(
        has_book=record.has_book,
        journal=record.journal,
        sowings=crop_courses(
            plan, record.cards, record.journal,
            rules=record.rules, first_pick_days=record.first_pick_days,
        ),
        there=sowings_today(record.journal, record.cards, plan.season, plan.today),
        records={} if plan.watches_all else records(plan),
        since=since,
        changes=_changes(plan, record, since),
        in_calendar=record.in_calendar,
    )  # fmt: skip


def _changes(plan: SeasonPlan, record: Record, since: dt.date | None) -> Mapping[Stage, Change]:
    """What has moved since that day, held against the book as it was then where there is one."""
    from gddcast.cli.remembered import moved
    from gddcast.today.hindsight import changes_since

    if since is None:
        return {}
    return moved(record.here.book, plan, since=since) if record.here else changes_since(plan, since)
