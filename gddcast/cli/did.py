"""``gddcast did``: record a job or an event in a bed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gddcast.cli import options
from gddcast.errors import Refusal

if TYPE_CHECKING:
    from gddcast.cards.model import Card
    from gddcast.cli.book_here import OpenedBook
    from gddcast.journal.entries import Job, Journal, Sowing
    from gddcast.today.watching import WatchList
    from gddcast.weather.calendar_day import Span


@click.command()
@click.argument("job")
@click.argument("what", metavar="[CROP|SOWING|BED]", required=False)
@click.option("--done", type=options.DAY, metavar="DATE", help="Day it was done; today.")
@click.option("--bed", metavar="TEXT", help='Where: "row 2".')
@click.option("--variety", metavar="TEXT", help="With sown and planted-out.")
@click.option("--name", metavar="TEXT", help="With sown and planted-out: what you call it.")
@click.option("--yes", "sure", is_flag=True, help="Log it though it is on record already, or odd.")
@options.note
@options.on
@options.book
def did(
    job: str,
    what: str | None,
    done: dt.date | None,
    bed: str | None,
    variety: str | None,
    name: str | None,
    sure: bool,
    note: str | None,
    on: dt.date | None,
    book_folder: Path | None,
) -> None:
    r"""Record a job: sown, planted-out, up, first-flower, first-pick, side-dressed, pulled,
    covered, uncovered, scraped, dusted, watered, skipped, rained, moved-sensor.

    \b
    gddcast did sown cucumber --bed "row 3" --done 2026-05-20
    gddcast did first-pick cucumber
    gddcast did covered "row 3"
    gddcast did scraped "row 3"          eggs scraped off, bugs picked by hand
    gddcast did skipped cucumber         what your rules ask for there is put away
    gddcast did rained
    """  # noqa: D205
    from gddcast.cli.book_here import opened_book
    from gddcast.crops.chores import OF_A_CROP, job_named
    from gddcast.journal.entries import Job
    from gddcast.text.terminal import PLAIN, Line

    kind = job_named(job)
    opened = opened_book(book_folder, on)
    day = done or opened.today
    if kind in OF_A_CROP:
        _sow(opened, kind, what, day, bed, variety, name, note, sure=sure)
        return
    if variety or name:
        raise Refusal(
            f"did {kind}", "it has no variety and no name of its own",
            "Those belong to a sowing.", "Leave --variety and --name out.", slug="not-a-sowing",
        )  # fmt: skip
    job_done = Job(kind, day, bed=bed or None, note=note or None)
    _, said, follows = record_job(opened, job_done, what)
    click.echo(said)
    if follows:
        click.echo(PLAIN.show(Line(line, rest="     ") for line in follows))


def _sow(
    opened: OpenedBook,
    kind: str,
    crop: str | None,
    day: dt.date,
    bed: str | None,
    variety: str | None,
    name: str | None,
    note: str | None,
    *,
    sure: bool,
) -> None:
    """Put a crop into the ground."""
    before = opened.watch(opened.cards())
    sowing, _, said = record_sowing(opened, kind, crop, day, bed, variety, name, note, sure=sure)
    click.echo(said)
    later = "first-pick" if sowing.planted_out else "up"
    click.echo(f"Later:  {opened.command('did', later, sowing.name)}     When to sow the next:  "
               f"{opened.command('sow', 'plan', '--crop', sowing.crop)}")  # fmt: skip
    _offer_pests(opened, sowing.crop, before)


def record_sowing(
    opened: OpenedBook,
    kind: str,
    crop: str | None,
    day: dt.date,
    bed: str | None,
    variety: str | None,
    name: str | None,
    note: str | None,
    *,
    sure: bool,
) -> tuple[Sowing, str, str]:
    """Write a sowing or a planting: it, its entry, and what is said of it."""
    from gddcast.crops.chores import new_name, refuse_impossible_sowing
    from gddcast.journal.entries import Sowing
    from gddcast.weather.series import season_of
    from gddcast.words import day as said

    cards = opened.cards()
    key, called = _crop_named(opened, cards, kind, crop, sure=sure)
    season = season_of(day, opened.book.place.season_begins)
    sowing = Sowing(
        key, day, bed or None, variety or called, kind == "planted-out", name, note=note or None
    )
    if not (sure or name):
        _ask_if_twice(opened, sowing)
    with opened.writing() as pen:
        journal = pen.journal()
        sowing = replace(sowing, name=name or new_name(key, journal, season))
        refuse_impossible_sowing(sowing, journal, opened.today)
        entry = pen.add(sowing)
    where = f", {bed}" if bed else ""
    kept = f" ({sowing.variety})" if sowing.variety else ""
    done = f"{kind.replace('-', ' ')} {said(day, year=True)}"
    return sowing, entry, f"Logged: {sowing.name}{kept} {done}{where}.  [entry {entry}]"


def _ask_if_twice(opened: OpenedBook, sowing: Sowing) -> None:
    """Ask before the same crop is logged on the same day and bed once more.

    Raises
    ------
    Refusal
        Where nobody can be asked.
    """
    from gddcast.crops.chores import same_sowing

    other = same_sowing(sowing, opened.book.journal())
    if other is None:
        return
    if opened.asks:
        click.confirm(
            f"{other.name} is on record on that day (entry {other.entry}). Log another?",
            abort=True, err=True,
        )  # fmt: skip
        return
    raise Refusal(
        f"the sowing of {sowing.crop}",
        f"{other.name} is on record on that day (entry {other.entry})",
        "Nobody can be asked here whether it is a second one.",
        "If it is, say so:", flag="--yes", slug="sown-already",
    )  # fmt: skip


def _offer_pests(opened: OpenedBook, crop: str, watch: WatchList) -> None:
    """Say in a line which pests of a crop are not watched; of a bare record they are already."""
    from gddcast.cards.library import pests_of
    from gddcast.cards.model import crop_card
    from gddcast.text.terminal import PLAIN, Line
    from gddcast.text.watching import offered

    cards = opened.cards()
    card = crop_card(cards, crop)
    if watch.basis == "record" or crop in watch.crops:
        return
    if pests := [each for each in pests_of(cards.values(), card.names)
                 if each.key not in (*watch.keys, *watch.left_out)]:  # fmt: skip
        click.echo(PLAIN.show([Line(offered(card, pests, opened.command), rest="  ")]))


def _crop_named(
    opened: OpenedBook, cards: dict[str, Card], kind: str, crop: str | None, *, sure: bool
) -> tuple[str, str | None]:
    """Key of a crop, and the other name it was called by, which becomes its variety.

    A crop without a card is written as it was said.
    """
    from gddcast.cli.crops_meant import crop_meant
    from gddcast.crops.chores import plain

    if not crop:
        raise Refusal(
            f"did {kind}", "it names no crop", "A sowing is of one crop.",
            f"Say which:  gddcast did {kind} cucumber", slug="crop-missing",
        )  # fmt: skip
    cure = "List them:  gddcast crops     If it is another crop:  --yes"
    key = crop_meant(cards, crop, asks=opened.asks, sure=sure, cure=cure)
    card = cards.get(key)
    if card is None:
        click.echo(f"No card for {crop}: it gets calendar days only, by your own rules.", err=True)
        return key, None
    return key, crop if plain(crop) in map(plain, card.also) else None


def record_job(opened: OpenedBook, job: Job, what: str | None) -> tuple[list[str], str, list[str]]:
    """Record a job of a sowing, of all sowings of a crop, of a bed or of the whole place.

    Returns
    -------
    entries, said, follows : list of str, str, list of str
        What it leads to by the grower's own rules stands in ``follows``.
    """
    from gddcast.crops.chores import (
        OF_THE_PLACE,
        in_flower,
        in_words,
        refuse_impossible_job,
        standing,
    )
    from gddcast.weather.series import season_of
    from gddcast.words import day, listed

    if job.job in OF_THE_PLACE and what:
        raise Refusal(
            f"did {job.job} {what}", "it is of the whole place", "It belongs to no bed or crop.",
            f"Say  gddcast did {job.job}", slug="of-the-place",
        )  # fmt: skip
    cards = opened.cards() if job.job == "pulled" else None
    watched = opened.watch(cards).keys if cards else ()  # or refused before anything is written
    entries = []
    with opened.writing() as pen:
        journal = pen.journal()
        placed = _placed(opened, job, what, journal)
        for sowing, each in placed:
            refuse_impossible_job(each, sowing, journal, opened.today)
            entries.append(pen.add(each))
    sowings = [sowing for sowing, _ in placed if sowing]
    bed = placed[0][1].bed
    said = in_words(job.job, listed([str(each.name) for each in sowings]) if sowings else bed)
    name = "entry" if len(entries) == 1 else "entries"
    logged = f"Logged: {said}, {day(job.done_on, year=True)}.  [{name} {', '.join(entries)}]"
    season = season_of(job.done_on, opened.book.place.season_begins)
    there = sowings or [each for each in standing(journal, season, job.done_on)
                        if bed in (None, each.bed)]  # fmt: skip
    flowering = any(in_flower(each, journal, job.done_on) for each in there)
    lines = [*_follows(opened, placed[0][1], flowering), *_looks_again(opened, job)]
    if cards:
        lines += _winters(opened, journal, sowings[0].crop, cards, watched)
    return entries, logged, lines


def _placed(
    opened: OpenedBook, job: Job, what: str | None, journal: Journal
) -> list[tuple[Sowing | None, Job]]:
    """The job with the sowing it is about, once for each of a crop's; or with the bed."""
    from gddcast.crops.chores import OF_A_SOWING, plants_meant, sowing_meant
    from gddcast.weather.series import season_of

    season = season_of(job.done_on, opened.book.place.season_begins)
    meant: tuple[Sowing, ...] = ()
    if job.job in OF_A_SOWING:
        meant = (sowing_meant(what, journal, opened.cards(), season, job.done_on),)
    elif what:
        meant = plants_meant(what, journal, opened.cards(), season, job.done_on)
    if meant:
        return [(each, replace(job, sowing=each.name, bed=job.bed or each.bed)) for each in meant]
    return [(None, replace(job, bed=job.bed or what or None))]


