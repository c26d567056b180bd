"""``gddcast farms patch``: fill one farm's gap from another's record; nothing without ``--yes``."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gddcast.cli import options, screen
from gddcast.errors import Refusal, command

if TYPE_CHECKING:
    from gddcast.cli.farms.opening import Farms
    from gddcast.farms.farm import Farm
    from gddcast.quality.mending import Mended

#: Where files lie as they came, out of the list's sight.
_AS_THEY_CAME = "as-they-came"


@click.command()
@click.argument("folder", type=options.READABLE)
@click.argument("farm")
@click.option("--from", "lender", metavar="FARM", help="Who lends; else the list’s neighbour, "
              "else who knows most of the days and differs most evenly.")  # fmt: skip
@click.option("--extend", is_flag=True, help="Past years and days after its end, too.")
@click.option("--yes", "sure", is_flag=True, help="Write it.")
@options.on
@options.show
@options.color
@options.as_json
def patch(
    folder: Path,
    farm: str,
    lender: str | None,
    extend: bool,
    sure: bool,
    on: dt.date | None,
    show: str | None,
    as_json: bool,
) -> None:
    r"""Propose what another farm would lend to FARM, moved by their difference; --yes writes it.

    Each day lent stays marked as patched. A plain file is written anew; as it came it stays in
    FOLDER/as-they-came. A book takes the days as an entry, which undo withdraws.

    \b
    gddcast farms patch FOLDER "Two Ponds"
    gddcast farms patch FOLDER "Two Ponds" --from "Ashby Ridge" --yes
    """
    from gddcast.cli.farms.opening import open_farms
    from gddcast.quality.mending import mend
    from gddcast.text.farms.patch import proposed

    farms = open_farms(folder, on)
    meant = farms.listed.named(farm)
    other = farms.listed.named(lender) if lender else _neighbour(farms, meant)
    daily_series, theirs = (farms.measured(each) for each in (meant, other))
    mended = mend(daily_series, None, theirs, extend=extend)
    if not mended.days_patched:
        raise Refusal(
            meant.name, "there is nothing to patch",
            f"{other.name} knows no day that it lacks.", "Add  --extend  to borrow past years."
            if not extend else "Name another with  --from FARM", slug="nothing-to-patch",
        )  # fmt: skip
    unit = farms.show(show)
    if as_json:
        from gddcast.cli.clock import now
        from gddcast.text.weather.patch import mended_json

        if sure:
            _written(farms, meant, other, mended)
        click.echo(mended_json(mended, meant.file if sure else None, unit, now()))
        return
    screen.show(proposed(mended, meant, other, unit, terminal=screen.terminal()))
    if not sure:
        again = ("--extend",) if extend else ()
        words = ("farms", "patch", folder, meant.name, "--from", other.name, *again, "--yes")
        click.echo(f"Nothing is written yet. To write it:  {command(*words)}")
        return
    click.echo(_written(farms, meant, other, mended))


def _written(farms: Farms, farm: Farm, other: Farm, mended: Mended) -> str:
    """Write what was proposed, and say where."""
    into = _into_book if farm.is_book else _into_file
    return into(farms, farm, other, mended)


def _neighbour(farms: Farms, farm: Farm) -> Farm:
    """The farm that the list names as neighbour, else the best by what both know."""
    if farm.neighbour:
        return farms.listed.named(farm.neighbour)
    farm_record = next(each for each in farms.records() if each.farm == farm)
    if farm_record.refusal is not None:
        raise farm_record.refusal
    if farm_record.neighbour is None:
        raise Refusal(
            farm.name, "no other farm shares enough days with it",
            "Thirty days that both know are needed to tell how the two places differ.",
            "Borrow from a station near by:  gddcast weather patch FILE --from STATION.csv",
            slug="no-neighbour",
        )  # fmt: skip
    return farms.listed.named(farm_record.neighbour.farm)


def _into_file(farms: Farms, farm: Farm, other: Farm, mended: Mended) -> str:
    from gddcast.cli.clock import now
    from gddcast.output_file import write_bytes, write_text
    from gddcast.readers.opening import bytes_of
    from gddcast.text.weather.record_csv import record_csv

    file = farms.listed.folder / farm.file
    same_unit = farm.unit in (None, mended.series.unit)  # the list speaks of the new file, too
    if file.suffix.casefold() != ".csv" or farm.site is not None or not same_unit:
        raise Refusal(
            farm.file, "it is no CSV file of this farm alone, in °F or °C",
            "Only such a file is written anew.",
            f"Write another:  {command('weather', 'patch', file, '-o', f'{file.stem}.csv')}",
            slug="not-written-anew",
        )  # fmt: skip
    kept = file.parent / _AS_THEY_CAME / f"{file.stem}-{now():%Y-%m-%d-%H%M%S}{file.suffix}"
    kept.parent.mkdir(exist_ok=True)
    write_bytes(kept, bytes_of(file))
    write_text(file, record_csv(mended, file.name, other.name, now().date()), force=True)
    return f"Wrote {file}; as it came it is kept in {kept}."


def _into_book(farms: Farms, farm: Farm, other: Farm, mended: Mended) -> str:
    from gddcast.book.weather_rows import WeatherSource
    from gddcast.cli.book_here import opened_book

    opened = opened_book(farms.listed.folder / farm.file, farms.on, no_input=True)
    source = WeatherSource(f"lent by {other.name}", mended.series.unit, "book.toml", "midnight")
    with opened.writing() as pen:
        brought = pen.weather(mended.series, source, only_fill=True)
    return f"[entry {brought.entry}]  Undo:  {opened.command('undo')}"
