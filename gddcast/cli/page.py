"""``gddcast page``: the season book in a browser on this machine."""

from __future__ import annotations

import datetime as dt
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gddcast.cli import options
from gddcast.cli.page_address import Address
from gddcast.cli.page_farms import show_farms
from gddcast.errors import Refusal

if TYPE_CHECKING:
    from gddcast.cli.page_book import PageBook


@click.command()
@click.argument("folder", type=options.READABLE, required=False)
@options.on
@options.book
@click.option("--demo", is_flag=True, help="An invented place, to play with: nothing is kept.")
@click.option("--port", type=click.IntRange(1, 65535), metavar="N", help="Default: 8460, or free.")
@click.option("--no-browser", is_flag=True, help="Open none; the address is printed.")
@click.option("--on-my-network", "at_home", is_flag=True,
              help="Let in devices of your home network, each by a code.")  # fmt: skip
@click.option("--copy", "copy", type=options.HAND_OUT, metavar="OUT",
              help="Only write today as a file, for a device out of reach.")  # fmt: skip
@click.option("--force", "-f", is_flag=True, help="Write over a copy that is there.")
@click.option("--class", "for_class", is_flag=True,
              help="Lessons and cards alone, no book: for every device here.")  # fmt: skip
def page(
    folder: Path | None,
    on: dt.date | None,
    book_folder: Path | None,
    demo: bool,
    port: int | None,
    no_browser: bool,
    at_home: bool,
    copy: Path | None,
    force: bool,
    for_class: bool,
) -> None:
    r"""Show your season book in a browser: what to look for, and a button for each answer.

    It runs on this machine until Ctrl-C; no other machine reaches it, and it fetches nothing. Of a
    FOLDER of farms it shows who is due where, and writes nothing.

    \b
    gddcast page
    gddcast page --demo
    gddcast page --on-my-network     a phone in the garden, let in by a code
    gddcast page --copy today.html   the walk as a file; gddcast saw --from reads its answers
    gddcast page --class             lessons and cards for a class
    gddcast page FOLDER              a folder of farms, to look at
    """
    typed = click.get_current_context().get_parameter_source("book_folder")
    if demo and typed is click.core.ParameterSource.COMMANDLINE:
        raise click.UsageError("Name a --book or the --demo, not both.")
    if folder is not None:
        named = typed is click.core.ParameterSource.COMMANDLINE
        if named or demo or at_home or for_class or copy is not None:
            raise click.UsageError("A FOLDER of farms is shown on this machine, by itself.")
        show_farms(folder, on, port, browser=not no_browser)
        return
    if for_class:
        _for_class(port)
        return
    from gddcast.web.app import page_app
    from gddcast.web.keys import Keys
    from gddcast.web.serving import listen, listen_at_home, names_of, serve

    keys = Keys()
    with tempfile.TemporaryDirectory(prefix="gddcast-page-") as scratch:
        book = _book_meant(book_folder, on, Path(scratch), demo=demo)
        if copy is not None:
            from gddcast.output_file import write_text
            from gddcast.web.copy import saved_copy

            write_text(copy, saved_copy(book), force=force)
            click.echo(f"Wrote {copy}: open it on any device.", err=True)
            return
        sockets, port = listen(port)
        names, home = names_of(port), ""
        if at_home:
            beside, own = listen_at_home(port)
            sockets.append(beside)
            names, home = names_of(port, own), f"http://{own}:{port}"
            click.echo(
                f"Devices of your home network reach it at {home} once you let them in (Record, "
                "Other devices). At home it goes unencrypted: others there could read along.",
                err=True,
            )

        address = Address(keys, port)
        address.open(book.name if book.exists() else "A new season book", browser=not no_browser)
        try:
            serve(page_app(book, keys, names, port, Path(scratch), home, address.used), sockets)
        finally:
            for each in sockets:
                each.close()
        click.echo("\nClosed. What was logged is in the book.", err=True)


def _for_class(port: int | None) -> None:
    """Lessons and cards, for whoever is on this network."""
    from gddcast.readers.card_files import load_cards
    from gddcast.web.classroom import class_app
    from gddcast.web.serving import listen, listen_at_home, names_of, serve

    cards = load_cards()
    sockets, port = listen(port)
    beside, own = listen_at_home(port)
    click.echo("Lessons and cards, without any book, for every device of this network, until you "
               f"press Ctrl-C here:\n  http://{own}:{port}", err=True)  # fmt: skip
    serve(class_app(cards, names_of(port, own), port), [*sockets, beside])
    click.echo("\nClosed.", err=True)


def _book_meant(folder: Path | None, on: dt.date | None, scratch: Path, *, demo: bool) -> PageBook:
    """The book named, opened once so that its faults are said here; or a fresh one of the demo."""
    from gddcast.cli.page_book import PageBook

    if demo:
        from gddcast.cli.demo_book import DEMO_TODAY, make_demo_book

        book = make_demo_book(scratch / "brackenrise-patch")
        return PageBook(book.folder, on or DEMO_TODAY, is_invented=True)
    from gddcast.cli.book_here import folder_meant

    try:
        page_book = PageBook(folder_meant(folder), on)
    except Refusal as refusal:
        if refusal.slug != "no-book":
            raise
        return PageBook(None, on)
    page_book.day()
    return page_book
