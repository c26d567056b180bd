"""``gddcast lesson day``: one day by hand, by every method, with its picture."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import click

from gddcast.cli import lesson_options
from gddcast.cli.lesson_options import refuse_other_endings, write
from gddcast.errors import shell


@click.command()
@click.option("--high", required=True, metavar="72", help="Highest reading of the day.")
@click.option("--low", required=True, metavar="46", help="Lowest reading of the day.")
@click.option("--lower", required=True, metavar="50", help="Lower threshold.")
@click.option("--upper", metavar="86", help="Upper threshold.")
@click.option("--next-low", metavar="48", help="Low of the next night: adds the double methods.")
@click.option("--unit", type=click.Choice(["F", "C"]), help="Scale of the numbers you typed.")
@click.option("--steps", is_flag=True, help="Each step as a person would do it by hand.")
@lesson_options.output
@lesson_options.paper
@lesson_options.force
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
    from gddcast.pages.lessons.day import day_page
    from gddcast.text.lessons.day import day_text

    typed = {"high": high, "low": low, "lower": lower, "upper": upper, "next-low": next_low}
    numbers, scale = in_one_scale(typed, unit)
    worked = Day(
        numbers["high"], numbers["low"], numbers["lower"], scale,
        upper=numbers.get("upper", float("inf")), next_low=numbers.get("next-low"),
    )  # fmt: skip
    if output is not None:
        refuse_other_endings(output, "html")
        write(output, day_page(worked, size=paper), force, "open it in a browser, or print it")
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
        "these numbers", "they don’t say whether they are °F or °C", f"You typed {shown}.",
        "Say which:", flag="--unit F     (or --unit C)", slug="unit-missing",
    )  # fmt: skip
