"""``gddcast chart``: pictures for a wall, a talk or a page, as SVG, PNG or PDF."""

from __future__ import annotations

import datetime as dt
import shlex
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gddcast.cli import options
from gddcast.cli.backtest import Tried, pests_tried, protocol, tried
from gddcast.cli.chart_day import day_curve, methods
from gddcast.cli.chart_file import Target, picture_options
from gddcast.cli.seasons import Asked, asked_of, compared
from gddcast.errors import Refusal

if TYPE_CHECKING:
    from gddcast.cards import Card, Event
    from gddcast.cli.record import Record
    from gddcast.scouting import ScoutingWindow
    from gddcast.seasons import SeasonCurves
    from gddcast.units import Unit

_PEST = click.option("--pest", metavar="NAME", help="Count as the card of this pest does.")
_STAGE = click.option("--stage", metavar="STAGE", help="Which of its stages.")
_LOWER = click.option("--lower", metavar="50F", help="Count above this instead; 50F by default.")
_GOAL = click.option("--goal", metavar="1000F", help="A sum of your own, in F- or C-days.")


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
def chart() -> None:
    r"""Draw a picture of a FILE, or of your season book: -o names it .svg, .png or .pdf.

    \b
    gddcast chart season garden.csv --pest squash-vine-borer --stage moths -o season.svg
    gddcast chart compare garden.csv --lower 50F -o seasons.png
    gddcast chart emergence garden.csv --pest apple-maggot -o flies.pdf
    gddcast chart day-curve --high 72 --low 46 --lower 50 --unit F -o day.svg
    """


chart.add_command(day_curve)
chart.add_command(methods)


@chart.command()
@options.file_argument
@_PEST
@_STAGE
@_LOWER
@_GOAL
@picture_options
@options.on
@options.book
@options.file_options
@options.show
@options.cards
@options.no_input
def season(
    file: Path | None, pest: str | None, stage: str | None, lower: str | None, goal: str | None,
    output: Path, force: bool, width: int, show: str | None, **how: Any,
) -> None:  # fmt: skip
    r"""Heat of this season over the past ones, up to a card's sum or to the season's end.

    \b
    gddcast chart season garden.csv --pest squash-vine-borer -o season.svg
    """
    from gddcast.figures.season import draw_season, season_takeaway
    from gddcast.figures.sheet import Words
    from gddcast.sentences import standing_line
    from gddcast.words import count

    target = Target.at(output, force=force, width=width)
    record = _record(file, **how)
    asked = asked_of(record, pest, stage, lower, goal).for_a_picture
    unit = _unit(record, show)
    goals = asked.goals
    curves = _curves(record, asked)
    if goals:
        takeaway = season_takeaway(curves, unit, goals=goals, what=_name(asked))
    else:
        takeaway = standing_line(compared(record, asked).standing, asked.counting, unit)
    marks = f"Bold: this season. Grey: {count(len(curves.past), 'past season')}"
    marks += ", each with a ring on the day it got there." if goals else "."
    target.write(
        lambda fig: draw_season(
            fig.add_subplot(), curves, unit, goals=goals, room=target.labels(13)
        ),
        Words(f"Heat of the season, {record.series.place.name}", takeaway,
              f"{_how_counted(record, asked, unit)} {marks}"),
        height=85, numbers=_seasons(file, pest, stage, lower),
    )  # fmt: skip


