"""``gddcast report``: the season on one page, for phone, wall and paper."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gddcast.cli import options

if TYPE_CHECKING:
    from gddcast.pages.paper import Paper
    from gddcast.today.today import Today
    from gddcast.units import Unit

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
@click.option(
    "--year", type=click.IntRange(1700, 2999), metavar="YEAR",
    help="My year instead: what came and when, and a plan for the next; default year-YEAR.html.",
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
    year: int | None,
    show: str | None,
    cards_folder: Path | None,
    no_input: bool,
    **file_options: Any,
) -> None:
    r"""Write the season report of a FILE, or of your season book, as one HTML page.

    It needs no network and no scripts: open it on a phone, print it, pin it up.

    \b
    gddcast report garden.csv --watch squash-vine-borer,squash-bug
    gddcast report --book larkhollow-patch -o report.html
    gddcast report --year 2026
    gddcast report --book larkhollow-patch --paper letter
    """
    from gddcast.cli.record import open_today, unit_shown
    from gddcast.output_file import write_text
    from gddcast.pages.report import report_page
    from gddcast.today.changes import NEAR

    today, opened = open_today(
        file, book_folder, on, no_input=no_input, cards=cards_folder, watch=watch, **file_options
    )
    plan, unit = today.plan, unit_shown(today, show)
    if year is not None:
        target = output or Path(f"year-{year}.html")
        write_text(target, _yearbook(today, year, unit), force=force)
        click.echo(f"Wrote {target}: open it in a browser, or print it.", err=True)
        return
    target = output or Path(f"report-{plan.today}.html")
    # It takes a moment a date: for a watch list it is worth it, for every card it is not.
    if since is None and not plan.watches_all:
        since = today.day - _A_WEEK
    write_text(target, report_page(today, unit, since=since, size=size), force=force)
    click.echo(f"Wrote {target}: open it in a browser, or print it.", err=True)
    if opened is not None:
        opened.announce(today, (each for each in plan.windows if each.status in NEAR), "report")


def _yearbook(today: Today, year: int, unit: Unit) -> str:
    """The yearbook of the season that begins in a year."""
    from gddcast.errors import Refusal, shell
    from gddcast.pages.yearbook import yearbook_page

    seasons = list(today.record.series.before(today.day).seasons())
    season = next((each for each in seasons if each.first.year == year), None)
    if season is None:
        raise Refusal(
            shell("--year", year),
            "no day of that season is on record",
            f"There are {seasons[0].name} to {seasons[-1].name}." if seasons else "None is.",
            "Name one of them:  " + shell("--year", seasons[-1].first.year) if seasons
            else "Bring days in first:  gddcast weather add FILE",
            slug="no-such-season",
        )  # fmt: skip
    curves = today.curves(today.season_sum)
    return yearbook_page(today.plan, season, today.stage_years, curves, today.journal, unit)
