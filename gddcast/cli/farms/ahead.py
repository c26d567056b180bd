"""``gddcast farms ahead``: who is due where, ranked by the first stage to look for."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gddcast.cli import options, screen
from gddcast.cli.failures import CANNOT_USE, NEEDS_YOUR_EYE

if TYPE_CHECKING:
    from gddcast.farms.board import Board

folder_argument = click.argument("folder", type=options.READABLE)


@click.command()
@folder_argument
@click.option("--pest", metavar="NAME,…", help="Only these pests (see gddcast pests).")
@click.option(
    "--days", type=click.IntRange(1, 366), default=7, show_default=True, metavar="N",
    help="What is to be looked for in so many days is due.",
)  # fmt: skip
@options.full
@options.on
@options.show
@options.cards
@options.color
@options.as_json
@options.strict
def ahead(
    folder: Path,
    pest: str | None,
    days: int,
    full: bool,
    on: dt.date | None,
    show: str | None,
    cards_folder: Path | None,
    as_json: bool,
    strict: bool,
) -> None:
    r"""Rank the farms of FOLDER by the first stage to look for.

    FOLDER holds season books and files of temperatures; FOLDER/farms.toml says more of each. A
    file of several sites does as well. Farms whose record is doubtful stand beside, unranked, with
    the cure; with --strict the command then exits 4.

    \b
    gddcast farms ahead FOLDER
    gddcast farms ahead FOLDER --pest squash-vine-borer --days 14
    """
    from gddcast.cli.farms.opening import open_farms
    from gddcast.cli.progress import progress_bar

    farms = open_farms(folder, on, pest=pest, cards=cards_folder)
    with progress_bar("Farms") as progress:
        board = farms.board(days, progress)
    unit = farms.show(show)
    if as_json:
        from gddcast.cli.clock import now
        from gddcast.text.farms.board_json import board_json

        click.echo(board_json(board, unit, str(folder), now()))
    else:
        from gddcast.text.farms.board_words import board_text

        terminal = screen.terminal()
        screen.show(board_text(board, unit, str(folder), full=full, terminal=terminal))
    farms.done(exit_code(board, strict=strict))


def exit_code(board: Board, *, strict: bool) -> int:
    """0 where a farm answered, 3 where none did, 4 with ``--strict`` where not all did cleanly."""
    if len(board.of("refused")) == len(board.farms):
        return CANNOT_USE
    return NEEDS_YOUR_EYE if strict and len(board.of("dated")) < len(board.farms) else 0
