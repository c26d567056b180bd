"""``Are you sure?``: what may be a slip is asked at a terminal, and elsewhere needs ``--yes``."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from gddcast.errors import Refusal
from gddcast.words import capital

if TYPE_CHECKING:
    from gddcast.text.doubts import EntryDoubt


def ask_to_be_sure(*doubts: EntryDoubt | None, asks: bool, sure: bool) -> None:
    """Go on only if the person is sure of everything doubted.

    Parameters
    ----------
    *doubts : Doubt or None
        None where there is no doubt.
    asks : bool
        Whether questions can be put.
    sure : bool
        Whether the person said so with the command.

    Raises
    ------
    Refusal
        Where nobody can be asked: with the first doubt.
    click.exceptions.Exit
        If the person is not sure.
    """
    open_doubts = [doubt for doubt in doubts if doubt is not None]
    if sure or not open_doubts:
        return
    first = open_doubts[0]
    if not asks:
        otherwise = f"{first.otherwise}     " if first.otherwise else ""
        raise Refusal(
            first.where, first.problem, first.evidence,
            f"{otherwise}If it is so:", flag="--yes", slug="are-you-sure",
        )  # fmt: skip
    for doubt in open_doubts:
        click.echo(f"{capital(doubt.where)}: {doubt.problem}.\n  {doubt.evidence}", err=True)
    if not click.confirm("Are you sure?", prompt_suffix=" ", err=True):
        click.echo("Nothing was written.", err=True)
        raise click.exceptions.Exit(0)
