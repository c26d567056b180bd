"""The command line: read arguments, call one function, show its answer.

The only floor that reads the clock, the environment and the terminal.
"""

from __future__ import annotations

import os
import sys
from typing import Any

import click

from gddcast import __version__
from gddcast.cli.failures import DONE, answer_failures, interrupted
from gddcast.cli.options import color
from gddcast.cli.screen import gate
from gddcast.commits import counted

# Help is grouped as the work is. Each command loads when it is called, not before.
_COMMANDS: dict[str, dict[str, tuple[str, str]]] = {
    "Every week": {
        "walk": ("walk:walk", "what to look for today, where on the plant, how often"),
        "ahead": ("ahead:ahead", "what is due in the coming weeks, with one dot a past year"),
        "why": ("why:why", "the reasons and the sums behind a date"),
        "saw": ("saw:saw", "record a find or a clean look; a find restarts its clock"),
        "heard": ("saw:heard", "record somebody else’s report; it starts no clock"),
        "did": ("did:did", "record sown, first-pick, covered, pulled and other jobs"),
        "close": ("close:close", "stop looking for a stage this season"),
        "undo": ("undo:undo", "withdraw an entry, keeping a trace"),
        "redo": ("redo:redo", "take back an undo"),
        "page": ("page:page", "all of this in a browser on this machine"),
    },
    "Several farms": {
        "farms": ("farms.group:farms", "who is due where: rank, check, compare, patch many farms"),
    },
    "Once a season": {
        "setup": ("setup:setup", "make a season book for one place"),
        "watch": ("watch:watch", "which pests are watched: list, add, drop; by pest or by crop"),
        "weather": ("weather:weather", "bring in, judge, compare and patch a weather record"),
        "seasons": ("seasons:seasons", "the years at this place beside each other"),
        "sow": ("sow:sow", "when a crop can still be sown, by how past years went"),
        "tune": ("tune:tune", "how a published number fits your own finds; never automatic"),
        "backtest": ("backtest:backtest", "how past outlooks at this place would have done"),
        "export": ("export:export", "write the whole book as CSV and TOML"),
        "import": ("export:import_", "make a book from an export"),
        "book": ("book:book", "is the book sound; go back to a copy, save what can be saved"),
    },
    "Cards and sums": {
        "pests": ("cards:pests", "published thresholds of pests, with their sources"),
        "crops": ("cards:crops", "published heat sums and days of crops"),
        "heat": ("heat:heat", "day-by-day heat of any temperature file"),
        "grid": ("grid:grid", "dates of a pest on every pixel of gridded temperatures"),
        "thresholds": ("thresholds:thresholds", "threshold and heat sum from rearing data"),
    },
    "Hand-outs": {
        "calendar": ("calendar:calendar", "days to start looking, for any calendar program"),
        "sheet": ("sheet:sheet", "paper for the week’s walks, to write on"),
        "report": ("report:report", "the season on one page, for phone, wall and paper"),
        "chart": ("chart:chart", "pictures of seasons, methods, emergence and past outlooks"),
    },
    "Teaching": {
        "lesson": ("lesson:lesson", "worked days, worksheets, planted errors"),
        "demo": ("demo:demo", "the whole way at an invented place"),
    },
}

_ROOMS = {name: room for group in _COMMANDS.values() for name, (room, _) in group.items()}

_OPENING = """Says when to look for garden pests and ripening crops, from daily temperatures.

\b
Try it on an invented place, then on your own file:
  gddcast demo
  gddcast ahead garden.csv --watch squash-vine-borer,squash-bug
"""


class _Help(click.HelpFormatter):
    r"""Keeps the lines under a ``\b`` as they are; our helps are raw strings, which hide it."""

    def write_text(self, text: str) -> None:
        """Write a help text."""
        super().write_text(text.replace("\\b\n", "\b\n"))


click.Context.formatter_class = _Help


class Faces(click.Group):
    """Commands by the work they serve, each loaded when it is called."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        """Names in the order of help."""
        return list(_ROOMS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        """Load one command."""
        if cmd_name not in _ROOMS:
            return None
        from importlib import import_module

        module, _, attribute = _ROOMS[cmd_name].partition(":")
        command: click.Command = getattr(import_module(f"gddcast.cli.{module}"), attribute)
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the command, or say which one is near."""
        try:
            return super().resolve_command(ctx, args)
        except click.UsageError as error:
            from difflib import get_close_matches

            near = get_close_matches(args[0], _ROOMS, n=1)
            if not near:
                raise
            raise click.UsageError(f"{error.message} Did you mean '{near[0]}'?", ctx) from None

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        """Print each group with one line a command, without loading any."""
        for title, commands in _COMMANDS.items():
            with formatter.section(title):
                formatter.write_dl([(name, words) for name, (_, words) in commands.items()])

    def invoke(self, ctx: click.Context) -> Any:
        """Run; Ctrl-C and a closed pipe end here, before the library calls them failures."""
        try:
            return super().invoke(ctx)
        except (KeyboardInterrupt, click.Abort):
            interrupted()
        except BrokenPipeError:
            sys.exit(DONE)

    def main(self, *args: Any, **kwargs: Any) -> Any:
        """Run, and turn every failure into three parts and an exit code."""
        given = args[0] if args else kwargs.get("args")
        # No file of ours is dated by it, and libraries stumble over one that is no number.
        os.environ.pop("SOURCE_DATE_EPOCH", None)
        # A record's products are small: threads of NumPy's library would mostly wait, at full load.
        os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
        arguments = list(sys.argv[1:] if given is None else given)
        with gate(as_json="--json" in arguments), counted(), answer_failures(arguments):
            return super().main(*args, **kwargs)


@click.group(
    cls=Faces,
    help=_OPENING,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    no_args_is_help=True,
)
@color
@click.version_option(__version__, "--version", prog_name="gddcast")
def main() -> None:
    """Everything starts here."""
