"""``gddcast report``: the season on one page, for phone, wall and paper."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gddcast.cli import options

if TYPE_CHECKING:
    from gddcast.pages.paper import Paper

#: Without a day named, dates are held against those of so many days ago.
_A_WEEK = dt.timedelta(days=7)


@click.command()
@options.file_argument
@options.book
@click.option(
    "-o", "--output", type=options.HAND_OUT, metavar="OUT", help="Default: report-DATE.html here."
)
@click.option("--force", "-f", is_flag=True, help="Write over a file that is there.")
@click.option(
    "--paper", "size", type=click.Choice(["a4", "letter"]),
    help="One side of that paper, to pin up; else the page with everything.",
)  # fmt: skip
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
    size: Paper | None,
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
    gddcast report --book larkhollow-patch --paper letter
    """
    from gddcast.cli.record import open_today, unit_shown
    from gddcast.output_file import write_text
    from gddcast.pages.report import report_page
    from gddcast.today.changes import NEAR

    today, here = open_today(
        file, book_folder, on, no_input=no_input, cards=cards_folder, watch=watch, **how
    )
    plan, unit = today.plan, unit_shown(today, show)
    target = output or Path(f"report-{plan.today}.html")
    # It takes a moment a date: for a watch list it is worth it, for every card it is not.
    if since is None and not plan.watches_all:
        since = today.day - _A_WEEK
    write_text(target, report_page(today, unit, since=since, size=size), force=force)
    click.echo(f"Wrote {target}: open it in a browser, or print it.", err=True)
    if here is not None:
        here.announce(today, (each for each in plan.windows if each.status in NEAR), "report")
