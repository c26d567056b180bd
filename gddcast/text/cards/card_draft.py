"""A ready card file from one's own rearing: complete where we know, "not stated" where we don't."""

from __future__ import annotations

import json
from dataclasses import dataclass

from gddcast.rearing.curves import NoCurve, RateCurve
from gddcast.rearing.fit import Rearing, ThresholdLine
from gddcast.text.rearing import curve_words


@dataclass(frozen=True, slots=True)
class About:
    """What the jars can't tell: whose they were.

    Parameters
    ----------
    name, latin : str
        Of the organism.
    event : str
        Key of the event the stage ends in: ``adults``, ``egg-hatch``.
    starts_from : str
        Key of the event it begins with.
    author, year : str
        Who reared them, and when.
    """

    name: str
    latin: str = "not stated"
    event: str = "adults"
    starts_from: str = "eggs"
    author: str = "own rearing"
    year: str = "not stated"


def card_draft(
    rearing: Rearing, line: ThresholdLine, curve: RateCurve | NoCurve, about: About
) -> str:  # fmt: skip
    """TOML of a pest card that passes the card reader.

    The lower threshold and the heat sum come from one fit and are written together; the upper
    limit of the rate curve is told in a note, because a line's heat sum is not counted with it.
    """
    quoted = {key: json.dumps(value, ensure_ascii=False) for key, value in _texts(about).items()}
    error = (
        f"Standard errors {line.lower.error:.2f} °C and {line.heat.error:.1f} °C-days; the two "
        f"lean on each other: never change one alone. {line.jars} jars from {rearing.source}."
    )
    return f"""\
# Made from rearing jars. Fill in every "not stated" you can before you share it.
name = {quoted["name"]}
latin = {quoted["latin"]}
hosts = ["not stated"]
looks_like = "not stated"
where_on_plant = "not stated"
time_of_day = "not stated"
notes = [{json.dumps(" ".join(curve_words(curve)), ensure_ascii=False)}]

[[event]]
key = {quoted["starts_from"]}
words = {quoted["starts_words"]}
for = "start"

[[event]]
key = {quoted["event"]}
words = {quoted["event_words"]}
for = "start"

[[event.number]]
kind = "laboratory"
unit = "C"
lower = {line.lower.value:.2f}
upper = "not stated"
cutoff = "not stated"
shape = "any"
of = "air"
starts_from = {quoted["starts_from"]}
goal = {line.heat.value:.1f}
found_in = "jars at constant temperatures"
source = "rearing"
evidence = "seen"
default = true
reason = "The only number on this card."
note = {json.dumps(error, ensure_ascii=False)}

[sources.rearing]
author = {quoted["author"]}
year = {quoted["year"]}
title = {quoted["title"]}
publication = "unpublished"
read = "our own counts"
"""


def _texts(about: About) -> dict[str, str]:
    return {
        "name": about.name,
        "latin": about.latin,
        "event": about.event,
        "event_words": f"first {about.event.replace('-', ' ')}",
        "starts_from": about.starts_from,
        "starts_words": f"first {about.starts_from.replace('-', ' ')}",
        "author": about.author,
        "year": about.year,
        "title": f"Development of {about.name} at constant temperatures",
    }
