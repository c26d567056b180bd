"""A group of commands whose rooms are opened when they are called."""

from __future__ import annotations

from collections.abc import Mapping
from importlib import import_module

import click


class Rooms(click.Group):
    """Commands by name: the room below `package` and its function, and a line of help."""

    package = "gddcast.cli"
    commands_by_name: Mapping[str, tuple[str, str]] = {}

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        """Names in the order of help."""
        return list(self.commands_by_name)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        """Load one command."""
        if cmd_name not in self.commands_by_name:
            return None
        module, _, attribute = self.commands_by_name[cmd_name][0].partition(":")
        command: click.Command = getattr(import_module(f"{self.package}.{module}"), attribute)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        """Print one line a command, without loading any."""
        lines = [(name, words) for name, (_, words) in self.commands_by_name.items()]
        with formatter.section("Commands"):
            formatter.write_dl(lines)
