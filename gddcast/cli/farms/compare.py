"""``gddcast farms compare``: season by farm, by one method."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import click

from gddcast.cli import options, screen
from gddcast.cli.failures import CANNOT_USE


@click.command()
@click.argument("folder", type=options.READABLE)
@click.option("--pest", metavar="NAME", required=True, help="Count as its card does.")
@click.option("--stage", metavar="STAGE", help="Which of its stages; default the first.")
@options.on
@options.show
@options.cards
@options.color
@options.as_json
def compare(
    folder: Path,
    pest: str,
    stage: str | None,
    on: dt.date | None,
    show: str | None,
    cards_folder: Path | None,
    as_json: bool,
) -> None:
    r"""Hold the farms’ seasons beside each other: when each reached one sum, counted in one way.

    A book’s own method has no say here; a farm whose sums would start on another day is left out.

    \b
    gddcast farms compare FOLDER --pest squash-vine-borer
    """
    from gddcast.cli.farms.opening import open_farms
    from gddcast.cli.progress import progress_bar

    farms = open_farms(folder, on, pest=pest, cards=cards_folder)
    if len(farms.watch or ()) != 1:
        raise click.UsageError("One table holds one sum: name one --pest.")
    with progress_bar("Farms") as progress:
        farm_table = farms.table(stage, progress)
    unit = farms.show(show)
    if as_json:
        from gddcast.cli.clock import now
        from gddcast.text.farms.compare import compare_json

        click.echo(compare_json(farm_table, unit, now()))
    else:
        from gddcast.text.farms.compare import compare_text

        screen.show(compare_text(farm_table, unit, terminal=screen.terminal()))
    none = all(each.refusal is not None for each in farm_table.farms)
    farms.done(CANNOT_USE if none else 0)
