"""``gddcast weather again``: bring in once more the file or station the book's weather is from."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gddcast.cli import options
from gddcast.errors import Refusal

if TYPE_CHECKING:
    from collections.abc import Mapping

    from gddcast.cli.book_here import OpenedBook
    from gddcast.cli.weather_fetch import Fetched


@click.command("again")
@click.argument("name", metavar="[FILE]", required=False)
@options.on
@options.book
@options.no_input
@options.strict
def again(
    name: str | None,
    on: dt.date | None,
    book_folder: Path | None,
    no_input: bool,
    strict: bool,
) -> None:
    r"""Bring in once more the file the book’s weather came from, read as before.

    Only new days are written, and revised ones are named. A file that weather fetch made is first
    brought up to date from its station, which uses the network. FILE is needed where another than
    the last is meant.

    \b
    gddcast weather again
    gddcast weather again logger.csv
    """
    from gddcast.cli.book_here import opened_book
    from gddcast.cli.weather_add import bring, verdict_on
    from gddcast.text.weather.again import again_text
    from gddcast.text.weather.brought import forecast_lines, verdict_line

    opened = opened_book(book_folder, on, no_input=no_input)
    file, said = remembered(opened, name)
    _fetch_if_fetched(file, on)
    before = opened.book.weather()
    reading, brought, issued = bring(opened, file, **said)
    after, verdict = opened.book.series(), verdict_on(opened)
    for line in (
        *again_text(file.name, brought, before, after, opened.book.show, opened.command("undo")),
        *forecast_lines(brought, reading.series, issued),
        verdict_line(verdict),
        f"Next:  {opened.command('walk')}",
    ):
        click.echo(line)
    if strict and (verdict.trust in ("shaky", "unusable") or brought.changed):
        raise SystemExit(4)


def remembered(opened: OpenedBook, name: str | None) -> tuple[Path, Mapping[str, Any]]:
    """The file last brought in, or the one named, and what was said of it then.

    Raises
    ------
    Refusal
        If the book remembers none, not that one, or the file is gone.
    """
    known = _known(opened)
    add = opened.command("weather", "add", name or "YOURFILE.csv")
    if not known:
        raise Refusal(
            f"the book of {opened.book.place.name}", "it remembers no file of weather",
            "Its weather was typed in, or brought before files were remembered.",
            f"Bring the file once, and it is:  {add}", slug="no-file-remembered",
        )  # fmt: skip
    file = next(
        (each for each in reversed(known) if name is None or _is_that(each, name)), None
    )  # fmt: skip
    if file is None:
        raise Refusal(
            f"the file {name}", "the book’s weather is of no file of that name",
            f"It is of {', '.join(each.name for each in known)}.",
            f"Name one of these, or bring it in:  {add}", slug="no-file-remembered",
        )  # fmt: skip
    if not file.exists():
        raise Refusal(
            str(file.resolve()), "the file is gone",
            "The book’s weather came from there.",
            f"If it moved, bring it from its new place:  "
            f"{opened.command('weather', 'add', file.name)}", slug="no-file",
        )  # fmt: skip
    return file, known[file]


def _is_that(file: Path, name: str) -> bool:
    return file.name == name or file.resolve() == Path(name).resolve()


def fetched_files(opened: OpenedBook) -> list[Path]:
    """Files of a fetch that the book remembers and that are still there, the last first."""
    return [each for each in reversed(_known(opened)) if is_fetched(each)]


def reading_options(opened: OpenedBook, file: Path) -> Mapping[str, Any]:
    """How a remembered file was read."""
    return _known(opened)[file]


def _known(opened: OpenedBook) -> dict[Path, Mapping[str, Any]]:
    return {
        opened.book.folder / each.file: each.options
        for each in opened.book.sources()
        if each.file is not None
    }


def is_fetched(file: Path) -> bool:
    """Whether a fetch made it."""
    from gddcast.text.weather.record_csv import MADE_BY

    if not file.is_file():
        return False
    with file.open("rb") as raw:
        return raw.readline(200).startswith(f"# made by: {MADE_BY}".encode())


def _fetch_if_fetched(file: Path, on: dt.date | None) -> None:
    """Bring the file up to date from its own station, if a fetch made it."""
    if not is_fetched(file):
        return
    from gddcast.cli.weather_fetch import tell

    tell(bring_up_to_date(file, on), file)


def bring_up_to_date(file: Path, on: dt.date | None) -> Fetched:
    """Fetch what a file of a fetch lacks from its own station, a forecast if it holds one."""
    from gddcast.cli.weather_fetch import fetched_file
    from gddcast.cli.weather_wanted import Flags

    with_forecast = b"# forecast issued:" in file.read_bytes()
    return fetched_file(file, Flags(forecast=with_forecast, on=on))
