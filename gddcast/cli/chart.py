"""``gddcast chart``: pictures for a wall, a talk or a page, as SVG, PNG or PDF."""

from __future__ import annotations

import click

from gddcast.cli.chart_calibration import calibration
from gddcast.cli.chart_day import day_curve, methods
from gddcast.cli.chart_emergence import emergence
from gddcast.cli.chart_seasons import compare, season


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
def chart() -> None:
    r"""Draw a picture of a FILE, or of your season book: -o names it .svg, .png or .pdf.

    \b
    gddcast chart season garden.csv --pest squash-vine-borer --stage moths -o season.svg
    gddcast chart compare garden.csv --lower 50F -o seasons.png
    gddcast chart emergence garden.csv --pest apple-maggot -o flies.pdf
    gddcast chart day-curve --high 72 --low 46 --lower 50 --unit F -o day.svg
    """


for command in (season, compare, day_curve, methods, emergence, calibration):
    chart.add_command(command)
