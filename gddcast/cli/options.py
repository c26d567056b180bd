"""Flags that several commands take, each said once, in the same words."""

from __future__ import annotations

import datetime as dt
import errno
import math
import os
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from gddcast.day_words import DayUnclear, NumberOrder, Which, day_meant, month_day
from gddcast.errors import Refusal

if TYPE_CHECKING:
    from gddcast.book.settings import Settings

Command = TypeVar("Command", bound=Callable[..., Any])


class DayType(click.ParamType):  # type: ignore[type-arg]
    """A day as people say it, or as 2026-06-11; see `gddcast.day_words`."""

    name = "date"

    def __init__(self, which: Which = "last") -> None:
        self.which = which

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> dt.date:
        """Read it; what it leaves open is counted from today, as said or at the book's place."""
        if isinstance(value, dt.date):
            return value
        try:
            day = day_meant(
                value, lambda: _today(ctx), which=self.which, order=lambda: _number_order(ctx)
            )
        except DayUnclear as unclear:
            self.fail(str(unclear), param, ctx)
        if not 1700 <= day.year <= 2200:
            self.fail(f"{value} is too far off: give a day from 1700 to 2200.", param, ctx)
        return day


def _today(ctx: click.Context | None) -> dt.date:
    """Today as said by ``--on``, else at the place of the book, else of this machine."""
    from gddcast.cli.clock import today_at

    said = ctx.params.get("on") if ctx else None
    if isinstance(said, dt.date):
        return said
    settings = _settings(ctx)
    return today_at(settings.place if settings else None)


def _number_order(ctx: click.Context | None) -> NumberOrder | None:
    settings = _settings(ctx)
    return settings.number_order if settings else None


def _settings(ctx: click.Context | None) -> Settings | None:
    """Settings of the book that a command works on; None where there is none to be read."""
    from gddcast.book.settings import read_settings
    from gddcast.cli.book_here import folder_meant

    if ctx is None or all(each.name != "book_folder" for each in ctx.command.params):
        return None
    # While a command is being parsed, what was not said is no None.
    file, folder = (
        each if isinstance(each := ctx.params.get(name), Path) else None
        for name in ("file", "book_folder")
    )
    if file is None:
        with suppress(Refusal):  # the command itself will say so
            return read_settings(folder_meant(folder) / "book.toml")
    return None


class MonthDay(click.ParamType):  # type: ignore[type-arg]
    """A day of any year as 03-01 or 1 March."""

    name = "MM-DD"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[int, int]:
        """Read it."""
        if isinstance(value, tuple):
            return value
        try:
            return month_day(value)
        except DayUnclear as unclear:
            self.fail(str(unclear), param, ctx)


class Point(click.ParamType):  # type: ignore[type-arg]
    """Latitude and longitude as 41.2,-89.4: north and east positive."""

    name = "LAT,LON"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[float, float]:
        """Read it."""
        if isinstance(value, tuple):
            return value
        try:
            latitude, longitude = (float(part) for part in value.split(","))
        except ValueError:
            self.fail(f"'{value}' is not a point. Write it as 41.2,-89.4.", param, ctx)
        if not (abs(latitude) <= 90 and abs(longitude) <= 180):  # nan is no place either
            self.fail(
                f"latitude {latitude:g} and longitude {longitude:g} are no place on earth. "
                "Latitude comes first and lies between -90 and 90: are the two swapped?",
                param,
                ctx,
            )
        return latitude, longitude


class ReadingType(click.ParamType):  # type: ignore[type-arg]
    """What a thermometer shows: a number, and one that is finite."""

    name = "T"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> float:
        """Read it."""
        try:
            number = float(value)
        except ValueError:
            number = math.nan
        if not math.isfinite(number):
            self.fail(f"'{value}' is no reading. Write it as 61 or 16.5.", param, ctx)
        return number


class FilePath(click.Path):
    """A file or folder whose name a disk takes, there or not."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Path:
        """Look at the name."""
        path = Path(os.fsdecode(super().convert(value, param, ctx)))
        try:
            path.lstat()
        except ValueError:
            self.fail("its name holds a character that no file name has.", param, ctx)
        except OSError as error:
            if error.errno == errno.ENAMETOOLONG:
                self.fail(
                    f"'{str(path)[:40]}…' has {len(path.name)} letters; a name takes about 255. "
                    "Choose a shorter one.", param, ctx,
                )  # fmt: skip
        return path


class HandOut(FilePath):
    """A file to write: refused at once where no hand-out may stand, before anything is read."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Path:
        """Look at the place."""
        from gddcast.output_file import refuse_precious

        path = super().convert(value, param, ctx)
        refuse_precious(path)
        return path


class Zone(click.ParamType[str]):
    """A time zone by its IANA name."""

    name = "ZONE"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> str:
        """Read it."""
        from gddcast.toml.rules import Wrong, timezone

        try:
            return timezone(value)
        except Wrong as wrong:
            self.fail(f"nobody knows the time zone '{value}'. {wrong.cure}", param, ctx)


def not_both(file: Path | None) -> None:
    """Refuse a FILE beside a ``--book``; GDDCAST_BOOK only stands in where neither is said.

    Raises
    ------
    click.UsageError
    """
    typed = click.get_current_context().get_parameter_source("book_folder")
    if file is not None and typed is click.core.ParameterSource.COMMANDLINE:
        raise click.UsageError(f"Name a FILE or a --book, not both: '{file}' is taken for a FILE.")


