"""``gddcast farms``: several farms at once; each command in a room of its own."""

from __future__ import annotations

import click

from gddcast.cli.rooms import Rooms

#: Room of each command, and its line of help: nothing loads before it is called.
_COMMANDS = {
    "setup": ("setup:setup", "make the list from a table: name, file, latitude, longitude …"),
    "add": ("add:add", "bring new weather to each by name"),
    "check": ("check:check", "verdict, days behind, gaps, copies, best neighbour"),
    "ahead": ("ahead:ahead", "who is due where, ranked"),
    "compare": ("compare:compare", "season by farm, by one method"),
    "patch": ("patch:patch", "fill one farm’s gap from another’s record; asks first"),
    "saw": ("entries:saw", "record a find or a clean look at one farm"),
    "did": ("entries:did", "record a job at one farm"),
    "sheets": ("sheets:sheets", "every farm’s sheet for the week in one file to print"),
    "letter": ("letter:letter", "one side: where to look for what; farms by initials"),
    "visits": ("visits:visits", "who looked, when, for what, as a table"),
    "map": ("map:map_", "the farms where they lie, by rank, and a table"),
}


class _Farms(Rooms):
    package = "gddcast.cli.farms"
    commands_by_name = _COMMANDS


@click.group(cls=_Farms)
def farms() -> None:
    """Look after several farms: a folder of files and season books, or one file of several sites.

    One farm that can’t be read never hides the others.
    """
