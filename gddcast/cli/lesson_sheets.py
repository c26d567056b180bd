"""``gddcast lesson worksheet`` and ``class``: sheets to print, one or one for each student."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

from gddcast.cli import lesson_options, options
from gddcast.cli.lesson_options import refuse_other_endings, write

if TYPE_CHECKING:
    from collections.abc import Sequence

    from gddcast.cards.model import Card
    from gddcast.lessons.class_sheets import Order
    from gddcast.units import Unit

_FORMS = ("week", "cold", "upper", "date", "biofix", "card")
_LOWER = click.option(
    "--lower", metavar="48F", help="Lower threshold, in whole or half degrees; 50F if not said."
)
_UPPER = click.option("--upper", metavar="86F", help="Upper threshold of the form upper.")
_DAYS = click.option("--days", type=click.IntRange(1, 31), help="Days on the sheet.")


@click.command()
@lesson_options.seed
@click.option("--form", type=click.Choice(_FORMS), default="week", show_default=True,
              help="What is asked.")  # fmt: skip
@_DAYS
@_LOWER
@_UPPER
@lesson_options.unit
@lesson_options.answers
@lesson_options.output
@lesson_options.paper
@lesson_options.force
def worksheet(
    seed: int, form: str, days: int | None, lower: str | None, upper: str | None,
    unit: Literal["F", "C"], answers: bool, output: Path | None, paper: Literal["a4", "letter"],
    force: bool,
) -> None:  # fmt: skip
    r"""Make a worksheet and, with --answers, its key; -o makes a page to print, or a CSV.

    week: the heat of a week, three ways. cold: days below the line. upper: an upper threshold.
    date: on which day is a sum reached? biofix: the clock starts with a find in a trap. card: what
    does a published number leave unsaid?

    \b
    gddcast lesson worksheet --seed 7 -o sheet.html
    gddcast lesson worksheet --seed 7 --answers -o key.html
    gddcast lesson worksheet --seed 7 --form upper --lower 10C --unit C
    """
    from gddcast.lessons.card_sheet import CardSheet
    from gddcast.pages.lessons.sheet import key_page, sheet_page
    from gddcast.text.lessons import sheet as text

    ending = None if output is None else refuse_other_endings(output, "html", "csv")
    sheet = _order(form, seed, unit, days, lower, upper).make(_cards([form]))
    if output is None:
        if isinstance(sheet, CardSheet):
            click.echo(text.card_key_text(sheet) if answers else text.card_sheet_text(sheet))
        else:
            click.echo(text.key_text(sheet) if answers else text.sheet_text(sheet))
        return
    if ending == "csv":
        made = text.key_csv(sheet) if answers else text.sheet_csv(sheet)
    else:
        made = (key_page if answers else sheet_page)(sheet, size=paper)
    hint = "the key, apart from the sheet" if answers else "the key is made with --answers"
    write(output, made, force, hint)


@click.command("class")
@click.option("--students", type=options.READABLE, required=True, metavar="CSV",
              help="Their names: a name a line, or a column student.")  # fmt: skip
@click.option("--sheets", type=click.IntRange(1, 20), help="Sheets for each student; 1, or a form "
              "each.")  # fmt: skip
@click.option("--form", "forms", type=click.Choice(_FORMS), multiple=True,
              help="What is asked; may be said several times.")  # fmt: skip
@click.option("--seed", type=click.IntRange(min=0), default=1, show_default=True,
              help="Number of the first sheet; the others count on.")  # fmt: skip
@_DAYS
@_LOWER
@_UPPER
@lesson_options.unit
@click.option("-o", "--output", type=options.HAND_OUT, required=True, metavar="FILE.html",
              help="The sheets, a side each up to ten days; key and answers beside.")  # fmt: skip
@lesson_options.paper
@lesson_options.force
def class_(
    students: Path, sheets: int | None, forms: tuple[str, ...], seed: int, days: int | None,
    lower: str | None, upper: str | None, unit: Literal["F", "C"], output: Path,
    paper: Literal["a4", "letter"], force: bool,
) -> None:  # fmt: skip
    r"""Make sheets of their own for every student, one file to print, and one key with the names.

    Beside class.html stand class-key.html to print, class-key.csv for  lesson mark , and
    class-answers.csv to type answers into.

    \b
    gddcast lesson class --students names.csv -o class.html
    gddcast lesson class --students names.csv --form week --form upper --sheets 4 -o class.html
    """
    from gddcast import words
    from gddcast.lessons.class_sheets import class_sheets
    from gddcast.output_file import refuse_existing
    from gddcast.pages.lessons.class_pages import class_key_page
    from gddcast.pages.lessons.sheet import sheets_page
    from gddcast.readers.class_files import read_names
    from gddcast.text.lessons.class_key import answers_csv, class_key_csv

    refuse_other_endings(output, "html")
    beside = {name: output.with_name(f"{output.stem}-{name}") for name in (
        "key.html", "key.csv", "answers.csv",
    )}  # fmt: skip
    for path in (output, *beside.values()):
        refuse_existing(path, force=force)
    names, asked = read_names(students), forms or ("week",)
    if upper and "upper" not in asked:
        raise click.UsageError("--upper is for  --form upper .")
    if set(asked) == {"card"} and (days or lower):
        raise click.UsageError("A sheet of cards has no --days or --lower.")
    orders = [
        _order(form, seed, unit)
        if form == "card"
        else _order(form, seed, unit, days, lower, upper if form == "upper" else None)
        for form in asked
    ]
    student_sheets = class_sheets(names, orders, sheets or len(asked), _cards(asked))
    pages = [(each.student, each.sheet) for each in student_sheets]
    who = f"{words.count(len(names), 'student')}, {names[0]} to {names[-1]}"
    write(output, sheets_page(pages, title=f"Sheets for {who}", size=paper), force,
          f"{words.count(len(student_sheets), 'sheet')}, no two alike, for {who}")  # fmt: skip
    write(
        beside["key.html"], class_key_page(student_sheets, size=paper), force, "the key, to print"
    )
    write(
        beside["key.csv"], class_key_csv(student_sheets), force, "the key, for  gddcast lesson mark"
    )
    write(beside["answers.csv"], answers_csv(student_sheets), force, "type A, B and C into it")


def _cards(forms: Sequence[str]) -> dict[str, Card]:
    from gddcast.readers.card_files import load_cards

    return load_cards() if "card" in forms else {}


def _order(
    form: str,
    seed: int,
    unit: Unit,
    days: int | None = None,
    lower: str | None = None,
    upper: str | None = None,
) -> Order:
    """The order of a sheet; a threshold in the other scale is converted, once."""
    from gddcast.lessons.class_sheets import Order

    if form == "card" and (days or lower or upper):
        raise click.UsageError("A sheet of cards has no --days, --lower or --upper.")
    return Order(form, seed, unit, days, _degrees(lower, unit), _degrees(upper, unit))


def _degrees(typed: str | None, unit: Unit) -> float | None:
    from gddcast.units import from_celsius, temperature_named, to_celsius

    if typed is None:
        return None
    value, scale = temperature_named(typed)
    converted = value if scale == unit else float(from_celsius(to_celsius(value, scale), unit))
    return round(converted, 9)
