"""``gddcast weather``: everything about a weather record; each command in a room of its own."""

from __future__ import annotations

from importlib import import_module

import click

#: Room of each command, and its line of help: nothing loads before it is called.
_COMMANDS = {
    "add": ("weather_add:add", "bring a file into the book"),
    "again": ("weather_again:again", "bring in once more what the book's weather came from"),
    "fetch": ("weather_fetch:fetch", "bring it from a station near a place; uses the network"),
    "stations": ("weather_fetch:stations", "which stations are near; uses the network"),
    "note": ("weather_add:note", "note one day's reading of a thermometer"),
    "check": ("weather_check:check", "judge a file: what is wrong, and what it costs in days"),
    "compare": ("weather_compare:compare", "hold one thermometer against another"),
    "patch": ("weather_patch:patch", "mend a file and fill its gaps, always marked"),
}


class _Weather(click.Group):
    """Commands loaded when they are called."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        """Names in the order of help."""
        return list(_COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        """Load one command."""
        if cmd_name not in _COMMANDS:
            return None
        module, _, attribute = _COMMANDS[cmd_name][0].partition(":")
        command: click.Command = getattr(import_module(f"gddcast.cli.{module}"), attribute)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        """Print one line a command, without loading any."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, words) for name, (_, words) in _COMMANDS.items()])


@click.group(cls=_Weather)
def weather() -> None:
    """Bring in and look after the daily minima and maxima that every date is made from."""
