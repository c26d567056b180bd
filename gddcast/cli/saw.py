"""``gddcast saw`` and ``gddcast heard``: record a find, a clean look, or somebody's report."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gddcast.cli import options, screen
from gddcast.errors import Refusal, shell

if TYPE_CHECKING:
    from gddcast.cards.model import Card
    from gddcast.cli.book_here import OpenedBook
    from gddcast.errors import Command
    from gddcast.journal.begun import Begun
    from gddcast.journal.entries import Sighting
    from gddcast.text.doubts import EntryDoubt
    from gddcast.text.terminal import Terminal
    from gddcast.today.today import Today

#: Nobody counts further; a number of twenty digits is a slip of the finger.
MOST = 1_000_000


class PlantsType(click.ParamType):  # type: ignore[type-arg]
    """Plants with, of plants looked at: 3/10."""

    name = "N/M"

    def convert(
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[int, int]:
        """Read it."""
        if isinstance(value, tuple):
            return value
        try:
            found, looked = (int(part) for part in str(value).split("/"))
        except ValueError:
            self.fail(f"'{value}' is not so many of so many. Write 3 of 10 as 3/10.", param, ctx)
        if not 0 <= found <= looked <= MOST or looked == 0:
            self.fail(f"{found} of {looked} plants can’t be; with/looked, as 3/10.", param, ctx)
        return found, looked


_SEEN = click.option("--seen", type=options.DAY, metavar="DATE", help="Day you saw it; today.")
_SURE = click.option(
    "--yes", "--again", "sure", is_flag=True, help="It is so: ask nothing, log it."
)
_BY = click.option("--by", metavar="NAME", help="Who looked.")
_WHERE = click.option("--where", metavar="TEXT", help='Bed, row, plant: "row 2".')


@click.command()
@click.argument("organism", metavar="[PEST|none]", required=False)
@click.argument("stage", metavar="[STAGE]", required=False)
@click.option(
    "--from",
    "rows",
    type=options.READABLE,
    metavar="CSV",
    help="The rows of a sheet, filled in (see gddcast sheet --csv).",
)
@_SEEN
@click.option("--clean", type=options.DAY, metavar="DATE", help="Last day you saw none there.")
@_WHERE
@click.option("--plants", type=PlantsType(), metavar="N/M", help="On N of M plants looked at.")
@click.option("--count", type=click.IntRange(0, MOST), metavar="N", help="How many of them.")
@click.option("--one", is_flag=True, help="A single one, perhaps a stray: starts no clock.")
@click.option("--unsure", is_flag=True, help="You think so: kept, starts no clock.")
@click.option("--elsewhere", is_flag=True, help="On other plants than yours.")
@click.option("--trap", is_flag=True, help="In a trap: kept apart from finds on plants.")
@click.option("--nights", type=click.IntRange(1, 366), metavar="N", help="Since it was emptied.")
@_BY
@_SURE
@options.note
@options.on
@options.book
@options.no_input
def saw(
    organism: str | None,
    stage: str | None,
    rows: Path | None,
    seen: dt.date | None,
    clean: dt.date | None,
    where: str | None,
    plants: tuple[int, int] | None,
    count: int | None,
    one: bool,
    unsure: bool,
    elsewhere: bool,
    trap: bool,
    nights: int | None,
    by: str | None,
    sure: bool,
    note: str | None,
    on: dt.date | None,
    book_folder: Path | None,
    no_input: bool,
) -> None:
    r"""Record a find, and restart the clock it starts; or a look that found none.

    Without a PEST it goes through today’s list bed by bed; what is logged is not asked again.
    STAGE is any a person can see: a card’s stages, its signs (frass), or "any stage".

    \b
    gddcast saw
    gddcast saw squash-vine-borer moths --seen "24 June" --clean "22 June" --where "row 2"
    gddcast saw none                    a look at everything you watch
    gddcast saw none squash-bug --plants 0/10
    gddcast saw --from week.csv         a paper sheet, copied in
    gddcast saw codling-moth moths --trap --count 12 --nights 7
    """
    from gddcast.cli.book_here import opened_book
    from gddcast.journal.entries import Sighting

    if rows is not None and organism is not None:
        raise click.UsageError("Name a PEST or a sheet with --from, not both.")
    opened = opened_book(book_folder, on, no_input=no_input)
    with_, looked = plants or (None, None)
    draft = Sighting(
        "", "", seen or opened.today, clean_on=clean, sure=not unsure, where=where or None,
        plants_looked=looked, plants_with=with_, note=note or None, count=1 if one else count,
        trap=trap, nights=nights, by=by or None,
    )  # fmt: skip
    _refuse_half_a_trap(draft)
    if rows is not None:
        from gddcast.cli.saw_sheet import enter_sheet

        enter_sheet(opened, rows, day=seen, sure=sure)
        return
    cards = opened.cards()
    if organism is None:
        from gddcast.cli.saw_round import go_round

        go_round(
            opened, draft,
            look=lambda seen: _write_clean_look(opened, cards[seen.organism], seen, sure),
            find=lambda seen: _record_find(opened, cards, seen, elsewhere=elsewhere, sure=sure),
        )  # fmt: skip
        return
    if organism == "none":
        _record_clean_look(opened, draft, stage, sure)
        return
    card, event = _meant(cards, organism, stage)
    _refuse_no_find(card, event)
    draft = replace(draft, organism=card.key, event=event)
    if count == 0 and not one:
        _record_clean_look(opened, draft, card.key, sure)
        return
    if seen is None and opened.asks:
        draft = replace(draft, seen_on=_ask_find_day(opened))
    _record_find(opened, cards, draft, elsewhere=elsewhere, sure=sure)


@click.command()
@click.argument("organism", metavar="PEST")
@click.argument("stage", metavar="STAGE")
@_SEEN
@_WHERE
@_BY
@options.certain
@options.note
@options.on
@options.book
def heard(
    organism: str,
    stage: str,
    seen: dt.date | None,
    where: str | None,
    by: str | None,
    sure: bool,
    note: str | None,
    on: dt.date | None,
    book_folder: Path | None,
) -> None:
    r"""Record somebody else’s report. It stays beside your own finds and starts no clock.

    \b
    gddcast heard squash-vine-borer moths --seen 2026-06-20 --note "across the river"
    """
    from gddcast.cli.book_here import opened_book
    from gddcast.journal.entries import Sighting
    from gddcast.text.logged import logged_report

    opened = opened_book(book_folder, on)
    card, event = _meant(opened.cards(), organism, stage)
    report = Sighting(
        card.key, event, seen or opened.today, "heard", sure=False, where=where or None,
        note=note or None, by=by or None,
    )  # fmt: skip
    entry = _written(opened, report, sure=sure)
    click.echo(logged_report(card, replace(report, entry=entry), opened.command))


def _meant(cards: dict[str, Card], organism: str, stage: str | None) -> tuple[Card, str]:
    """The card and the stage a person means."""
    from gddcast.cli.opening import card_named, event_named

    card = cards[card_named(cards, organism)]
    if stage is None:
        listing = ", ".join(f"{each.key} ({each.words})" for each in card.visible)
        raise Refusal(
            f"a find of {card.name}", "it names no stage", f"Its card has {listing}.",
            f"Say which:  gddcast saw {shell(card.key)} STAGE     A clean look:  "
            f"gddcast saw none {shell(card.key)}", slug="stage-missing",
        )  # fmt: skip
    return card, card.stage_meant(stage) or event_named(card, stage, card.visible)


def _refuse_no_find(card: Card, key: str) -> None:
    """Refuse a peak or an end as a find, but for one that a sum of the card is counted from."""
    event = card.event(key)
    if event is None or event in card.finds or any(card.follows(key)):
        return
    what = "an end" if event.purpose == "end" else "a peak"
    raise Refusal(
        f"a find of {card.name}: {event.words}", f"{what} can’t be seen on one day",
        f"What can be: {', '.join(each.key for each in card.visible)}.",
        f"Say what you saw:  gddcast saw {shell(card.key)} STAGE", slug="no-find",
    )  # fmt: skip


def _refuse_half_a_trap(draft: Sighting) -> None:
    """Refuse nights without a trap, and plants with one."""
    if draft.nights is not None and not draft.trap:
        raise Refusal(
            "this find", "nights are of a trap, and it has none", "A trap says so with  --trap .",
            "Add  --trap , or leave --nights out.", slug="nights-of-no-trap",
        )  # fmt: skip
    if draft.trap and draft.plants_looked is not None:
        raise Refusal(
            "this catch", "a trap has no plants", "Finds on plants and catches are kept apart.",
            "Log them one by one: the catch with --trap --count, the plants with --plants.",
            slug="plants-in-a-trap",
        )  # fmt: skip


def _ask_find_day(opened: OpenedBook) -> dt.date:
    from gddcast.cli.book_here import ask_day

    return ask_day(opened, "Seen on which day?", opened.today.isoformat()) or opened.today


def _record_clean_look(
    opened: OpenedBook, draft: Sighting, organism: str | None, sure: bool
) -> None:
    """A look that found none: of one pest, or of everything watched."""
    from gddcast.cli.opening import card_named

    card = None
    if organism is not None:
        cards = opened.cards()
        card = cards[card_named(cards, organism)]
    if draft.clean_on is not None:
        raise Refusal(
            "this look", "it is clean itself, so --clean has nothing to say",
            "A clean look has one day, the day of looking.", "Say it with  --seen DATE",
            slug="clean-of-clean",
        )  # fmt: skip
    click.echo(record_clean_look(opened, card, draft, sure=sure, command=opened.command)[1])


def record_clean_look(
    opened: OpenedBook, card: Card | None, draft: Sighting, *, sure: bool, command: Command | None
) -> tuple[str, str]:
    """Write a look that found none: its entry, and what is said of it."""
    from gddcast.text.logged import logged_clean_look

    look = replace(draft, kind="none", organism=card.key if card else "", sure=True, count=None)
    entry = _written(opened, look, sure=sure)
    journal = replace(opened.book.journal(), in_traps=look.trap)
    looks = journal.clean_looks(
        look.organism, [look.event], opened.season.first, opened.season.last
    )
    return entry, logged_clean_look(card, replace(look, entry=entry), looks, command)


def _write_clean_look(opened: OpenedBook, card: Card, look: Sighting, sure: bool) -> None:
    """One of many, told in a line."""
    from gddcast.text.logged import logged_clean_look

    entry = _written(opened, look, sure=sure)
    click.echo(logged_clean_look(card, replace(look, entry=entry), None))


def _written(
    opened: OpenedBook, sighting: Sighting, *, sure: bool, doubt: EntryDoubt | None = None
) -> str:
    """Write it, once the person is sure of what is doubted of it."""
    from gddcast.cli.certainty import ask_to_be_sure
    from gddcast.journal.finds import refuse_impossible, same_find
    from gddcast.text.doubts import same_again

    refuse_impossible(sighting, opened.today)
    same = same_find(sighting, opened.book.journal())
    ask_to_be_sure(same_again(same) if same else None, doubt, asks=opened.asks, sure=sure)
    with opened.writing() as pen:
        # Of two who write the same at once, the second is told.
        late = same_find(sighting, pen.journal()) if same is None else None
        ask_to_be_sure(same_again(late) if late else None, asks=False, sure=sure)
        return pen.add(sighting)


def _record_find(
    opened: OpenedBook, cards: dict[str, Card], draft: Sighting, *, elsewhere: bool, sure: bool
) -> None:
    """Check, write, and show what it changed."""
    screen.show(
        record_find(
            opened, cards, draft, elsewhere=elsewhere, sure=sure,
            terminal=screen.terminal(), command=opened.command,
        )[1]
    )  # fmt: skip


def record_find(
    opened: OpenedBook,
    cards: dict[str, Card],
    draft: Sighting,
    *,
    elsewhere: bool,
    sure: bool,
    terminal: Terminal,
    command: Command | None,
) -> tuple[str, str]:
    """Check and write: the entry, and what is said of it and of what it changed."""
    from gddcast.journal import finds
    from gddcast.text import doubts
    from gddcast.text.logged import logged_find
    from gddcast.text.logged_catch import about_catch
    from gddcast.today.early_finds import early_find
    from gddcast.weather.series import season_of

    card, journal = cards[draft.organism], opened.book.journal()
    season = season_of(draft.seen_on, opened.book.place.season_begins)
    finds.refuse_impossible(draft, opened.today)
    if not (elsewhere or draft.trap):
        finds.refuse_before_sowing(draft, card, cards, journal, season)
    find = _asked_about(
        opened, draft,
        first=finds.earlier_find(draft, card, journal, season) is None,
    )  # fmt: skip
    before = _dates_of(opened, cards, card)
    early = early_find(before.plan, find) if before else None
    doubt = doubts.early_find(card, find, early) if early else None
    entry = _written(opened, find, sure=sure, doubt=doubt)
    after = _dates_of(opened, cards, card)
    find = replace(find, entry=entry)
    return entry, logged_find(
        card, find, before.plan if before else None, after.plan if after else None,
        clean_on=finds.last_clean(find, card, journal, season.first),
        earlier=finds.earlier_find(find, card, journal, season),
        about_catch=about_catch(card, find, opened.book.journal(), season),
        begun=_newly_begun(card, before, after),
        way_back=after.way_back(card, find) if after else None,
        terminal=terminal, command=command,
    )  # fmt: skip


def _dates_of(opened: OpenedBook, cards: dict[str, Card], card: Card) -> Today | None:
    """What the book says of one card; None where there is no weather yet."""
    has_weather = opened.book.weather() is not None
    return opened.today_with(cards, [card.key]) if has_weather else None


def _newly_begun(card: Card, before: Today | None, after: Today | None) -> list[Begun]:
    """Stages that a find says had begun, in the card's order, as nothing on record said before."""
    if before is None or after is None:
        return []
    known, now = before.begun(card), after.begun(card)
    keys = (event.key for event in card.events)
    return [now[key] for key in keys if key in now and now[key] != known.get(key)]


def _asked_about(opened: OpenedBook, find: Sighting, *, first: bool) -> Sighting:
    """The find with what only its finder knows; a single stray insect starts no clock."""
    from gddcast.journal.finds import WANDERING

    if find.trap:  # which catch starts a clock is the card's to say
        return find
    several = find.plants_with is not None and find.plants_with > 1
    if opened.asks and first and find.count is None and find.event in WANDERING and not several:
        choices = click.Choice(["one", "several"])
        answer = click.prompt("One, or several?", type=choices, prompt_suffix=" ", err=True)
        find = replace(find, count=1) if answer == "one" else find
    if opened.asks and find.clean_on is None:
        from gddcast.cli.book_here import ask_day

        day = ask_day(opened, "Last day you looked there and found none? (Enter: as on record)")
        find = replace(find, clean_on=day)
    if find.count == 1 and find.event in WANDERING:
        find = replace(find, sure=False)
    return find
