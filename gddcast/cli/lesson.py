"""``gddcast lesson``: a day by hand, methods compared, worksheets, planted errors, a story."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any, Literal

import click

from gddcast.cli import options
from gddcast.errors import shell

_PAPER = click.option(
    "--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True,
    help="Sheet the page is laid out for.",
)  # fmt: skip
_OUTPUT = click.option(
    "-o", "--output", type=options.HAND_OUT, metavar="FILE", help="Write it to this file."
)
_FORCE = click.option("--force", "-f", is_flag=True, help="Write over a file that is there.")
_SEED = click.option(
    "--seed", type=click.IntRange(min=0), required=True, help="The same seed makes the same lesson."
)
_ANSWERS = click.option("--answers", is_flag=True, help="The key instead.")
_SCALE = click.option(
    "--unit", type=click.Choice(["F", "C"]), default="F", show_default=True,
    help="Scale the lesson is written in.",
)  # fmt: skip


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
def lesson() -> None:
    r"""Lessons for a class: all of them work without a file of your own.

    \b
    gddcast lesson day --high 72 --low 46 --lower 50 --unit F --steps
    gddcast lesson worksheet --seed 7 -o sheet.html
    gddcast lesson worksheet --seed 7 --answers -o key.html
    """


@lesson.command(short_help="one day by hand, by every method, with its picture")
@click.option("--high", required=True, metavar="72", help="Highest reading of the day.")
@click.option("--low", required=True, metavar="46", help="Lowest reading of the day.")
@click.option("--lower", required=True, metavar="50", help="Lower threshold.")
@click.option("--upper", metavar="86", help="Upper threshold.")
@click.option("--next-low", metavar="48", help="Low of the next night: adds the double methods.")
@click.option("--unit", type=click.Choice(["F", "C"]), help="Scale of the numbers you typed.")
@click.option("--steps", is_flag=True, help="Each step as a person would do it by hand.")
@_OUTPUT
@_PAPER
@_FORCE
def day(
    high: str, low: str, lower: str, upper: str | None, next_low: str | None,
    unit: Literal["F", "C"] | None, steps: bool, output: Path | None,
    paper: Literal["a4", "letter"], force: bool,
) -> None:  # fmt: skip
    r"""Work one day by hand, by every method side by side; -o draws it.

    \b
    gddcast lesson day --high 72 --low 46 --lower 50 --unit F --steps
    """
    from gddcast.lessons.worked_day import Day
    from gddcast.pages.lessons import day_page
    from gddcast.text.lessons import day_text

    typed = {"high": high, "low": low, "lower": lower, "upper": upper, "next-low": next_low}
    numbers, scale = in_one_scale(typed, unit)
    worked = Day(
        numbers["high"], numbers["low"], numbers["lower"], scale,
        upper=numbers.get("upper", float("inf")), next_low=numbers.get("next-low"),
    )  # fmt: skip
    if output is not None:
        _write(output, day_page(worked, size=paper), force, "open it in a browser, or print it")
    else:
        click.echo(day_text(worked, with_steps=steps))


def in_one_scale(
    typed: dict[str, str | None], unit: Literal["F", "C"] | None
) -> tuple[dict[str, float], Literal["F", "C"]]:
    """Numbers typed as 72 with ``--unit``, or as 72F; a bare one never gets a guessed scale."""
    from gddcast.errors import Refusal
    from gddcast.units import temperature_named

    given = {name: text for name, text in typed.items() if text is not None}
    numbers, scales = {}, set()
    for name, text in given.items():
        bare = text.replace("−", "-").replace(",", ".")
        try:
            numbers[name] = float(bare)
        except ValueError:
            numbers[name], scale = temperature_named(text)
            scales.add(scale)
    scales |= {unit} if unit else set()
    if len(scales) == 1:
        return numbers, "F" if scales == {"F"} else "C"
    shown = ", ".join(shell(f"--{name}", text) for name, text in given.items())
    if scales:
        raise Refusal(
            "these numbers", "some are °F and some °C", f"You typed {shown}.",
            "Write all of them in one scale.", slug="unit-conflict",
        )  # fmt: skip
    raise Refusal(
        "these numbers", "they don't say whether they are °F or °C", f"You typed {shown}.",
        "Say which:", flag="--unit F     (or --unit C)", slug="unit-missing",
    )  # fmt: skip


@lesson.command(short_help="the same days of a file by every method and by the hour")
@options.file_argument
@click.option("--lower", default="50F", show_default=True, metavar="50F", help="Lower threshold.")
@click.option("--upper", metavar="86F", help="Upper threshold.")
@click.option(
    "--cutoff", type=click.Choice(["horizontal", "intermediate", "vertical", "cap-the-readings"]),
    default="horizontal", show_default=True, help="What warmth above the upper threshold does.",
)  # fmt: skip
@click.option("--from", "first", type=options.DAY, metavar="DATE", help="First day compared.")
@click.option("--to", "last", type=options.DAY, metavar="DATE", help="Last day compared.")
@options.reading_options
@options.show
def methods(
    file: Path | None, lower: str, upper: str | None, cutoff: str, first: dt.date | None,
    last: dt.date | None, show: str | None, **how: Any,
) -> None:  # fmt: skip
    r"""Count the same days of a FILE by every method, against its hourly readings if it has any.

    \b
    gddcast lesson methods garden.csv --lower 50F --from 2026-05-01 --to 2026-05-31
    """
    if file is None:
        raise options.a_file_is_needed("lesson methods")
    from gddcast.cli.opening import shown_unit
    from gddcast.heat.daily import CUTOFFS
    from gddcast.lessons.comparison import compare_methods, on_days_of
    from gddcast.readers.temperature_file import read_temperatures
    from gddcast.text.lessons import comparison_text
    from gddcast.units import temperature_named, to_celsius

    reading = read_temperatures(file, **how)
    for note in reading.notes:
        click.echo(f"{file.name}: {note}", err=True)
    series = reading.series.between(first or reading.series.first, last or reading.series.last)
    log = reading.hourly
    found = compare_methods(
        series,
        lower=to_celsius(*temperature_named(lower)),
        upper=float("inf") if upper is None else to_celsius(*temperature_named(upper)),
        cutoff=CUTOFFS[cutoff.replace("-", " ")],
        hourly=None if log is None else on_days_of(series, log.by_day(), log.stamps[0].item()),
    )
    click.echo(comparison_text(found, shown_unit(show, series)))


@lesson.command(short_help="a worksheet of some days, and its key")
@_SEED
@click.option("--days", type=click.IntRange(1, 31), default=7, show_default=True,
              help="Days on the sheet.")  # fmt: skip
@_SCALE
@_ANSWERS
@_OUTPUT
@_PAPER
@_FORCE
def worksheet(
    seed: int, days: int, unit: Literal["F", "C"], answers: bool, output: Path | None,
    paper: Literal["a4", "letter"], force: bool,
) -> None:  # fmt: skip
    r"""Make a worksheet of some days and, with --answers, its key; -o makes a page to print.

    \b
    gddcast lesson worksheet --seed 7 -o sheet.html
    gddcast lesson worksheet --seed 7 --answers -o key.html
    """
    from gddcast.lessons.worksheet import make_worksheet
    from gddcast.pages.lessons import key_page, sheet_page
    from gddcast.text import lessons

    sheet = make_worksheet(seed, days, unit)
    if output is None:
        click.echo(lessons.key_text(sheet) if answers else lessons.sheet_text(sheet))
        return
    made = key_page if answers else sheet_page
    hint = "the key, apart from the sheet" if answers else "the key is made with --answers"
    _write(output, made(sheet, size=paper), force, hint)


@lesson.command(short_help="a class file with planted faults, and its key")
@_SEED
@_ANSWERS
@_OUTPUT
@_FORCE
def errors(seed: int, answers: bool, output: Path | None, force: bool) -> None:
    r"""Make a class file with planted faults and, with --answers, the key with their lines.

    \b
    gddcast lesson errors --seed 3 -o class.csv
    gddcast lesson errors --seed 3 --answers
    """
    from gddcast.lessons.planted import plant_faults
    from gddcast.text.lessons import class_key_text

    planted = plant_faults(seed)
    text = class_key_text(planted) + "\n" if answers else planted.text
    if output is None:
        click.echo(text, nl=False)
        return
    count = f"{len(planted.faults)} faults are planted in it; the key is made with --answers"
    _write(output, text, force, "the key" if answers else count)


@lesson.command(short_help="an invented year and its story")
@_SEED
@click.option("--year", type=click.IntRange(1900, 2200), default=2026, show_default=True,
              help="Year the story is of.")  # fmt: skip
@_SCALE
@_OUTPUT
@_FORCE
def season(
    seed: int, year: int, unit: Literal["F", "C"], output: Path | None, force: bool
) -> None:  # fmt: skip
    r"""Invent a year and tell its story; -o writes its days as CSV.

    \b
    gddcast lesson season --seed 4 -o year.csv
    """
    from gddcast.lessons.invented import invent_year
    from gddcast.output_file import refuse_existing
    from gddcast.text.lessons import story_text
    from gddcast.text.weather.record_csv import temperature_csv

    if output is not None:
        refuse_existing(output, force=force)
    invented = invent_year(seed, year, unit)
    click.echo(story_text(invented))
    if output is not None:
        _write(output, temperature_csv(invented.series), force, "its days, invented")


def _write(path: Path, text: str, force: bool, hint: str) -> None:
    from gddcast.output_file import write_text

    write_text(path, text, force=force)
    click.echo(f"Wrote {path}: {hint}.", err=True)
