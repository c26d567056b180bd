"""``gddcast weather add`` and ``weather note``: bring weather into the book."""

from __future__ import annotations

import datetime as dt
import os
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gddcast.cli import options
from gddcast.errors import Refusal
from gddcast.units import Unit

if TYPE_CHECKING:
    from gddcast.book.weather_rows import Brought
    from gddcast.cli.book_here import OpenedBook
    from gddcast.quality.verdict import Verdict
    from gddcast.readers.reading import Reading
    from gddcast.text.doubts import EntryDoubt
    from gddcast.weather.series import DailySeries


@click.command("add")
@click.argument("file", type=options.READABLE)
@options.reading_options
@click.option("--only-fill", is_flag=True, help="Leave every day the book knows as it is.")
@click.option("--blank-too", is_flag=True, help="Days the file leaves blank become unknown.")
@click.option(
    "--issued",
    type=options.DAY,
    metavar="DATE",
    help="Day its forecast was issued; what the file says, else today.",
)
@options.on
@options.book
@options.no_input
@options.strict
def add(
    file: Path,
    only_fill: bool,
    blank_too: bool,
    issued: dt.date | None,
    on: dt.date | None,
    book_folder: Path | None,
    no_input: bool,
    strict: bool,
    **file_options: Any,
) -> None:
    r"""Bring a FILE of daily minima and maxima, or a logger’s readings, into the book.

    Bring the same file again when it has grown: only days that are new or differ are written.

    Days from today on are a forecast. It is kept as issued, and held against what comes: from
    thirty on, a book knows how far its own forecasts are off. Past forecasts of a file with
    columns issued,date,max_f,min_f are kept likewise.

    \b
    gddcast weather add garden.csv
    gddcast weather add logger.csv --unit C
    """
    from gddcast.cli.book_here import opened_book
    from gddcast.readers.forecast_file import says_when_issued
    from gddcast.text.weather.brought import brought_text

    opened = opened_book(book_folder, on, no_input=no_input)
    if says_when_issued(file):
        _add_forecasts(opened, file)
        return
    ends = {each.day_ends for each in opened.book.sources()}
    reading, brought, issued = bring(
        opened, file, issued, only_fill=only_fill, blank_too=blank_too, **file_options
    )
    verdict = verdict_on(opened)
    click.echo(
        brought_text(
            reading, brought, verdict, opened.book.show,
            issued=issued, spot=opened.book.settings.weather.sensor_spot,
            means_only=reading.means_only, other_day_ends=sorted(ends - {reading.day_ends}),
            walk=opened.command("walk"), undo=opened.command("undo"),
            setup=opened.command("setup"),
        )
    )  # fmt: skip
    if strict and (verdict.trust in ("shaky", "unusable") or brought.changed):
        raise SystemExit(4)


def bring(
    opened: OpenedBook,
    file: Path,
    issued: dt.date | None = None,
    *,
    only_fill: bool = False,
    blank_too: bool = False,
    called: str | None = None,
    **options: Any,
) -> tuple[Reading, Brought, dt.date]:
    """Bring a file into the book, which remembers where it stood and how it was read.

    One that was handed over and stands nowhere is only ``called`` something.

    Returns
    -------
    reading, brought, issued : Reading, Brought, datetime.date
        The last is the day its forecast was issued.
    """
    from gddcast.book.weather_rows import WeatherSource

    reading = read_for(opened, file, **options)
    said = reading.options.chosen()
    if options.get("reading_hour") is None:
        said.pop("reading_hour", None)  # the book's own, which its people may change
    apart = {"only_fill": only_fill, "blank_too": blank_too}
    source = WeatherSource(
        called or file.name, reading.unit, reading.unit_decided_by, reading.day_ends,
        None if called else _remembered(file, opened.book.folder),
        {**said, **{name: True for name, chosen in apart.items() if chosen}},
    )  # fmt: skip
    issued = _issued(reading, file, issued, opened.today)
    with opened.writing() as pen:
        brought = pen.weather(
            reading.series, source, issued=issued, only_fill=only_fill, strike_blank=blank_too
        )
    return reading, brought, issued


def verdict_on(opened: OpenedBook) -> Verdict:
    """How far the book's record up to today can be trusted."""
    from gddcast.quality.verdict import judge

    return judge(opened.book.series(opened.today).before(opened.today))


