"""``gddcast lesson errors``, ``season`` and ``jars``: invented records, and their keys."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import click

from gddcast.cli import lesson_options
from gddcast.cli.lesson_options import refuse_other_endings, write


@click.command()
@lesson_options.seed
@lesson_options.unit
@lesson_options.answers
@lesson_options.output
@lesson_options.force
def errors(
    seed: int, unit: Literal["F", "C"], answers: bool, output: Path | None, force: bool
) -> None:  # fmt: skip
    r"""Make a class file with planted faults and, with --answers, the key with their lines.

    \b
    gddcast lesson errors --seed 3 -o class.csv
    gddcast lesson errors --seed 3 --answers
    gddcast lesson errors --seed 3 --answers -o key.csv     (for  lesson mark)
    """
    from gddcast.lessons.planted import plant_faults
    from gddcast.text.lessons.class_key import faults_key_csv
    from gddcast.text.lessons.errors import class_key_text

    ending = None if output is None else refuse_other_endings(output, "csv", "txt")
    planted = plant_faults(seed, unit)
    text = class_key_text(planted) + "\n" if answers else planted.text
    if output is None:
        click.echo(text, nl=False)
        return
    count = f"{len(planted.faults)} faults are planted in it; the key is made with --answers"
    if answers and ending == "csv":
        text = faults_key_csv(planted)
    write(output, text, force, "the key" if answers else count)


@click.command()
@lesson_options.seed
@click.option("--year", type=click.IntRange(1900, 2200), default=2026, show_default=True,
              help="Year the story is of.")  # fmt: skip
@lesson_options.unit
@click.option("--methods", is_flag=True, help="Count it by six methods as well.")
@click.option("--lower", default="50F", show_default=True, metavar="50F",
              help="Lower threshold of --methods.")  # fmt: skip
@click.option("--heat", default="1000F", show_default=True, metavar="1000F",
              help="Heat sum of --methods, in degree-days, with its F or C.")  # fmt: skip
@lesson_options.output
@lesson_options.force
def season(
    seed: int, year: int, unit: Literal["F", "C"], methods: bool, lower: str, heat: str,
    output: Path | None, force: bool,
) -> None:  # fmt: skip
    r"""Invent a year and tell its story; -o writes its days as CSV.

    --methods counts it six ways: the day each reaches one sum, and what a number printed by each
    would do.

    \b
    gddcast lesson season --seed 4 -o year.csv
    gddcast lesson season --seed 4 --methods
    """
    from gddcast.lessons.invented import invent_year
    from gddcast.lessons.season_methods import season_by_methods
    from gddcast.output_file import refuse_existing
    from gddcast.text.lessons.season import season_methods_text, story_text
    from gddcast.text.weather.record_csv import temperature_csv
    from gddcast.units import temperature_named, to_celsius, to_celsius_days

    if output is not None:
        refuse_other_endings(output, "csv")
        refuse_existing(output, force=force)
    invented = invent_year(seed, year, unit)
    said = [story_text(invented)]
    if methods:
        counted = season_by_methods(
            invented.series, lower=to_celsius(*temperature_named(lower)),
            goal=to_celsius_days(*temperature_named(heat)),
        )  # fmt: skip
        said.append(season_methods_text(counted, unit))
    click.echo("\n\n".join(said))
    if output is not None:
        write(output, temperature_csv(invented.series), force, "its days, invented")


@click.command()
@lesson_options.seed
@click.option("--unit", type=click.Choice(["F", "C"]), default="C", show_default=True,
              help="Scale the jars are written in.")  # fmt: skip
@lesson_options.answers
@lesson_options.output
@lesson_options.force
def jars(
    seed: int, unit: Literal["F", "C"], answers: bool, output: Path | None, force: bool
) -> None:  # fmt: skip
    r"""Invent rearing jars for  gddcast thresholds  and, with --answers, their key.

    \b
    gddcast lesson jars --seed 5 -o jars.csv
    gddcast lesson jars --seed 5 --answers
    """
    from gddcast.lessons.jars import invent_jars
    from gddcast.text.lessons.jars import jars_csv, jars_key_text

    if output is not None:
        refuse_other_endings(output, *(("txt",) if answers else ("csv",)))
    invented_jars = invent_jars(seed, unit)
    text = jars_key_text(invented_jars) + "\n" if answers else jars_csv(invented_jars)
    if output is None:
        click.echo(text, nl=False)
    else:
        write(output, text, force, "the key" if answers else "the key is made with --answers")
