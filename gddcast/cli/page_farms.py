"""The farms of a folder as ``gddcast page FOLDER`` hands them to the browser."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING

import click

from gddcast.errors import Refusal, command

if TYPE_CHECKING:
    from gddcast.cli.farms.opening import Farms
    from gddcast.pages.farms.map_page import MapPage
    from gddcast.today.today import Today
    from gddcast.units import Unit


@dataclass(frozen=True, slots=True)
class PageFarms:
    """A list of farms, read anew each time; their answers are kept in the cache folder."""

    folder: Path
    on: dt.date | None
    _lock: Lock = field(default_factory=Lock)  # farms are worked out once for all who ask

    def opened(self) -> Farms:
        """The list as it stands."""
        from gddcast.cli.farms.opening import open_farms

        return open_farms(self.folder, self.on)

    def board(self) -> MapPage:
        """Who is due where."""
        from gddcast.farms.board import A_WEEK
        from gddcast.pages.farms.map_page import map_of

        with self._lock:
            farms = self.opened()
            board = farms.board(A_WEEK)
        return map_of(board, farms.listed.place, farms.show(None), str(self.folder))

    def today(self, name: str) -> Today:
        """What one farm says on the day."""
        farms = self.opened()
        farm = farms.listed.named(name)
        if farm.fault is not None:
            raise farm.fault
        return farms.today(farm)

    def show(self) -> Unit:
        """What the list says is read."""
        return self.opened().show(None)

    def report(self, name: str) -> str:
        """The season's report of one farm; its book remembers nothing of it."""
        from gddcast.pages.report import report_page

        today = self.today(name)
        since = None if today.plan.watches_all else today.day - dt.timedelta(days=7)
        return report_page(today, self.show(), since=since)


def show_farms(folder: Path, on: dt.date | None, port: int | None, *, browser: bool) -> None:
    """Serve the farms of a folder until Ctrl-C.

    Raises
    ------
    Refusal
        If it is a season book, or its list can't be read.
    """
    from gddcast.cli.page_address import Address
    from gddcast.web.farms import farms_app
    from gddcast.web.keys import Keys
    from gddcast.web.serving import listen, names_of, serve

    if (folder / "book.toml").is_file():
        raise Refusal(
            str(folder), "it is a season book", "A folder of farms is named so; a book by --book.",
            f"Open it:  {command('page', '--book', folder)}", slug="a-book",
        )  # fmt: skip
    farms = PageFarms(folder, on)
    farms.opened()  # its faults are said here
    keys, (sockets, port) = Keys(), listen(port)
    address = Address(keys, port)
    address.open(folder.resolve().name, browser=browser)
    try:
        serve(farms_app(farms, keys, names_of(port), port, address.used), sockets)
    finally:
        for each in sockets:
            each.close()
    click.echo("\nClosed.", err=True)
