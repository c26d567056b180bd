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


@click.command()
@click.argument("job")
@click.argument("what", metavar="[CROP|SOWING|BED]", required=False)
@click.option("--done", type=options.DAY, metavar="DATE", help="Day it was done; today.")
@click.option("--bed", metavar="TEXT", help='Where: "row 2".')
@click.option("--variety", metavar="TEXT", help="With sown and planted-out.")
@click.option("--name", metavar="TEXT", help="With sown and planted-out: what you call it.")
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
    note: str | None,
    on: dt.date | None,
    book_folder: Path | None,
) -> None:
    r"""Record a job: sown, planted-out, up, first-flower, first-pick, side-dressed, pulled,
    covered, uncovered, scraped, dusted, watered, rained, moved-sensor.

    \b
    gddcast did sown cucumber --bed "row 3" --done 2026-05-20
    gddcast did first-pick cucumber
    gddcast did covered "row 3"
    gddcast did scraped "row 3"          eggs scraped off, bugs picked by hand
    gddcast did rained
    """  # noqa: D205
    from gddcast.cli.book_here import opened_book
    from gddcast.crops.chores import OF_A_CROP, job_named
    from gddcast.journal.entries import Job

    kind = job_named(job)
    here = opened_book(book_folder, on)
    day = done or here.today
    if kind in OF_A_CROP:
        _sow(here, kind, what, day, bed, variety, name, note)
        return
    if variety or name:
        raise Refusal(
            f"did {kind}", "it has no variety and no name of its own",
            "Those belong to a sowing.", "Leave --variety and --name out.", slug="not-a-sowing",
        )  # fmt: skip
    _do(here, Job(kind, day, bed=bed or None, note=note or None), what)


def _sow(
    here: OpenedBook,
    kind: str,
    crop: str | None,
    day: dt.date,
    bed: str | None,
    variety: str | None,
    name: str | None,
    note: str | None,
) -> None:
    """Put a crop into the ground."""
    from gddcast.crops.chores import new_name, refuse_impossible_sowing
    from gddcast.journal.entries import Sowing
    from gddcast.weather.series import season_of
    from gddcast.words import day as said

    key, called = _crop_named(here, kind, crop)
    season = season_of(day, here.book.place.season_begins)
    with here.writing() as pen:
        journal = pen.journal()
        sowing = Sowing(
            key, day, bed or None, variety or called, kind == "planted-out",
            name or new_name(key, journal, season), note=note or None,
        )  # fmt: skip
        refuse_impossible_sowing(sowing, journal, here.today)
        entry = pen.add(sowing)
    where = f", {bed}" if bed else ""
    kept = f" ({sowing.variety})" if sowing.variety else ""
    done = f"{kind.replace('-', ' ')} {said(day, year=True)}"
    click.echo(f"Logged: {sowing.name}{kept} {done}{where}.  [entry {entry}]")
    click.echo(f"Later:  {here.command('did', 'up', sowing.name)}     When to sow the next:  "
               f"{here.command('sow', 'plan')}")  # fmt: skip


def _crop_named(here: OpenedBook, kind: str, crop: str | None) -> tuple[str, str | None]:
    """Key of a crop's card, and the other name it was called by, which becomes its variety.

    A crop without a card is written as it was said.
    """
    from difflib import get_close_matches

    from gddcast.cli.opening import card_named
    from gddcast.crops.chores import plain

    if not crop:
        raise Refusal(
            f"did {kind}", "it names no crop", "A sowing is of one crop.",
            f"Say which:  gddcast did {kind} cucumber", slug="crop-missing",
        )  # fmt: skip
    crops = {key: card for key, card in here.cards().items() if card.group == "crop"}
    try:
        key = card_named(crops, crop)
    except Refusal:
        near = get_close_matches(plain(crop), crops, n=1, cutoff=0.75)
        if near:
            raise Refusal(
                f"the crop '{crop}'", "no card has that name", f"Did you mean {near[0]}?",
                "List them:  gddcast crops", slug="unknown-card",
            ) from None  # fmt: skip
        click.echo(f"No card for {crop}: it gets calendar days only, by your own rules.", err=True)
        return plain(crop), None
    return key, crop if plain(crop) in map(plain, crops[key].also) else None