@chart.command()
@options.file_argument
@_PEST
@_STAGE
@_LOWER
@_GOAL
@picture_options
@options.on
@options.book
@options.file_options
@options.show
@options.cards
@options.no_input
def compare(
    file: Path | None, pest: str | None, stage: str | None, lower: str | None, goal: str | None,
    output: Path, force: bool, width: int, show: str | None, **how: Any,
) -> None:  # fmt: skip
    r"""Seasons beside each other: days on which a sum was reached, or sums on the same days.

    \b
    gddcast chart compare garden.csv --lower 50F -o seasons.svg
    """
    from gddcast.figures.comparison import comparison_note, comparison_takeaway, draw_comparison
    from gddcast.figures.sheet import Words
    from gddcast.sentences import standing_line

    target = Target.at(output, force=force, width=width)
    record = _record(file, **how)
    asked = asked_of(record, pest, stage, lower, goal).for_a_picture
    unit = _unit(record, show)
    table = compared(record, asked)
    if not table.rows:
        raise _no_season(record)
    if asked.goals:
        takeaway = comparison_takeaway(table, unit, what=_name(asked))
    else:
        takeaway = standing_line(table.standing, asked.counting, unit)
    target.write(
        lambda fig: draw_comparison(fig.add_subplot(), table, unit, room=target.labels(14)),
        Words(f"Seasons compared, {record.series.place.name}", takeaway,
              f"{_how_counted(record, asked, unit)} {comparison_note(table)}"),
        height=85, numbers=_seasons(file, pest, stage, lower),
    )  # fmt: skip


@chart.command()
@options.file_argument
@click.option(
    "--pest", metavar="NAME", required=True, help="Whose emergence (a card with a curve)."
)
@_STAGE
@picture_options
@options.on
@options.book
@options.file_options
@options.show
@options.cards
@options.no_input
def emergence(
    file: Path | None, pest: str, stage: str | None, output: Path, force: bool, width: int,
    show: str | None, **how: Any,
) -> None:  # fmt: skip
    r"""Which share of an insect's population is out by which day, one dot a past year.

    \b
    gddcast chart emergence garden.csv --pest apple-maggot -o flies.svg
    """
    from gddcast.cli.opening import card_named
    from gddcast.emergence_ahead import emergence_of
    from gddcast.figures.emergence import draw_emergence, emergence_takeaway
    from gddcast.figures.sheet import Words

    target = Target.at(output, force=force, width=width)
    record = _record(file, **how)
    card = record.cards[card_named(record.cards, pest)]
    event = _event_with_curve(card, stage)
    window, ahead = emergence_of(record.plan([card.key]), card, event, record.journal)
    curves = [each for each in card.events if any(n.emergence for n in each.numbers)]
    name = f"{card.name} ({event.key.replace('-', ' ')})" if len(curves) > 1 else card.name
    target.write(
        lambda fig: draw_emergence(fig.add_subplot(), ahead, room=target.labels(28)),
        Words(f"Emergence, {record.series.place.name}",
              emergence_takeaway(ahead, name[:1].upper() + name[1:]),
              _emergence_note(window, _unit(record, show))),
        height=90, numbers=_with_file("why", file, card.key, event.key),
    )  # fmt: skip


@chart.command()
@options.file_argument
@pests_tried
@protocol
@picture_options
@options.on
@options.book
@options.file_options
@options.cards
@options.no_input
def calibration(
    file: Path | None, pests: str | None, leave_one_out: bool, output: Path, force: bool,
    width: int, **how: Any,
) -> None:  # fmt: skip
    r"""Whether the spans kept their promise: every past season foretold, and counted.

    \b
    gddcast chart calibration garden.csv --pests squash-vine-borer -o promise.svg
    """
    target = Target.at(output, force=force, width=width)
    found = tried(_record(file, **how), pests, leave_one_out=leave_one_out)
    flags = [*(["--pests", pests] if pests else []), *(["--leave-one-out"] * leave_one_out)]
    draw_tried(target, found, numbers=_with_file("backtest", file, *flags))


def draw_tried(target: Target, found: Tried, *, numbers: str | None = None) -> None:
    """Draw what a backtest found."""
    from gddcast.figures.calibration import calibration_note, draw_calibration
    from gddcast.figures.sheet import Words
    from gddcast.track_record import headline

    target.write(
        lambda fig: draw_calibration(fig, found.records),
        Words(f"Promise and record of the spans, {found.series.place.name}",
              headline(found.records),
              calibration_note(found.series, found.records, found.protocol)),
        height=17 * len(found.records) + 15, numbers=numbers,
    )  # fmt: skip


def _record(
    file: Path | None, *, book_folder: Path | None, on: dt.date | None, no_input: bool,
    cards_folder: Path | None, **how: Any,
) -> Record:  # fmt: skip
    from gddcast.cli.record import open_record

    return open_record(file, book_folder, on, no_input=no_input, cards=cards_folder, **how)


