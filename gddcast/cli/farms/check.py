"""``gddcast farms check``: each farm's record beside the others'."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import click

from gddcast.cli import options, screen
from gddcast.cli.failures import CANNOT_USE, NEEDS_YOUR_EYE


@click.command()
@click.argument("folder", type=options.READABLE)
@options.on
@options.show
@options.color
@options.as_json
@options.strict
def check(
    folder: Path, on: dt.date | None, show: str | None, as_json: bool, strict: bool
) -> None:  # fmt: skip
    r"""Judge each farm’s record: verdict, days behind, gaps, copies, best neighbour.

    A neighbour is the farm of the list that knows most days this one lacks, and differs from it
    most evenly; beside it the days both know and how much warmer this farm is.

    \b
    gddcast farms check FOLDER
    """
    from gddcast.cli.farms.opening import open_farms
    from gddcast.cli.progress import progress_bar

    farms = open_farms(folder, on)
    with progress_bar("Farms") as progress:
        records = farms.records(progress)
    unit = farms.show(show)
    if as_json:
        from gddcast.cli.clock import now
        from gddcast.text.farms.check import check_json

        click.echo(check_json(records, unit, now()))
    else:
        from gddcast.text.farms.check import check_text

        screen.show(check_text(records, unit, terminal=screen.terminal()))
    if all(each.refusal is not None for each in records):
        farms.done(CANNOT_USE)
    farms.done(NEEDS_YOUR_EYE if strict and any(each.needs_an_eye for each in records) else 0)
