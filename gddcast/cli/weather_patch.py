"""``gddcast weather patch``: mend a file as asked and fill its gaps, always marked."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gddcast.cli import options
from gddcast.errors import Refusal

if TYPE_CHECKING:
    from gddcast.weather.calendar_day import Span

_UNIT = click.Choice(["F", "C", "K", "tenths-C"])


def _days(flag: str, words: str) -> Callable[[options.Command], options.Command]:
    return click.option(
        flag, nargs=2, type=options.DAY, multiple=True, metavar="FIRST LAST", help=words
    )


@click.command()
@click.argument("file", type=options.READABLE)
@click.option("--output", "-o", type=options.HAND_OUT, required=True, metavar="FILE",
              help="Write the mended record to it.")  # fmt: skip
@click.option(
    "--from",
    "lender",
    type=options.READABLE,
    metavar="OTHER",
    help="A record near by that lends its readings, moved by its own offset.",
)
@click.option(
    "--extend", is_flag=True, help="OTHER lends before FILE begins and after it ends, too."
)
@click.option("--from-unit", type=_UNIT, help="What OTHER is in; --unit speaks of FILE.")
@_days("--blank", "Days whose readings are not to be believed.")
@_days("--blank-max", "Days whose maxima are not to be believed.")
@_days("--blank-min", "Days whose minima are not to be believed.")
@_days("--mornings", "Lines read in the morning: their maxima go to the day before.")
@click.option("--add-max", metavar="2F", help="Add to every maximum, with its F or C.")
@click.option("--add-min", metavar="-1F", help="Add to every minimum, with its F or C.")
@click.option("--force", "-f", is_flag=True, help="Write over a file that is there.")
@options.file_options
@options.on
@options.show
@options.as_json
@options.no_input
def patch(
    file: Path,
    output: Path,
    lender: Path | None,
    extend: bool,
    from_unit: str | None,
    blank: tuple[Span, ...],
    blank_max: tuple[Span, ...],
    blank_min: tuple[Span, ...],
    mornings: tuple[Span, ...],
    add_max: str | None,
    add_min: str | None,
    force: bool,
    on: dt.date | None,
    show: str | None,
    as_json: bool,
    no_input: bool,
    **file_options: Any,
) -> None:  # fmt: skip
    r"""Mend FILE and write it anew; each patched day stays marked.

    Gaps of up to 30 days are filled from the days around them and the usual temperatures of the
    place; longer ones only from OTHER. Impossible readings are left out. FILE stays as it is.

    \b
    gddcast weather patch garden.csv -o patched.csv
    gddcast weather patch garden.csv --from station.csv -o patched.csv
    gddcast weather patch garden.csv --from station.csv --extend -o with-past-years.csv
    gddcast weather patch garden.csv --blank-max 2026-05-20 2026-05-29 -o patched.csv
    """
    from gddcast.cli.clock import now
    from gddcast.cli.opening import shown_unit
    from gddcast.cli.weather_files import open_measured, open_other
    from gddcast.output_file import write_text
    from gddcast.quality.mending import Wishes, mend
    from gddcast.text.weather.record_csv import record_csv

    if extend and lender is None:
        raise Refusal(
            "--extend", "no record is named that lends", "A record does not extend itself.",
            "Name one near by:", flag="--from OTHER.csv", slug="lender-missing",
        )  # fmt: skip
    series = open_measured(file, on=on, no_input=no_input, **file_options)
    other = None
    if lender is not None:
        other = open_other(
            lender, on=on, no_input=no_input, unit=from_unit, unit_flag="--from-unit",
            sure=file_options["sure"], like=series,
        )  # fmt: skip
    wishes = Wishes(
        blank, blank_max, blank_min, mornings, add_max=_difference(add_max),
        add_min=_difference(add_min),
    )  # fmt: skip
    mended = mend(series, wishes, other, extend=extend)
    lent_by = lender.name if lender else None
    write_text(output, record_csv(mended, file.name, lent_by, now().date()), force=force)
    unit = shown_unit(show, series)
    if as_json:
        from gddcast.text.weather.patch import mended_json

        click.echo(mended_json(mended, str(output), unit, now()))
    else:
        from gddcast.text.weather.patch import mended_text

        click.echo(mended_text(mended, file.name, lent_by, str(output), unit))


def _difference(text: str | None) -> float:
    """A difference of temperatures with its scale, in °C."""
    from gddcast.units import temperature_named, to_celsius_days

    return 0.0 if text is None else to_celsius_days(*temperature_named(text))
