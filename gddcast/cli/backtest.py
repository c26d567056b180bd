"""``gddcast backtest``: how past outlooks at this place would have done."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gddcast.cli import options
from gddcast.errors import Refusal

if TYPE_CHECKING:
    from gddcast.cli.record import Record
    from gddcast.skill.backtest import Forecasts, Protocol, Target
    from gddcast.skill.track_record import LeadRecord
    from gddcast.weather.series import DailySeries

# Five seasons are the fewest an outlook speaks for.
_FEWEST = 5

pests_tried = click.option(
    "--pests", metavar="NAME,…", help="Only these pests and crops (see gddcast pests)."
)
protocol = click.option(
    "--leave-one-out/--past-only",
    "leave_one_out",
    default=False,
    help="Learn from all other seasons, or only from earlier ones (default).",
)


@click.command()
@options.file_argument
@pests_tried
@protocol
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
    **how: Any,
) -> None:
    r"""Foretell every past season week by week, and say how far off it was.

    Without a FILE, the season book's weather is used.

    \b
    gddcast backtest garden.csv
    gddcast backtest garden.csv --pests squash-vine-borer --leave-one-out
    gddcast backtest garden.csv --picture calibration.svg
    """
    from gddcast.cli.chart_file import Target as Picture
    from gddcast.cli.record import open_record

    drawing = None if picture is None else Picture.at(picture, force=force)
    record = open_record(file, book_folder, on, no_input=no_input, cards=cards_folder, **how)
    found = tried(record, pests, leave_one_out=leave_one_out)
    if as_json:
        from gddcast.cli.clock import now
        from gddcast.text.seasons.backtest import backtest_json

        click.echo(
            backtest_json(
                found.series, found.targets, found.records, found.protocol, found.reached, now()
            )
        )
    else:
        from gddcast.text.seasons.backtest import backtest_text

        click.echo(
            backtest_text(
                found.series, found.records, len(found.targets), found.protocol, found.reached
            )
        )
    if drawing is not None:
        from gddcast.cli.chart_calibration import draw_tried

        draw_tried(drawing, found)


@dataclass(frozen=True, slots=True)
class Tried:
    """What was foretold of the past, and how it did."""

    series: DailySeries
    targets: tuple[Target, ...]
    protocol: Protocol
    records: tuple[LeadRecord, ...]
    reached: tuple[float, float]


def tried(record: Record, pests: str | None, *, leave_one_out: bool) -> Tried:
    """Foretell the past seasons of a record."""
    from gddcast.cli.opening import watch_list
    from gddcast.skill.backtest import targets_of
    from gddcast.skill.track_record import by_lead, reached_score
    from gddcast.today.plan import Overrule
    from gddcast.weather.gaps import patch_short

    series = patch_short(record.series.before(record.today), record.patch_up_to)
    keys = watch_list(record.cards, pests) or list(record.cards)
    overrule = record.overrule or Overrule()
    targets = targets_of(
        (record.cards[key] for key in keys), series.place,
        shape=overrule.shape, cutoff=overrule.cutoff, begin=overrule.start,
    )  # fmt: skip
    told_from: Protocol = "leave one out" if leave_one_out else "past only"
    forecasts = _run(series, targets, told_from)
    records = by_lead(forecasts)
    if not records:
        raise _too_few(series, targets, told_from)
    return Tried(series, targets, told_from, records, reached_score(forecasts))


def _run(series: DailySeries, targets: tuple[Target, ...], protocol: Protocol) -> Forecasts:
    """Foretell, with a bar on the terminal while it takes its seconds."""
    from gddcast.cli.progress import progress_bar
    from gddcast.skill.backtest import backtest as foretell

    # Long records can afford to wait for ten.
    at_least = 10 if sum(1 for _ in series.seasons()) >= 20 else _FEWEST
    with progress_bar("Foretelling past seasons") as show:
        return foretell(series, targets, protocol=protocol, at_least=at_least, progress=show)


def _too_few(series: DailySeries, targets: tuple[Target, ...], protocol: Protocol) -> Refusal:
    if not targets:
        return Refusal(
            "these pests and crops",
            "none of their sums starts on a date",
            "Sums that start with a find or a sowing can't be tried on temperatures alone.",
            "Leave --pests away to try every card that starts on a date.",
            slug="no-calendar-sums",
        )
    whole = sum(each.last <= series.last for each in series.seasons())
    others = whole > _FEWEST and protocol == "past only"
    return Refusal(
        series.source,
        "it has too few whole seasons to foretell one from others",
        f"It runs from {series.first} to {series.last}. At least five seasons to be foretold are "
        "needed, each with five others to learn from.",
        "Add older years, or try --leave-one-out." if others else
        "Add older years:  gddcast weather fetch  brings those of a station near by.",
        slug="too-few-seasons",
    )  # fmt: skip
