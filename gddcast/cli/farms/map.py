"""``gddcast farms map``: the farms where they lie, by rank."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import click

from gddcast.cli import options
from gddcast.cli.farms.paper import as_paper, opened_board, to_file


@click.command("map")
@click.argument("folder", type=options.READABLE)
@to_file
@click.option("--pest", metavar="NAME,…", help="Only these pests (see gddcast pests).")
@options.on
@options.show
@options.cards
def map_(
    folder: Path,
    output: Path,
    force: bool,
    size: str,
    pest: str | None,
    on: dt.date | None,
    show: str | None,
    cards_folder: Path | None,
) -> None:
    r"""Write the farms’ map with a table beside it; OUT.svg is the map alone.

    It is drawn from latitude and longitude, with nothing from the network. Kilometres from stop to
    stop are as the crow flies, by rank; no route is planned.

    \b
    gddcast farms map FOLDER -o farms.html
    gddcast farms map FOLDER -o farms.svg
    """
    from gddcast.errors import Refusal
    from gddcast.output_file import refuse_existing, write_text
    from gddcast.pages.farms.map_page import map_alone, map_page

    ending = output.suffix.casefold()
    if ending not in (".svg", ".html", ".htm"):
        raise Refusal(
            str(output), "a map is a page or a drawing", f"Its name ends in {ending or 'nothing'}.",
            "Call it  farms.html , or  farms.svg  for the drawing alone.", slug="file-ending",
        )  # fmt: skip
    refuse_existing(output, force=force)
    farms, board = opened_board(folder, on, pest, cards_folder)
    place = farms.listed.place
    if ending == ".svg":
        write_text(output, map_alone(board, place), force=force)
        return
    page = map_page(board, place, farms.show(show), str(folder), size=as_paper(size))
    write_text(output, page, force=force)
