"""``gddcast setup``: make a season book for one place, or change a setting of one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gddcast.cli import options
from gddcast.errors import Refusal, command
from gddcast.names import file_word
from gddcast.words import AFTERNOON, COUNTED_TWICE

if TYPE_CHECKING:
    from gddcast.book.settings import Settings, WeatherHabits
    from gddcast.cards.model import Card

#: Letters a place's name may have.
_LONGEST = 100
_READ = ("morning", "evening", "automatic")
# As gddcast.book.settings has them, which help need not wait for.
_SPOTS = ("open-shade", "sun", "wall", "under-cover", "indoors", "unknown")


@click.command()
@click.option("--book", "folder", type=options.READABLE, metavar="DIR", envvar="GDDCAST_BOOK",
              help="Folder of the book; default: the place’s name.")  # fmt: skip
@click.option("--name", metavar="TEXT", help="What you call the place.")
@click.option("--at", type=options.POINT, metavar="LAT,LON", help="Where it is; rounded is fine.")
@click.option("--timezone", metavar="ZONE", help="Such as America/Chicago.")
@click.option("--show", type=click.Choice(["F", "C"]), help="What you read and type.")
@options.season_begins
@click.option("--sensor-spot", type=click.Choice(_SPOTS), help="Where the thermometer hangs.")
@options.reading_hour
@click.option("--grow", metavar="CROP,…", help="What you grow; the pests of it are watched.")
@options.no_input
def setup(
    folder: Path | None,
    name: str | None,
    at: tuple[float, float] | None,
    timezone: str | None,
    show: str | None,
    season_begins: tuple[int, int] | None,
    sensor_spot: str | None,
    reading_hour: int | None,
    grow: str | None,
    no_input: bool,
) -> None:
    r"""Make a season book for one place; in a book that is there, change what you name.

    \b
    gddcast setup
    gddcast setup --name "Larkhollow Patch" --at 41.2,-89.4 --timezone America/Chicago --show F
    gddcast setup --grow summer-squash,sweet-corn,kale
    gddcast setup --sensor-spot open-shade --reading-hour 7
    """
    from gddcast.cli.book_here import can_ask

    there = _book_meant(folder, is_new=name is not None)
    asks = can_ask(no_input=no_input)
    crops = _crops(grow, there, asks)
    changes = {
        ("place", "name"): name and _one_line(name),
        ("place", "latitude"): at and at[0],
        ("place", "longitude"): at and at[1],
        ("place", "timezone"): timezone,
        ("show", "temperature"): show,
        ("season", "begins"): season_begins and f"{season_begins[0]:02d}-{season_begins[1]:02d}",
        ("weather", "sensor_spot"): sensor_spot,
        ("weather", "reading_hour"): reading_hour,
        ("weather", "day_ends"): None if reading_hour is None else day_ends(reading_hour),
        ("looking", "grow"): None if crops is None else list(crops),
    }
    if reading_hour is not None and reading_hour in AFTERNOON:
        click.echo(COUNTED_TWICE, err=True)
    given = {where: value for where, value in changes.items() if value is not None}
    if there is not None:
        _change(there, given)
        if crops is not None:
            _say_watched(there)
        return
    settings = settings_of(name, at, timezone, show, season_begins, asks)
    settings = replace(
        settings,
        weather=_thermometer(sensor_spot, reading_hour, asks),
        grow=_asked_crops() if crops is None and asks else crops,
    )
    _make(folder or Path(file_word(settings.place.name)), settings)


def _crops(grow: str | None, folder: Path | None, asks: bool) -> tuple[str, ...] | None:
    """Keys of the crops named; those of a book's own cards among them."""
    if grow is None:
        return None
    from gddcast.cli.crops_meant import crops_meant

    return crops_meant(_cards(folder), grow, asks=asks)


def _cards(folder: Path | None) -> dict[str, Card]:
    from gddcast.readers.card_files import load_cards

    own = None if folder is None else folder / "cards"
    return load_cards(cards_folder=own if own is not None and own.is_dir() else None)


def _asked_crops() -> tuple[str, ...]:
    from gddcast.cli.watch import asked_crops

    return asked_crops(_cards(None))


