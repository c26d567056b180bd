"""``gddcast thresholds``: lower threshold and heat sum from rearing jars, and a card of them."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import click

from gddcast.cli import options


@click.command()
@click.argument("file", type=options.READABLE)
@click.option(
    "--unit", type=click.Choice(["F", "C"]), help="Scale of the temperatures, if not in the header."
)
@click.option("--up-to", metavar="30C", help="Warmest temperature on the line, with its F or C.")
@click.option("--seed", type=click.IntRange(min=0), default=0, show_default=True,
              help="Seed of the bootstrap.")  # fmt: skip
@click.option("--card", type=options.HAND_OUT, metavar="FILE.toml", help="Write a card file.")
@click.option("--name", metavar="NAME", help="Common name, for the card.")
@click.option("--latin", default="not stated", metavar="NAME", help="Latin name, for the card.")
@click.option("--stage", default="eggs:adults", show_default=True, metavar="FROM:TO",
              help="Events the stage runs between, for the card.")  # fmt: skip
@click.option("-o", "--output", type=options.HAND_OUT, metavar="FILE.html", help="Draw it.")
@click.option("--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True,
              help="Sheet the page is laid out for.")  # fmt: skip
@click.option("--force", "-f", is_flag=True, help="Write over a file that is there.")
def thresholds(
    file: Path, unit: Literal["F", "C"] | None, up_to: str | None, seed: int, card: Path | None,
    name: str | None, latin: str, stage: str, output: Path | None,
    paper: Literal["a4", "letter"], force: bool,
) -> None:  # fmt: skip
    r"""Find the lower threshold and the heat sum of a stage from rearing jars.

    FILE is a CSV with the temperature of each jar, the days the stage took, and how many finished
    (temperature_C,days,n); "none" stands for days where nobody did.

    \b
    gddcast thresholds jars.csv --unit C
    gddcast thresholds jars.csv --unit C --card dock-beetle.toml --name "dock leaf beetle"
    """
    from gddcast.output_file import refuse_existing
    from gddcast.pages.lessons.jars import rate_page
    from gddcast.readers.rearing_file import read_rearing
    from gddcast.rearing.curves import rate_curve
    from gddcast.rearing.fit import threshold_line
    from gddcast.rearing.orthogonal import second_opinion
    from gddcast.text.rearing import rate_text
    from gddcast.units import temperature_named, to_celsius

    for path in filter(None, (output, card)):
        refuse_existing(path, force=force)
    jars = read_rearing(file, unit=unit)
    limit = None if up_to is None else to_celsius(*temperature_named(up_to))
    line, opinion = threshold_line(jars, up_to=limit, seed=seed), second_opinion(jars, up_to=limit)
    curve = rate_curve(jars)
    click.echo(rate_text(jars, line, opinion, curve))
    if output is not None:
        page = rate_page(jars, line, opinion, curve, size=paper)
        _write(output, page, force, "the picture")
    if card is not None:
        from gddcast.text.cards.card_draft import About, card_draft

        begins, _, ends = stage.partition(":")
        about = About(name or card.stem.replace("-", " "), latin, ends or "adults", begins)
        hint = 'fill in each "not stated", then check it with  gddcast pests check'
        _write(card, card_draft(jars, line, curve, about), force, hint)


def _write(path: Path, text: str, force: bool, hint: str) -> None:
    from gddcast.output_file import write_text

    write_text(path, text, force=force)
    click.echo(f"Wrote {path}: {hint}.", err=True)
