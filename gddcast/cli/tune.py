"""``gddcast tune``: how a published number fits your own finds, season by season."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import click

from gddcast.cli import options
from gddcast.errors import Refusal, shell


@click.command()
@click.argument("organism", metavar="PEST")
@click.argument("stage", metavar="[STAGE]", required=False)
@options.on
@options.book
@options.as_json
def tune(
    organism: str, stage: str | None, on: dt.date | None, book_folder: Path | None, as_json: bool
) -> None:
    r"""Set your own first finds beside the published heat sum.

    Your finds count by themselves from the first on; own_finds = "beside" in book.toml leaves the
    dates to the published sum.

    \b
    gddcast tune squash-vine-borer moths
    """
    from gddcast.cli.book_here import opened_book
    from gddcast.cli.opening import card_named, event_named
    from gddcast.text.seasons import own_finds
    from gddcast.today.season_sum import calendar_number

    opened = opened_book(book_folder, on)
    cards, show = opened.cards(), opened.book.show
    card = cards[card_named(cards, organism)]
    event, number = calendar_number(card, event_named(card, stage) if stage else None)
    today = opened.today_with(cards)
    finds = today.own_finds(card, event)
    if finds is None:
        raise Refusal(
            f"{card.name}, {event.words}",
            "air temperatures of this place do not tell when it comes",
            card.comes_from_elsewhere or "Its sum is not of air, or its threshold is not printed.",
            f"Read the card:  {shell('gddcast', f'{card.group}s', card.key)}",
            slug="no-local-sum",
        )
    counting, habits = today.sum_of(card, event.key).counting, today.practice.habits
    own_goal, used = today.journal.own_goal(card.key, event.key), habits.own_finds == "use"
    if as_json:
        from gddcast.cli.clock import now

        click.echo(own_finds.as_json(finds, number, counting, own_goal, used=used,
                                     chance=habits.tail, show=show, moment=now()))  # fmt: skip
        return
    from gddcast.cli import screen

    screen.show(own_finds.as_text(
        finds, card, event, counting, own_goal, used=used, chance=habits.tail, show=show,
        terminal=screen.terminal(), command=opened.command,
    ))  # fmt: skip
