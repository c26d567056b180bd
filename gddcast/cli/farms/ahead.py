"""``gddcast farms ahead``: who is due where, ranked by the first stage to look for."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import click

from gddcast.cli import options


@click.command()
@click.argument("folder", type=options.READABLE)
@click.option("--pest", metavar="NAME", help="This pest only.")
@click.option("--days", type=click.IntRange(1, 120), default=7, help="Days ahead; 7.")
@options.on
def ahead(folder: Path, pest: str | None, days: int, on: dt.date | None, **_: Any) -> None:
    """Rank the farms of FOLDER by the first stage to look for."""
    from gddcast.cli.farms.opening import open_farms

    board = open_farms(folder, on, pest=pest).board(days)
    for rank, row in board.ranked:
        click.echo(f"{rank} {row.farm.name} {row.first}")
    for row in board.of("eye") + board.of("refused"):
        click.echo(f"{row.state} {row.farm.name} {row.doubts} {row.refusal}")