def _remembered(file: Path, folder: Path) -> str | None:
    """Path of a file as the book keeps it: from its own folder, where the two lie together."""
    whole, book = file.resolve(), folder.resolve()
    if not whole.is_file():
        return None  # a pipe is gone when it was read
    near = whole.is_relative_to(book.parent) and book.parent != Path(book.anchor)
    return (Path(os.path.relpath(whole, book)) if near else whole).as_posix()


def _issued(reading: Reading, file: Path, given: dt.date | None, today: dt.date) -> dt.date:
    """Day the file's forecast was issued: as said, as the file says, else today."""
    line = dict(reading.provenance).get("forecast issued")
    try:
        issued = given or (dt.date.fromisoformat(line) if line else today)
    except ValueError:
        raise Refusal(
            file.name, f"its line “# forecast issued: {line}” names no day",
            "A day is written as 2026-06-11.", "Say when it was issued:",
            flag="--issued DATE", slug="issue-unclear",
        ) from None  # fmt: skip
    if issued > today:
        raise _issued_later(file.name, issued, today)
    return issued


def _issued_later(where: str, issued: dt.date, today: dt.date) -> Refusal:
    return Refusal(
        where, f"it holds a forecast issued on {_day_words(issued)}, which is in the future",
        f"Today is {_day_words(today)} at this place.",
        "Mend the day of issue; if today is another day, say  --on DATE", slug="in-the-future",
    )  # fmt: skip


def _add_forecasts(opened: OpenedBook, file: Path) -> None:
    """Keep the past forecasts of a file that says when each was issued."""
    from gddcast.book.weather_rows import WeatherSource
    from gddcast.readers.forecast_file import read_forecasts
    from gddcast.text.weather.brought import forecasts_text

    forecast_archive = read_forecasts(file)
    latest = forecast_archive.issued.max().item()
    if latest > opened.today:
        raise _issued_later(file.name, latest, opened.today)
    with opened.writing() as pen:
        brought = pen.forecasts(forecast_archive, WeatherSource(file.name, "C", "header"))
    click.echo(forecasts_text(forecast_archive, brought))


def read_for(opened: OpenedBook, file: Path, **file_options: Any) -> Reading:
    """Read a file, asking what it does not say, or with what the book's settings say of files."""
    from gddcast.cli.opening import read_asking

    habits = opened.book.settings.weather
    morning = habits.day_ends == "morning-reading"
    file_options = {"place": opened.book.place, "today": opened.today, **file_options}
    if morning and file_options.get("reading_hour") is None and habits.reading_hour is not None:
        file_options["reading_hour"] = habits.reading_hour
    return read_asking(file, no_input=not opened.asks, usual={"unit": habits.unit}, **file_options)


@click.command("note")
@click.option("--high", type=options.READING, metavar="T", help="Highest temperature of the day.")
@click.option("--low", type=options.READING, metavar="T", help="Lowest temperature of the day.")
@click.option("--done", type=options.DAY, metavar="DATE", help="Day of the reading; today.")
@click.option("--unit", type=click.Choice(["F", "C"]), help="What you typed; the book’s own.")
@options.certain
@options.on
@options.book
@options.no_input
def note(
    high: float | None,
    low: float | None,
    done: dt.date | None,
    unit: str | None,
    sure: bool,
    on: dt.date | None,
    book_folder: Path | None,
    no_input: bool,
) -> None:
    r"""Note one day’s reading of a thermometer on a wall.

    Read before noon and reset? Set day_ends = "morning-reading" in book.toml: the maximum is
    then put to the day before. What its month has never shown in the book is asked about.

    \b
    gddcast weather note --high 84 --low 61
    gddcast weather note --high 84 --low 61 --done yesterday
    """
    from gddcast.cli.book_here import opened_book

    opened = opened_book(book_folder, on, no_input=no_input)
    day = done or opened.today
    brought, noted = record_reading(opened, high, low, day, unit, sure=sure)  # type: ignore[arg-type]
    for said in noted:
        click.echo(said)
    if brought.entry is not None:
        click.echo(_changes(brought, opened.command("undo")))