def _do(here: OpenedBook, job: Job, what: str | None) -> None:
    """Record a job of a sowing, of all sowings of a crop, of a bed or of the whole place."""
    from gddcast.crops.chores import (
        OF_THE_PLACE,
        in_flower,
        in_words,
        refuse_impossible_job,
        standing,
    )
    from gddcast.text.terminal import PLAIN, Line
    from gddcast.weather.series import season_of
    from gddcast.words import day, listed

    if job.job in OF_THE_PLACE and what:
        raise Refusal(
            f"did {job.job} {what}", "it is of the whole place", "It belongs to no bed or crop.",
            f"Say  gddcast did {job.job}", slug="of-the-place",
        )  # fmt: skip
    cards = here.cards() if job.job == "pulled" else None
    watched = here.book.watched(cards) if cards else None  # or refused before anything is written
    entries = []
    with here.writing() as pen:
        journal = pen.journal()
        placed = _placed(here, job, what, journal)
        for sowing, each in placed:
            refuse_impossible_job(each, sowing, journal, here.today)
            entries.append(pen.add(each))
    sowings = [sowing for sowing, _ in placed if sowing]
    bed = placed[0][1].bed
    said = in_words(job.job, listed([str(each.name) for each in sowings]) if sowings else bed)
    name = "entry" if len(entries) == 1 else "entries"
    click.echo(f"Logged: {said}, {day(job.done_on, year=True)}.  [{name} {', '.join(entries)}]")
    season = season_of(job.done_on, here.book.place.season_begins)
    there = sowings or [each for each in standing(journal, season, job.done_on)
                        if bed in (None, each.bed)]  # fmt: skip
    flowering = any(in_flower(each, journal, job.done_on) for each in there)
    lines = [*_follows(here, job, flowering), *_looks_again(here, job)]
    if cards:
        lines += _winters_here(here, journal, sowings[0].crop, cards, watched or ())
    if lines:
        click.echo(PLAIN.show(Line(line, rest="     ") for line in lines))


def _placed(
    here: OpenedBook, job: Job, what: str | None, journal: Journal
) -> list[tuple[Sowing | None, Job]]:
    """The job with the sowing it is about, once for each of a crop's; or with the bed."""
    from gddcast.crops.chores import OF_A_SOWING, plants_meant, sowing_meant
    from gddcast.weather.series import season_of

    season = season_of(job.done_on, here.book.place.season_begins)
    meant: tuple[Sowing, ...] = ()
    if job.job in OF_A_SOWING:
        meant = (sowing_meant(what, journal, here.cards(), season, job.done_on),)
    elif what:
        meant = plants_meant(what, journal, here.cards(), season, job.done_on)
    if meant:
        return [(each, replace(job, sowing=each.name, bed=job.bed or each.bed)) for each in meant]
    return [(None, replace(job, bed=job.bed or what or None))]


def _follows(here: OpenedBook, job: Job, flowering: bool) -> list[str]:
    """What a job leads to, by the grower's own rules."""
    from gddcast.crops.standing import rule_days
    from gddcast.words import day, span

    if job.job == "first-pick":
        rules = here.book.rules
        dressing, (first, last) = rule_days(
            job.done_on, rules.side_dress_weeks, rules.sow_next_weeks
        )
        return [f"Your rules: side-dress {day(dressing)}; sow the next {span(first, last)}."]
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


def _looks_again(here: OpenedBook, job: Job) -> list[str]:
    """When to look again after it, where the grower set a rule."""
    from gddcast.words import count, day

    days = here.book.habits.look_again_days
    if job.job not in ("scraped", "dusted") or days is None:
        return []
    again = day(job.done_on + dt.timedelta(days=days))
    return [f"Your rule: look again {again}, {count(days, 'day')} later; the walk will ask for it."]


def _winters_here(
    here: OpenedBook, journal: Journal, crop: str, cards: dict[str, Card], watched: Sequence[str]
) -> list[str]:
    """Where the crop's pests, watched or seen this season, pass the winter."""
    from gddcast.cards.model import crop_names

    seen = {each.organism for each in journal.sightings
            if each.kind == "saw" and each.seen_on >= here.season.first}  # fmt: skip
    wanted = seen | set(watched)
    own = [
        f"   {card.name}: {card.overwinters}"
        for card in cards.values()
        if card.key in wanted and card.hosts and card.overwinters
        and card.lives_on(crop_names(cards, crop))
    ]  # fmt: skip
    return ["Before you sow there again, how its pests pass the winter:", *own] if own else []
