"""From the words of a command to what it works on: a file read, a watch list found."""

from __future__ import annotations

import datetime as dt
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gddcast.cli.clock import today_at
from gddcast.errors import Refusal, shell
from gddcast.units import Unit

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from gddcast.cards.model import Card, Event, Sign
    from gddcast.readers.reading import OpenQuestion, Reading
    from gddcast.weather.series import DailySeries, Place


def open_series(
    file: Path, *, on: dt.date | None, no_input: bool = False, **file_options: Any
) -> tuple[DailySeries, dt.date]:
    """Read a temperature file; days from today on are its forecast.

    Returns
    -------
    series, today : DailySeries, datetime.date
    """
    reading, today = open_reading(file, on=on, no_input=no_input, **file_options)
    for note in reading.notes:
        click.echo(f"{file.name}: {note}", err=True)
    return reading.series, today


def open_reading(
    file: Path, *, on: dt.date | None, no_input: bool = False, **file_options: Any
) -> tuple[Reading, dt.date]:
    """Read a temperature file with all that its reader understood, and keep its notes unsaid.

    Returns
    -------
    reading, today : Reading, datetime.date
    """
    asked_begins = file_options.pop("season_begins", None)
    place = _place(file, file_options.pop("at", None), asked_begins)
    # On a day that was said the machine's clock has no say: the same words, the same answer.
    clock = today_at(place) if on is None else None
    reading: Reading = read_asking(
        file, no_input=no_input, place=place, today=clock, **file_options
    )
    reading = replace(reading, series=_at_file_place(reading, asked_begins))
    series = reading.series
    if asked_begins is None and series.place.latitude is None and warmest_in_january(series):
        click.echo(
            f"{file.name}: warmest around January, so its seasons begin on 1 July. "
            "If that is wrong, say --season-begins 01-01.",
            err=True,
        )
        south = replace(series, place=replace(series.place, season_begins=(7, 1)))
        reading = replace(reading, series=south)
    if on is None:
        return reading, clock or today_at(place)
    return replace(reading, series=_as_of(reading.series, on)), on


def _as_of(series: DailySeries, on: dt.date) -> DailySeries:
    """What was on record on the evening of a day; days the file itself calls forecast stay."""
    from gddcast.outlook.season_so_far import known_on

    if on < series.first:
        raise Refusal(
            f"the day {on}", "the record had not begun then",
            f"{series.source} runs from {series.first} to {series.last}.",
            "Say a day inside it or after it:  --on DATE", slug="before-the-record",
        )  # fmt: skip
    return known_on(series, on + dt.timedelta(days=1))


def read_asking(
    file: Path, *, no_input: bool, usual: Mapping[str, Any] | None = None, **file_options: Any
) -> Reading:
    """Read a file; what it leaves open is answered as usual, else asked on a terminal, all at once.

    ``usual`` holds answers by option, as a book's settings give them.
    """
    from gddcast.readers.reading import OpenQuestion, OpenQuestions
    from gddcast.readers.temperature_file import read_temperatures

    try:
        return read_temperatures(file, **file_options)
    except (OpenQuestion, OpenQuestions) as refusal:
        answers = {
            each.option: usual[each.option]
            for each in refusal.questions
            if usual and usual.get(each.option) and not file_options.get(each.option)
        }
        if not answers:
            if no_input or not sys.stdin.isatty():
                raise
            answers = _asked(file.name, refusal.questions)
    return read_asking(file, no_input=no_input, usual=usual, **{**file_options, **answers})


def _asked(name: str, questions: Sequence[OpenQuestion]) -> dict[str, Any]:
    """Answers of somebody at the terminal, by option."""
    from gddcast.cli.options import ZONE

    answers: dict[str, Any] = {}
    for each in questions:
        click.echo(f"{name}: {each.problem}.\n  {each.expected}", err=True)
        kind = click.Choice(each.choices) if each.choices else ZONE
        answers[each.option] = click.prompt(
            "Which is it?" if each.choices else "Time zone?", type=kind,
            show_choices=len(each.choices) < 9, prompt_suffix=" ", err=True,
        )  # fmt: skip
    # Who names a scale chose it with the evidence before them.
    return {**answers, "sure": True} if "unit" in answers else answers