def _follows(opened: OpenedBook, job: Job, flowering: bool) -> list[str]:
    """What a job leads to, by the grower's own rules."""
    if job.job == "first-pick":
        return [_after_pick(opened, job)]
    if job.job == "skipped":
        return ["What your rules ask for there up to that day is put away."]
    if job.job == "dusted":
        said = "Any dust kills helpful insects too; the label is the law."
        if flowering:
            said = ("In flower: nothing on flowers; stem base and outer leaves only, in the "
                    "evening. " + said)  # fmt: skip
        return [said]
    if job.job in ("covered", "uncovered"):
        return ["Plants under cover are warmer than a thermometer outside says."]
    if job.job == "moved-sensor":
        return ["Days before and after are kept apart when a number is fitted to your finds."]
    return []


def _after_pick(opened: OpenedBook, job: Job) -> str:
    """When to side-dress, and to sow the next one where that is still worth it."""
    from gddcast.cards.model import crop_card
    from gddcast.crops.standing import rule_days
    from gddcast.words import day, span

    rules, cards = opened.book.rules, opened.cards()
    dressing, days = rule_days(job.done_on, rules.side_dress_weeks, rules.sow_next_weeks)
    said = f"Your rules: side-dress {day(dressing)}"
    sowings = opened.book.journal().sowings
    card = crop_card(cards, next(each.crop for each in sowings if each.name == job.sowing))
    if card.picked != "repeatedly":
        return f"{said}."
    weighed: Span | None = days
    if opened.book.weather() is not None:
        weighed = opened.today_with(cards).sow_next.get(job.sowing)
    if weighed:
        return f"{said}; sow the next {span(*weighed)}."
    last = opened.command("sow", "last", "--crop", card.key)
    return f"{said}; {span(*days)} is too late for a next one:  {last}"


def _looks_again(opened: OpenedBook, job: Job) -> list[str]:
    """When to look again after it, where the grower set a rule."""
    from gddcast.words import count, day

    days = opened.book.habits.look_again_days
    if job.job not in ("scraped", "dusted") or days is None:
        return []
    again = day(job.done_on + dt.timedelta(days=days))
    return [f"Your rule: look again {again}, {count(days, 'day')} later; the walk will ask for it."]


def _winters(
    opened: OpenedBook, journal: Journal, crop: str, cards: dict[str, Card], watched: Sequence[str]
) -> list[str]:
    """Where the crop's pests, watched or seen this season, pass the winter."""
    from gddcast.cards.model import crop_names

    seen = {each.organism for each in journal.sightings
            if each.kind == "saw" and each.seen_on >= opened.season.first}  # fmt: skip
    wanted = seen | set(watched)
    own = [
        f"   {card.name}: {card.overwinters}"
        for card in cards.values()
        if card.key in wanted and card.hosts and card.overwinters
        and card.lives_on(crop_names(cards, crop))
    ]  # fmt: skip
    return ["Before you sow there again, how its pests pass the winter:", *own] if own else []
