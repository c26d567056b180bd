"""``gddcast why``: the reasons and the sums behind one date."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import click

from gddcast.cli import options


@click.command()
@click.argument("file", type=options.READABLE)
@click.argument("organism", metavar="PEST")
@click.argument("stage", metavar="STAGE", required=False)
@options.on
@options.file_options
@options.show
@options.cards
@click.option("--days", "with_days", is_flag=True, help="Print the sums day by day as well.")
@options.as_json
@options.no_input
def why(
    file: Path,
    organism: str,
    stage: str | None,
    on: dt.date | None,
    show: str | None,
    cards_folder: Path | None,
    with_days: bool,
    as_json: bool,
    no_input: bool,
    **how: Any,
) -> None:
    r"""Say why a date is what it is: heat so far, past years, the card and its gaps.

    \b
    gddcast why garden.csv squash-vine-borer moths
    gddcast why garden.csv squash-vine-borer moths --days
    """
    from gddcast.card_library import notes_on_own
    from gddcast.cli.opening import card_named, event_named, open_series, shown_unit
    from gddcast.handouts.why_text import why_text
    from gddcast.hindsight import insect_seen, records, stage_of
    from gddcast.plan import other_readings, season_plan
    from gddcast.readers.card_files import load_cards
    from gddcast.words import Status

    cards = load_cards(own=cards_folder)
    for note in notes_on_own(cards.values()):
        click.echo(note, err=True)
    card = cards[card_named(cards, organism)]
    key = event_named(card, stage) if stage else None
    series, today = open_series(file, on=on, no_input=no_input, **how)
    plan = season_plan(series, {card.key: card}, today, watch=[card.key])
    unit = shown_unit(show, series)
    windows = [window for window in plan.windows if key is None or window.event.key == key]
    if as_json:
        from gddcast.cli.clock import now
        from gddcast.handouts.why_json import why_json

        click.echo(why_json(plan, windows, unit, now()))
        return
    told = records(plan, near=tuple(Status))
    for window in windows:
        record = told.get(stage_of(window))
        click.echo(
            why_text(
                plan, window, other_readings(plan, window), unit, record, insect_seen(plan, window)
            )
        )
        if with_days and window.counting is not None and window.clock is not None:
            from gddcast.handouts.heat_table import as_text
            from gddcast.heat_days import days_behind

            first = window.clock.earliest or window.clock.latest
            table = days_behind(plan.series, window.counting, first, plan.through)
            click.echo("\n" + as_text(table, unit))
