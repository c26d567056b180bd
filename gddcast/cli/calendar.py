"""``gddcast calendar``: reminders for any calendar program."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gddcast.cli import options
from gddcast.errors import Command, Refusal, command

if TYPE_CHECKING:
    from gddcast.cli.book_here import OpenedBook
    from gddcast.pages.calendar_reminders import (
        AnnouncedDays,
        Category,
        Kind,
        Reminder,
        Reminders,
    )
    from gddcast.today.announcements import Announcement
    from gddcast.today.plan import SeasonPlan
    from gddcast.today.today import Today

    #: Announcements of each stage, oldest first.
    History = dict[tuple[str, str, str], list[Announcement]]

_TOLD_BY = "calendar"


@click.command()
@options.file_argument
@click.option(
    "-o", "--output", type=options.HAND_OUT, required=True, metavar="OUT.ics", help="File to write."
)
@click.option(
    "--as", "kind", type=click.Choice(["event", "todo"]), default="event", show_default=True,
    help="Days of a calendar, or tasks to tick off.",
)  # fmt: skip
@click.option(
    "--days", metavar="KIND,…", default="look,sow,side-dress,last-sowing", show_default=True,
    help="Which days: look, again (to look again), sow, side-dress, last-sowing.",
)  # fmt: skip
@click.option("--force", is_flag=True, help="Write over a file that is no calendar of this place.")
@options.watch
@options.on
@options.book
@options.show
@options.cards
@options.file_options
@options.no_input
def calendar(
    file: Path | None,
    output: Path,
    kind: str,
    days: str,
    force: bool,
    watch: str | None,
    on: dt.date | None,
    book_folder: Path | None,
    **file_options: Any,
) -> None:
    r"""Write days to look, sow and side-dress as a calendar file, from your book or a bare FILE.

    Write it again over the same file after new weather: reminders move, none doubles, and a
    program that subscribes to it follows.

    \b
    gddcast calendar -o reminders.ics
    gddcast calendar garden.csv --watch squash-vine-borer -o reminders.ics
    """
    from gddcast.cli.clock import now
    from gddcast.cli.record import open_today, unit_shown
    from gddcast.output_file import write_text
    from gddcast.pages.calendar_file import calendar_text, reminders_in
    from gddcast.pages.calendar_looks import reminders
    from gddcast.pages.calendar_reminders import announced_days, updated
    from gddcast.pages.calendar_sowings import sowing_reminders

    categories = _categories(days)
    show, cards_folder = file_options.pop("show"), file_options.pop("cards_folder")
    today, opened = open_today(
        file, book_folder, on, watch=watch, cards=cards_folder, **file_options
    )
    plan, unit = today.plan, unit_shown(today, show)
    wanted: Kind = "VTODO" if kind == "todo" else "VEVENT"
    there = _file_text(output)
    old = None if there is None else reminders_in(there, plan.place.name)
    history = _history(opened, plan)
    told = announced_days(old or {}) | _last_announced(plan, history, wanted)
    coming = reminders(plan, unit, kind=wanted, announced=told, again="again" in categories)
    if "look" not in categories:
        coming = tuple(each for each in coming if each.category != "look")
    practice = today.practice
    coming += sowing_reminders(
        today.courses, plan, today.journal, practice.rules, kind=wanted, categories=categories,
        announced=told,
    )  # fmt: skip
    made = now()
    with _telling(opened, plan, coming, history) as revisions:
        answer = updated(coming, old or {}, plan, revisions)
        text = calendar_text(answer, plan.place.name, made)
        write_text(output, text, force=force or old is not None)
    click.echo(
        _summary(
            answer, coming, output, plan, old is not None, opened.command if opened else command
        )
    )


def _categories(kinds: str) -> tuple[Category, ...]:
    """The kinds of days wanted."""
    from gddcast.errors import ArgumentRefusal, shell
    from gddcast.pages.calendar_reminders import CATEGORIES
    from gddcast.words import listed

    named = [each.strip() for each in kinds.split(",") if each.strip()]
    for each in named:
        if each not in CATEGORIES:
            raise ArgumentRefusal(
                f"--days {shell(each)}",
                "there is no such kind of days",
                f"There are {listed(list(CATEGORIES))}.",
                "Name some of them:  --days look,sow",
                slug="no-such-days",
            )
    return tuple(each for each in CATEGORIES if each in named)


def calendar_of(opened: OpenedBook, today: Today) -> str:
    """The same days as text, for a program that fetches them again and again; the book is told."""
    from gddcast.cli.clock import now
    from gddcast.pages.calendar_file import calendar_text
    from gddcast.pages.calendar_looks import reminders
    from gddcast.pages.calendar_reminders import updated

    plan = today.plan
    history = _history(opened, plan)
    coming = reminders(
        plan, opened.book.show, kind="VEVENT", announced=_last_announced(plan, history, "VEVENT")
    )
    with _telling(opened, plan, coming, history) as revisions:
        return calendar_text(updated(coming, {}, plan, revisions), plan.place.name, now())


def _file_text(output: Path) -> str | None:
    """What the file holds already."""
    try:
        return output.read_bytes().decode("utf-8", errors="replace")
    except FileNotFoundError:
        return None
    except OSError as error:
        raise Refusal(
            str(output),
            (error.strerror or "it can’t be read").lower(),
            "A calendar that is there is brought up to date, so it is read first.",
            "Name a file:  -o reminders.ics",
            slug="unreadable",
        ) from error


def _history(opened: OpenedBook | None, plan: SeasonPlan) -> History:
    """What the book told of each stage this season, oldest first."""
    history: History = {}
    for each in opened.book.announced(_TOLD_BY, plan.season.name) if opened else ():
        history.setdefault(each.stage, []).append(each)
    return history


def _last_announced(plan: SeasonPlan, history: History, kind: Kind) -> dict[str, AnnouncedDays]:
    """The days last told, by UID; a find's are its own and keep nothing from moving."""
    from gddcast.pages.calendar_reminders import AnnouncedDays, uid_of

    last = {names: each[-1] for names, each in history.items()}
    return {
        uid_of(plan, names, kind): AnnouncedDays(each.opens, each.earliest, each.latest)
        for names, each in last.items()
        if each.opens is not None and each.opens != each.latest
    }


