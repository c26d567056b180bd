"""``gddcast why``: the reasons and the sums behind one date."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import click

from gddcast.cli import options


@click.command()
@click.argument("words", metavar="[FILE] PEST [STAGE]", nargs=-1, required=True)
@click.option("--file", "named", type=options.READABLE, help="The FILE, if it is not said first.")
@options.book
@options.on
@options.file_options
@options.forecasts
@options.show
@options.cards
@click.option("--days", "with_days", is_flag=True, help="Print the sums day by day as well.")
@options.as_json
@options.no_input
def why(
    words: tuple[str, ...],
    named: Path | None,
    book_folder: Path | None,
    on: dt.date | None,
    show: str | None,
    cards_folder: Path | None,
    with_days: bool,
    as_json: bool,
    no_input: bool,
    **how: Any,
) -> None:
    r"""Say why a date is what it is: heat so far, past years, the card and its gaps.

    Without a FILE, the season book is asked.

    \b
    gddcast why squash-vine-borer moths
    gddcast why garden.csv squash-vine-borer moths
    gddcast why garden.csv squash-vine-borer moths --days
    """
    from gddcast.cards.library import notes_on_own
    from gddcast.cli.opening import card_named, event_named, shown_unit
    from gddcast.cli.record import open_record
    from gddcast.text.dates.why import why_text
    from gddcast.today.hindsight import insect_seen, records, stage_of
    from gddcast.today.plan import other_readings
    from gddcast.today.without_sum import stages_without_sum
    from gddcast.words import Status

    file, organism, stage = _meant(words, named)
    options.not_both(file)
    record = open_record(file, book_folder, on, no_input=no_input, cards=cards_folder, **how)
    for note in notes_on_own(record.cards.values()):
        click.echo(note, err=True)
    card = record.cards[card_named(record.cards, organism)]
    key = event_named(card, stage) if stage else None
    plan = record.plan([card.key])
    unit = shown_unit(show or record.show, record.series)
    windows = [window for window in plan.windows if key is None or window.event.key == key]
    if not windows:
        rest = stages_without_sum(plan, card, record.journal)
        windows = [window for window in rest if key is None or window.event.key == key]
    if as_json:
        from gddcast.cli.clock import now
        from gddcast.text.dates.why import why_json

        click.echo(why_json(plan, windows, unit, now()))
        return
    told = records(plan, near=tuple(Status))
    for window in windows:
        moves, seen = other_readings(plan, window), insect_seen(plan, window)
        click.echo(why_text(plan, window, moves, unit, told.get(stage_of(window)), seen))
        if with_days and window.counting is not None and window.clock is not None:
            from gddcast.heat.heat_days import days_counted
            from gddcast.text.weather.heat_table import as_text

            first = window.clock.earliest or window.clock.latest
            table = days_counted(plan.series, window.counting, first, plan.through)
            click.echo("\n" + as_text(table, unit))


def _meant(words: tuple[str, ...], named: Path | None) -> tuple[Path | None, str, str | None]:
    """File, organism and stage among the words; a file is told by its ending or by being there."""
    first = Path(words[0])
    if named is None and (first.suffix or first.is_file()):
        named, words = first, words[1:]
    if not 1 <= len(words) <= 2:
        raise click.UsageError("Name a pest and, if you like, a stage: squash-vine-borer moths.")
    return named, words[0], words[1] if len(words) == 2 else None