def _say_watched(folder: Path) -> None:
    """How many pests the book watches now, and of how many crops."""
    from gddcast.cli.book_here import book_option, opened_book
    from gddcast.text.watching import watching
    from gddcast.words import capital

    opened = opened_book(folder, None)
    cards = opened.cards()
    chosen = opened.watch(cards)
    if chosen.basis == "said":
        click.echo(f"{capital(watching(chosen))}:  {command('watch', *book_option(folder))}")


def _thermometer(spot: str | None, reading_hour: int | None, asks: bool) -> WeatherHabits:
    """Where the thermometer hangs and when it is read, asked where nobody said it."""
    from gddcast.book.settings import WeatherHabits

    if spot is None and asks:
        spot = click.prompt(
            "Where does the thermometer hang?", type=click.Choice(_SPOTS), default="unknown",
            prompt_suffix=" ", err=True,
        )  # fmt: skip
    if reading_hour is None and asks:
        reading_hour = _asked_hour()
    habits = WeatherHabits(sensor_spot=spot or "unknown")
    if reading_hour is None:
        return habits
    return replace(habits, reading_hour=reading_hour, day_ends=day_ends(reading_hour))


def _asked_hour() -> int | None:
    """The hour a thermometer is read and reset by hand; None for one that records by itself."""
    when: str = click.prompt(
        "Is it read by hand in the morning, in the evening, or automatic?",
        type=click.Choice(_READ), default="automatic", show_choices=False,
        prompt_suffix=" ", err=True,
    )  # fmt: skip
    if when == "automatic":
        return None
    hour: int = click.prompt(
        "At what hour (0 to 23)?", type=click.IntRange(0, 23), prompt_suffix=" ", err=True,
        default=7 if when == "morning" else 21,
    )  # fmt: skip
    if hour in AFTERNOON:
        click.echo(COUNTED_TWICE, err=True)
    return hour


def day_ends(reading_hour: int) -> str:
    """Before noon the maximum of a reading is yesterday's."""
    return "morning-reading" if reading_hour < 12 else "midnight"


def _book_meant(folder: Path | None, *, is_new: bool) -> Path | None:
    """The book whose settings are meant, if one is."""
    from gddcast.book.store import holds_a_book

    if folder is None and not is_new:
        from gddcast.cli.book_here import folder_meant

        try:
            return folder_meant(None)
        except Refusal as refusal:
            if refusal.slug == "no-book":
                return None
            raise
    return folder if folder is not None and holds_a_book(folder) else None


def _change(folder: Path, given: Mapping[tuple[str, str], object]) -> None:
    """Change single lines of ``book.toml``; start a record where there is none."""
    from gddcast.book.founding import with_new_record
    from gddcast.book.opening import RECORDS, SETTINGS
    from gddcast.book.setting_text import change_settings

    file = folder / SETTINGS
    if not (folder / RECORDS).exists():
        with_new_record(folder)
        click.echo(f"Started an empty record, {folder / RECORDS}.")
    elif not given:
        raise Refusal(
            f"the folder {folder}", "there is a season book in it",
            "A book is never written over; settings change one by one.",
            f"Say what to change (gddcast setup --help), or edit {file}.", slug="book-exists",
        )  # fmt: skip
    if given:
        change_settings(file, given)
        said = ", ".join(
            f"{key} = {' '.join(value) if isinstance(value, list) else value}"
            for (_, key), value in given.items()
        )
        click.echo(f"Changed in {file}: {said}.")


