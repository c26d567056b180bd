"""Flags that lessons take, and how they write a file."""

from __future__ import annotations

from pathlib import Path

import click

from gddcast.cli import options

paper = click.option(
    "--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True,
    help="Sheet the page is laid out for.",
)  # fmt: skip
output = click.option(
    "-o", "--output", type=options.HAND_OUT, metavar="FILE", help="Write it to this file."
)
force = click.option("--force", "-f", is_flag=True, help="Write over a file that is there.")
seed = click.option(
    "--seed", type=click.IntRange(min=0), required=True, help="The same seed makes the same lesson."
)
answers = click.option("--answers", is_flag=True, help="The key instead.")
unit = click.option(
    "--unit", type=click.Choice(["F", "C"]), default="F", show_default=True,
    help="Scale the lesson is written in.",
)  # fmt: skip


def write(path: Path, text: str, force: bool, hint: str) -> None:
    """Write a hand-out and say so."""
    from gddcast.output_file import write_text

    write_text(path, text, force=force)
    click.echo(f"Wrote {path}: {hint}.", err=True)


def refuse_other_endings(path: Path, *endings: str) -> str:
    """The ending of a file to write; another one than a lesson has is refused, not overridden.

    Parameters
    ----------
    path : Path
    *endings : str
        Such as ``html``, ``csv``.

    Raises
    ------
    Refusal
    """
    from gddcast.errors import Refusal
    from gddcast.words import listed

    ending = path.suffix.lower().removeprefix(".")
    ending = "html" if ending == "htm" else ending
    if ending not in endings:
        named = listed([f".{each}" for each in endings], "or")
        raise Refusal(
            str(path), f"this lesson is written as {named}",
            f"Its name ends in {path.suffix or 'nothing'}.",
            f"Call it {path.stem}.{endings[0]}.", slug="file-ending",
        )  # fmt: skip
    return ending
