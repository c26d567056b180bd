"""Pictures of one day: its curve, and the day as every method takes it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from gddcast.cli import options
from gddcast.cli.chart_file import ChartTarget, picture_options
from gddcast.cli.lesson_day import in_one_scale
from gddcast.errors import Refusal

if TYPE_CHECKING:
    from gddcast.lessons.worked_day import Day

Command = TypeVar("Command", bound=Callable[..., Any])


def _day_options(command: Command) -> Command:
    """A day typed in, or one of a file."""
    for option in (
        options.reading_options,
        click.option("--day", "date", type=options.DAY, metavar="DATE", help="Day of the FILE."),
        click.option("--next-low", metavar="48", help="Low of the next night."),
        click.option("--upper", metavar="86", help="Upper threshold."),
        click.option("--lower", required=True, metavar="50", help="Lower threshold."),
        click.option("--low", metavar="46", help="Lowest reading of the day."),
        click.option("--high", metavar="72", help="Highest reading of the day."),
        click.argument("file", type=options.READABLE, required=False),
    ):
        command = option(command)
    return command


@click.command("day-curve")
@_day_options
@picture_options
@options.no_input
def day_curve(output: Path, force: bool, width: int, **given: Any) -> None:
    r"""One day’s curve, its heat filled.

    \b
    gddcast chart day-curve --high 72 --low 46 --lower 50 --unit F -o day.svg
    gddcast chart day-curve garden.csv --day 2026-06-08 --lower 50F -o day.svg
    """
    from gddcast.draw.chart_file import Words
    from gddcast.draw.day_curve import draw_day
    from gddcast.lessons.day_waves import takeaway

    target = ChartTarget.at(output, force=force, width=width)
    day, name, command = _day(**given)
    target.write(
        lambda fig: draw_day(
            fig.add_subplot(), day.low, day.high, day.lower, day.upper,
            unit=day.unit, next_low=day.next_low,
        ),
        Words(name, takeaway(day), f"{name}. The curve is assumed; the readings are known."),
        height=70, numbers=command,
    )  # fmt: skip


@click.command()
@_day_options
@picture_options
@options.no_input
def methods(output: Path, force: bool, width: int, **given: Any) -> None:
    r"""One day by every method, side by side.

    Six where the next night’s low is known, else four.

    \b
    gddcast chart methods --high 72 --low 46 --next-low 52 --lower 50 --unit F -o methods.svg
    gddcast chart methods garden.csv --day 2026-06-08 --lower 50F -o methods.svg
    """
    from gddcast.draw.chart_file import Words
    from gddcast.draw.methods import draw_methods, methods_takeaway

    target = ChartTarget.at(output, force=force, width=width)
    day, name, command = _day(**given)
    across = max(min(width // 45, 3 if len(day.shapes) == 6 else 4), 2)
    rows = -(-len(day.shapes) // across)
    upper = " Dotted: the upper threshold; what is hatched above it adds nothing."
    note = f"{name}. Dashed: the line; shaded: the heat above it.{upper if day.upper < 1e9 else ''}"
    target.write(
        lambda fig: draw_methods(fig.subplots(rows, across, sharey=True).ravel(), day),
        Words(name, methods_takeaway(day), note),
        height=42 * rows, numbers=command,
    )  # fmt: skip


def _day(
    *, file: Path | None, date: dt.date | None, high: str | None, low: str | None, lower: str,
    upper: str | None, next_low: str | None, **file_options: Any,
) -> tuple[Day, str, str]:  # fmt: skip
    """The day meant, its name, and the command that works it by hand."""
    from gddcast import words
    from gddcast.lessons.worked_day import Day, day_title

    typed = {"high": high, "low": low, "lower": lower, "upper": upper, "next-low": next_low}
    if file is not None:
        if high or low or next_low:
            raise click.UsageError("Give a FILE and --day, or --high and --low, not both.")
        day, found_on = _day_of(file, date, lower, upper, **file_options)
        name = words.day(found_on, year=True)
    elif high is None or low is None:
        raise click.UsageError("Give --high and --low, or a FILE and --day.")
    else:
        told = [
            key
            for key in file_options
            if file_options[key] and key not in ("unit", "sure", "no_input")
        ]
        if told:
            flag = told[0].replace("_", "-")
            raise click.UsageError(f"--{flag} speaks of a FILE: give one, or leave it out.")
        if file_options["unit"] not in ("F", "C", None):
            raise click.UsageError("What you type is in F or C; the other units are for a FILE.")
        number, scale = in_one_scale(typed, file_options["unit"])
        day = Day(
            number["high"], number["low"], number["lower"], scale,
            upper=number.get("upper", float("inf")), next_low=number.get("next-low"),
        )  # fmt: skip
        name = day_title(day)
    return day, name, _by_hand(day)


def _day_of(
    file: Path, date: dt.date | None, lower: str, upper: str | None, **file_options: Any
) -> tuple[Day, dt.date]:  # fmt: skip
    """A day of a file, with the night after it where that is known."""
    from gddcast.cli.record import open_record
    from gddcast.lessons.worked_day import Day
    from gddcast.units import from_celsius, temperature_named, to_celsius
    from gddcast.weather.series import Origin

    record = open_record(file, None, **file_options)
    series = record.series.without(Origin.PATCHED)
    if date is None:
        raise click.UsageError(f"Say which day of {file.name}:  --day {record.as_read.last}")
    at = series.index(date)
    if not 0 <= at < len(series) or not series.known[at]:
        raise Refusal(
            f"{file.name}, {date}",
            "its low or its high is not known",
            f"The file holds {record.as_read.first} to {record.as_read.last}.",
            "Name a day with both readings.",
            slug="day-unknown",
        )

    def read(celsius: float) -> float:
        return round(float(from_celsius(celsius, series.unit)), 2)

    limits = (
        read(to_celsius(*temperature_named(text))) if text else float("inf")
        for text in (lower, upper)
    )
    following = series.tmin[at + 1] if at + 1 < len(series) else float("nan")
    next_low = read(following) if following == following else None
    day = Day(read(series.tmax[at]), read(series.tmin[at]), next(limits), series.unit,
              upper=next(limits), next_low=next_low)  # fmt: skip
    return day, date


def _by_hand(day: Day) -> str:
    upper = f" --upper {day.upper:g}" if day.upper < float("inf") else ""
    following = "" if day.next_low is None else f" --next-low {day.next_low:g}"
    return (
        f"gddcast lesson day --high {day.high:g} --low {day.low:g} --lower {day.lower:g}"
        f"{upper}{following} --unit {day.unit}"
    )
