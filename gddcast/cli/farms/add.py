"""``gddcast farms add``: new weather to each farm by name."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gddcast.cli import options
from gddcast.cli.failures import CANNOT_USE, NEEDS_YOUR_EYE
from gddcast.errors import Refusal, command

if TYPE_CHECKING:
    from gddcast.cli.farms.opening import Farms
    from gddcast.farms.farm import Farm

_NO_FILE = "no-file-of-that-name"


@click.command()
@click.argument("folder", type=options.READABLE)
@click.option("--weather", "source", type=options.READABLE, metavar="DIR",
              help="Files called as the farms are; else each book’s own file again.")  # fmt: skip
@options.certain
@options.on
@options.strict
def add(
    folder: Path, source: Path | None, sure: bool, on: dt.date | None, strict: bool
) -> None:  # fmt: skip
    r"""Bring new weather to each farm, from the file in DIR that is called as the farm or its file.

    A book takes the days that are new or differ. A plain file is replaced by one that holds all
    its days and more; where an earlier day reads otherwise now, only with --yes.

    \b
    gddcast farms add FOLDER --weather downloads
    """
    from gddcast.cli.farms.opening import open_farms
    from gddcast.cli.progress import progress_bar

    if source is not None and not source.is_dir():
        raise Refusal(
            str(source), "it is no folder that is there",
            "It holds a file for each farm, called as the farm is.",
            "Check the name and the folder you are in.", slug="no-folder",
        )  # fmt: skip
    farms = open_farms(folder, on)
    said, without, failed = [], [], 0
    with progress_bar("Farms") as progress:
        for farm, answer in farms.tried(lambda each: _brought(farms, each, source, sure), progress):
            failed += isinstance(answer, Refusal)
            if isinstance(answer, Refusal) and answer.slug == _NO_FILE:
                without.append(farm.name)
                continue
            line = _in_a_line(answer) if isinstance(answer, Refusal) else answer
            said.append(f"{farm.name}: {line}")
    for line in said:
        click.echo(line)
    if without:
        click.echo(f"No file there is called as: {', '.join(without)}.")
    click.echo(f"Next:  {command('farms', 'ahead', folder)}")
    if failed == len(farms.listed.farms):
        farms.done(CANNOT_USE)
    farms.done(NEEDS_YOUR_EYE if strict and failed else 0)


def _in_a_line(refusal: Refusal) -> str:
    return f"not brought in, {refusal.problem}. {refusal.cure} {refusal.flag or ''}".rstrip()


def _brought(farms: Farms, farm: Farm, source: Path | None, sure: bool) -> str:
    """What one farm got, in words."""
    file = None if source is None else _called(source, farm)
    if farm.is_book:
        return _to_book(farms, farm, file)
    if file is None:
        return f"goes by {farm.file} as it is"
    return _to_file(farms, farm, file, sure=sure)


def _called(source: Path, farm: Farm) -> Path:
    """The file in a folder that is called as a farm, or as its file is.

    Raises
    ------
    Refusal
        If there is none, or several.
    """
    from gddcast.names import alike

    names = {alike(farm.name), alike(Path(farm.file).stem)}
    found = [each for each in sorted(source.iterdir())
             if each.is_file() and alike(each.stem) in names]  # fmt: skip
    if len(found) == 1:
        return found[0]
    what = "no file there is called so" if not found else f"{len(found)} files are called so"
    raise Refusal(
        str(source), what, "Weather comes to a farm by its name.",
        f"Call the file {farm.name}.csv.", slug=_NO_FILE if not found else "several-files",
    )  # fmt: skip


def _to_book(farms: Farms, farm: Farm, file: Path | None) -> str:
    from gddcast.cli.book_here import OpenedBook, opened_book
    from gddcast.cli.weather_add import bring
    from gddcast.cli.weather_again import remembered
    from gddcast.words import count

    opened: OpenedBook = opened_book(farms.listed.folder / farm.file, farms.on, no_input=True)
    said: dict[str, Any] = {} if farm.unit is None else {"unit": farm.unit}
    if file is None:
        file, known = remembered(opened, None)
        said = dict(known)
    _, brought, _ = bring(opened, file, **said)
    after = opened.book.series()
    changed = f", {count(len(brought.changed), 'day')} revised" if brought.changed else ""
    if brought.entry is None:
        return f"nothing new in {file.name}"
    return f"{count(brought.new, 'day')} new{changed}, to {_to(after.last_known)}"


def _to(day: dt.date | None) -> str:
    from gddcast.words import day as in_words

    return in_words(day, weekday=False, year=True) if day else "no day"


def _to_file(farms: Farms, farm: Farm, file: Path, *, sure: bool) -> str:
    """Put a file in the place of the farm's own, if it holds all that one does."""
    import numpy as np

    from gddcast.output_file import write_bytes
    from gddcast.readers.opening import bytes_of
    from gddcast.weather.gaps import on_days_of
    from gddcast.words import count

    own = farms.listed.folder / farm.file
    fresh = farms.read(file, farm).series
    new, revised = int(np.count_nonzero(fresh.known)), 0
    if own.exists():
        before = farms.reading(farm).series
        after = on_days_of(before, fresh)
        lost = int(np.count_nonzero(before.known & ~after.known))
        if lost:
            raise Refusal(
                file.name, f"it lacks {count(lost, 'day')} that {farm.file} knows",
                "A farm’s file is replaced only by one that holds all its days.",
                "Bring the whole record, or keep a season book there: it joins pieces.",
                slug="days-would-be-lost",
            )  # fmt: skip
        both = before.known & after.known
        apart = np.hypot(before.tmin - after.tmin, before.tmax - after.tmax)[both] > 0.05
        revised = int(np.count_nonzero(apart))
        new -= int(np.count_nonzero(both))
        if not new and not revised:
            return f"nothing new in {file.name}"
    if revised and not sure:
        raise Refusal(
            file.name, f"{count(revised, 'day')} read otherwise than in {farm.file}",
            "Another thermometer’s file would look so, too.", "If they were revised, say  --yes",
            slug="days-revised",
        )  # fmt: skip
    write_bytes(own, bytes_of(file), force=True)
    changed = f", {count(revised, 'day')} revised" if revised else ""
    return f"{count(new, 'day')} new{changed}, to {_to(fresh.last_known)}"