def _unit(record: Record, show: str | None) -> Unit:
    from gddcast.cli.opening import shown_unit

    return shown_unit(show or record.show, record.series)


def _curves(record: Record, asked: Asked) -> SeasonCurves:
    """The seasons' running sums, from the same days the table of seasons is made of."""
    from gddcast.seasons import season_curves
    from gddcast.series import season_of

    known = record.plan([]).series.before(record.today)
    goal = asked.goals[-1] if asked.goals else None
    season = season_of(record.today, record.begins)
    curves = season_curves(known, asked.counting, season, start=asked.start, goal=goal)
    if not curves.past and curves.current is None:
        raise _no_season(record)
    return curves


def _no_season(record: Record) -> Refusal:
    return Refusal(
        record.series.source,
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


def _how_counted(record: Record, asked: Asked, unit: Unit) -> str:
    """The method, and what a card's source leaves out, in the words of every other surface."""
    from gddcast import sentences, words

    if asked.card is None or asked.event is None:
        start = words.day(dt.date(2024, *asked.start), weekday=False)
        said = sentences.counted(asked.counting, unit)
        return f"{said[:1].upper()}{said[1:]}, from {start}."
    plan = record.plan([asked.card.key])
    window = next(each for each in plan.windows if each.event == asked.event)
    return _counted_by_card(window, unit)


def _counted_by_card(window: ScoutingWindow, unit: Unit) -> str:
    from gddcast import sentences

    start = window.clock.words if window.clock else "?"
    said = f"{sentences.method(window, unit)}, from {start}"
    own = sentences.own_number(window, unit)
    printed = sentences.basis(window, unit).partition("Printed: ")[2]
    left_out = sentences.stand_ins(window, window.moves)
    parts = [f"{said[:1].upper()}{said[1:]}.", own, f"Printed: {printed}", left_out]
    return " ".join(part for part in parts if part)


def _emergence_note(window: ScoutingWindow, unit: Unit) -> str:
    """How the curve is counted, what its source says of it, and how far it may be trusted."""
    from gddcast.words import WEATHER_ONLY, count

    number, clock, early, late = window.number, window.clock, window.early, window.late
    curve = number.emergence if number else None
    said = [
        "Bold: this season so far. Dots: one a past year, if the rest ran like it.",
        _counted_by_card(window, unit),
    ]
    if curve is not None:
        kind = "the printed shares" if curve.family == "percentiles" else f"{curve.family} curve"
        said.append(f"Curve: {kind}. {curve.note or ''}".strip())
    said.append("The first and the last to come out are the least certain.")
    if clock and clock.kind == "find" and early and late and early.fastest and late.fastest:
        days = count((late.fastest - early.fastest).days, "day")
        said.append(f"Counted from your last clean look on, it runs {days} earlier.")
    return " ".join([*said, WEATHER_ONLY])


def _event_with_curve(card: Card, stage: str | None) -> Event:
    from gddcast.cli.opening import event_named
    from gddcast.emergence_ahead import number_with_curve

    if stage is None:
        for event in card.events:
            if any(number.emergence for number in event.numbers):
                return event
        raise Refusal(
            card.name,
            "no emergence curve was published for any of its stages",
            "Its numbers say when one moment comes, not how many are out by a day.",
            f"Draw the season instead:  gddcast chart season --pest {card.key}",
            slug="no-emergence-curve",
        )
    event = next(each for each in card.events if each.key == event_named(card, stage))
    number_with_curve(card, event)
    return event


def _seasons(file: Path | None, pest: str | None, stage: str | None, lower: str | None) -> str:
    """The command that prints what a picture of seasons draws."""
    flags = {"--pest": pest, "--stage": stage, "--lower": lower}
    named = [word for flag, value in flags.items() if value for word in (flag, value)]
    return _with_file("seasons", file, *named)


def _with_file(command: str, file: Path | None, *words: str) -> str:
    return shlex.join(["gddcast", command, *([str(file)] if file else []), *words])
