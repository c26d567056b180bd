"""``gddcast weather compare``: one thermometer held against another."""

from __future__ import annotations

import datetime as dt
import sys
from pathlib import Path
from typing import Any

import click

from gddcast.cli import options
from gddcast.cli.failures import NEEDS_YOUR_EYE

_UNIT = click.Choice(["F", "C", "K", "tenths-C"])


@click.command()
@click.argument("first", metavar="FILE", type=options.READABLE)
@click.argument("second", metavar="OTHER", type=options.READABLE)
@options.file_options
@click.option("--other-unit", type=_UNIT, help="What OTHER is in; --unit speaks of FILE.")
@options.on
@options.show
@options.as_json
@options.strict
@options.no_input
def compare(
    first: Path,
    second: Path,
    other_unit: str | None,
    on: dt.date | None,
    show: str | None,
    as_json: bool,
    strict: bool,
    no_input: bool,
    **file_options: Any,
) -> None:
    r"""Hold the thermometer of FILE against that of OTHER: day, night, sun, what it means in days.

    \b
    gddcast weather compare garden.csv station.csv
    """
    from gddcast.cli.opening import shown_unit
    from gddcast.cli.weather_files import open_measured, open_other
    from gddcast.quality.siting import compare as held_against

    ours = open_measured(first, on=on, no_input=no_input, **file_options)
    theirs = open_other(
        second, on=on, no_input=no_input, unit=other_unit, unit_flag="--other-unit",
        sure=file_options["sure"], like=ours,
    )  # fmt: skip
    siting = held_against(ours, theirs)
    unit = shown_unit(show, ours)
    if as_json:
        from gddcast.cli.clock import now
        from gddcast.text.weather.compare import comparison_json

        click.echo(comparison_json(siting, ours, theirs, unit, now()))
    else:
        from gddcast.text.weather.compare import comparison_text

        click.echo(comparison_text(siting, first.name, second.name, unit))
    if strict and (siting.identical or siting.lag or siting.sun_on):
        sys.exit(NEEDS_YOUR_EYE)
