"""A picture of whether the spans kept their promise."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gddcast.cli import options
from gddcast.cli.chart_file import ChartTarget, of_the_weather, open_meant, with_file

if TYPE_CHECKING:
    from gddcast.today.foretelling import BacktestSummary
    from gddcast.today.today import Today


@click.command()
@options.file_argument
@options.pests_tried
@options.leave_one_out
@of_the_weather
def calibration(
    file: Path | None, pests: str | None, leave_one_out: bool, output: Path, force: bool,
    width: int, **file_options: Any,
) -> None:  # fmt: skip
    r"""Whether past spans kept their promise.

    Every past season is foretold week by week, as gddcast backtest does.

    \b
    gddcast chart calibration garden.csv --pests squash-vine-borer -o promise.svg
    """
    target = ChartTarget.at(output, force=force, width=width)
    summary = past_seasons(open_meant(file, **file_options), pests, leave_one_out=leave_one_out)
    flags = [*(["--pests", pests] if pests else []), *(["--leave-one-out"] * leave_one_out)]
    draw_promise(
        target, summary, numbers=with_file("backtest", file, file_options["book_folder"], *flags)
    )


def past_seasons(today: Today, pests: str | None, *, leave_one_out: bool) -> BacktestSummary:
    """Foretell the past seasons of a place, with a bar on the terminal while it takes its time."""
    from gddcast.cli.opening import watch_list
    from gddcast.cli.progress import progress_bar

    keys = watch_list(today.cards, pests) or None
    with progress_bar("Foretelling past seasons") as progress:
        return today.backtest(keys, "leave one out" if leave_one_out else "past only", progress)


def draw_promise(
    target: ChartTarget, summary: BacktestSummary, *, numbers: str | None = None
) -> None:
    """Draw what a backtest found."""
    from gddcast.draw.calibration import calibration_note, calibration_sentence, draw_calibration
    from gddcast.draw.chart_file import Words
    from gddcast.skill.track_record import headline

    target.write(
        lambda fig: draw_calibration(fig, summary.records),
        Words(f"Promise and record of the spans, {summary.series.place.name}",
              f"{headline(summary.records)} {calibration_sentence(summary.records)}",
              calibration_note(summary.series, summary.records, summary.protocol)),
        height=17 * len(summary.records) + 15, numbers=numbers,
    )  # fmt: skip