def _file_meant(_: click.Context, __: click.Parameter, file: Path | None) -> Path | None:
    not_both(file)
    return file


def _book_meant(ctx: click.Context, _: click.Parameter, folder: Path | None) -> Path | None:
    either = any(each.name == "file" and not each.required for each in ctx.command.params)
    if either:
        not_both(ctx.params.get("file"))
    return folder


DAY, MONTH_DAY, POINT, ZONE, READING = DayType(), MonthDay(), Point(), Zone(), ReadingType()
COMING_DAY, NEAREST_DAY = DayType("coming"), DayType("nearest")
READABLE, HAND_OUT = FilePath(path_type=Path), HandOut(path_type=Path)

# Eager, these three: a FILE and a --book exclude each other, and days are read by what they say.
file_argument = click.argument(
    "file", type=READABLE, required=False, is_eager=True, callback=_file_meant
)
on = click.option(
    "--on", type=NEAREST_DAY, metavar="DATE", is_eager=True, help="Pretend today is this day."
)
show = click.option("--show", type=click.Choice(["F", "C"]), help="What you read.")
as_json = click.option("--json", "as_json", is_flag=True, help="Answer for programs.")
no_input = click.option("--no-input", is_flag=True, help="Never ask; refuse and say the flag.")
strict = click.option("--strict", is_flag=True, help="Exit 4 if something needs your eye.")
full = click.option(
    "--full", is_flag=True, help="A paragraph a stage: where to look, sums, sources, what moved."
)


def _emphasis(ctx: click.Context, _: click.Parameter, choice: str | None) -> None:
    if choice is not None:
        ctx.color = {"always": True, "never": False}.get(choice)


color = click.option(
    "--color", type=click.Choice(["auto", "always", "never"]), expose_value=False,
    callback=_emphasis, help="Bold and dim; auto: on a terminal, unless NO_COLOR is set.",
)  # fmt: skip
_watch = click.option(
    "--watch", metavar="NAME,…", help="Only these pests and crops (see gddcast pests)."
)
_grow = click.option(
    "--grow", metavar="CROP,…", help="The pests of these crops (see gddcast crops)."
)
pests_tried = click.option(
    "--pests", metavar="NAME,…", help="Only these pests and crops (see gddcast pests)."
)
leave_one_out = click.option(
    "--leave-one-out/--past-only",
    "leave_one_out",
    default=False,
    help="Learn from all other seasons, or only from earlier ones (default).",
)
cards = click.option(
    "--cards", "cards_folder", type=READABLE, metavar="DIR", help="A folder of your own cards."
)
book = click.option(
    "--book",
    "book_folder",
    type=READABLE,
    metavar="DIR",
    envvar="GDDCAST_BOOK",
    is_eager=True,
    callback=_book_meant,
    help="Your season book, if it is not this folder.",
)
forecasts = click.option(
    "--forecasts", type=READABLE, metavar="CSV",
    help="Past forecasts, columns issued,date,max_f,min_f: how far off they were is learnt.",
)  # fmt: skip
note = click.option("--note", metavar="TEXT", help="Anything worth keeping.")
at = click.option("--at", type=POINT, metavar="LAT,LON", help="Where the thermometer hangs.")
season_begins = click.option(
    "--season-begins", type=MONTH_DAY, metavar="MM-DD", help="Day the sums start over."
)
dates = click.option(
    "--dates",
    type=click.Choice(["day-first", "month-first", "year-first"]),
    help="How the file writes dates.",
)
site = click.option("--site", metavar="NAME", help="Which of several sites in the file.")
max_column = click.option("--max-column", metavar="NAME", help="Column of daily maxima.")
min_column = click.option("--min-column", metavar="NAME", help="Column of daily minima.")

reading_hour = click.option(
    "--reading-hour",
    type=click.IntRange(0, 23),
    metavar="HOUR",
    help="Hour a thermometer is read and reset: before noon its maximum is yesterday’s.",
)
timezone = click.option(
    "--timezone", type=ZONE, metavar="ZONE", help="IANA name of the place’s zone, for hourly files."
)
stamps = click.option(
    "--stamps",
    type=click.Choice(["utc", "standard", "clock"]),
    help="What the times of an hourly file follow.",
)
file_unit = click.option(
    "--unit", type=click.Choice(["F", "C", "K", "tenths-C"]), help="What the file is in."
)


certain = click.option("--yes", "sure", is_flag=True, help="It is so: ask nothing.")
sheet = click.option("--sheet", metavar="NAME", help="Which sheet of a workbook.")
sure = click.option(
    "--yes", "sure", is_flag=True, help="The --unit holds, though the numbers look like another."
)


def reading_options(command: Command) -> Command:
    """Everything that settles what a temperature file leaves open."""
    for option in (
        sure, sheet, stamps, timezone, reading_hour, min_column, max_column, site, dates, file_unit,
    ):  # fmt: skip
        command = option(command)
    return command


def watch(command: Command) -> Command:
    """What is watched: cards by name, and pests by the crops they live on."""
    return _watch(_grow(command))


def file_options(command: Command) -> Command:
    """Everything that says how a temperature file is to be read, and where it is from."""
    for option in (reading_options, season_begins, at):
        command = option(command)
    return command


def a_file_is_needed(command: str) -> Refusal:
    """Said where a command got no file: it never shows the demo by accident."""
    return Refusal(
        "this command",
        "it was given no temperature file",
        "It needs a file of daily minima and maxima.",
        f"Name one:  gddcast {command} garden.csv     To see how it works:  gddcast demo",
        slug="file-missing",
    )
