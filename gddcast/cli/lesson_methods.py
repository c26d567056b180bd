"""``gddcast lesson methods``: the same days of a file by every method and by the hour."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import click

from gddcast.cli import options


@click.command()
@options.file_argument
@click.option("--lower", default="50F", show_default=True, metavar="50F", help="Lower threshold.")
@click.option("--upper", metavar="86F", help="Upper threshold.")
@click.option(
    "--cutoff", type=click.Choice(["horizontal", "intermediate", "vertical", "cap-the-readings"]),
    default="horizontal", show_default=True, help="What warmth above the upper threshold does.",
)  # fmt: skip
@click.option("--from", "first", type=options.DAY, metavar="DATE", help="First day compared.")
@click.option("--to", "last", type=options.DAY, metavar="DATE", help="Last day compared.")
@options.reading_options
@options.show
def methods(
    file: Path | None, lower: str, upper: str | None, cutoff: str, first: dt.date | None,
    last: dt.date | None, show: str | None, **file_options: Any,
) -> None:  # fmt: skip
    r"""Count the same days of a FILE by every method, against its hourly readings if it has any.

    \b
    gddcast lesson methods garden.csv --lower 50F --from 2026-05-01 --to 2026-05-31
    """
    if file is None:
        raise options.a_file_is_needed("lesson methods")
    from gddcast.cli.opening import shown_unit
    from gddcast.heat.cutoffs import CUTOFFS
    from gddcast.lessons.comparison import compare_methods, on_days_of
    from gddcast.readers.temperature_file import read_temperatures
    from gddcast.text.lessons.methods import comparison_text
    from gddcast.units import temperature_named, to_celsius

    reading = read_temperatures(file, **file_options)
    for note in reading.notes:
        click.echo(f"{file.name}: {note}", err=True)
    series = reading.series.between(first or reading.series.first, last or reading.series.last)
    log = reading.hourly
    method_comparison = compare_methods(
        series,
        lower=to_celsius(*temperature_named(lower)),
        upper=float("inf") if upper is None else to_celsius(*temperature_named(upper)),
        cutoff=CUTOFFS[cutoff.replace("-", " ")],
        hourly=None if log is None else on_days_of(series, log.by_day(), log.stamps[0].item()),
    )
    click.echo(comparison_text(method_comparison, shown_unit(show, series)))
