"""A picture of which share of an insect's population is out by which day."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gddcast.cli import options
from gddcast.cli.chart_file import ChartTarget, of_the_weather, open_meant, with_file
from gddcast.cli.record import unit_shown
from gddcast.errors import Refusal, shell

if TYPE_CHECKING:
    from gddcast.cards.model import Card, Event


@click.command()
@options.file_argument
@click.option(
    "--pest", metavar="NAME", required=True, help="Whose emergence (a card with a curve)."
)
@click.option("--stage", metavar="STAGE", help="Which of its stages; default the first.")
@of_the_weather
@options.show
def emergence(
    file: Path | None, pest: str, stage: str | None, output: Path, force: bool, width: int,
    show: str | None, **file_options: Any,
) -> None:  # fmt: skip
    r"""Share of an insect’s population out by day.

    A row a share on one axis of days, one dot a past year. Cards with a curve: apple-maggot,
    cabbage-maggot, carrot-rust-fly, corn-rootworms, western-bean-cutworm, and your own.

    \b
    gddcast chart emergence garden.csv --pest apple-maggot -o flies.svg
    """
    from gddcast.cli.opening import card_named
    from gddcast.draw.chart_file import Words
    from gddcast.draw.emergence import draw_emergence, emergence_takeaway
    from gddcast.draw.notes import emergence_note, weather_note
    from gddcast.today.emergence_ahead import emergence_of

    target = ChartTarget.at(output, force=force, width=width)
    of_all = open_meant(file, **file_options)
    card = of_all.cards[card_named(of_all.cards, pest)]
    event = _event_with_curve(card, stage)
    today = of_all.watching([card.key])
    window, ahead = emergence_of(today.plan, card, event, today.journal)
    curves = [each for each in card.events if any(n.emergence for n in each.numbers)]
    name = f"{card.name} ({event.key.replace('-', ' ')})" if len(curves) > 1 else card.name
    begun = any(one.reached for one in ahead.main_shares.values())
    note = emergence_note(window, unit_shown(today, show), begun=begun)
    target.write(
        lambda fig: draw_emergence(fig.add_subplot(), ahead, room=target.labels(28)),
        Words(f"Emergence, {today.record.place.name}",
              emergence_takeaway(ahead, name[:1].upper() + name[1:], window.early),
              f"{weather_note(today.plan)} {note}"),
        height=90, numbers=with_file("why", file, file_options["book_folder"], card.key, event.key),
    )  # fmt: skip


def _event_with_curve(card: Card, stage: str | None) -> Event:
    from gddcast.cli.opening import event_named
    from gddcast.today.emergence_ahead import number_with_curve

    if stage is None:
        for event in card.events:
            if any(number.emergence for number in event.numbers):
                return event
        raise Refusal(
            card.name,
            "no emergence curve was published for any of its stages",
            "Its numbers say when one moment comes, not how many are out by a day.",
            f"Draw the season instead:  gddcast chart season --pest {shell(card.key)}",
            slug="no-emergence-curve",
        )
    event = next(each for each in card.events if each.key == event_named(card, stage))
    number_with_curve(card, event)
    return event
