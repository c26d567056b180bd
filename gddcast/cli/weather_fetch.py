"""``gddcast weather fetch`` and ``weather stations``: what asks the network."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gddcast.cli import options
from gddcast.errors import shell

if TYPE_CHECKING:
    from gddcast.cli.weather_wanted import Earlier, Flags
    from gddcast.units import Unit
    from gddcast.weather.provenance import Sourced

_within = click.option("--within", type=click.FloatRange(1, 500), default=50.0, show_default=True,
                       metavar="KM", help="How far to look for a station.")  # fmt: skip
_elevation = click.option(
    "--elevation", type=click.FloatRange(-430, 6000), metavar="M", help="Height of the place, m."
)


@click.command("stations")
@click.option("--at", type=options.POINT, required=True, metavar="LAT,LON", help="Your place.")
@_within
@_elevation
@options.on
def stations(
    at: tuple[float, float], within: float, elevation: float | None, on: dt.date | None
) -> None:
    r"""List the weather stations near a place, best first. Uses the network.

    \b
    gddcast weather stations --at 41.2,-89.4
    gddcast weather stations --at 41.2,-89.4 --elevation 210 --within 80
    """
    from gddcast.cli.clock import today_at
    from gddcast.cli.weather_network import look_at_clock, weather_session
    from gddcast.online.station_list import nearby
    from gddcast.text.weather.fetched import stations_text

    look_at_clock(at[1])
    with weather_session() as session:
        near = nearby(*at, session, on or today_at(), elevation=elevation, within=within)
    click.echo(stations_text(near))
    click.echo("Stations: Meteostat, CC BY 4.0, meteostat.net", err=True)
    best = near[0].station.id
    point = f"{at[0]:g},{at[1]:g}"
    fetch = shell("gddcast", "weather", "fetch", "--at", point, "--station", best, "-o", "FILE")
    click.echo(f"Next:  {fetch}", err=True)


@click.command("fetch")
@click.option("--at", type=options.POINT, metavar="LAT,LON", help="Your place.")
@click.option("--station", "identity", metavar="ID", help="This station (see weather stations).")
@click.option("--grid", is_flag=True, help="No station: modelled weather of the place itself.")
@click.option("--years", type=click.IntRange(0, 150), help="Past years; 20, or as before.")
@click.option("--forecast", is_flag=True, help="The coming days too.")
@click.option("--output", "-o", type=options.HAND_OUT, required=True, metavar="FILE",
              help="Where to write; a file fetched before is brought up to date.")  # fmt: skip
@click.option("--unit", type=click.Choice(["F", "C"]), help="Scale to write; C, or as before.")
@_within
@_elevation
@click.option("--force", "-f", is_flag=True, help="Write over any file that is there.")
@options.on
@options.strict
def fetch(
    at: tuple[float, float] | None,
    identity: str | None,
    grid: bool,
    years: int | None,
    forecast: bool,
    output: Path,
    unit: str | None,
    within: float,
    elevation: float | None,
    force: bool,
    on: dt.date | None,
    strict: bool,
) -> None:
    r"""Bring the weather of a place from a station near it. Uses the network.

    Give the same FILE again to bring it up to date: it says which past days changed.

    \b
    gddcast weather fetch --at 41.2,-89.4 --forecast -o weather.csv
    gddcast weather fetch --station 72530 --years 30 -o weather.csv
    gddcast weather fetch --forecast -o weather.csv        (up to date again)
    """
    from gddcast.cli.weather_network import look_at_clock
    from gddcast.cli.weather_wanted import Flags

    if at is not None:
        look_at_clock(at[1])
    flags = Flags(at, identity, grid, years, forecast, within, elevation, on)
    fetched = fetched_file(output, flags, unit, force=force)
    tell(fetched, output)
    if strict and any(source.stale for source in fetched.record.sources):
        raise SystemExit(4)


@dataclass(frozen=True, slots=True)
class Fetched:
    """What was written, what stood there before, in which scale, by how many requests."""

    record: Sourced
    earlier: Earlier | None
    scale: Unit
    sent: int


def fetched_file(
    output: Path, flags: Flags, unit: str | None = None, *, force: bool = False
) -> Fetched:
    """Write what is wanted into a file, or bring the file of an earlier fetch up to date."""
    from gddcast.cli.clock import now
    from gddcast.cli.progress import progress_bar
    from gddcast.cli.weather_network import weather_session
    from gddcast.cli.weather_wanted import fetched_before, wanted_by
    from gddcast.online.joining import collect
    from gddcast.output_file import write_text
    from gddcast.text.weather.record_csv import fetched_csv

    earlier = fetched_before(output, force=force, named=bool(flags.at or flags.identity))
    with weather_session() as session:
        wanted = wanted_by(flags, earlier, session)
        with progress_bar("Years") as progress:
            record = collect(wanted, session, progress)
        sent = session.requests
    scale: Unit = unit or (earlier.series.unit if earlier else "C")  # type: ignore[assignment]
    text = fetched_csv(record, wanted.station, wanted.second, scale, flags.on or now().date())
    write_text(output, text, force=force or earlier is not None)
    return Fetched(record, earlier, scale, sent)


def tell(fetched: Fetched, output: Path) -> None:
    """What was written, what moved, from whom it is and on what terms."""
    from gddcast.quality.revisions import revision
    from gddcast.text.weather.fetched import fetched_text, revision_text

    record = fetched.record
    click.echo(fetched_text(record, str(output)))
    if fetched.earlier is not None:
        moved = revision(fetched.earlier.series, record.series)
        click.echo(revision_text(moved, fetched.scale))
    for note in record.notes:
        click.echo(note, err=True)
    used = [source for at, source in enumerate(record.sources) if (record.of_day == at).any()]
    for terms in dict.fromkeys(source.terms for source in used):
        click.echo(terms, err=True)
    click.echo(
        f"{fetched.sent} requests. Next:  {shell('gddcast', 'weather', 'check', output)}", err=True
    )
