"""``gddcast saw`` without a name: today's list bed by bed, each answer written at once."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import click

from gddcast.errors import Refusal
from gddcast.words import Status, count, day

if TYPE_CHECKING:
    from gddcast.cards.model import Card, Event
    from gddcast.cli.book_here import OpenedBook
    from gddcast.journal.entries import Journal, Sighting
    from gddcast.today.beds import Block
    from gddcast.today.today import Today

#: Writes a sighting, with all that is asked and said of it.
Writes = Callable[["Sighting"], None]

_LOOK = (Status.LOOK_NOW, Status.OVERDUE)
#: What can be typed for each answer.
_ANSWERS = {
    "n": "none", "none": "none", "y": "saw", "saw": "saw", "": "skip", "skip": "skip",
    "u": "undo", "undo": "undo", "stop": "stop", "q": "stop",
}  # fmt: skip
_LEGEND = "n: looked, none · y: saw it · Enter: skip · u: undo the last · stop"


@dataclass(frozen=True, slots=True)
class RoundStop:
    """One pest to look for in one bed; no bed where it lives on nothing that is sown."""

    bed: str | None
    card: Card
    stages: tuple[Event, ...]


def stops_of(today: Today) -> list[RoundStop]:
    """What the walk has to look for, bed by bed in its order, a pest once a bed."""
    walk = today.by_bed
    placed: list[tuple[str | None, Block]] = [
        (bed.name, block) for bed in walk.beds for block in (*bed.blocks, *bed.again)
    ]
    placed += [(None, block) for block in walk.anywhere]
    stops = [_stop(bed, block) for bed, block in placed]
    return [each for each in stops if each.stages]


def _stop(bed: str | None, block: Block) -> RoundStop:
    due = (each.event for each in block.windows if each.status in _LOOK)
    return RoundStop(bed, block.card, tuple({each.key: each for each in due}.values()))


def go_round(opened: OpenedBook, draft: Sighting, look: Writes, find: Writes) -> None:
    """Ask for each stop what was seen there; Ctrl-C or "stop" keeps what was confirmed.

    Parameters
    ----------
    opened : OpenedBook
    draft : Sighting
        With the day of looking.
    look, find : callable
        Write a clean look, or a find.

    Raises
    ------
    Refusal
        Where nobody can be asked.
    """
    if not opened.asks:
        raise Refusal(
            "this command", "it names no pest, and nobody can be asked here",
            "Without a name it goes through today’s list, question by question.",
            "Name what you saw:  gddcast saw PEST STAGE     A clean look:  gddcast saw none PEST",
            slug="pest-missing",
        )  # fmt: skip
    stops = stops_of(opened.today_with(opened.cards()))
    journal = opened.book.journal()
    left = [each for each in stops if not _is_logged(each, journal, draft.seen_on)]
    said = day(draft.seen_on, year=True)
    if not left:
        click.echo(f"Everything due is logged for {said}." if stops else "Nothing is due today.")
        return
    beds = len({each.bed for each in left})
    click.echo(f"{said} · {count(len(left), 'look')} in {count(beds, 'bed')}\n{_LEGEND}", err=True)
    logged = list(_walked(opened, left, draft, look, find))
    rest = len(left) - len(logged)
    said = f"Logged {count(len(logged), 'entry', 'entries')}"
    if rest:
        said += f", {count(rest, 'look')} left:  {opened.command('saw')}"
    click.echo(said + (f"     Undo the last:  {opened.command('undo')}" if logged else ""))


def _walked(
    opened: OpenedBook, stops: list[RoundStop], draft: Sighting, look: Writes, find: Writes
) -> Iterator[str]:
    """Names of the entries that stand when the round ends."""
    logged: dict[int, str] = {}
    at, bed = 0, object()
    try:
        while at < len(stops):
            stop = stops[at]
            if stop.bed != bed:
                bed = stop.bed
                click.echo(f"\n{bed or 'Elsewhere'}", err=True)
            answer = _answer(stop)
            if answer == "stop":
                break
            if answer == "undo":
                at = _withdraw_last(opened, logged, at)
                continue
            if answer == "skip" or _entered(stop, draft, answer, look, find):
                if answer != "skip":
                    logged[at] = opened.book.entries()[-1].name
                at += 1
    except click.Abort:
        click.echo("\nStopped; what was confirmed is in the book.", err=True)
    yield from logged.values()


def _answer(stop: RoundStop) -> str:
    stages = "; ".join(each.words for each in stop.stages)
    while True:
        typed = click.prompt(
            f"  {stop.card.name}: {stages}?", default="", show_default=False, prompt_suffix=" ",
            err=True,
        ).strip().lower()  # fmt: skip
        if typed in _ANSWERS:
            return _ANSWERS[typed]
        click.echo(f"  {_LEGEND}", err=True)


def _entered(stop: RoundStop, draft: Sighting, answer: str, look: Writes, find: Writes) -> bool:
    """Whether it was written; what is refused or not sure is asked again."""
    sighting = replace(draft, organism=stop.card.key, where=stop.bed)
    try:
        if answer == "none":
            look(replace(sighting, kind="none"))
        else:
            find(_with_details(stop, sighting))
    except (Refusal, click.exceptions.Exit) as refusal:
        if isinstance(refusal, Refusal):
            click.echo(str(refusal), err=True)
        return False
    return True


def _with_details(stop: RoundStop, sighting: Sighting) -> Sighting:
    """The stage, where several are due, and on how many plants."""
    from gddcast.cli.saw import PlantsType

    stage = stop.stages[0].key
    if len(stop.stages) > 1:
        stages = click.Choice([each.key for each in stop.card.finds])
        stage = click.prompt("  Which?", type=stages, prompt_suffix=" ", err=True)
    plants = click.prompt(
        "  On how many plants of how many, as 3/10? (Enter: not counted)", default="",
        show_default=False, type=_Optional(PlantsType()), prompt_suffix=" ", err=True,
    )  # fmt: skip
    found, looked = plants or (None, None)
    return replace(sighting, event=stage, plants_looked=looked, plants_with=found)


class _Optional(click.ParamType):  # type: ignore[type-arg]
    """A value, or nothing."""

    name = "optional"

    def __init__(self, kind: click.ParamType) -> None:  # type: ignore[type-arg]
        self.kind = kind

    def convert(
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> object:
        """Read it."""
        return self.kind.convert(value, param, ctx) if value else value


def _withdraw_last(opened: OpenedBook, logged: dict[int, str], at: int) -> int:
    """Withdraw the last entry of this round; where to ask again."""
    if not logged:
        click.echo("  Nothing of this round is logged yet.", err=True)
        return at
    last, name = logged.popitem()
    with opened.writing() as pen:
        pen.withdraw(name)
    click.echo(
        f"  Withdrawn: entry {name}.  Take it back:  {opened.command('redo', name)}", err=True
    )
    return last


def _is_logged(stop: RoundStop, journal: Journal, on: dt.date) -> bool:
    """Whether somebody looked for it there on that day, and wrote it down."""
    return any(
        each.seen_on == on and each.kind != "heard"
        and each.organism in (stop.card.key, "") and each.where in (stop.bed, None)
        for each in journal.sightings
    )  # fmt: skip
