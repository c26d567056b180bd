"""Jobs done in beds: which there are, what each belongs to, and which cannot be."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from difflib import get_close_matches

from gddcast.cards.model import Card, crop_names
from gddcast.errors import Refusal, shell
from gddcast.journal.entries import Job, Journal, Sowing
from gddcast.weather.series import Season
from gddcast.words import day, listed

#: Jobs that put a crop into the ground.
OF_A_CROP = ("sown", "planted-out")
#: Jobs and events of one sowing; each happens to it once, but for side-dressing.
OF_A_SOWING = ("up", "first-flower", "first-pick", "side-dressed", "pulled")
#: Jobs of a bed, a sowing, or all of them.
OF_A_BED = ("covered", "uncovered", "scraped", "dusted", "watered", "skipped")
#: What happens to the whole place.
OF_THE_PLACE = ("rained", "moved-sensor")
JOBS = OF_A_CROP + OF_A_SOWING + OF_A_BED + OF_THE_PLACE

_ONCE = ("up", "first-flower", "first-pick", "pulled")
#: In a sowing's life these come in this order.
_ORDER = ("up", "first-flower", "first-pick", "pulled")


def job_named(word: str) -> str:
    """The job a person means.

    Raises
    ------
    Refusal
        With the nearest one.
    """
    plain = word.lower().replace(" ", "-").replace("_", "-")
    if plain in JOBS:
        return plain
    near = get_close_matches(plain, JOBS, n=1)
    raise Refusal(
        f"the job '{word}'",
        "there is no such job",
        f"There are {listed(JOBS)}.",
        f"Did you mean  gddcast did {near[0]}?" if near else "Use one of these words.",
        slug="no-such-job",
    )


def in_words(job: str, what: str | None) -> str:
    """A job and what it was done to, as it is said.

    Examples
    --------
    >>> in_words("first-pick", "cucumber 2026-1"), in_words("side-dressed", "row 2")
    ('cucumber 2026-1 first pick', 'row 2 side-dressed')
    """
    said = job if job == "side-dressed" else job.replace("-", " ")
    return f"{what} {said}" if what else said


def standing(journal: Journal, season: Season, on: dt.date) -> list[Sowing]:
    """Sowings of a season that are not pulled yet."""
    pulled = {job.sowing for job in journal.jobs if job.job == "pulled" and job.done_on < on}
    return [
        sowing
        for sowing in journal.sowings
        if season.first <= sowing.sown_on <= season.last and sowing.name not in pulled
    ]


def sowing_meant(
    word: str | None, journal: Journal, cards: Mapping[str, Card], season: Season, on: dt.date
) -> Sowing:
    """The sowing a person means: by its name, or by its crop or bed where that says enough.

    Raises
    ------
    Refusal
        If none or several fit, with the list.
    """
    sowings = standing(journal, season, on)
    fits = [each for each in sowings if word is None or _called(word, each, cards)]
    fits = [sowing for sowing in journal.sowings if sowing.name == word] or fits
    if len(fits) == 1:
        return fits[0]
    names = [f"{sowing.name} ({day(sowing.sown_on, weekday=False)})" for sowing in fits or sowings]
    known = {name: name for each in sowings for name in _crop_words(each, cards)}
    known |= {plain(str(each.name)): str(each.name) for each in sowings}
    close = get_close_matches(plain(word or ""), known, n=1, cutoff=0.75)
    guess = f"Did you mean {known[close[0]]}? " if close and not fits else ""
    raise Refusal(
        f"'{word}'" if word else "this job",
        "several sowings fit" if fits else "no sowing fits",
        f"There are {listed(names)}." if names else "No sowing of this season is on record.",
        f"{guess}Name one of them."
        if names
        else "Record it first:  gddcast did sown CROP --done DATE",
        slug="which-sowing",
    )


def plants_meant(
    word: str, journal: Journal, cards: Mapping[str, Card], season: Season, on: dt.date
) -> tuple[Sowing, ...]:
    """The standing sowings a word means by name or crop; none where it is the name of a bed.

    Raises
    ------
    Refusal
        If it is a crop of which nothing stands, or nearly the name of something on record.
    """
    sowings = standing(journal, season, on)
    named_beds = [each.bed for each in journal.sowings] + [each.bed for each in journal.jobs]
    beds = {plain(bed): bed for bed in named_beds if bed}
    named = tuple(each for each in sowings if each.name == word)
    if named or plain(word) in beds:
        return named
    of_crop = tuple(each for each in sowings if plain(word) in _crop_words(each, cards))
    if of_crop:
        return of_crop
    crops = [card for card in cards.values() if card.group == "crop"]
    known = {plain(name): name for card in crops for name in card.names}
    if plain(word) in known:
        raise _no_such_sowing(word, f"no {word.replace('-', ' ')} of this season stands", sowings)
    here = beds | {plain(str(each.name)): str(each.name) for each in sowings}
    here |= {name: name for each in sowings for name in _crop_words(each, cards)}
    near = get_close_matches(plain(word), [*here, *known], n=1, cutoff=0.75)
    if near:
        said = here.get(near[0]) or known[near[0]]
        raise _no_such_sowing(word, f"nothing of that name is on record; '{said}' is near", sowings)
    return ()


def _no_such_sowing(word: str, problem: str, sowings: Sequence[Sowing]) -> Refusal:
    names = listed([str(each.name) for each in sowings])
    return Refusal(
        f"'{word}'",
        problem,
        f"There stand {names}." if names else "No sowing of this season stands.",
        "Name one of them, or the crop, or the bed. A bed never named before:  "
        + shell("--bed", word),
        slug="which-plants",
    )


def _called(word: str, sowing: Sowing, cards: Mapping[str, Card]) -> bool:
    return plain(word) in {*_crop_words(sowing, cards), plain(sowing.bed or "")}


def _crop_words(sowing: Sowing, cards: Mapping[str, Card]) -> set[str]:
    return {plain(name) for name in crop_names(cards, sowing.crop)}


def plain(name: str) -> str:
    """A bed's or a crop's name as it is compared."""
    return name.strip().lower().replace(" ", "-")


def new_name(crop: str, journal: Journal, season: Season) -> str:
    """A name for a sowing nobody named: crop, season and number, such as cucumber 2026-2."""
    taken = {sowing.name for sowing in journal.sowings}
    number = 1
    while (name := f"{crop} {season.name}-{number}") in taken:
        number += 1
    return name


def refuse_impossible_sowing(sowing: Sowing, journal: Journal, today: dt.date) -> None:
    """Refuse a sowing in the future, or a name that stands for another.

    Raises
    ------
    Refusal
    """
    _refuse_future(sowing.sown_on, today)
    for other in journal.sowings:
        if other.name == sowing.name:
            raise Refusal(
                f"the name '{sowing.name}'",
                "another sowing has it",
                f"It was sown on {day(other.sown_on, year=True)} (entry {other.entry}).",
                "Give this one a name of its own:  --name NAME",
                slug="name-taken",
            )


def same_sowing(sowing: Sowing, journal: Journal) -> Sowing | None:
    """A sowing on record of the same crop and variety, on the same day, in the same bed.

    Where one of the two names no bed it may be any.
    """
    return next((each for each in journal.sowings if _are_alike(each, sowing)), None)


def _are_alike(one: Sowing, other: Sowing) -> bool:
    what = [(each.crop, each.sown_on, each.planted_out, each.variety) for each in (one, other)]
    beds = {plain(each.bed) for each in (one, other) if each.bed}
    return what[0] == what[1] and len(beds) < 2


def refuse_impossible_job(
    job: Job, sowing: Sowing | None, journal: Journal, today: dt.date
) -> None:
    """Refuse a job in the future, before its sowing, out of order, or done before.

    Raises
    ------
    Refusal
    """
    _refuse_future(job.done_on, today)
    if sowing is None:
        _refuse_twice(job, [other for other in journal.jobs if _is_of_the_same(job, other)])
        return
    if job.done_on < sowing.sown_on:
        raise Refusal(
            f"{job.job} on {job.done_on}",
            "it is before the sowing",
            f"{sowing.name} was sown on {day(sowing.sown_on, year=True)} (entry {sowing.entry}).",
            "Correct the day:  --done DATE",
            slug="before-sowing",
        )
    done = [other for other in journal.jobs if other.sowing == sowing.name]
    _refuse_twice(job, done)
    _refuse_out_of_order(job, done)


def _is_of_the_same(job: Job, other: Job) -> bool:
    """Of the same bed, or of the whole place; one with a note of its own says something new."""
    beds = [plain(each.bed or "") for each in (job, other)]
    return other.sowing is None and beds[0] == beds[1] and job.note in (None, other.note)


def _refuse_future(on: dt.date, today: dt.date) -> None:
    if on > today:
        raise Refusal(
            f"the day {on}",
            "it is in the future",
            f"Today is {day(today, year=True)} at this place.",
            "Give the day it was done:  --done DATE",
            slug="in-the-future",
        )


def _refuse_twice(job: Job, done: Sequence[Job]) -> None:
    for other in done:
        if other.job == job.job and (job.job in _ONCE or other.done_on == job.done_on):
            raise Refusal(
                " of ".join(filter(None, (job.job, job.sowing or job.bed))),
                "it is on record already",
                f"Entry {other.entry} says {day(other.done_on, year=True)}.",
                f"If that was wrong, withdraw it first:  {shell('gddcast', 'undo', other.entry)}",
                slug="done-already",
            )


def _refuse_out_of_order(job: Job, done: Sequence[Job]) -> None:
    if job.job not in _ORDER:
        return
    place = _ORDER.index(job.job)
    for other in done:
        if other.job not in _ORDER:
            continue
        later = _ORDER.index(other.job) > place and other.done_on < job.done_on
        earlier = _ORDER.index(other.job) < place and other.done_on > job.done_on
        if later or earlier:
            raise Refusal(
                f"{job.job} on {job.done_on}",
                f"{other.job} is on record {'before' if later else 'after'} it",
                f"Entry {other.entry} says {day(other.done_on, year=True)}.",
                "Correct the day, or withdraw that entry:  "
                + shell("gddcast", "undo", other.entry),
                slug="out-of-order",
            )


def in_flower(sowing: Sowing, journal: Journal, on: dt.date) -> bool:
    """Whether a sowing's first flower is on record and it still stands."""
    jobs = {job.job: job.done_on for job in journal.jobs if job.sowing == sowing.name}
    flowers, pulled = jobs.get("first-flower"), jobs.get("pulled")
    return flowers is not None and flowers <= on and (pulled is None or on <= pulled)
