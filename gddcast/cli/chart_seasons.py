"""Pictures of seasons: the heat of this one over the past ones, or all beside each other."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gddcast.cli import options
from gddcast.cli.chart_file import (
    Command,
    Target,
    of_the_weather,
    open_meant,
    unit_shown,
    with_file,
)
from gddcast.cli.seasons import Asked, asked_of, compared
from gddcast.errors import Refusal

if TYPE_CHECKING:
    from gddcast.cli.record import Record
    from gddcast.outlook.seasons import SeasonCurves
    from gddcast.today.plan import SeasonPlan
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
    output: Path, force: bool, width: int, show: str | None, **how: Any,
) -> None:  # fmt: skip
    r"""Heat of this season over the past ones.

    With a sum, up to the day each season reached it; else to the season's end.

    \b
    gddcast chart season garden.csv --pest squash-vine-borer -o season.svg
    """
    from gddcast.draw.chart_file import Words
    from gddcast.draw.season_curve import draw_season
    from gddcast.draw.season_takeaway import season_note, season_takeaway, whole_takeaway
    from gddcast.text.weather_so_far import standing_line

    target = Target.at(output, force=force, width=width)
    record = open_meant(file, **how)
    asked = asked_of(record, pest, stage, lower, goal).for_a_picture
    unit = unit_shown(record, show)
    goals, plan = asked.goals, _plan(record, asked)
    curves = _curves(plan, asked)
    if goals:
        takeaway = season_takeaway(curves, unit, goals=goals, what=_name(asked))
    else:
        stands = compared(record, asked, plan).standing
        takeaway = (
            standing_line(stands, asked.counting, unit) if stands else whole_takeaway(curves, unit)
        )
    target.write(
        lambda fig: draw_season(
            fig.add_subplot(), curves, unit, goals=goals, room=target.labels(13)
        ),
        Words(f"Heat of the season, {record.series.place.name}", takeaway,
              f"{_how_counted(plan, asked, unit)} {season_note(curves, rings=bool(goals))}"),
        height=85, numbers=_seasons(file, how["book_folder"], pest, stage, lower),
    )  # fmt: skip


@click.command()
@options.file_argument
@_what_is_counted
@of_the_weather
@options.show
def compare(
    file: Path | None, pest: str | None, stage: str | None, lower: str | None, goal: str | None,
    output: Path, force: bool, width: int, show: str | None, **how: Any,
) -> None:  # fmt: skip
    r"""Seasons beside each other.

    With a sum, the days on which each reached it; else their sums on the same days.

    \b
    gddcast chart compare garden.csv --lower 50F -o seasons.svg
    """
    from gddcast.draw.chart_file import Words
    from gddcast.draw.comparison import (
        comparison_note,
        comparison_takeaway,
        draw_comparison,
        sums_takeaway,
    )
    from gddcast.text.weather_so_far import standing_line

    target = Target.at(output, force=force, width=width)
    record = open_meant(file, **how)
    asked = asked_of(record, pest, stage, lower, goal).for_a_picture
    unit = unit_shown(record, show)
    plan = _plan(record, asked)
    table = compared(record, asked, plan)
    if not table.rows:
        raise _no_season(plan)
    if asked.goals:
        takeaway = comparison_takeaway(table, unit, what=_name(asked))
    elif table.standing:
        takeaway = standing_line(table.standing, asked.counting, unit)
    else:
        takeaway = sums_takeaway(table, unit)
    target.write(
        lambda fig: draw_comparison(fig.add_subplot(), table, unit, room=target.labels(14)),
        Words(f"Seasons compared, {record.series.place.name}", takeaway,
              f"{_how_counted(plan, asked, unit)} {comparison_note(table)}"),
        height=85, numbers=_seasons(file, how["book_folder"], pest, stage, lower),
    )  # fmt: skip


def _plan(record: Record, asked: Asked) -> SeasonPlan:
    """The plan whose weather is drawn, with the windows of the card that is meant."""
    return record.plan([asked.card.key] if asked.card else [])


def _curves(plan: SeasonPlan, asked: Asked) -> SeasonCurves:
    """The seasons' running sums, from the same days the table of seasons is made of."""
    import numpy as np

    from gddcast.outlook.seasons import season_curves

    known, goal = plan.series.before(plan.today), asked.goals[-1] if asked.goals else None
    curves = season_curves(known, asked.counting, plan.season, start=asked.start, goal=goal)
    every = [*curves.past, *([curves.current] if curves.current else [])]
    if not any(np.isfinite(each.heat).any() for each in every):
        raise _no_season(plan)
    return curves


def _no_season(plan: SeasonPlan) -> Refusal:
    return Refusal(
        plan.series.source,
        "no season in it has all its days",
        "Seasons with unknown days can't be held beside others.",
        "Fill the gaps:  gddcast weather patch     Or add older years.",
        slug="no-whole-season",
    )


def _name(asked: Asked) -> str:
    if asked.card is None or asked.event is None:
        return ""
    name = asked.card.name
    return f"{name[:1].upper()}{name[1:]}, {asked.event.words}"


def _how_counted(plan: SeasonPlan, asked: Asked, unit: Unit) -> str:
    """Place and weather, then the method in the words of every other surface."""
    from gddcast.draw.notes import card_note, counting_note, weather_note

    windows = (each for each in plan.windows if asked.event and each.event == asked.event)
    window = next(windows, None)
    if window is None:
        how = counting_note(asked.counting, asked.start, unit)
    else:
        how = card_note(window, unit)
    return f"{weather_note(plan)} {how}"


def _seasons(file: Path | None, book: Path | None, *flags: str | None) -> str:
    """The command that prints what a picture of seasons draws."""
    given = zip(("--pest", "--stage", "--lower"), flags, strict=True)
    named = [word for flag, value in given if value for word in (flag, value)]
    return with_file("seasons", file, book, *named)
