"""The standing sowings as a walk meets them: how old, what was done, what your own rules ask."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from gddcast.cards.model import Card, crop_names
from gddcast.crops.chores import in_flower, standing
from gddcast.journal.entries import Job, Journal, Sowing
from gddcast.scouting.windows import Habits
from gddcast.weather.series import Season
from gddcast.words import count, day

#: The chore that never stands without its caution.
DUST_AGAIN = "dust again"
#: What nobody did after so long is asked for no more (common practice, no source).
_LAPSES = dt.timedelta(weeks=2)
_WEEK = dt.timedelta(weeks=1)


def called(sowing: Sowing) -> str:
    """A sowing as its people call it: the name they gave it or its crop, its bed, its day.

    Examples
    --------
    >>> called(Sowing("summer-squash", dt.date(2026, 5, 21), "row 2", name="summer-squash 2026-1"))
    'summer squash, row 2, sown 21 May'
    >>> called(Sowing("sweet-corn", dt.date(2026, 5, 1), planted_out=True, name="early corn"))
    'early corn, planted out 1 May'
    """
    # A name of crop, season and number is the book's own, for commands.
    given = sowing.name and not re.fullmatch(rf"{re.escape(sowing.crop)} \S+-\d+", sowing.name)
    name = sowing.name if given else sowing.crop.replace("-", " ")
    since = "planted out" if sowing.planted_out else "sown"
    parts = (name, sowing.bed, f"{since} {day(sowing.sown_on, weekday=False)}")
    return ", ".join(filter(None, parts))


@dataclass(frozen=True, slots=True)
class SowingToday:
    """One sowing in the ground."""

    sowing: Sowing
    names: tuple[str, ...]  # of its crop, as host lists may call it
    age_days: int
    jobs: tuple[Job, ...]  # its own, oldest first
    in_flower: bool
    covered: bool

    @property
    def called(self) -> str:
        """What its people call it."""
        return called(self.sowing)

    def done(self, job: str) -> dt.date | None:
        """Day a job was last done."""
        return max((each.done_on for each in self.jobs if each.job == job), default=None)


@dataclass(frozen=True, slots=True)
class OwnChore:
    """What a rule of the grower's own asks: from ``first`` to ``last``, both included.

    What was not done is asked for until ``lapses``, or until it is put away.
    """

    where: str  # sowing, bed, or every bed
    words: str
    rule: str
    first: dt.date
    last: dt.date
    lapses: dt.date | None = None
    bed: str | None = None  # of a sowing
    whose: str = ""  # the sowing as its people call it


def sowings_today(
    journal: Journal, cards: Mapping[str, Card], season: Season, today: dt.date
) -> tuple[SowingToday, ...]:
    """Sowings of the season that stand today, oldest first.

    Examples
    --------
    >>> season = Season(dt.date(2026, 1, 1), dt.date(2026, 12, 31))
    >>> journal = Journal(sowings=(Sowing("cucumber", dt.date(2026, 5, 20), name="a"),))
    >>> [each.age_days for each in sowings_today(journal, {}, season, dt.date(2026, 6, 11))]
    [22]
    """
    sowings = [each for each in standing(journal, season, today) if each.sown_on <= today]
    return tuple(
        _as_it_stands(sowing, journal, crop_names(cards, sowing.crop), today)
        for sowing in sorted(sowings, key=lambda each: (each.sown_on, each.name or ""))
    )


def _as_it_stands(
    sowing: Sowing, journal: Journal, names: tuple[str, ...], today: dt.date
) -> SowingToday:
    jobs = sorted(
        (each for each in journal.jobs if _is_of(each, sowing) and each.done_on <= today),
        key=lambda each: each.done_on,
    )
    cover = [each.job for each in jobs if each.job in ("covered", "uncovered")]
    return SowingToday(
        sowing,
        names,
        (today - sowing.sown_on).days,
        tuple(jobs),
        in_flower(sowing, journal, today),
        bool(cover) and cover[-1] == "covered",
    )


def _is_of(job: Job, sowing: Sowing) -> bool:
    if job.sowing is not None:
        return job.sowing == sowing.name
    since = job.done_on >= sowing.sown_on  # what stood in the bed before is not meant
    return since and job.bed is not None and job.bed in (sowing.bed, sowing.crop)


def rule_chores(
    sowings: Sequence[SowingToday],
    sown: Sequence[Sowing],
    today: dt.date,
    *,
    side_dress_weeks: int,
    sow_next_weeks: tuple[int, int],
    sow_next: Mapping[str | None, tuple[dt.date, dt.date]],
) -> tuple[OwnChore, ...]:
    """Side-dressings and next sowings whose time has come by the grower's own rules.

    Parameters
    ----------
    sowings : sequence of SowingToday
    sown : sequence of Sowing
        Every sowing of the season: a later one of the same crop is the next one.
    today : datetime.date
    side_dress_weeks : int
        Weeks after first pick.
    sow_next_weeks : (int, int)
        Weeks after first pick, both ends. (Two to three is common practice, no source.)
    sow_next : mapping of str to (datetime.date, datetime.date)
        By the name of a sowing, days of that rule on which a next one is still worth it.
    """
    chores = []
    for each in sowings:
        picked, where, bed = each.done("first-pick"), _called(each.sowing), each.sowing.bed
        if picked is None:
            continue
        due, _ = rule_days(picked, side_dress_weeks, sow_next_weeks)
        if due <= today <= due + _LAPSES and each.done("side-dressed") is None:
            rule = f"{count(side_dress_weeks, 'week')} after first pick"
            chores.append(
                OwnChore(where, "side-dress", rule, due, due, due + _LAPSES, bed, each.called)
            )
        newer = any(
            other.crop == each.sowing.crop and other.sown_on > each.sowing.sown_on for other in sown
        )
        days = sow_next.get(each.sowing.name)
        if days and days[0] <= today <= days[1] + _WEEK and not newer:
            low, high = sow_next_weeks
            rule = (
                f"{count(high, 'week') if low == high else f'{low}–{high} weeks'} after first pick"
            )
            lapses = days[1] + _WEEK
            chores.append(
                OwnChore(where, "sow the next one", rule, *days, lapses, bed, each.called)
            )
    return tuple(chores)


def not_put_away(
    chores: Sequence[OwnChore], journal: Journal, today: dt.date
) -> tuple[OwnChore, ...]:
    """Chores that nobody skipped since they were due: of their sowing, their bed, or all of them.

    Examples
    --------
    >>> due, later = dt.date(2026, 7, 6), dt.date(2026, 7, 8)
    >>> chore = OwnChore("a", "side-dress", "", due, due, bed="row 2")
    >>> journal = Journal(jobs=(Job("skipped", later, bed="row 2"),))
    >>> not_put_away([chore], journal, later), len(not_put_away([chore], Journal(), later))
    ((), 1)
    """
    skipped = [each for each in journal.jobs if each.job == "skipped" and each.done_on <= today]
    return tuple(
        chore for chore in chores
        if not any(_is_about(job, chore) and chore.first <= job.done_on for job in skipped)
    )  # fmt: skip


def _is_about(job: Job, chore: OwnChore) -> bool:
    if job.sowing is not None:
        return job.sowing == chore.where
    return job.bed is None or job.bed in (chore.where, chore.bed)


def rule_days(
    picked: dt.date, side_dress_weeks: int, sow_next_weeks: tuple[int, int]
) -> tuple[dt.date, tuple[dt.date, dt.date]]:
    """Day to side-dress, and first and last day to sow the next, by weeks after first pick."""
    side, first, last = (
        picked + dt.timedelta(weeks=weeks) for weeks in (side_dress_weeks, *sow_next_weeks)
    )
    return side, (first, last)


def _called(sowing: Sowing) -> str:
    return sowing.name or sowing.crop


def chores_again(
    journal: Journal, habits: Habits, season: Season, today: dt.date
) -> tuple[OwnChore, ...]:
    """Looks again after scraping or dusting, and dusting again, where the grower set a rule.

    A look is asked for a week from its day on, until one is on record; a dusting from its day on,
    or from the rain that washed the last one off, until the next, two weeks at most.

    Examples
    --------
    >>> season = Season(dt.date(2026, 1, 1), dt.date(2026, 12, 31))
    >>> journal = Journal(jobs=(Job("scraped", dt.date(2026, 7, 1), bed="row 2"),))
    >>> one, = chores_again(journal, Habits(look_again_days=2), season, dt.date(2026, 7, 3))
    >>> one.where, one.words, one.rule
    ('row 2', 'look again', '2 days after scraped 1 July')
    """
    chores, names = [], {each.name: called(each) for each in journal.sowings}
    for (job, where), done in _last_done(journal, season, today).items():
        said, whose = f"{job} {day(done, weekday=False)}", names.get(where, "")
        if habits.look_again_days is not None:
            due = done + dt.timedelta(days=habits.look_again_days)
            looked = any(
                each.kind != "heard" and not each.trap and due <= each.seen_on <= today
                for each in journal.sightings
            )
            lapses = due + dt.timedelta(days=6)
            if due <= today <= lapses and not looked:
                rule = f"{count(habits.look_again_days, 'day')} after {said}"
                chores.append(OwnChore(where, "look again", rule, due, due, lapses, None, whose))
        if job == "dusted" and habits.dust_again_days is not None:
            due = done + dt.timedelta(days=habits.dust_again_days)
            rule = f"{count(habits.dust_again_days, 'day')} after {said}"
            rain = [each.done_on for each in journal.jobs
                    if each.job == "rained" and done < each.done_on <= min(today, due)]  # fmt: skip
            if rain:
                due, rule = min(rain), f"again after rain ({said})"
            if due <= today <= due + _LAPSES:
                chores.append(
                    OwnChore(where, DUST_AGAIN, rule, due, due, due + _LAPSES, None, whose)
                )
    return tuple(chores)


def _last_done(journal: Journal, season: Season, today: dt.date) -> dict[tuple[str, str], dt.date]:
    """The last scraping and dusting of each sowing or bed this season."""
    last: dict[tuple[str, str], dt.date] = {}
    for each in sorted(journal.jobs, key=lambda job: job.done_on):
        if each.job in ("scraped", "dusted") and season.first <= each.done_on <= today:
            last[each.job, each.sowing or each.bed or "every bed"] = each.done_on
    return last


def water_days(
    journal: Journal, every: int | None, season: Season, days: Sequence[dt.date]
) -> tuple[dt.date, ...]:
    """Days of a week to water on by the grower's own rule, from the last watering on record.

    All days where there is no rule: the sheet has a box for each. Without a watering the rule
    begins on the first day.

    Examples
    --------
    >>> season = Season(dt.date(2026, 1, 1), dt.date(2026, 12, 31))
    >>> week = [dt.date(2026, 6, 8 + ahead) for ahead in range(7)]
    >>> journal = Journal(jobs=(Job("watered", dt.date(2026, 6, 7)),))
    >>> [each.day for each in water_days(journal, 2, season, week)]
    [9, 11, 13]
    """
    if every is None:
        return tuple(days)
    done = [each.done_on for each in journal.jobs
            if each.job == "watered" and season.first <= each.done_on <= days[-1]]  # fmt: skip
    start = max(done, default=days[0])
    return tuple(each for each in days if (each - start).days % every == 0 and each not in done)