@contextmanager
def _telling(
    opened: OpenedBook | None, plan: SeasonPlan, coming: tuple[Reminder, ...], history: History
) -> Iterator[dict[str, int]]:
    """Tell the book each date that is new or moved; give how often each one did.

    The file is written inside the block: if that fails, nothing has been told.
    """
    if opened is None:
        yield {}
        return
    from gddcast.book.fingerprints import fingerprint
    from gddcast.cli.clock import now
    from gddcast.today.announcements import Announcement

    weather, moment = fingerprint(opened.book.series()), now()
    fresh, revisions = [], {}
    for reminder in (each for each in coming if not each.over):
        announcements = history.get(reminder.stage, [])
        days = (reminder.first, reminder.earliest, reminder.latest)
        news = (
            not announcements
            or (announcements[-1].opens, announcements[-1].earliest, announcements[-1].latest)
            != days
        )
        revisions[reminder.uid] = len(announcements) - 1 + news
        if news:
            fresh.append(
                Announcement(
                    _TOLD_BY, moment, plan.today, plan.season.name, *reminder.stage, *days, weather
                )
            )
    if not fresh:
        yield revisions
        return
    with opened.writing() as pen:
        for announcement in fresh:
            pen.announce(announcement)
        yield revisions


def _summary(
    answer: Reminders,
    coming: tuple[Reminder, ...],
    output: Path,
    plan: SeasonPlan,
    updates: bool,
    command: Command,
) -> str:
    from gddcast.words import count, day

    dated = sorted((each for each in answer.items if each.first >= plan.today),
                   key=lambda each: each.first)  # fmt: skip
    following = f"; the next is {day(dated[0].first)}: {dated[0].title}" if dated else ""
    lines = [f"Wrote {output}: {count(len(answer.items), 'reminder')}{following}."]
    if updates:
        gone = f", {len(answer.cancelled)} cancelled" if answer.cancelled else ""
        lines.append(f"{answer.moves} moved since the file that was there{gone}; none doubles.")
    looked_for = {
        (each.card.key, each.event.key) for each in plan.windows if each.event.opens_looks
    }
    without = len(looked_for - {each.stage[:2] for each in coming})
    if without and any(each.category == "look" for each in coming):
        lines.append(
            f"{count(without, 'stage')} without a date yet:  {command('ahead')}  says why."
        )
    lines.append("After new weather, write the file again.")
    return "\n".join(lines)
