"""The whole walk: every stage by its status, with its sums, sources and figures, and all plants."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping, Sequence

from gddcast import words
from gddcast.crops.standing import OwnChore, SowingToday
from gddcast.errors import Command, command
from gddcast.journal.entries import Journal
from gddcast.outlook.changes import Change
from gddcast.outlook.sightings import InsectDates
from gddcast.scouting.windows import Habits, ScoutingWindow, without_repeats
from gddcast.text import insect_dates, looks, numbers, sentences, weather_so_far, why_moved
from gddcast.text.dates.nothing_due import calendar_says, nothing_is_due
from gddcast.text.dates.plants import chore_lines, plant_lines
from gddcast.text.dates.under_way import earlier_stages
from gddcast.text.seasons.own_finds import to_tune
from gddcast.text.terminal import PLAIN, Line, Terminal, under
from gddcast.text.watching import watch_hint
from gddcast.today.beds import hosts_in_flower
from gddcast.today.beside_dates import Stage, beside, stage_of
from gddcast.today.plan import SeasonPlan
from gddcast.today.plants_ahead import PlantAhead
from gddcast.today.walk_groups import GROUPS, grouped, no_longer_near
from gddcast.units import Unit
from gddcast.words import Status, count, day

#: Common practice, no source.
_CLUSTER = (
    "If you find one cluster, expect two or three more: check the neighbours and come back in "
    "two days (common practice)."
)
_BLOOM = (
    "Where something flowers, nothing goes on open flowers: any dust or spray kills beneficial "
    "insects too."
)


def full_walk_text(
    plan: SeasonPlan,
    journal: Journal,
    habits: Habits,
    sowings: Sequence[SowingToday],
    ahead: Sequence[PlantAhead],
    chores: Sequence[OwnChore],
    show: Unit,
    *,
    picking_days: int = 21,
    changes: Mapping[Stage, Change] | None = None,
    insects: Mapping[Stage, InsectDates] | None = None,
    in_calendar: Mapping[tuple[str, str, str], dt.date] | None = None,
    terminal: Terminal = PLAIN,
    command: Command = command,
) -> str:
    """The whole walk, in the order of walking.

    ``ahead`` has one item a sowing; ``changes`` is what moved dates since they were told;
    ``insects`` when the insects themselves are seen, where a spread is known;
    ``in_calendar`` are the days to start looking that the calendar was last told; ``command``
    writes its hints.
    """
    lines = [Line(weather_so_far.weather_line(plan)), *_about_record(plan, command)]
    noted: set[tuple[str, str]] = set()
    told: set[str] = set()  # figures hold for a pest, not for a stage: they stand once
    for heading, chosen in grouped(plan):
        if chosen:
            lines += ["", words.shown(heading).upper()]
        elif heading == "look now" and (clear := nothing_is_due(plan)):
            lines += ["", f"LOOK NOW  {clear}"]
        for window in chosen:
            if window.begun is not None and window.status is Status.UNDER_WAY:
                continue
            lines.append(_title(window))
            figures = () if window.card.key in told else _figures(window, sowings)
            told.add(window.card.key)
            lines += _item(window, plan, journal, habits, figures, sowings, show, noted, command)
            if insect := beside(window, insects or {}):
                own_finds = window.finds_beside
                lines.append(under(insect_dates.dates_briefly(insect, show, own_finds)))
            if change := beside(window, changes or {}):
                lines.append(under(why_moved.why(change, show)))
            was = (in_calendar or {}).get(stage_of(window))
            lines.append(under(calendar_says(window, was, command)))
        lines += earlier_stages(chosen)
    lines += _no_longer_near(plan, changes or {}, show)
    lines += _the_rest(plan, command)
    lines += plant_lines(sowings, ahead, picking_days, plan.today, command)
    lines += chore_lines(chores, sowings)
    lines += ["", Line(weather_so_far.season_line(plan, show))]
    standing = (_CLUSTER, _BLOOM, words.WEATHER_ONLY, words.AWAY_FROM_HOME, words.CAUTIONS)
    lines += [Line(sentence) for sentence in standing]
    return terminal.show([*lines, "", Line(_next(plan, command), rest="  ")])


def _title(window: ScoutingWindow) -> Line:
    return Line(sentences.title(window), status=window.status, weight="bold")


def _no_longer_near(
    plan: SeasonPlan, changes: Mapping[Stage, Change], show: Unit
) -> Iterator[str | Line]:
    gone = list(no_longer_near(plan, changes))
    if gone:
        yield ""
        yield "NO LONGER NEAR"
    for window, change in gone:
        yield _title(window)
        yield under(sentences.when(window, show))
        yield under(why_moved.why(change, show))


def _about_record(plan: SeasonPlan, command: Command) -> Iterator[str | Line]:
    if said := weather_so_far.behind(plan):
        yield Line(f"{said} Bring them in:  {command('weather', 'add', 'YOURFILE.csv')}")
    yield from map(Line, weather_so_far.doubts(plan))
    if said := watch_hint(plan.watching, command):
        yield Line(said)


def _item(
    window: ScoutingWindow,
    plan: SeasonPlan,
    journal: Journal,
    habits: Habits,
    figures: Iterable[str],
    sowings: Sequence[SowingToday],
    show: Unit,
    noted: set[tuple[str, str]],
    command: Command,
) -> Iterator[Line]:
    """What, where, when in the day, on how many plants, how often, and what to mind."""
    yield under(sentences.when(window, show))
    if window.status is Status.CANT_SAY:
        return
    yield under(_to_tune(window, plan, journal, command))
    yield under(looks.look(window, plan.today))
    if not window.event.opens_looks:
        return
    if window.look.looks_like:
        yield under(f"Look for: {window.look.looks_like}")
    yield under(f"Plants: {looks.plants_wanted(window, habits)}. {_looks(window, plan, journal)}")
    yield from map(under, figures)
    if window.bracket is None:
        basis, left_out = numbers.basis(window, show), numbers.stand_ins(window, window.moves)
        yield under(f"{basis} {left_out}".strip())
    flowering = hosts_in_flower(window, sowings)
    if flowering:
        names = "; ".join(each.called for each in flowering)
        yield under(
            f"In flower: {names}. Nothing on flowers; stem base and outer leaves only, in the "
            "evening, label first; any dust kills helpful insects too."
        )
    cautions = (window.event.caution, *window.card.cautions, *looks.notes_once(window, noted))
    for caution in dict.fromkeys(filter(None, cautions)):
        yield under(f"Mind: {caution}")


def _to_tune(window: ScoutingWindow, plan: SeasonPlan, journal: Journal, command: Command) -> str:
    """Where finds that no date goes by stand beside the sum; those that count are said below."""
    if window.own_finds is not None or window.finds_beside is not None:
        return ""
    if window.bracket:
        return ""
    return to_tune(window.card, window.event, journal, plan.season, command)


def _figures(window: ScoutingWindow, sowings: Sequence[SowingToday]) -> Iterator[str]:
    """Commercial figures for the crops that are sown, each with the crop it was printed for."""
    card = window.card
    for action in card.actions_for(each.names for each in sowings if card.lives_on(each.names)):
        source = card.sources.get(action.source)
        cited = source.short if source else action.source
        crop = f", {action.crop}" if action.crop else ""
        yield f"Commercial figure{crop}: {action.words.rstrip('.')} ({cited})."


def _looks(window: ScoutingWindow, plan: SeasonPlan, journal: Journal) -> str:
    """Clean looks and the last look of any kind; a find's own sentence has the former already."""
    days = [
        each.seen_on
        for each in journal.sightings
        if each.kind != "heard"
        and each.organism in (window.card.key, "")
        and (not each.trap or window.event.dated_by_catch is not None)
        and (each.event == window.event.key or not each.event)
        and plan.season.first <= each.seen_on <= plan.today
    ]
    if not days:
        told = window.late is not None and window.late.reached is not None
        return "" if told else "No look on record yet."
    return f"{count(window.clean_looks, 'clean look')} this season; last look {day(max(days))}."


def _the_rest(plan: SeasonPlan, command: Command) -> Iterator[str | Line]:
    told = {status for statuses in GROUPS.values() for status in statuses}
    stages = without_repeats(plan.windows)
    counts = [
        f"{number} {status.word}"
        for status in Status
        if status not in told
        and (number := sum(each.status is status and each.card.group == "pest" for each in stages))
    ]
    if counts:
        yield ""
        yield Line(f"The rest of your list: {', '.join(counts)}.  {command('ahead')}")


def _next(plan: SeasonPlan, command: Command) -> str:
    looks = [each for each in plan.windows if each.event.opens_looks]
    first = next((each for each in looks if each.status in GROUPS["look now"]), None)
    first = first or next((each for each in looks if each.early is not None), None)
    if first is None:
        return f"Log a visit:  {command('saw', 'none')}"
    found = command("saw", first.card.key, first.event.key)
    return f"Log a visit:  {command('saw', 'none')}     Found some:  {found}"
