"""``gddcast weather check``: is this record good enough, and what does each fault cost?"""

from __future__ import annotations

import datetime as dt
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gddcast.cli import options
from gddcast.cli.failures import NEEDS_YOUR_EYE
from gddcast.errors import shell

if TYPE_CHECKING:
    from gddcast.quality.verdict import Verdict
    from gddcast.readers.reading import Reading
    from gddcast.weather.series import DailySeries

#: Said with every record: no number can tell it.
_SITING = (
    "Not known: where the thermometer hangs. If it stands in the sun, dates can come out two "
    "weeks early."
)


@click.command()
@options.file_argument
@options.file_options
@options.on
@options.show
@options.as_json
@options.strict
@options.no_input
def check(
    file: Path | None,
    on: dt.date | None,
    show: str | None,
    as_json: bool,
    strict: bool,
    no_input: bool,
    **file_options: Any,
) -> None:
    r"""Judge a FILE of temperatures: sound, patched, shaky or unusable, and why.

    \b
    gddcast weather check garden.csv
    gddcast weather check garden.csv --strict && echo good enough
    """
    if file is None:
        raise options.a_file_is_needed("weather check")
    from gddcast.cli.opening import open_reading, shown_unit

    reading, _ = open_reading(file, on=on, no_input=no_input, **file_options)
    measured, verdict = judged(reading)
    notes = [
        (note.rule, str(note))
        for note in reading.notes
        if note.rule != "days-absent"  # the verdict tells every run of them
    ]
    ahead = len(reading.series) - len(measured)
    if ahead:
        notes.append(("forecast", f"{ahead} forecast days at its end are not judged."))
    unit = shown_unit(show, measured)
    if as_json:
        from gddcast.cli.clock import now
        from gddcast.text.weather.check import verdict_json

        decided = reading.unit_decided_by
        click.echo(verdict_json(verdict, reading.unit, decided, notes, unit, now()))
    else:
        from gddcast.cli import screen
        from gddcast.text.terminal import Line
        from gddcast.text.weather.check import verdict_text

        twice = [str(note) for note in reading.notes if note.rule == "duplicate-days"]
        # A cure is copied whole, so its line is not folded to a narrow screen.
        click.echo(verdict_text(verdict, reading.understood, "see below" if twice else "", unit))
        terminal = screen.terminal()
        compare = shell("gddcast", "weather", "compare", file, "NEIGHBOUR.csv")
        for _, text in notes:
            click.echo(f"  The file: {text}")
        screen.show(terminal.show([Line(_SITING, rest="  ")]))
        click.echo(f"  Hold it against another:  {compare}")
    grave = any(each.level == "finding" for each in verdict.findings)
    if strict and (grave or verdict.trust in ("shaky", "unusable")):
        sys.exit(NEEDS_YOUR_EYE)


def judged(reading: Reading) -> tuple[DailySeries, Verdict]:
    """The days of a file that were measured, and how far they can be trusted."""
    from gddcast.cli.weather_files import without_forecast
    from gddcast.quality.verdict import judge

    measured = without_forecast(reading.series)
    return measured, judge(measured)