def record_reading(
    opened: OpenedBook,
    high: float | None,
    low: float | None,
    day: dt.date,
    unit: Unit | None = None,
    *,
    sure: bool,
) -> tuple[Brought, list[str]]:
    """Write one day's reading, in the scale said or the book's: what it brought, and in words."""
    from gddcast.book.weather_rows import WeatherSource
    from gddcast.cli.certainty import ask_to_be_sure
    from gddcast.words import temperature

    typed: Unit = unit or opened.book.show
    series, habits = _noted(opened, high, low, day, typed), opened.book.settings.weather
    decided_by = "you" if unit else "book.toml"
    ask_to_be_sure(_doubt(opened, series, typed), asks=opened.asks, sure=sure)
    with opened.writing() as pen:
        brought = pen.weather(series, WeatherSource("typed in", typed, decided_by, habits.day_ends))
    if brought.entry is None:
        return brought, ["The book has that already; nothing was written."]
    noted = []
    for place in range(len(series)):
        said = [
            f"{name} {temperature(float(value[place]), typed, 1)}"
            for name, value in (("high", series.tmax), ("low", series.tmin))
            if value[place] == value[place]
        ]
        noted.append(f"Noted for {_day_words(series.date(place))}: {', '.join(said)}.")
    return brought, noted


def _doubt(opened: OpenedBook, series: DailySeries, typed: Unit) -> EntryDoubt | None:
    """What its month has never shown: another scale, perhaps, or a slip of the finger."""
    from gddcast.quality.month_range import outside_month
    from gddcast.text.doubts import unseen_readings

    if opened.book.weather() is None:
        return None
    record = opened.today_with(opened.cards(), []).record.verdict.judged
    outside = list(outside_month(record, series))
    return unseen_readings(outside, typed) if outside else None


def _noted(
    opened: OpenedBook, high: float | None, low: float | None, day: dt.date, typed: Unit
) -> DailySeries:
    """The reading as days: one, or two where a morning's maximum belongs to the day before."""
    import numpy as np

    from gddcast.units import to_celsius
    from gddcast.weather.series import DailySeries

    if high is None and low is None:
        raise Refusal(
            "this note", "it holds no reading", "A reading is a high, a low, or both.",
            "Write it:  gddcast weather note --high 84 --low 61", slug="reading-missing",
        )  # fmt: skip
    if day > opened.today:
        raise Refusal(
            f"the day {day}",
            "it is in the future",
            f"Today is {_day_words(opened.today)} at this place.",
            "Give the day of the reading:  --done DATE",
            slug="in-the-future",
        )
    tmax, tmin = (np.nan if value is None else to_celsius(value, typed) for value in (high, low))
    _refuse_impossible(tmax, tmin, high, low, typed)
    place = opened.book.place
    if opened.book.settings.weather.day_ends != "morning-reading" or high is None:
        return DailySeries(day, np.array([tmin]), np.array([tmax]), place=place, unit=typed)
    before = day - dt.timedelta(days=1)
    lows, highs = np.array([np.nan, tmin]), np.array([tmax, np.nan])
    days = DailySeries(before, lows, highs, place=place, unit=typed)
    return days if low is not None else days.between(before, before)


def _refuse_impossible(
    tmax: float, tmin: float, high: float | None, low: float | None, typed: Unit
) -> None:
    if tmax < tmin:
        raise Refusal(
            f"high {high:g} and low {low:g}", "the high lies below the low",
            "A day’s maximum is not below its minimum.", "Were the two swapped?", slug="swapped",
        )  # fmt: skip
    for value, read in ((tmax, high), (tmin, low)):
        if read is not None and not -60.0 <= value <= 57.0:
            raise Refusal(
                f"the reading {read:g} °{typed}", "no thermometer in the shade has shown that",
                "Air stays between −60 and 57 °C (−76 and 135 °F).",
                "If you read the other scale:", flag=f"--unit {'C' if typed == 'F' else 'F'}",
                slug="impossible-reading",
            )  # fmt: skip


def _day_words(day: dt.date) -> str:
    from gddcast.words import day as words_of

    return words_of(day, year=True)


def _changes(brought: Brought, undo: str) -> str:
    changed = f"; {len(brought.changed)} had another reading" if brought.changed else ""
    return f"[entry {brought.entry}]{changed}  Undo:  {undo}"
