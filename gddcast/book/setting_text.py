"""The text of ``book.toml``: a new one with a comment on every line, and single lines changed."""

from __future__ import annotations

import json
import os
import re
import shutil
from collections.abc import Mapping
from dataclasses import fields, replace
from pathlib import Path

from gddcast.book import faults, store
from gddcast.book.opening import RECORDS
from gddcast.book.settings import Settings, settings_in
from gddcast.commits import commit

#: Every setting in the order of the file: its table, key, an example where nothing need be set,
#: and its note.
_LINES = (
    ("place", "name", None, ""),
    ("place", "latitude", 42.6, "degrees, north is positive"),
    ("place", "longitude", -89.4, "degrees, east is positive"),
    ("place", "elevation_m", 190, "metres above the sea"),
    ("place", "timezone", "America/Chicago", "decides what day it is"),
    ("season", "begins", None, 'sums start over; "07-01" south of the equator'),
    ("show", "temperature", None, "F or C: what you read, and what you type in"),
    ("show", "dates", None, "words or iso"),
    ("weather", "unit", "F", "of files that do not say it themselves"),
    ("weather", "day_ends", None, "midnight, morning-reading, 12utc or utc-midnight"),
    ("weather", "reading_hour", 7, "when you read and reset a thermometer"),
    ("weather", "sensor_spot", None, "open-shade, sun, wall, under-cover, indoors or unknown"),
    ("weather", "patch_up_to_days", None, "longer gaps are left unknown; 5 at most"),
    ("method", "shape", None, "card, or single-sine, single-triangle, floor-the-mean …"),
    ("method", "cutoff", None, "card, or none, horizontal, intermediate, vertical …"),
    ("method", "starts", None, 'card, or the day your sums start: "03-01"'),
    ("looking", "watch", None, "names of cards; empty: all that have a date or a cue"),
    ("looking", "lead_days", None, "start looking so many days before the fastest past year"),
    ("looking", "every_days", 2, "your own habit; never lengthened"),
    ("looking", "plants_all_below", None, "look at all plants when there are fewer"),
    ("looking", "look_again_days", 2, "your own rule, after scraping or dusting"),
    ("looking", "dust_again_days", 7, "your own rule; rain ends it early"),
    ("looking", "water_every_days", 2, "your own rule: the days the sheet has a box for"),
    ("succession", "first_pick_days", None, "from sowing; used where no card or record says more"),
    ("succession", "sow_next_after_first_pick_weeks", None, ""),
    ("succession", "side_dress_after_first_pick_weeks", None, ""),
    ("succession", "picking_days_wanted", None, ""),
)
_WORDS = {"method": "only if you overrule the cards", "succession": "your own rules of thumb"}


def settings_text(settings: Settings) -> str:
    """A whole ``book.toml`` that holds these settings and explains itself."""
    name = settings.place.name.replace("\n", " ")
    lines = [
        f"# The season book of {name}. Change what you like in any text editor.",
        "# Lines that begin with # are notes; a setting left out has the value shown.",
    ]
    values, table = _values(settings), ""
    for where, key, example, note in _LINES:
        if where != table:
            table = where
            about = f"  # {_WORDS[table]}" if table in _WORDS else ""
            lines += ["", f"[{table}]{about}"]
        value = values[where, key]
        said = f"{key} = {_toml(example if value is None else value)}"
        said = f"# {said}" if value is None else said
        lines.append(f"{said:<32} # {note}" if note else said)
    text = "\n".join(lines) + "\n"
    assert settings_in(text) == replace(settings, watch=settings.watch or None), text
    return text


def _values(settings: Settings) -> dict[tuple[str, str], object]:
    """Every setting by its table and key; None where nothing is set."""
    place = settings.place
    start = "card" if settings.start is None else _month_day(settings.start)
    values: dict[tuple[str, str], object] = {
        ("place", "name"): place.name,
        ("place", "latitude"): place.latitude,
        ("place", "longitude"): place.longitude,
        ("place", "elevation_m"): place.elevation,
        ("place", "timezone"): place.timezone,
        ("season", "begins"): _month_day(place.season_begins),
        ("show", "temperature"): settings.show,
        ("show", "dates"): settings.dates,
        ("method", "shape"): settings.shape,
        ("method", "cutoff"): settings.cutoff,
        ("method", "starts"): start,
        ("looking", "watch"): list(settings.watch or ()),
    }
    for table, part in (
        ("weather", settings.weather),
        ("looking", settings.habits),
        ("succession", settings.succession),
    ):
        for field in fields(part):
            values[table, field.name] = getattr(part, field.name)
    return values


def with_value(text: str, table: str, key: str, value: object) -> str:
    r"""The text with one setting changed; every other line, and its note, stays as it is.

    Examples
    --------
    >>> print(with_value('[show]\ntemperature = "F"  # mine\n', "show", "temperature", "C"))
    [show]
    temperature = "C"  # mine
    <BLANKLINE>
    """
    lines, inside, header = text.splitlines(keepends=True), "", None
    for place, line in enumerate(lines):
        if found := re.match(r"\s*\[\s*([\w-]+)", line):
            inside = found[1]
            header = place if inside == table else header
        elif inside == table and re.match(rf"\s*{re.escape(key)}\s*=", line):
            note = re.search(r"[ \t]*(#[^\"']*)$", line.rstrip("\r\n"))
            said = f"{key} = {_toml(value)}"
            if note:  # stays in its column where it can
                said = f"{said:<{note.start(1) - 1}} {note[1]}"
            lines[place] = f"{said}\n"
            return "".join(lines)
    if header is None:
        return f"{text.rstrip()}\n\n[{table}]\n{key} = {_toml(value)}\n"
    # A default that stands there as a note gives way to the real line.
    for place in range(header + 1, len(lines)):
        if lines[place].lstrip().startswith("["):
            break
        if re.match(rf"#\s*{re.escape(key)}\s*=", lines[place]):
            remark = lines[place].partition("#")[2].partition("#")[2].strip()
            lines[place] = f"{key} = {_toml(value)}" + (f"  # {remark}\n" if remark else "\n")
            return "".join(lines)
    lines.insert(header + 1, f"{key} = {_toml(value)}\n")
    return "".join(lines)


def change_settings(file: Path, changes: Mapping[tuple[str, str], object]) -> Settings:
    """Change single settings by table and key; whoever changes others at once waits for us.

    The record beside the file is the lock, so that neither reads what the other is replacing.
    """
    with store.writing(file.with_name(RECORDS)):
        text = file.read_text(encoding="utf-8-sig")
        for (table, key), value in changes.items():
            text = with_value(text, table, key, value)
        return write_settings(file, text)


def write_settings(file: Path, text: str) -> Settings:
    """Write the text if it can be read back; whole or not at all."""
    settings = settings_in(text, str(file))
    half = file.with_name(f".{file.name}.half")
    with faults.explained(file, store.WAIT):
        try:
            with half.open("w", encoding="utf-8", newline="\n") as page:
                page.write(text)
                page.flush()
                os.fsync(page.fileno())
            if file.exists():
                shutil.copymode(file, half)
            half.replace(file)
            commit(file)
        finally:
            half.unlink(missing_ok=True)
    return settings


def _toml(value: object) -> str:
    # JSON's strings, lists and numbers are TOML's too, once nothing is escaped that need not be.
    if isinstance(value, float) and value == int(value):
        value = int(value)
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")


def _month_day(day: tuple[int, int]) -> str:
    return f"{day[0]:02d}-{day[1]:02d}"
