"""Pictures of seasons: the heat of this one over the past ones, or all beside each other."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gddcast.cli import options
from gddcast.cli.chart_file import (
    ChartTarget,
    Command,
    of_the_weather,
    open_meant,
    with_file,
)
from gddcast.cli.record import unit_shown
from gddcast.cli.seasons import sum_meant
from gddcast.errors import Refusal

if TYPE_CHECKING:
    from gddcast.outlook.dates import Outlook
    from gddcast.outlook.seasons import Comparison, SeasonCurves
    from gddcast.today.season_sum import SeasonSum
    from gddcast.today.today import Today
    from gddcast.units import Unit


def _what_is_counted(command: Command) -> Command:
    for flag, metavar, said in (
        ("--goal", "1000F", "A sum of your own, in F- or C-days."),
        ("--lower", "50F", "Count above this instead; 50F by default."),
        ("--stage", "STAGE", "Which of its stages; default the first."),
        ("--pest", "NAME", "Count as the card of this pest does."),
    ):
        command = click.option(flag, metavar=metavar, help=said)(command)
    return command


@click.command()
@options.file_argument
@_what_is_counted
@of_the_weather
@options.show
def season(
    file: Path | None, pest: str | None, stage: str | None, lower: str | None, goal: str | None,
    output: Path, force: bool, width: int, show: str | None, **file_options: Any,
) -> None:  # fmt: skip
    r"""Heat of this season over the past ones, six weeks about today.

    With a sum, up to the day each season reached it, and when this one may.

    \b
    gddcast chart season garden.csv --pest squash-vine-borer -o season.svg
    """
    from gddcast.draw.chart_file import Words
    from gddcast.draw.season_curve import draw_season
    from gddcast.draw.season_takeaway import season_note, season_takeaway, whole_takeaway
    from gddcast.text.weather_so_far import standing_line

    target = ChartTarget.at(output, force=force, width=width)
    today = open_meant(file, **file_options)
    by = sum_meant(today, pest, stage, lower, goal).for_a_picture
    goals, unit = by.goals, unit_shown(today, show)
    curves, table = _curves(today, by), today.comparison(by)
    stands, ahead = table.standing, _ahead(table)
    if goals:
        takeaway = season_takeaway(
            curves, unit, goals=goals, what=_name(by), standing=stands, ahead=ahead
        )
    else:
        takeaway = (
            standing_line(stands, by.counting, unit, by.start)
            if stands
            else whole_takeaway(curves, unit)
        )
    target.write(
        lambda fig: draw_season(
            fig.add_subplot(), curves, unit, goals=goals, standing=stands, ahead=ahead,
            room=target.labels(25),
        ),
        Words(f"Heat of the season, {today.record.place.name}", takeaway,
              f"{_method_note(today, by, unit)} {season_note(curves, goals=goals, ahead=ahead)}"),
        height=95, numbers=_seasons(file, file_options["book_folder"], pest, stage, lower),
    )  # fmt: skip


@click.command()
@options.file_argument
@_what_is_counted
@of_the_weather
@options.show
def compare(
    file: Path | None, pest: str | None, stage: str | None, lower: str | None, goal: str | None,
    output: Path, force: bool, width: int, show: str | None, **file_options: Any,
) -> None:  # fmt: skip
    r"""Seasons beside each other.

    With a sum, the day on which each reached it; else what each had by this season’s last day.

    \b
    gddcast chart compare garden.csv --lower 50F -o seasons.svg
    """
    from gddcast.draw.chart_file import Words
    from gddcast.draw.comparison import (
        comparison_note,
        comparison_takeaway,
        draw_comparison,
        sums_of,
        sums_takeaway,
    )

    target = ChartTarget.at(output, force=force, width=width)
    today = open_meant(file, **file_options)
    by = sum_meant(today, pest, stage, lower, goal).for_a_picture
    unit, table = unit_shown(today, show), today.comparison(by)
    if not table.rows:
        raise _no_season(today)
    if by.goals:
        takeaway = comparison_takeaway(table, unit, what=_name(by))
    else:
        takeaway = sums_takeaway(table, unit)
    target.write(
        lambda fig: draw_comparison(fig.add_subplot(), table, unit, room=target.labels(14)),
        Words(f"Seasons compared, {today.record.place.name}", takeaway,
              f"{_method_note(today, by, unit)} {comparison_note(table)}"),
        height=85 if by.goals else 24 + 4.7 * len(sums_of(table)),
        numbers=_seasons(file, file_options["book_folder"], pest, stage, lower),
    )  # fmt: skip


def _curves(today: Today, by: SeasonSum) -> SeasonCurves:
    """The seasons' running sums; refused where none has all its days."""
    import numpy as np

    curves = today.curves(by)
    every = [*curves.past, *([curves.current] if curves.current else [])]
    if not any(np.isfinite(each.heat).any() for each in every):
        raise _no_season(today)
    return curves


def _ahead(table: Comparison) -> tuple[Outlook | None, ...]:
    """When the season under way may reach each goal; the forecast is in it."""
    name = table.standing.season.name if table.standing else None
    return next((row.ahead for row in table.rows if row.season.name == name), ())


def _no_season(today: Today) -> Refusal:
    return Refusal(
        today.record.as_read.source,
        "no season in it has all its days",
        "Seasons with unknown days can’t be held beside others.",
        "Fill the gaps:  gddcast weather patch     Or add older years.",
        slug="no-whole-season",
    )


def _name(by: SeasonSum) -> str:
    if by.card is None or by.event is None:
        return ""
    name = by.card.name
    return f"{name[:1].upper()}{name[1:]}, {by.event.words}"


def _method_note(today: Today, by: SeasonSum, unit: Unit) -> str:
    """Place and weather, then the method in the words of every other surface."""
    from gddcast.draw.notes import card_note, counting_note, weather_note

    plan = today.watching([by.card.key] if by.card else []).plan
    windows = (each for each in plan.windows if by.event and each.event == by.event)
    window = next(windows, None)
    how = counting_note(by.counting, by.start, unit) if window is None else card_note(window, unit)
    return f"{weather_note(plan)} {how}"


def _seasons(file: Path | None, book: Path | None, *flags: str | None) -> str:
    """The command that prints what a picture of seasons draws."""
    given = zip(("--pest", "--stage", "--lower"), flags, strict=True)
    named = [word for flag, value in given if value for word in (flag, value)]
    return with_file("seasons", file, book, *named)