def _place(
    file: Path, at: tuple[float, float] | None, season_begins: tuple[int, int] | None
) -> Place:
    from gddcast.weather.series import Place

    latitude, longitude = at if at is not None else (None, None)
    begins = season_begins or ((7, 1) if latitude is not None and latitude < 0 else (1, 1))
    return Place(file.stem, latitude, longitude, season_begins=begins)


def _at_file_place(reading: Reading, begins: tuple[int, int] | None) -> DailySeries:
    """The series, at the place a file of ours names where nobody named another."""
    series, place = reading.series, reading.series.place
    if place.latitude is not None:
        return series
    point, zone = place_named(series.source, dict(reading.provenance))
    if point is None:
        return series
    south = (7, 1) if point[0] < 0 else (1, 1)
    place = replace(
        place,
        latitude=point[0],
        longitude=point[1],
        timezone=place.timezone or zone,
        season_begins=begins or south,
    )
    return replace(series, place=place)


def place_named(
    name: str, lines: Mapping[str, str]
) -> tuple[tuple[float, float] | None, str | None]:
    """Point and time zone of the comment lines of a file; only those of our own are believed.

    Anybody's file may have a line "# place: My garden": it is a remark, and stays one.

    Raises
    ------
    Refusal
        If such a line of our own names no point or no zone.
    """
    from gddcast.cli.options import POINT, ZONE

    if not lines.get("made by", "").startswith("gddcast "):
        return None, None
    key = "place"
    try:
        point = POINT.convert(lines[key], None, None) if key in lines else None
        key = "timezone"
        return point, ZONE.convert(lines[key], None, None) if key in lines else None
    except click.UsageError as error:
        raise Refusal(
            name,
            f"its line '# {key}: {lines[key]}' can’t be used",
            f"{error.message[:1].upper()}{error.message[1:]}",
            "Mend that line, or take it out and say  --at LAT,LON  yourself.",
            slug="line-unclear",
        ) from None


def warmest_in_january(series: DailySeries) -> bool:
    """Whether the record's own months say that it lies south of the equator."""
    import numpy as np

    months = series.dates.astype("datetime64[M]").astype(int) % 12
    mean = (series.tmin + series.tmax) / 2.0
    january, july = (mean[(months == month) & series.known] for month in (0, 6))
    return bool(january.size >= 20 and july.size >= 20 and np.mean(january) > np.mean(july) + 3.0)


def shown_unit(show: str | None, series: DailySeries) -> Unit:
    """What the person reads: their choice, else what the file is in."""
    return show if show in ("F", "C") else series.unit  # type: ignore[return-value]


def watch_list(cards: Mapping[str, Card], names: str | None) -> list[str] | None:
    """Keys of the cards a person named, by key, common or Latin name."""
    if names is None:
        return None
    return [card_named(cards, name.strip()) for name in names.split(",") if name.strip()]


def card_named(cards: Mapping[str, Card], name: str) -> str:
    """Key of the card a person means, or a refusal that lists the near ones."""
    from gddcast.cards.library import called
    from gddcast.readers.card_files import no_such_card

    card = called(cards.values(), name)
    if card is None:
        raise no_such_card(name, cards)
    return card.key


def event_named(card: Card, name: str, offered: Sequence[Event | Sign] | None = None) -> str:
    """Key of the stage a person means, or a refusal with the nearest that lists those offered.

    All of the card's are, unless told otherwise.
    """
    from difflib import get_close_matches

    plain = name.lower().replace(" ", "-").replace("_", "-")
    if card.event(plain) is not None:
        return plain
    keys = [event.key for event in (card.events if offered is None else offered)]
    near = get_close_matches(plain, keys, n=1)
    raise Refusal(
        f"the stage '{name}' of {card.name}",
        "its card has no such stage",
        f"It has: {', '.join(keys) or 'none, only a cue'}.",
        f"Did you mean {near[0]}?"
        if near
        else f"Read the card:  gddcast {card.group}s {shell(card.key)}",
        slug="no-such-stage",
    )
