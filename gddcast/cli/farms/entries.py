"""``gddcast farms saw`` and ``farms did``: an entry in one farm's book."""

from __future__ import annotations

from pathlib import Path

import click

from gddcast.cli import options
from gddcast.errors import Refusal, command

_PASSED_ON = {"ignore_unknown_options": True}


@click.command(context_settings=_PASSED_ON)
@click.argument("folder", type=options.READABLE)
@click.argument("farm")
@click.argument("words", nargs=-1, type=click.UNPROCESSED)
def saw(folder: Path, farm: str, words: tuple[str, ...]) -> None:
    r"""Record a find or a clean look at FARM; what follows is as of gddcast saw.

    \b
    gddcast farms saw FOLDER "Two Ponds" squash-vine-borer moths --trap --count 3 --nights 7 --by JK
    """
    from gddcast.cli.saw import saw as of_one_book

    _pass_on(of_one_book, "saw", folder, farm, words)


@click.command(context_settings=_PASSED_ON)
@click.argument("folder", type=options.READABLE)
@click.argument("farm")
@click.argument("words", nargs=-1, type=click.UNPROCESSED)
def did(folder: Path, farm: str, words: tuple[str, ...]) -> None:
    r"""Record a job at FARM; what follows is as of gddcast did.

    \b
    gddcast farms did FOLDER "Two Ponds" sown cucumber --done 2026-05-20
    """
    from gddcast.cli.did import did as of_one_book

    _pass_on(of_one_book, "did", folder, farm, words)


def _pass_on(
    of_one_book: click.Command, name: str, folder: Path, farm: str, words: tuple[str, ...]
) -> None:
    book = book_of(folder, farm)
    root = click.get_current_context().find_root()  # -h is help to it, as everywhere
    with of_one_book.make_context(name, [*words, "--book", str(book)], root) as context:
        of_one_book.invoke(context)


def book_of(folder: Path, farm: str) -> Path:
    """The folder of a farm's book.

    Raises
    ------
    Refusal
        If it keeps none.
    """
    from gddcast.readers.farms_list import read_farms

    listed = read_farms(folder)
    meant = listed.named(farm)
    if not meant.is_book:
        where = folder / Path(meant.file).stem
        place, at = meant.place, None
        if place.latitude is not None and place.longitude is not None:
            at = f"{place.latitude},{place.longitude}"
        flags = (("--show", listed.show), ("--at", at), ("--timezone", place.timezone))
        known = [word for flag, value in flags if value for word in (flag, value)]
        make = command("setup", "--book", where, "--name", meant.name, *known)
        raise Refusal(
            meant.name, "it keeps no season book",
            f"It goes by the file {meant.file}; finds and jobs are entered in a book.",
            f"Make one, then bring its file in:  {make}  and  "
            f"{command('weather', 'add', folder / meant.file, '--book', where)}", slug="no-book",
        )  # fmt: skip
    return folder / meant.file
