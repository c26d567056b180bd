"""``gddcast did``: record a job or an event in a bed."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gddcast.cli import options
from gddcast.errors import Refusal

if TYPE_CHECKING:
    from gddcast.cli.book_here import Here
    from gddcast.journal import Job, Journal, Sowing


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
    covered, uncovered, dusted, watered, rained, moved-sensor.

    \b
    gddcast did sown cucumber --bed "row 3" --done 2026-05-20
    gddcast did first-pick cucumber
    gddcast did covered "row 3"
    gddcast did rained
    """  # noqa: D205
    from gddcast.chores import OF_A_CROP, job_named
    from gddcast.cli.book_here import open_here
    from gddcast.journal import Job

    kind = job_named(job)
    here = open_here(book_folder, on)
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
    here: Here,
    kind: str,
    crop: str | None,
    day: dt.date,
    bed: str | None,
    variety: str | None,
    name: str | None,
    note: str | None,
) -> None:
    """Put a crop into the ground."""
    from gddcast.chores import new_name, refuse_impossible_sowing
    from gddcast.journal import Sowing
    from gddcast.series import season_of
    from gddcast.words import day as said

    key = _crop_named(here, kind, crop)
    season = season_of(day, here.book.place.season_begins)
    with here.writing() as pen:
        journal = pen.journal()
        sowing = Sowing(
            key, day, bed or None, variety or None, kind == "planted-out",
            name or new_name(key, journal, season), note=note or None,
        )  # fmt: skip
        refuse_impossible_sowing(sowing, journal, here.today)
        entry = pen.add(sowing)
    where = f", {bed}" if bed else ""
    click.echo(f"Logged: {sowing.name} {kind.replace('-', ' ')} {said(day)}{where}.  "
               f"[entry {entry}]")  # fmt: skip
    click.echo(f"Later:  gddcast did up '{sowing.name}'     When to sow the next:  "
               "gddcast sow plan")  # fmt: skip


def _crop_named(here: Here, kind: str, crop: str | None) -> str:
    """Key of a crop's card; a crop without one is written as it was said."""
    from difflib import get_close_matches

    from gddcast.cli.opening import card_named

    if not crop:
        raise Refusal(
            f"did {kind}", "it names no crop", "A sowing is of one crop.",
            f"Say which:  gddcast did {kind} cucumber", slug="crop-missing",
        )  # fmt: skip
    crops = {key: card for key, card in here.cards().items() if card.group == "crop"}
    try:
        return card_named(crops, crop)
    except Refusal:
        plain = crop.strip().lower().replace(" ", "-")
        near = get_close_matches(plain, crops, n=1, cutoff=0.75)
        if near:
            raise Refusal(
                f"the crop '{crop}'", "no card has that name", f"Did you mean {near[0]}?",
                "List them:  gddcast crops", slug="unknown-card",
            ) from None  # fmt: skip
        click.echo(f"No card for {crop}: it gets calendar days only, by your own rules.", err=True)
        return plain


def _do(here: Here, job: Job, what: str | None) -> None:
    """Record a job of a sowing, a bed or the whole place."""
    from gddcast.chores import OF_THE_PLACE, in_flower, refuse_impossible_job
    from gddcast.words import day

    if job.job in OF_THE_PLACE and what:
        raise Refusal(
            f"did {job.job} {what}", "it is of the whole place", "It belongs to no bed or crop.",
            f"Say  gddcast did {job.job}", slug="of-the-place",
        )  # fmt: skip
    with here.writing() as pen:
        journal = pen.journal()
        sowing, job = _placed(here, job, what, journal)
        refuse_impossible_job(job, sowing, journal, here.today)
        entry = pen.add(job)
    of = f" of {job.sowing}" if job.sowing else f", {job.bed}" if job.bed else ""
    click.echo(f"Logged: {job.job.replace('-', ' ')}{of}, {day(job.done_on)}.  [entry {entry}]")
    flowering = (
        in_flower(sowing, journal, job.done_on) if sowing else
        any(in_flower(each, journal, job.done_on) for each in journal.sowings)
    )  # fmt: skip
    for line in _follows(here, job, flowering):
        click.echo(line)


def _placed(here: Here, job: Job, what: str | None, journal: Journal) -> tuple[Sowing | None, Job]:
    """The job with the sowing or bed it is about."""
    from gddcast.chores import OF_A_SOWING, sowing_meant
    from gddcast.series import season_of

    season = season_of(job.done_on, here.book.place.season_begins)
    if job.job in OF_A_SOWING:
        sowing = sowing_meant(what, journal, season, job.done_on)
        return sowing, replace(job, sowing=sowing.name, bed=job.bed or sowing.bed)
    named = [sowing for sowing in journal.sowings if what and sowing.name == what]
    if named:
        return named[0], replace(job, sowing=named[0].name, bed=job.bed or named[0].bed)
    return None, replace(job, bed=job.bed or what or None)


def _follows(here: Here, job: Job, flowering: bool) -> list[str]:
    """What a job leads to, by the grower's own rules."""
    from gddcast.words import day, span

    rules = here.book.settings.succession
    week = dt.timedelta(weeks=1)
    if job.job == "first-pick":
        first, last = (
            job.done_on + count * week for count in rules.sow_next_after_first_pick_weeks
        )
        dressing = job.done_on + rules.side_dress_after_first_pick_weeks * week
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
