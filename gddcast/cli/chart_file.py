"""The file a picture goes to: looked at before the work, written whole after it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from gddcast.cli import options
from gddcast.errors import shell

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from gddcast.draw.chart_file import Format, Words
    from gddcast.today.today import Today

Command = TypeVar("Command", bound=Callable[..., Any])


#: Usual width of a picture: a page of A4 or Letter between its margins. [mm]
WIDTH = 180


def picture_options(command: Command) -> Command:
    """Where a picture goes, and how wide it is."""
    for option in (
        click.option("--force", "-f", is_flag=True, help="Write over a file that is there."),
        click.option(
            "--width", type=click.IntRange(80, 400), default=WIDTH, show_default=True,
            metavar="MM", help="Width in millimetres; 90 fits a phone or a column.",
        ),
        click.option(
            "-o", "--output", type=options.HAND_OUT, metavar="FILE", required=True,
            help="Picture to write: .svg, .png or .pdf.",
        ),
    ):  # fmt: skip
        command = option(command)
    return command


def of_the_weather(command: Command) -> Command:
    """The picture, and the FILE or the book whose weather is drawn."""
    for option in (
        options.no_input, options.cards, options.file_options, options.book, options.on,
        picture_options,
    ):  # fmt: skip
        command = option(command)
    return command


@dataclass(frozen=True, slots=True)
class ChartTarget:
    """A picture file that can be written."""

    path: Path
    form: Format
    force: bool
    width: int

    @classmethod
    def at(cls, path: Path, *, force: bool = False, width: int = WIDTH) -> ChartTarget:
        """The file, once its ending, its folder and what draws it are known to be there."""
        from gddcast.draw.chart_file import format_of
        from gddcast.output_file import refuse_existing

        form = format_of(path)
        refuse_existing(path, force=force)
        return cls(path, form, force, width)

    def labels(self, millimetres: float) -> int:
        """How many labels so wide fit under a drawing that leaves 45 mm beside it."""
        return max(int((self.width - 45.0) / millimetres), 2)

    def write(
        self,
        draw: Callable[[Figure], object],
        caption: Words,
        *,
        height: float,
        numbers: str | None,
    ) -> None:
        """Draw, write, and say where the same numbers stand."""
        from gddcast.draw.chart_file import picture
        from gddcast.output_file import write_bytes

        made = picture(draw, caption, self.form, width=self.width, height=height)
        write_bytes(self.path, made, force=self.force)
        click.echo(f"Wrote {self.path}: {caption.takeaway}", err=True)
        if numbers:
            click.echo(f"The same in numbers:  {numbers}", err=True)


def open_meant(
    file: Path | None, *, book_folder: Path | None, on: dt.date | None, no_input: bool,
    cards_folder: Path | None, **file_options: Any,
) -> Today:  # fmt: skip
    """What the file named, else the season book, says."""
    from gddcast.cli.record import open_today

    return open_today(
        file, book_folder, on, no_input=no_input, cards=cards_folder, **file_options
    ).today


def with_file(command: str, file: Path | None, book: Path | None, *words: str) -> str:
    """The command that says a picture in numbers, on the same file or book."""
    named = [str(file)] if file else ["--book", str(book)] if book else []
    return shell("gddcast", command, *named, *words)
