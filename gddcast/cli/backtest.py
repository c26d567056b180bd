"""``gddcast backtest``: how past outlooks at this place would have done."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import click

from gddcast.cli import options


@click.command()
@options.file_argument
@options.pests_tried
@options.leave_one_out
@click.option(
    "--picture", type=options.HAND_OUT, metavar="FILE",
    help="Draw whether the spans kept their promise (.svg, .png or .pdf).",
)  # fmt: skip
@click.option("--force", "-f", is_flag=True, help="Write over a file that is there.")
@options.on
@options.book
@options.file_options
@options.cards
@options.as_json
@options.no_input
def backtest(
    file: Path | None,
    pests: str | None,
    leave_one_out: bool,
    picture: Path | None,
    force: bool,
    on: dt.date | None,
    book_folder: Path | None,
    cards_folder: Path | None,
    as_json: bool,
    no_input: bool,
    **file_options: Any,
) -> None:
    r"""Foretell every past season week by week, and say how far off it was.

    Without a FILE, the season book’s weather is used.

    \b
    gddcast backtest garden.csv
    gddcast backtest garden.csv --pests squash-vine-borer --leave-one-out
    gddcast backtest garden.csv --picture calibration.svg
    """
    from gddcast.cli.chart_calibration import draw_promise, past_seasons
    from gddcast.cli.chart_file import ChartTarget
    from gddcast.cli.record import open_today

    drawing = None if picture is None else ChartTarget.at(picture, force=force)
    today, _ = open_today(
        file, book_folder, on, no_input=no_input, cards=cards_folder, **file_options
    )
    summary = past_seasons(today, pests, leave_one_out=leave_one_out)
    if as_json:
        from gddcast.cli.clock import now
        from gddcast.text.seasons.backtest import backtest_json

        click.echo(
            backtest_json(
                summary.series, summary.targets, summary.records, summary.protocol,
                summary.reached, now(),
            )
        )  # fmt: skip
    else:
        from gddcast.cli import screen
        from gddcast.text.seasons.backtest import backtest_text

        screen.show(
            backtest_text(
                summary.series, summary.records, len(summary.targets), summary.protocol,
                summary.reached, screen.terminal(),
            )
        )  # fmt: skip
    if drawing is not None:
        draw_promise(drawing, summary)
