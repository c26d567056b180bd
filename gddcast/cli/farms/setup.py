"""``gddcast farms setup``: make the list of farms from a table."""

from __future__ import annotations

from pathlib import Path

import click

from gddcast.cli import options


@click.command()
@click.argument("folder", type=options.READABLE)
@click.option("--from", "table", type=options.READABLE, required=True, metavar="CSV",
              help="Columns name, file, latitude, longitude, unit, watch …")  # fmt: skip
@click.option("--watch", metavar="NAME,…", help="Watched at every farm that names none.")
@click.option("--show", type=click.Choice(["F", "C"]), help="What you read.")
@click.option("--at", type=options.POINT, metavar="LAT,LON", help="Where a row says nothing.")
@options.timezone
@click.option("--force", "-f", is_flag=True, help="Write over a list that is there.")
def setup(
    folder: Path,
    table: Path,
    watch: str | None,
    show: str | None,
    at: tuple[float, float] | None,
    timezone: str | None,
    force: bool,
) -> None:
    r"""Write FOLDER/farms.toml from a table with a row a farm.

    Columns: name, file (of temperatures, or the folder of a season book; default the name),
    latitude, longitude, unit, watch (names with ; between), dates, site, timezone, neighbour.

    \b
    gddcast farms setup FOLDER --from list.csv --watch squash-vine-borer --show F
    """
    from gddcast.cli.opening import watch_list
    from gddcast.errors import command
    from gddcast.output_file import write_text
    from gddcast.readers.card_files import load_cards
    from gddcast.readers.farms_list import LIST, list_text, read_farms
    from gddcast.readers.farms_table import farms_in_table
    from gddcast.words import count, listed

    farms = farms_in_table(table)
    cards = load_cards()
    watched = watch_list(cards, watch)
    for each in farms.values():
        watch_list(cards, ",".join(each.get("watch", ())))  # a name of no card is refused here
    inside = table.resolve().parent == folder.resolve()
    whole = {"watch": watched, "show": show, "leave_out": [table.name] if inside else None}
    latitude, longitude = at or (None, None)
    place = {"latitude": latitude, "longitude": longitude, "timezone": timezone}
    write_text(folder / LIST, list_text(whole, place, farms), force=force)
    listed_farms = read_farms(folder).farms
    missing = [each.name for each in listed_farms if not (folder / each.file).exists()]
    besides = [each.name for each in listed_farms if each.name not in farms]
    click.echo(f"Wrote {folder / LIST}: {count(len(farms), 'farm')}.")
    if besides:
        click.echo(f"Not in the table, and counted as well: {listed(besides)}.")
    if missing:
        click.echo(f"No file yet: {listed(missing)}.")
    click.echo(f"Next:  {command('farms', 'check', folder)}")
