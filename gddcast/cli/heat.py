"""``gddcast heat``: the day-by-day heat table of any temperature file; no card, no book needed."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from gddcast.cli import options

_SHAPES = (
    "floor-the-mean", "floor-the-readings", "single-triangle", "single-sine",
    "double-triangle", "double-sine",
)  # fmt: skip
_CUTOFFS = ("none", "horizontal", "intermediate", "vertical", "cap-the-readings")


@click.command()
@options.file_argument
@click.option("--lower", required=True, metavar="50F", help="Lower threshold, with its F or C.")
@click.option("--upper", metavar="86F", help="Upper threshold, with its F or C.")
@click.option("--shape", type=click.Choice(_SHAPES), default="single-sine",
              show_default=True, help="How a day lies between its low and its high.")  # fmt: skip
@click.option("--cutoff", type=click.Choice(_CUTOFFS), default="horizontal",
              show_default=True, help="What happens above the upper threshold.")  # fmt: skip
@click.option("--from", "first", type=options.DAY, metavar="DATE", help="First day counted.")
@click.option("--to", "last", type=options.DAY, metavar="DATE", help="Last day shown.")
@options.file_options
@options.show
@options.on
@click.option("--csv", "as_csv", is_flag=True, help="The table as CSV.")
@options.as_json
@options.no_input
@click.option("--allow-odd-threshold", is_flag=True, help="Below -5 or above 25 °C after all.")
def heat(
    file: Path | None,
    lower: str,
    upper: str | None,
    shape: str,
    cutoff: str,
    first: dt.date | None,
    last: dt.date | None,
    show: str | None,
    on: dt.date | None,
    as_csv: bool,
    as_json: bool,
    no_input: bool,
    allow_odd_threshold: bool,
    **file_options: Any,
) -> None:
    r"""Count the heat of each day in a FILE, and its running sum.

    \b
    gddcast heat garden.csv --lower 50F --from 2026-01-01
    gddcast heat garden.csv --lower 10C --upper 30C --cutoff vertical --csv
    """
    if file is None:
        raise options.a_file_is_needed("heat --lower 50F")
    from gddcast.cli.opening import shown_unit
    from gddcast.cli.record import open_record
    from gddcast.heat.cutoffs import CUTOFFS
    from gddcast.heat.heat_days import heat_days
    from gddcast.heat.shapes import SHAPES
    from gddcast.text.weather import heat_table

    low, high = _threshold(lower, allow_odd_threshold), _upper(upper)
    record = open_record(file, on, no_input=no_input, **file_options)
    # A table of days runs through the evening of the day that was said.
    evening = replace(record, today=record.today + dt.timedelta(days=1))
    table = heat_days(
        evening.series, record.today, lower=low, upper=high,
        shape=SHAPES[shape.replace("-", " ")], cutoff=CUTOFFS[cutoff.replace("-", " ")],
        first=first, last=last,
    )  # fmt: skip
    unit = shown_unit(show, record.as_read)
    if as_json:
        from gddcast.cli.clock import now

        click.echo(heat_table.as_json(table, unit, now()))
    elif as_csv:
        click.echo(heat_table.as_csv(table, unit), nl=False)
    else:
        click.echo(heat_table.as_text(table, unit))


def _threshold(text: str, allow_odd: bool) -> float:
    """Lower threshold in °C; refused where it looks like one scale read as the other."""
    from gddcast.errors import Refusal
    from gddcast.units import temperature_named, to_celsius

    value, unit = temperature_named(text)
    celsius = to_celsius(value, unit)
    if not allow_odd and not -5.0 <= celsius <= 25.0:
        raise Refusal(
            f"the lower threshold {text}",
            f"it is {celsius:.1f} °C",
            "Published lower thresholds lie between −5 and 25 °C (23 and 77 °F): "
            "is the other scale meant?",
            "Mend it, or add --allow-odd-threshold.",
            slug="odd-threshold",
        )
    return celsius


def _upper(text: str | None) -> float:
    from gddcast.units import temperature_named, to_celsius

    return float("inf") if text is None else to_celsius(*temperature_named(text))
