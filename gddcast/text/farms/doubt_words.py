"""Why a farm needs an eye, or can't be read, each with its cure: one wording on every surface."""

from __future__ import annotations

import json

from gddcast.errors import command
from gddcast.farms.board import FarmDay
from gddcast.farms.doubts import Doubt
from gddcast.farms.farm import Farm
from gddcast.farms.likeness import Alike
from gddcast.toml.faults import FaultsRefusal
from gddcast.words import count, day, sentence


def reason(row: FarmDay, doubt: Doubt) -> str:
    """What is doubtful of a farm, as a sentence."""
    weather = row.weather
    if doubt.kind == "stale" and weather is not None:
        other = row.day is not None and weather.through.year != row.day.year
        ends = day(weather.through, weekday=False, year=other)
        return f"Its weather ends {ends}, {count(weather.days_behind, 'day')} behind."
    if doubt.kind == "short":
        return "No past year is on file to continue this season."
    if doubt.kind == "same-readings":
        return next(
            same_readings(each, each.farm) for each in row.same_as if each.farm == doubt.other
        )
    more = f" And {count(len(doubt.reasons) - 1, 'thing')} more." if len(doubt.reasons) > 1 else ""
    said = doubt.reasons[0] if doubt.reasons else "no stage has a date"
    return f"{as_sentence(said)}{more}"


def same_readings(alike: Alike, called: str) -> str:
    """That two farms have one record, as a sentence; the other is called so here."""
    how = "exactly" if alike.exact else "almost exactly"
    return f"{count(alike.same, 'day')} of the last year read {how} as at {called}: a copy?"


def as_sentence(reason: str) -> str:
    """A reason of a record's as a sentence; some of them ask."""
    return reason if reason.endswith("?") else sentence(reason)


def cure(row: FarmDay, doubt: Doubt, folder: str) -> str:
    """What its people can do about it, as a command.

    Parameters
    ----------
    row : FarmDay
    doubt : Doubt
    folder : str
        Of the farms, as it was named.
    """
    farm = row.farm
    if doubt.kind == "stale":
        return command("farms", "add", folder, "--weather", "DIR")
    if doubt.kind == "short":
        return command("farms", "patch", folder, farm.name, "--extend")
    if doubt.kind == "same-readings":
        if farm.is_listed:
            return command("farms", "check", folder)
        return _left_out(farm)
    if doubt.kind == "record" and row.weather is not None and row.weather.missing:
        return command("farms", "patch", folder, farm.name)
    return _alone("ahead" if doubt.kind == "no-date" else "weather", farm, folder)


def _left_out(farm: Farm) -> str:
    """How what only stands in the folder is counted no more."""
    file = json.dumps(farm.file, ensure_ascii=False)
    return f"If it is no farm, leave it out in farms.toml:  leave_out = [{file}]"


def _alone(what: str, farm: Farm, folder: str) -> str:
    """The command that says more of one farm."""
    where = f"{folder.rstrip('/')}/{farm.file}"
    if what == "ahead":
        return command("ahead", *(("--book", where) if farm.is_book else (where,)))
    if farm.is_book:
        return command("farms", "check", folder)
    unit = ("--unit", farm.unit) if farm.unit else ()
    return command("weather", "check", where, *unit)


def why_refused(row: FarmDay, folder: str) -> str:
    """Why a farm can't be read, and the cure, in one line."""
    refusal = row.refusal
    if refusal is None:
        return ""
    cured = refusal.cure
    if refusal.flag is not None:  # of the reader; no key of the list says it
        file = f"{folder.rstrip('/')}/{row.farm.file}"
        cured += f"  {command('weather', 'patch', file)} {refusal.flag} -o NEW.csv"
    if refusal.slug == "header-missing" and not row.farm.is_listed:
        cured += f" {_left_out(row.farm)}"
    problem = refusal.problem
    if isinstance(refusal, FaultsRefusal):
        first = refusal.faults[0]
        place = f", {first.place}" if first.place else ""
        problem += f"; line {first.line}{place}: {first.problem}, expected {first.expected}"
    return f"{sentence(problem)} {cured}"
