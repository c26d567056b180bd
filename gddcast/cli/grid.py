"""``gddcast grid``: gridded temperatures in, the dates of a card's stages out."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gddcast.cli import options

if TYPE_CHECKING:
    from gddcast.cards.model import Card
    from gddcast.cli.chart_file import ChartTarget
    from gddcast.grid.stages import Stage


@click.command()
@click.argument("files", nargs=-1, required=True, type=options.READABLE, metavar="FILE…")
@click.option("--pest", required=True, metavar="NAME", help="Whose stages; a crop as well.")
@click.option("-o", "--output", required=True, type=options.HAND_OUT, metavar="OUT",
              help="NetCDF file to write; a Zarr folder if it ends in .zarr.")  # fmt: skip
@click.option("--map", "picture", type=options.HAND_OUT, metavar="FILE",
              help="Draw the middle season (.svg, .png or .pdf).")  # fmt: skip
@click.option("--stage", metavar="STAGE", help="Which stage is drawn; default the first.")
@click.option("--tmin", default="tasmin", show_default=True, metavar="NAME",
              help="Variable of daily minima.")  # fmt: skip
@click.option("--tmax", default="tasmax", show_default=True, metavar="NAME",
              help="Variable of daily maxima.")  # fmt: skip
@click.option("--units", metavar="K", help="Unit, where the files don’t say it: K, degC, degF.")
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
    from gddcast.grid.files import (
        is_store,
        open_grid,
        read_once,
        refuse_without_libraries,
        telling,
        write_grid,
    )
    from gddcast.output_file import refuse_existing, refuse_taken, write_folder_with, write_with

    refuse_without_libraries()
    import xarray as xr

    if is_store(output):
        refuse_taken(output)
    else:
        refuse_existing(output, force=force)
    drawing = None if picture is None else ChartTarget.at(picture, force=force)
    card = _card(pest, cards_folder)
    from gddcast.grid.stage_dates import stage_days

    made = stage_days(
        open_grid(files), card, season_begins=season_begins, tmin=tmin, tmax=tmax, units=units
    )
    drawn = _stage(card, made, season_begins, stage)
    with progress_bar("Counting") as show, telling(show), read_once():
        if is_store(output):
            write_folder_with(output, lambda path: write_grid(made, path))
        else:
            write_with(output, lambda path: write_grid(made, path), force=force)
    _say(output, card)
    if drawing is not None:
        with xr.open_dataset(output) as written:
            _draw(drawing, written, drawn)


def _card(name: str, folder: Path | None) -> Card:
    from gddcast.cards.library import called
    from gddcast.readers.card_files import load_cards, no_such_card

    cards = load_cards(cards_folder=folder)
    if (card := called(cards.values(), name)) is None:
        raise no_such_card(name, cards)
    return card


def _stage(card: Card, made: Any, begins: tuple[int, int] | None, text: str | None) -> Stage:
    """The stage drawn, named as its card names it."""
    from gddcast.errors import Refusal, shell
    from gddcast.grid.stages import stages_of

    is_south = bool((made["lat"] < 0).all()) if "lat" in made.coords else False
    dated = {each.name: each for each in stages_of(card, is_south, begins)}
    if text is not None and text not in dated:
        raise Refusal(
            f"the stage {text}", "a grid has no date of it",
            f"Dated here: {', '.join(dated)}.",
            f"Say one of them:  {shell('--stage', next(iter(dated)))}", slug="stage-unknown",
        )  # fmt: skip
    stage = dated[text or next(iter(dated))]
    return replace(stage, words=f"{card.name}, {stage.words}")


def _say(output: Path, card: Card) -> None:
    """What was written, from the file itself."""
    import xarray as xr

    from gddcast.words import count

    with xr.open_dataset(output) as made:
        status = made["status"].values
        reached, not_reached, unknown = (100.0 * (status == flag).mean() for flag in (1, 2, 0))
        click.echo(
            f"Wrote {output}: {count(made.sizes['stage'], 'stage')} of {card.name} in "
            f"{count(made.sizes['season'], 'season')} on {count(status[0, 0].size, 'pixel')}: "
            f"reached {reached:.0f} %, not reached {not_reached:.0f} %, unknown {unknown:.0f} %.",
            err=True,
        )
        if left := made.attrs.get("left_out"):
            click.echo(f"Not dated on a grid: {left}.", err=True)


def _draw(drawing: ChartTarget, made: Any, stage: Stage) -> None:
    import numpy as np

    from gddcast.draw.chart_file import Words
    from gddcast.draw.notes import counting_note
    from gddcast.draw.stage_map import draw_stage_map, map_height, map_takeaway
    from gddcast.errors import Refusal
    from gddcast.grid.fields import latitude_of, longitude_of
    from gddcast.grid.middle_season import middle_season

    days = middle_season(made, stage.name)
    latitude, longitude = latitude_of(made, days), longitude_of(days)
    if days.ndim != 2 or latitude is None or longitude is None:
        raise Refusal(
            str(drawing.path), f"there is no map of the dimensions {', '.join(days.dims)}",
            "A map has latitude and longitude.",
            "Leave --map away, or choose one scenario or member of the file first.",
            slug="no-map",
        )  # fmt: skip
    if latitude.ndim == 1:
        days = days.transpose(latitude.dims[0], longitude.dims[0])
    east, north, values = (np.asarray(each.values) for each in (longitude, latitude, days))
    seasons, named = made["season"].values, f"{stage.words[:1].upper()}{stage.words[1:]}"
    both = " South of the equator half a year on." if north.min() < 0 <= north.max() else ""
    drawing.write(
        lambda fig: draw_stage_map(fig.add_subplot(), east, north, values),
        Words(
            f"Map: {stage.words}", map_takeaway(values, named),
            f"Day by which half of the seasons {seasons[0]}–{seasons[-1]} have "
            f"{stage.goal:.0f} °C-days. {counting_note(stage.counting, stage.start, 'C')}{both} "
            f"Source: {stage.source} Hatched: not reached in half of the seasons; blank: unknown.",
        ),
        height=map_height(east, north, drawing.width), numbers=None,
    )  # fmt: skip
