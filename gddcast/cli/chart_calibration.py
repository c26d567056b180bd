"""A picture of whether the spans kept their promise."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from gddcast.cli import options
from gddcast.cli.backtest import Tried, pests_tried, protocol, tried
from gddcast.cli.chart_file import Target, of_the_weather, open_meant, with_file


@click.command()
@options.file_argument
@pests_tried
@protocol
@of_the_weather
def calibration(
    file: Path | None, pests: str | None, leave_one_out: bool, output: Path, force: bool,
    width: int, **how: Any,
) -> None:  # fmt: skip
    r"""Whether past spans kept their promise.

    Every past season is foretold week by week, as gddcast backtest does.

    \b
    gddcast chart calibration garden.csv --pests squash-vine-borer -o promise.svg
    """
    target = Target.at(output, force=force, width=width)
    found = tried(open_meant(file, **how), pests, leave_one_out=leave_one_out)
    flags = [*(["--pests", pests] if pests else []), *(["--leave-one-out"] * leave_one_out)]
    draw_tried(target, found, numbers=with_file("backtest", file, how["book_folder"], *flags))


def draw_tried(target: Target, found: Tried, *, numbers: str | None = None) -> None:
    """Draw what a backtest found."""
    from gddcast.draw.calibration import calibration_note, draw_calibration
    from gddcast.draw.chart_file import Words
    from gddcast.skill.track_record import headline

    target.write(
        lambda fig: draw_calibration(fig, found.records),
        Words(f"Promise and record of the spans, {found.series.place.name}",
              headline(found.records),
              calibration_note(found.series, found.records, found.protocol)),
        height=17 * len(found.records) + 15, numbers=numbers,
    )  # fmt: skip
