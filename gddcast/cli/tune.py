"""``gddcast tune``: how a published number fits your own finds; it never adopts by itself."""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gddcast.cli import options
from gddcast.errors import Refusal, shell

if TYPE_CHECKING:
    from gddcast.cards.model import Card, Event, Number
    from gddcast.cli.book_here import OpenedBook
    from gddcast.journal.entries import OwnGoal
    from gddcast.scouting.own_sums import Tuning
    from gddcast.units import Unit


@click.command()
@click.argument("organism", metavar="PEST")
@click.argument("stage", metavar="[STAGE]", required=False)
@click.option("--keep", metavar="N", help="Keep this sum in your book, in the scale it shows.")
@click.option("--drop", is_flag=True, help="Count by the card again; the entry stays, withdrawn.")
@options.on
@options.book
@options.as_json
def tune(
    organism: str,
    stage: str | None,
    keep: str | None,
    drop: bool,
    on: dt.date | None,
    book_folder: Path | None,
    as_json: bool,
) -> None:
    r"""Set your own first finds beside the published heat sum.

    A sum you keep is counted instead of the card's from then on, and every date says so.

    \b
    gddcast tune squash-vine-borer moths
    gddcast tune squash-vine-borer moths --keep 1061
    gddcast tune squash-vine-borer moths --drop
    """
    from gddcast.cli.book_here import opened_book
    from gddcast.cli.opening import card_named, event_named
    from gddcast.journal.own_goals import method_of
    from gddcast.text.seasons import own_finds
    from gddcast.today.season_sum import calendar_number

    if keep is not None and drop:
        raise click.UsageError("--keep and --drop are one too many.")
    here = opened_book(book_folder, on)
    cards, show = here.cards(), here.book.show
    card = cards[card_named(cards, organism)]
    event, number = calendar_number(card, event_named(card, stage) if stage else None)
    if drop:
        _drop(here, card, event)
        return
    today = here.today_with(cards)
    tuning, counting = today.tuning(card, event.key)
    if keep is not None:
        own = _rounded(card.key, event.key, keep, tuning, here.today, show)
        method = method_of(counting, today.sum_of(card, event.key).start)
        _keep(here, card, replace(own, **method), number)  # type: ignore[arg-type]
        return
    own_before = today.journal.own_goal(card.key, event.key)
    if as_json:
        from gddcast.cli.clock import now

        click.echo(own_finds.as_json(tuning, number, counting, own_before, show, now()))
        return
    source = card.sources[number.source].short if number.source in card.sources else number.source
    command = f"gddcast tune {shell(card.key)} {event.key}"
    click.echo(own_finds.as_text(tuning, number, source, counting, own_before, command, show))


def _drop(here: OpenedBook, card: Card, event: Event) -> None:
    """Withdraw every sum kept for a stage."""
    with here.writing() as pen:
        kept = [each for each in pen.journal().goals
                if (each.organism, each.event) == (card.key, event.key)]  # fmt: skip
        for goal in kept:
            pen.withdraw(goal.entry, "dropped")
    if not kept:
        raise Refusal(
            f"{card.name}, {event.words}", "no number of your own is kept for it",
            "Its dates are counted by the card.", "Nothing needs doing.", slug="nothing-kept",
        )  # fmt: skip
    names = ", ".join(str(each.entry) for each in kept)
    click.echo(
        f"Dropped: {card.name}, {event.words} is counted by its card again.  [entry {names}]"
    )


def _keep(here: OpenedBook, card: Card, own: OwnGoal, number: Number) -> None:
    """Write a sum into the book, with its interval and its method."""
    from gddcast.words import heat

    show = here.book.show
    with here.writing() as pen:
        name = pen.add(own)
    low, high = (heat(each, show, unit=False) for each in (own.low, own.high))
    printed = "–".join(dict.fromkeys(heat(each, show, unit=False) for each in number.goal_c or ()))
    click.echo(f"Kept: {heat(own.goal, show)}, interval {low}–{high}.  [entry {name}]")
    click.echo(
        f"Every date of it is counted by your number from now on and says so; published: {printed}."
    )
    click.echo(
        f"Undo:  {here.command('undo')}          Later:  "
        + here.command("tune", card.key, own.event, "--drop")
    )


def _rounded(
    organism: str, event: str, keep: str, tuning: Tuning, today: dt.date, show: Unit
) -> OwnGoal:
    """The sum and its interval in whole tens: more digits would promise too much."""
    from gddcast.journal.entries import OwnGoal
    from gddcast.units import from_celsius_days, temperature_named, to_celsius_days
    from gddcast.words import heat

    fit = tuning.fit
    if fit is None:
        raise Refusal(
            f"--keep {keep}",
            "there are too few seasons to change anything",
            "Three first finds are needed, each with a clean look before it.",
            "Log them:  gddcast saw PEST STAGE --seen DATE --clean DATE",
            slug="too-few-seasons",
        )
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
    goal, low, high, spread = (
        to_celsius_days(to_step(from_celsius_days(each, show) / step) * step, show)
        for each, to_step in (
            (celsius, round), (fit.low, math.floor), (fit.high, math.ceil), (fit.spread, round),
        )
    )  # fmt: skip
    return OwnGoal(organism, event, goal, low, high, today, spread, len(tuning.brackets))
