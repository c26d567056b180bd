"""``gddcast why``: the reasons and the sums behind one date."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import click

from gddcast.cli import options, screen
from gddcast.errors import command


@click.command()
@click.argument("words", metavar="[FILE] PEST [STAGE]", nargs=-1, required=True)
@click.option("--file", "named", type=options.READABLE, help="The FILE, if it is not said first.")
@options.book
@options.on
@options.file_options
@options.forecasts
@options.show
@options.cards
@options.color
@click.option(
    "--full",
    is_flag=True,
    help="The citation, other numbers, every reading; of a pest without a stage, all stages.",
)
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
    full: bool,
    with_days: bool,
    as_json: bool,
    no_input: bool,
    **file_options: Any,
) -> None:
    r"""Say why a date is what it is: the card’s number and gaps, heat so far, past years.

    Without a FILE, the season book is asked.

    \b
    gddcast why squash-vine-borer moths
    gddcast why squash-vine-borer           each stage in a sentence
    gddcast why garden.csv squash-vine-borer moths --full
    gddcast why garden.csv squash-vine-borer moths --days
    """
    from gddcast.cards.library import replacement_notes
    from gddcast.cli.opening import card_named, event_named
    from gddcast.cli.record import open_today, unit_shown
    from gddcast.text.dates.why import second_brood, stages_text, why_text
    from gddcast.text.sentences import when
    from gddcast.today.beside_dates import insect_date, stage_of
    from gddcast.today.plan import other_readings

    file, organism, stage = _meant(words, named)
    options.not_both(file)
    of_all, opened = open_today(
        file, book_folder, on, no_input=no_input, cards=cards_folder, **file_options
    )
    for note in replacement_notes(of_all.cards.values()):
        click.echo(note, err=True)
    card = of_all.cards[card_named(of_all.cards, organism)]
    today, unit = of_all.watching([card.key]), unit_shown(of_all, show)
    plan, windows = today.plan, today.windows(card, event_named(card, stage) if stage else None)
    if as_json:
        from gddcast.cli.clock import now
        from gddcast.text.dates.why import why_json

        click.echo(why_json(plan, windows, unit, now()))
        return
    brood, write = second_brood(today, card), opened.command if opened else command
    if not (stage or full or with_days) and len({each.event.key for each in windows}) > 1:
        screen.show(stages_text(plan, windows, unit, brood, screen.terminal(), write))
        return
    records = today.track_records_of_all()
    told: set[tuple[str, str]] = set()
    answered: set[str] = set()
    for window in sorted(windows, key=lambda each: each.cue is not None):  # dates before signs
        key = window.event.key
        if window.cue is not None and key in answered:
            continue
        answered.add(key)
        cues = [each for each in windows if each.cue is not None and each.event.key == key]
        signs = [when(each, unit) for each in cues if each is not window]
        moves, insect = other_readings(plan, window), insect_date(plan, window)
        record, chance = records.get(stage_of(window)), today.practice.habits.tail
        screen.show(
            why_text(
                plan, window, moves, unit, record, insect, terminal=screen.terminal(),
                chance=chance, notes_shown=told, brood=brood if window.bracket else "", signs=signs,
                full=full, command=write,
            )
        )  # fmt: skip
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
