"""``gddcast demo``: the whole way at an invented place that comes with gddcast."""

from __future__ import annotations

import datetime as dt

import click

from gddcast.cli import options

#: The demo's own today: its record ends the evening before.
DEMO_TODAY = dt.date(2026, 6, 11)
_WATCHED = (
    "squash-vine-borer",
    "squash-bug",
    "seedcorn-maggot",
    "cabbage-maggot",
    "imported-cabbageworm",
    "colorado-potato-beetle",
    "striped-cucumber-beetle",
)


@click.command()
@options.on
@options.watch
@options.show
@options.as_json
def demo(on: dt.date | None, watch: str | None, show: str | None, as_json: bool) -> None:
    """Show what is due at an invented place, on 11 June 2026 unless you say another day."""
    from gddcast.cli.ahead import show_plan
    from gddcast.cli.opening import watch_list
    from gddcast.plan import season_plan
    from gddcast.readers.card_files import load_cards
    from gddcast.readers.packaged import data_folder
    from gddcast.readers.temperature_file import read_temperatures
    from gddcast.series import Place

    place = Place("Brackenrise Patch", 41.6, -88.9, 205.0, "America/Chicago")
    today = on or DEMO_TODAY
    said = "" if on else f" Its today is {DEMO_TODAY:%-d %B %Y}; --on DATE moves it."
    click.echo(f"Brackenrise Patch and its weather are invented.{said}\n", err=True)
    series = read_temperatures(data_folder() / "demo" / "weather.csv", place=place).series
    cards = load_cards()
    plan = season_plan(series, cards, today, watch=watch_list(cards, watch) or _WATCHED)
    show_plan(plan, "C" if show == "C" else "F", as_json)
