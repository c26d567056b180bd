"""``gddcast pests`` and ``gddcast crops``: list, read and check cards."""

from __future__ import annotations

from pathlib import Path

import click


@click.group()
def pests() -> None:
    """Read the published thresholds of pests."""


@click.group()
def crops() -> None:
    """Read the published heat sums and days of crops."""


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
def check(file: Path) -> None:
    """Check a card FILE of your own: every fault at once, with its line and its cure."""
    from gddcast.readers.card_files import check_card_file

    card = check_card_file(file)
    click.echo(f"{file}: no faults. {card.name}, {len(card.events)} events.")


pests.add_command(check)
crops.add_command(check)
