"""``gddcast farms letter``: one side that says where to look for what."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import click

from gddcast.cli import options
from gddcast.cli.farms.paper import as_paper, opened_board, to_file


@click.command()
@click.argument("folder", type=options.READABLE)
@to_file
@click.option("--names", is_flag=True, help="Farms by name, not by initials.")
@click.option("--pest", metavar="NAME,…", help="Only these pests (see gddcast pests).")
@options.on
@options.show
@options.cards
def letter(
    folder: Path,
    output: Path,
    force: bool,
    size: str,
    names: bool,
    pest: str | None,
    on: dt.date | None,
    show: str | None,
    cards_folder: Path | None,
) -> None:
    r"""Write one side for growers: which farms to look at, for what, when.

    Farms stand by their initials unless --names is said: a letter handed round tells of nobody.

    \b
    gddcast farms letter FOLDER -o letter.html
    """
    from gddcast.output_file import refuse_existing, write_text
    from gddcast.pages.farms.letter import letter_page

    refuse_existing(output, force=force)
    farms, board = opened_board(folder, on, pest, cards_folder)
    write_text(
        output, letter_page(board, farms.show(show), names=names, size=as_paper(size)), force=force
    )
