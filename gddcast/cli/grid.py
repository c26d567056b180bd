"""``gddcast grid``: gridded temperatures in, the dates of a card's stages out."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gddcast.cli import options

if TYPE_CHECKING:
    from gddcast.cards.model import Card
    from gddcast.cli.chart_file import ChartTarget


@click.command()
@click.argument("files", nargs=-1, required=True, type=options.READABLE, metavar="FILE…")
@click.option("--pest", required=True, metavar="NAME", help="Whose stages; a crop as well.")
@click.option("-o", "--output", required=True, type=options.HAND_OUT, metavar="OUT.nc",
              help="NetCDF file to write.")  # fmt: skip
@click.option("--map", "picture", type=options.HAND_OUT, metavar="FILE",
              help="Draw the middle season (.svg, .png or .pdf).")  # fmt: skip
@click.option("--stage", metavar="STAGE", help="Which stage is drawn; default the first.")
@click.option("--tmin", default="tasmin", show_default=True, metavar="NAME",
              help="Variable of daily minima.")  # fmt: skip
@click.option("--tmax", default="tasmax", show_default=True, metavar="NAME",
              help="Variable of daily maxima.")  # fmt: skip
@click.option("--units", metavar="K", help="Unit, where the files don't say it: K, degC, degF.")
@options.season_begins
@click.option("--force", "-f", is_flag=True, help="Write over files that are there.")
@options.cards
def grid(
    files: tuple[Path, ...],
    pest: str,
    output: Path,
    picture: Path | None,
    stage: str | None,
    tmin: str,
    tmax: str,
    units: str | None,
    season_begins: tuple[int, int] | None,
    force: bool,
    cards_folder: Path | None,
) -> None:
    r"""Date the stages of a pest on every pixel of FILEs: NetCDF, or a Zarr folder.

    Files of one grid: by variable, by year, or both. Seasons begin on 1 January in the north, on
    1 July in the south.

    \b
    gddcast grid tasmin.nc tasmax.nc --pest codling-moth -o moths.nc --map moths.png
    """
    from gddcast.cli.chart_file import ChartTarget
    from gddcast.cli.progress import progress_bar
    from gddcast.grid.files import open_grid, refuse_without_libraries, telling, write_grid
    from gddcast.output_file import refuse_existing, write_with

    refuse_without_libraries()
    refuse_existing(output, force=force)
    drawing = None if picture is None else ChartTarget.at(picture, force=force)
    card = _card(pest, cards_folder)
    from gddcast.grid.stage_dates import stage_days

    made = stage_days(
        open_grid(files), card, season_begins=season_begins, tmin=tmin, tmax=tmax, units=units
    )
    drawn = _stage(made, stage)
    with progress_bar("Counting") as show, telling(show):
        write_with(output, lambda path: write_grid(made, path), force=force)
    _say(output, drawing, drawn, card)


def _card(name: str, folder: Path | None) -> Card:
    from gddcast.cards.library import called
    from gddcast.readers.card_files import load_cards, no_such_card

    cards = load_cards(own=folder)
    if (card := called(cards.values(), name)) is None:
        raise no_such_card(name, cards)
    return card


def _stage(made: Any, said: str | None) -> str:
    from gddcast.errors import Refusal, shell

    names = [str(name) for name in made["stage"].values]
    if said is not None and said not in names:
        raise Refusal(
            f"the stage {said}", "a grid has no date of it",
            f"Dated here: {', '.join(names)}.", f"Say one of them:  {shell('--stage', names[0])}",
            slug="stage-unknown",
        )  # fmt: skip
    return said or names[0]


def _say(output: Path, drawing: ChartTarget | None, stage: str, card: Card) -> None:
    """What was written, from the file itself; then the map of it."""
    import xarray as xr

    from gddcast.words import count

    with xr.open_dataset(output) as made:
        status = made["status"].values
        pixels = status[0, 0].size
        shares = [100.0 * (status == flag).mean() for flag in (1, 2, 0)]
        click.echo(
            f"Wrote {output}: {count(made.sizes['stage'], 'stage')} of {card.name} in "
            f"{count(made.sizes['season'], 'season')} on {count(pixels, 'pixel')}: reached "
            f"{shares[0]:.0f} %, not reached {shares[1]:.0f} %, unknown {shares[2]:.0f} %.",
            err=True,
        )
        if left := made.attrs.get("left_out"):
            click.echo(f"Not dated on a grid: {left}.", err=True)
        if drawing is not None:
            _draw(drawing, made, stage, card)


def _draw(drawing: ChartTarget, made: Any, stage: str, card: Card) -> None:
    import numpy as np

    from gddcast.draw.chart_file import Words
    from gddcast.draw.stage_map import draw_stage_map, map_takeaway
    from gddcast.errors import Refusal
    from gddcast.grid.fields import latitude_of, longitude_of
    from gddcast.grid.middle_season import middle_season

    days = middle_season(made, stage)
    latitude, longitude = latitude_of(made, days), longitude_of(days)
    if days.ndim != 2 or latitude is None or longitude is None:
        raise Refusal(
            str(drawing.path), "there is no map of these dimensions: " + ", ".join(days.dims),
            "A map has latitude and longitude; the dates themselves are written.",
            "Leave --map away, or choose one scenario or member first.", slug="no-map",
        )  # fmt: skip
    if latitude.ndim == 1:
        days = days.transpose(latitude.dims[0], longitude.dims[0])
    values = np.asarray(days.values)
    event = card.event(stage.split(" (")[0])
    words = f"{card.name}, {event.words if event else stage}"
    seasons = made["season"].values
    drawing.write(
        lambda fig: draw_stage_map(
            fig.add_subplot(), np.asarray(longitude.values), np.asarray(latitude.values), values
        ),
        Words(
            f"Map: {words}", map_takeaway(values, f"{words[:1].upper()}{words[1:]}"),
            f"Day by which half of the seasons {seasons[0]}–{seasons[-1]} reach "
            f"{float(made['goal'].sel(stage=stage)):.0f} °C-days. {made.attrs['method']}. "
            f"Source: {made.attrs['source']} Hatched: not reached in half of the seasons; blank: "
            "unknown. The map shows the weather’s part only.",
        ),
        height=110, numbers=None,
    )  # fmt: skip
