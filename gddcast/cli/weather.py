"""``gddcast weather``: everything about a weather record; each command in a room of its own."""

from __future__ import annotations

import click

from gddcast.cli.rooms import Rooms

#: Room of each command, and its line of help: nothing loads before it is called.
_COMMANDS = {
    "add": ("weather_add:add", "bring a file into the book"),
    "again": ("weather_again:again", "bring in once more what the book’s weather came from"),
    "fetch": ("weather_fetch:fetch", "bring it from a station near a place; uses the network"),
    "stations": ("weather_fetch:stations", "which stations are near; uses the network"),
    "note": ("weather_add:note", "note one day’s reading of a thermometer"),
    "check": ("weather_check:check", "judge a file: what is wrong, and what it costs in days"),
    "compare": ("weather_compare:compare", "hold one thermometer against another"),
    "patch": ("weather_patch:patch", "mend a file and fill its gaps, always marked"),
}


class _Weather(Rooms):
    commands_by_name = _COMMANDS


@click.group(cls=_Weather)
def weather() -> None:
    """Bring in and look after the daily minima and maxima that every date is made from."""
