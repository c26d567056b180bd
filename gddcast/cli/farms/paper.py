"""What the commands that write farms onto paper share: where to, how large, and the board."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from gddcast.cli import options

if TYPE_CHECKING:
    from gddcast.cli.farms.opening import Farms
    from gddcast.farms.board import Board
    from gddcast.pages.paper import Paper

Command = TypeVar("Command", bound=Callable[..., Any])


def to_file(command: Command) -> Command:
    """Where a page is written to, and for which paper."""
    for option in (
        click.option("--paper", "size", type=click.Choice(["a4", "letter"]), default="a4",
                     help="Default: a4."),
        click.option("--force", "-f", is_flag=True, help="Write over a file that is there."),
        click.option("-o", "--output", type=options.HAND_OUT, required=True, metavar="OUT",
                     help="File to write."),
    ):  # fmt: skip
        command = option(command)
    return command


def as_paper(size: str) -> Paper:
    """The paper said."""
    return "letter" if size == "letter" else "a4"


def opened_board(
    folder: Path, on: dt.date | None, pest: str | None, cards: Path | None
) -> tuple[Farms, Board]:
    """The farms of a folder and who is due where; what can't be read is said at once.

    Exits with 3 where no farm can be read, with 130 where it is interrupted; nothing is written.
    """
    from gddcast.cli.failures import CANNOT_USE
    from gddcast.cli.farms.opening import open_farms
    from gddcast.cli.progress import progress_bar
    from gddcast.farms.board import A_WEEK
    from gddcast.text.farms.doubt_words import why_refused

    farms = open_farms(folder, on, pest=pest, cards=cards)
    with progress_bar("Farms") as progress:
        board = farms.board(A_WEEK, progress)
    refused = board.of("refused")
    for row in refused:
        click.echo(f"{row.farm.name} can’t be read: {why_refused(row, str(folder))}", err=True)
    if farms.not_asked or len(refused) == len(board.farms):
        farms.done(CANNOT_USE)
    return farms, board
