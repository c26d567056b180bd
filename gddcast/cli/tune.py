"""``gddcast tune``: how a published number fits your own finds; it never adopts by itself."""

from __future__ import annotations

import datetime as dt
import math
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gddcast.cli import options
from gddcast.errors import Refusal

if TYPE_CHECKING:
    from gddcast.cli.book_here import Here
    from gddcast.journal import OwnGoal
    from gddcast.tuning import Fit
    from gddcast.units import Unit


@click.command()
@click.argument("organism", metavar="PEST")
@click.argument("stage", metavar="[STAGE]", required=False)
@click.option("--keep", metavar="N", help="Keep this sum in your book, in the scale it shows.")
@options.on
@options.book
@options.as_json
def tune(
    organism: str,
    stage: str | None,
    keep: str | None,
    on: dt.date | None,
    book_folder: Path | None,
    as_json: bool,
) -> None:
    r"""Set your own first finds beside the published heat sum.

    \b
    gddcast tune squash-vine-borer moths
    gddcast tune squash-vine-borer moths --keep 1061
    """
    from gddcast.cli.book_here import open_here
    from gddcast.cli.opening import card_named
    from gddcast.cli.seasons import calendar_number, start_date
    from gddcast.counting import counting_of
    from gddcast.gaps import patch_short
    from gddcast.handouts import tune_text
    from gddcast.quality import judge
    from gddcast.tuning import tune as tune_to

    here = open_here(book_folder, on)
    cards, overrule, show = here.cards(), here.book.overrule, here.book.show
    card = cards[card_named(cards, organism)]
    event, number = calendar_number(card, stage)
    counting = counting_of(number, shape=overrule.shape, cutoff=overrule.cutoff)
    published = sum(number.goal_c or ()) / 2
    series = patch_short(judge(here.book.series(here.today).before(here.today)).judged)
    tuning = tune_to(
        series, here.book.journal(), card.key, event.key, counting, published,
        overrule.start or start_date(number),
    )  # fmt: skip
    if keep is not None:
        _keep(here, card.key, event.key, keep, tuning.fit)
    elif as_json:
        from gddcast.cli.clock import now

        click.echo(tune_text.as_json(tuning, published, counting, show, now()))
    else:
        source = card.sources[number.source].short if number.source in card.sources else ""
        command = f"gddcast tune {card.key} {event.key}"
        click.echo(
            tune_text.as_text(tuning, published, source or number.source, counting, command, show)
        )


def _keep(here: Here, organism: str, event: str, keep: str, fit: Fit | None) -> None:
    """Write a sum into the book, with the interval of the fit."""
    from gddcast.words import heat

    if fit is None:
        raise Refusal(
            f"--keep {keep}",
            "there are too few seasons to change anything",
            "Three first finds are needed, each with a clean look before it.",
            "Log them:  gddcast saw PEST STAGE --seen DATE --clean DATE",
            slug="too-few-seasons",
        )
    show = here.book.show
    goal = _rounded(organism, event, keep, fit, here.today, show)
    with here.writing() as pen:
        name = pen.add(goal)
    low, high = (heat(each, show, unit=False) for each in (goal.low, goal.high))
    click.echo(f"Kept: {heat(goal.goal, show)}, interval {low}–{high}.  [entry {name}]")
    click.echo("Your walk and outlook still count by the card; this stands beside it.")
    click.echo("Undo:  gddcast undo")


def _rounded(organism: str, event: str, keep: str, fit: Fit, today: dt.date, show: Unit) -> OwnGoal:
    """The sum and its interval in whole tens: more digits would promise too much."""
    from gddcast.journal import OwnGoal
    from gddcast.units import from_celsius_days, temperature_named, to_celsius_days
    from gddcast.words import heat

    bare = keep.strip().replace(",", "")
    value, unit = temperature_named(bare if bare[-1:].isalpha() else f"{bare}{show}")
    celsius = to_celsius_days(value, unit)
    if not fit.low <= celsius <= fit.high:
        ends = [heat(each, show) for each in (fit.low, fit.high)]
        raise Refusal(
            f"--keep {keep}",
            f"your finds do not allow {heat(celsius, show)}",
            f"The 95 % interval of their fit runs from {ends[0]} to {ends[1]}.",
            f"Keep the fitted sum:  --keep {from_celsius_days(fit.mean, show):.0f}",
            slug="outside-the-fit",
        )
    step = 10.0 if show == "F" else 5.0
    goal, low, high = (
        to_celsius_days(to_step(from_celsius_days(each, show) / step) * step, show)
        for each, to_step in ((celsius, round), (fit.low, math.floor), (fit.high, math.ceil))
    )
    return OwnGoal(organism, event, goal, low, high, today)
