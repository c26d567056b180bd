"""``gddcast report``: the season on one page, for phone, wall and paper."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gddcast.cli import options
from gddcast.errors import Refusal
from gddcast.units import Unit

if TYPE_CHECKING:
    from gddcast.plan import SeasonPlan


@click.command()
@options.file_argument
@options.book
@click.option(
    "-o", "--output", type=options.READABLE, metavar="OUT", help="Default: report-DATE.html here."
)
@click.option("--force", "-f", is_flag=True, help="Write over a file that is there.")
@options.watch
@options.on
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
    from gddcast.handouts.report import report_page
    from gddcast.handouts.text_file import write_text

    if file is not None:
        plan, unit = _of_file(file, on, watch, show, cards_folder, no_input, how)
    else:
        plan, unit = _of_book(book_folder, on, watch, show, no_input)
    target = output or Path(f"report-{plan.today}.html")
    write_text(target, report_page(plan, unit), force=force)
    click.echo(f"Wrote {target}: open it in a browser, or print it.", err=True)


def _of_file(
    file: Path,
    on: dt.date | None,
    watch: str | None,
    show: str | None,
    cards_folder: Path | None,
    no_input: bool,
    how: dict[str, Any],
) -> tuple[SeasonPlan, Unit]:
    from gddcast.cli.opening import open_series, shown_unit, watch_list
    from gddcast.plan import season_plan
    from gddcast.readers.card_files import load_cards

    series, today = open_series(file, on=on, no_input=no_input, **how)
    cards = load_cards(own=cards_folder)
    plan = season_plan(series, cards, today, watch=watch_list(cards, watch))
    return plan, shown_unit(show, series)


def _of_book(
    folder: Path | None, on: dt.date | None, watch: str | None, show: str | None, no_input: bool
) -> tuple[SeasonPlan, Unit]:
    from gddcast.cli.book_here import open_here
    from gddcast.cli.opening import watch_list

    here = open_here(folder, on, no_input=no_input)
    cards = here.cards()
    plan = here.plan(cards, watch_list(cards, watch))
    if plan is None:
        raise Refusal(
            f"the season book {here.book.folder}",
            "it holds no weather yet",
            "A report needs daily minima and maxima.",
            "Bring some in:  gddcast weather add YOURFILE.csv",
            slug="no-weather",
        )
    return plan, "C" if show == "C" else "F" if show == "F" else here.book.show