def settings_of(
    name: str | None,
    at: tuple[float, float] | None,
    timezone: str | None,
    show: str | None,
    season_begins: tuple[int, int] | None,
    asks: bool,
) -> Settings:
    """The place from flags, and from questions where a terminal can answer them."""
    from gddcast.book.settings import Settings
    from gddcast.toml.rules import Wrong
    from gddcast.toml.rules import timezone as known_zone
    from gddcast.weather.series import Place

    name = _one_line(name or _asked("name", asks, "Place name?"))
    if at is None and asks:
        at = click.prompt("Latitude, longitude?", type=options.POINT, prompt_suffix=" ", err=True)
    if timezone is None:
        timezone = _zone(asks)
    if show is None:
        show = _asked("show", asks, "Show temperatures in F or C?", ("F", "C"))
    try:
        known_zone(timezone)
    except Wrong as wrong:
        raise Refusal(
            f"the time zone '{timezone}'", "nobody knows it", f"It is {wrong.expected}.",
            wrong.cure, slug="no-such-timezone",
        ) from None  # fmt: skip
    latitude, longitude = at or (None, None)
    begins = season_begins or ((7, 1) if latitude is not None and latitude < 0 else (1, 1))
    if doubt := zone_doubt(longitude, timezone):
        click.echo(f"{doubt}  gddcast setup --at LAT,LON  changes it.", err=True)
    place = Place(name, latitude, longitude, None, timezone, begins)
    return Settings(place, show=show)  # type: ignore[arg-type]


def _one_line(name: str) -> str:
    """A place's name as it is kept: on one line, no blanks round it, short enough for a heading.

    Raises
    ------
    Refusal
    """
    plain = " ".join(name.split())
    if plain.isprintable() and 0 < len(plain) <= _LONGEST:
        return plain
    found = f"it has {len(plain)} letters" if len(plain) > _LONGEST else "it can’t be printed"
    raise Refusal(
        f"the name '{plain[:40]}…'" if len(plain) > 40 else f"the name '{plain}'",
        found if plain else "it is empty",
        f"It stands over every page and sheet: up to {_LONGEST} letters on one line.",
        "Give a shorter one:" if len(plain) > _LONGEST else "Give another:",
        flag="--name TEXT",
        slug="name-unfit",
    )


def _asked(flag: str, asks: bool, question: str, choices: tuple[str, ...] = ()) -> str:
    if not asks:
        raise Refusal(
            "this setup", f"it is not told --{flag}",
            "There is no terminal to ask, or --no-input was said.",
            "Add it:", flag=f"--{flag} {'|'.join(choices) or 'TEXT'}", slug=f"{flag}-missing",
        )  # fmt: skip
    kind = click.Choice(choices, case_sensitive=False) if choices else None
    answer: str = click.prompt(question, type=kind, show_choices=False, prompt_suffix=" ", err=True)
    return answer.strip()


def _zone(asks: bool) -> str:
    """The machine's own zone, offered; without a terminal it is taken and said."""
    from gddcast.cli.clock import machine_timezone

    own = machine_timezone()
    if asks:
        answer: str = click.prompt("Timezone?", default=own or "UTC", prompt_suffix=" ", err=True)
        return answer.strip()
    if own is None:
        return _asked("timezone", False, "")
    click.echo(f"Timezone: {own}, as this computer has it. If the place lies elsewhere, say "
               "--timezone ZONE.", err=True)  # fmt: skip
    return own


def zone_doubt(longitude: float | None, timezone: str) -> str:
    """That zone and longitude are worlds apart: a sign lost, or swapped; nothing where not."""
    if longitude is None:
        return ""
    import datetime as dt
    from zoneinfo import ZoneInfo

    offset = dt.datetime(2026, 1, 1, tzinfo=ZoneInfo(timezone)).utcoffset() or dt.timedelta()
    hours = offset.total_seconds() / 3600.0
    away = abs((hours - longitude / 15.0 + 12.0) % 24.0 - 12.0)
    if away <= 4.0:
        return ""
    return (
        f"Longitude {longitude:g} lies {away:.0f} hours from {timezone}. West is negative: "
        "was a sign lost, or were the two swapped?"
    )


def _make(folder: Path, settings: Settings) -> None:
    from gddcast.book.founding import create_book
    from gddcast.book.opening import SETTINGS
    from gddcast.cli.book_here import book_option

    book = create_book(folder, settings)
    if settings.place.season_begins == (7, 1):
        click.echo("Seasons begin on 1 July here; begins in book.toml changes it.")
    if settings.grow:
        _say_watched(folder)
    add = command("weather", "add", "YOURFILE.csv", *book_option(folder))
    click.echo(f"Wrote {book.folder / SETTINGS}.  Next:  {add}")
