"""``gddcast backtest``: how past outlooks at this place would have done."""

from __future__ import annotations

import datetime as dt
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gddcast.cli import options
from gddcast.errors import Refusal

if TYPE_CHECKING:
    from gddcast.backtest import Forecasts, Protocol, Target
    from gddcast.series import DailySeries


@click.command()
@options.file_argument
@click.option("--pests", metavar="NAME,…", help="Only these pests and crops (see gddcast pests).")
@click.option(
    "--leave-one-out/--past-only",
    "leave_one_out",
    default=False,
    help="Learn from all other seasons, or only from earlier ones (default).",
)
@options.on
@options.file_options
@options.cards
@options.as_json
@options.no_input
def backtest(
    file: Path | None,
    pests: str | None,
    leave_one_out: bool,
    on: dt.date | None,
    cards_folder: Path | None,
    as_json: bool,
    no_input: bool,
    **how: Any,
) -> None:
    r"""Foretell every past season of a FILE week by week, and say how far off it was.

    \b
    gddcast backtest garden.csv
    gddcast backtest garden.csv --pests squash-vine-borer --leave-one-out
    """
    if file is None:
        raise options.a_file_is_needed("backtest")
    from gddcast.backtest import targets_of
    from gddcast.cli.opening import open_series, watch_list
    from gddcast.gaps import patch_short
    from gddcast.readers.card_files import load_cards
    from gddcast.series import season_of
    from gddcast.track_record import by_lead, reached_score

    series, today = open_series(file, on=on, no_input=no_input, **how)
    series = patch_short(series.before(today))
    cards = load_cards(own=cards_folder)
    keys = watch_list(cards, pests) or list(cards)
    season = season_of(series.first, series.place.season_begins)
    targets = targets_of((cards[key] for key in keys), season)
    protocol: Protocol = "leave one out" if leave_one_out else "past only"
    forecasts = _run(series, targets, protocol)
    records, reached = by_lead(forecasts), reached_score(forecasts)
    if not records:
        raise _too_few(file, series, targets)
    if as_json:
        from gddcast.cli.clock import now
        from gddcast.handouts.backtest_json import backtest_json

        click.echo(backtest_json(series, targets, records, protocol, reached, now()))
    else:
        from gddcast.handouts.backtest_text import backtest_text

        click.echo(backtest_text(series, records, len(targets), protocol, reached))


def _run(series: DailySeries, targets: tuple[Target, ...], protocol: Protocol) -> Forecasts:
    """Foretell, with a bar on the terminal while it takes its seconds."""
    from gddcast.backtest import backtest as foretell

    # Five seasons are the fewest an outlook speaks for; long records can afford to wait for ten.
    at_least = 10 if sum(1 for _ in series.seasons()) >= 20 else 5
    if not sys.stderr.isatty():
        return foretell(series, targets, protocol=protocol, at_least=at_least)
    with click.progressbar(length=1000, label="Foretelling past seasons", file=sys.stderr) as bar:
        return foretell(
            series, targets, protocol=protocol, at_least=at_least,
            progress=lambda done, of: bar.update(1000 * done // max(of, 1) - bar.pos),
        )  # fmt: skip


def _too_few(file: Path, series: DailySeries, targets: tuple[Target, ...]) -> Refusal:
    if not targets:
        return Refusal(
            "these pests and crops",
            "none of their sums starts on a date",
            "Sums that start with a find or a sowing can't be tried on temperatures alone.",
            "Leave --pests away to try every card that starts on a date.",
            slug="no-calendar-sums",
        )
    return Refusal(
        file.name,
        "it has too few whole seasons to foretell one from others",
        f"It runs from {series.first} to {series.last}. At least five seasons to be foretold are "
        "needed, each with five others behind it.",
        "Add older years, or try --leave-one-out.",
        slug="too-few-seasons",
    )
