"""``gddcast seasons``: the years at one place beside each other."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gddcast.cli import options
from gddcast.errors import ArgumentRefusal, Refusal, shell

if TYPE_CHECKING:
    from gddcast.cards.model import Card, Event, Number
    from gddcast.cli.record import Record
    from gddcast.heat.counting import Counting
    from gddcast.journal.entries import Bracket, OwnGoal
    from gddcast.outlook.seasons import Comparison
    from gddcast.today.plan import SeasonPlan
    from gddcast.weather.series import Season


@click.command()
@options.file_argument
@click.option("--pest", metavar="NAME", help="Count as the card of this pest does.")
@click.option("--stage", metavar="STAGE", help="Which of its stages; default the first.")
@click.option(
    "--lower", metavar="50F", help="Count above this instead; 50F where neither is said or watched."
)
@options.on
@options.book
@options.file_options
@options.show
@options.cards
@options.as_json
@options.no_input
def seasons(
    file: Path | None,
    pest: str | None,
    stage: str | None,
    lower: str | None,
    on: dt.date | None,
    book_folder: Path | None,
    show: str | None,
    cards_folder: Path | None,
    as_json: bool,
    no_input: bool,
    **how: Any,
) -> None:
    r"""Compare the seasons at one place, from a FILE or from your book.

    \b
    gddcast seasons garden.csv --lower 50F
    gddcast seasons --pest squash-vine-borer --stage moths
    """
    from gddcast.cli.opening import shown_unit
    from gddcast.cli.record import open_record
    from gddcast.text.seasons import season_table
    from gddcast.words import day, heat

    record = open_record(file, book_folder, on, no_input=no_input, cards=cards_folder, **how)
    unit = shown_unit(show or record.show, record.series)
    asked = asked_of(record, pest, stage, lower)
    if asked.is_first_watched and not as_json and asked.card:
        click.echo(f"Counted as for {asked.card.name}, the first of your watch list; "
                   "--pest or --lower choose otherwise.", err=True)  # fmt: skip
    plan = record.plan([])
    table, start = compared(record, asked, plan), dt.date(2024, *asked.start)
    if as_json:
        from gddcast.cli.clock import now

        click.echo(season_table.as_json(table, plan, unit, start, now()))
        return
    found = asked.event.words if asked.event and record.has_book else None
    click.echo(season_table.as_text(table, plan, unit, start, found))
    if own := asked.own:
        kept = day(own.kept_on, weekday=False, year=True)
        click.echo(f"{heat(own.goal, unit, unit=False)} is your own number, kept {kept}.")


@dataclass(frozen=True, slots=True)
class Asked:
    """What is compared: one way of counting, from one day of each season.

    Parameters
    ----------
    counting : Counting
    start : (int, int)
        Month and day.
    goals : tuple of float
        Of the card's event as printed, or the one typed; none where only sums are wanted. [°C·d]
    own : OwnGoal, optional
        The person's own number for that event, where it is counted alike.
    card, event : Card, Event, optional
    is_first_watched : bool
        Whether nobody named the card, but it leads the watch list.
    """

    counting: Counting
    start: tuple[int, int]
    goals: tuple[float, ...] = ()
    own: OwnGoal | None = None
    card: Card | None = None
    event: Event | None = None
    is_first_watched: bool = False

    @property
    def for_a_picture(self) -> Asked:
        """The same with one goal or range: a kept number takes the place of the printed one."""
        return replace(self, goals=(self.own.goal,), own=None) if self.own else self


def asked_of(
    record: Record, pest: str | None, stage: str | None, lower: str | None, goal: str | None = None
) -> Asked:
    """What the flags ask for: a card's event as it is counted, or a threshold of one's own."""
    from gddcast.cli.opening import card_named
    from gddcast.heat.counting import Counting, counting_of
    from gddcast.journal.clocks import date_here
    from gddcast.journal.own_goals import is_counted_alike
    from gddcast.today.plan import Overrule
    from gddcast.units import temperature_named, to_celsius, to_celsius_days

    if pest and (lower or goal):
        raise click.UsageError("--pest counts as its card does; leave --lower and --goal out.")
    watched = None if pest or lower or goal else _first_watched(record)
    named = pest or watched
    if stage and named is None:
        raise click.UsageError("A --stage is one of a --pest; name that too.")
    if named is None:
        wanted = (to_celsius_days(*temperature_named(goal)),) if goal else ()
        if wanted and wanted[0] <= 0.0:
            raise _no_sum(goal or "")
        counting = Counting(to_celsius(*temperature_named(lower or "50F")))
        return Asked(counting, record.begins, wanted)
    overrule = record.overrule or Overrule()
    card = record.cards[card_named(record.cards, named)]
    event, number = calendar_number(card, stage)
    counting = counting_of(number, shape=overrule.shape, cutoff=overrule.cutoff)
    start = overrule.start or date_here(number, record.series.place) or record.begins
    own = record.journal.own_goal(card.key, event.key)
    if own and not is_counted_alike(own, counting, start):
        own = None
    goals = tuple(dict.fromkeys(number.goal_c or ()))
    return Asked(counting, start, goals, own, card, event, is_first_watched=watched is not None)


def _no_sum(goal: str) -> ArgumentRefusal:
    return ArgumentRefusal(
        f"the sum '{goal}'",
        "it is not above nought",
        "A sum of heat is reached on some day of a season, such as 1000F.",
        "Write one above nought.",
        slug="goal-not-above-zero",
    )


def compared(record: Record, asked: Asked, plan: SeasonPlan) -> Comparison:
    """The seasons of a plan's weather beside each other, with what was seen in them."""
    from gddcast.outlook.seasons import compare_seasons

    card, event, journal = asked.card, asked.event, record.journal

    def seen(year: Season) -> Bracket | None:
        if card is None or event is None:
            return None
        return journal.bracket(card.key, [event.key], year.first, year.last)

    goals = (*asked.goals, asked.own.goal) if asked.own else asked.goals
    return compare_seasons(
        plan.series, asked.counting, plan.today,
        goals=tuple(dict.fromkeys(goals)), start=asked.start, seen=seen,
    )  # fmt: skip


def _first_watched(record: Record) -> str | None:
    """The first card of the watch list with a sum that counts from a date."""
    for key in record.watch or ():
        try:
            calendar_number(record.cards[key], None)
        except Refusal:
            continue
        return key
    return None


def calendar_number(card: Card, stage: str | None) -> tuple[Event, Number]:
    """The stage meant, and a number of it that counts from a date."""
    from gddcast.cli.opening import event_named

    keys = [event_named(card, stage)] if stage else [event.key for event in card.events]
    for event in card.events:
        number = event.default
        if event.key in keys and number and number.kind == "calendar" and number.goal:
            return event, number
    raise Refusal(
        f"{card.name}, {stage or 'any stage'}",
        "its card has no heat sum that counts from a date",
        "Seasons are compared by sums that start on the same day of each.",
        f"Read the card:  gddcast {card.group}s {shell(card.key)}     "
        "Or:  gddcast seasons --lower 50F",
        slug="no-calendar-sum",
    )
