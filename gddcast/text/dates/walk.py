"""One walk, for people and for programs: what to look for today, where, on how many plants."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping, Sequence

from gddcast import words
from gddcast.crops.standing import OwnChore, SowingToday
from gddcast.errors import shell
from gddcast.journal.entries import Journal
from gddcast.outlook.changes import Change, is_move
from gddcast.outlook.sightings import InsectDates
from gddcast.scouting.windows import NEAR_DAYS, Habits, ScoutingWindow, without_repeats
from gddcast.text import numbers, sentences, weather_so_far, why_moved
from gddcast.text.answer import Json, as_json, iso
from gddcast.text.dates.nothing_due import calendar_says, nothing_is_due
from gddcast.text.dates.plants import chore_lines, plant_lines
from gddcast.text.dates.window_json import about, item_since
from gddcast.text.seasons.own_finds import to_tune
from gddcast.text.terminal import PLAIN, Line, Terminal, under
from gddcast.today.hindsight import Stage, beside, stage_of
from gddcast.today.plan import SeasonPlan
from gddcast.today.plants_ahead import PlantAhead
from gddcast.units import Unit
from gddcast.words import Status, count, day

#: Headings of the walk, and the statuses that stand under each.
GROUPS = {
    "look now": (Status.LOOK_NOW, Status.OVERDUE),
    "coming up": (Status.COMING_UP,),
    "still going": (Status.SEEN,),
    "can't say": (Status.CANT_SAY,),
}
#: Common practice, no source.
_CLUSTER = (
    "If you find one cluster, expect two or three more: check the neighbours and come back in "
    "two days (common practice)."
)
_BLOOM = (
    "Where something flowers, nothing goes on open flowers: any dust or spray kills beneficial "
    "insects too."
)


def walk_text(
    plan: SeasonPlan,
    journal: Journal,
    habits: Habits,
    sowings: Sequence[SowingToday],
    ahead: Sequence[PlantAhead],
    chores: Sequence[OwnChore],
    show: Unit,
    *,
    picking_days: int = 21,
    moved: Mapping[Stage, Change] | None = None,
    seen: Mapping[Stage, InsectDates] | None = None,
    in_calendar: Mapping[tuple[str, str, str], dt.date] | None = None,
    terminal: Terminal = PLAIN,
) -> str:
    """The whole walk, in the order of walking.

    ``ahead`` has one item a sowing; ``moved`` is what moved dates since they were told; ``seen``
    when the insects themselves are seen, where a spread is known;
    ``in_calendar`` are the days to start looking that the calendar was last told.
    """
    lines = [Line(weather_so_far.weather_line(plan)), *_about_record(plan)]
    told: set[str] = set()  # figures hold for a pest, not for a stage: they stand once
    for heading, chosen in grouped(plan):
        if chosen:
            lines += ["", heading.upper()]
        elif heading == "look now" and (clear := nothing_is_due(plan)):
            lines += ["", f"LOOK NOW  {clear}"]
        for window in chosen:
            lines.append(_title(window))
            figures = () if window.card.key in told else _figures(window, sowings)
            told.add(window.card.key)
            lines += _item(window, plan, journal, habits, figures, sowings, show)
            if insect := beside(window, seen or {}):
                own = window.own_beside
                lines.append(under(sentences.insect_date_briefly(insect, show, own)))
            if change := beside(window, moved or {}):
                lines.append(under(why_moved.why(change, show)))
            was = (in_calendar or {}).get(stage_of(window))
            lines.append(under(calendar_says(window, was)))
    lines += _no_longer_near(plan, moved or {}, show)
    lines += _the_rest(plan)
    lines += plant_lines(sowings, ahead, picking_days, plan.today)
    lines += chore_lines(chores, sowings)
    lines += ["", Line(weather_so_far.season_line(plan, show))]
    standing = (_CLUSTER, _BLOOM, words.WEATHER_ONLY, words.AWAY_FROM_HOME, words.CAUTIONS)
    lines += [Line(sentence) for sentence in standing]
    return terminal.show([*lines, "", _next(plan)])


def _title(window: ScoutingWindow) -> Line:
    return Line(sentences.title(window), status=window.status, weight="bold")


def grouped(plan: SeasonPlan) -> Iterator[tuple[str, list[ScoutingWindow]]]:
    """Every heading with what stands under it."""
    told = without_repeats(plan.windows)
    for heading, statuses in GROUPS.items():
        yield heading, [each for each in told if each.status in statuses]


def no_longer_near(
    plan: SeasonPlan, moved: Mapping[Stage, Change]
) -> Iterator[tuple[ScoutingWindow, Change]]:
    """Stages that people were told are near, and are not: they would drop out in silence."""
    shown = {status for statuses in GROUPS.values() for status in statuses}
    soon = plan.today + dt.timedelta(days=NEAR_DAYS)
    for window in plan.windows:
        change = beside(window, moved)
        if change is None or not change.told or not is_move(change):
            continue
        if window.status in (*shown, Status.CLOSED):
            continue
        if change.before.fastest is not None and change.before.fastest <= soon:
            yield window, change


def _no_longer_near(
    plan: SeasonPlan, moved: Mapping[Stage, Change], show: Unit
) -> Iterator[str | Line]:
    gone = list(no_longer_near(plan, moved))
    if gone:
        yield ""
        yield "NO LONGER NEAR"
    for window, change in gone:
        yield _title(window)
        yield under(sentences.when(window, show))
        yield under(why_moved.why(change, show))


def _about_record(plan: SeasonPlan) -> Iterator[str | Line]:
    if said := weather_so_far.behind(plan):
        yield Line(f"{said} Bring them in:  gddcast weather add YOURFILE.csv")
    yield from map(Line, weather_so_far.doubts(plan))
    if plan.watches_all:
        yield Line(
            "No watch list: watching every card that has a date or a cue. "
            "watch = [ … ] under [looking] in book.toml narrows it."
        )


def _item(
    window: ScoutingWindow,
    plan: SeasonPlan,
    journal: Journal,
    habits: Habits,
    figures: Iterable[str],
    sowings: Sequence[SowingToday],
    show: Unit,
) -> Iterator[Line]:
    """What, where, when in the day, on how many plants, how often, and what to mind."""
    yield under(sentences.when(window, show))
    if window.status is Status.CANT_SAY:
        return
    yield under(_own(window, plan, journal))
    yield under(sentences.look(window, plan.today))
    if not window.event.opens_looks:
        return
    if window.look.looks_like:
        yield under(f"Look for: {window.look.looks_like}")
    yield under(f"Plants: {plants_wanted(window, habits)}. {_looks(window, plan, journal)}")
    yield from map(under, figures)
    if window.found is None:
        basis, left_out = numbers.basis(window, show), numbers.stand_ins(window, window.moves)
        yield under(f"{basis} {left_out}".strip())
    flowering = hosts_in_flower(window, sowings)
    if flowering:
        names = words.listed([each.called for each in flowering])
        yield under(
            f"In flower: {names}. Nothing on flowers; stem base and outer leaves only, in the "
            "evening, label first; any dust kills helpful insects too."
        )
    cautions = (window.event.caution, *window.card.cautions, *window.notes)
    for caution in dict.fromkeys(filter(None, cautions)):
        yield under(f"Mind: {caution}")


def _own(window: ScoutingWindow, plan: SeasonPlan, journal: Journal) -> str:
    """Where finds that no date goes by stand beside the sum; those that count are said below."""
    if window.own is not None or window.own_beside is not None:
        return ""
    return "" if window.found else to_tune(window.card, window.event, journal, plan.season)


def _figures(window: ScoutingWindow, sowings: Sequence[SowingToday]) -> Iterator[str]:
    """Commercial figures for the crops that are sown, each with the crop it was printed for."""
    card = window.card
    for action in card.actions_for(each.names for each in sowings if card.lives_on(each.names)):
        source = card.sources.get(action.source)
        cited = source.short if source else action.source
        crop = f", {action.crop}" if action.crop else ""
        yield f"Commercial figure{crop}: {action.words.rstrip('.')} ({cited})."


def plants_wanted(window: ScoutingWindow, habits: Habits) -> str:
    """How many plants to look at: the card's own words, else all of few and some of many."""
    if window.look.plants:
        return window.look.plants.rstrip(".")
    few = habits.plants_all_below
    return f"all if fewer than {few}, else {few} spread over edge and middle"


def hosts_in_flower(
    window: ScoutingWindow, sowings: Sequence[SowingToday]
) -> tuple[SowingToday, ...]:
    """Sowings in flower on which this organism is looked for."""
    return tuple(each for each in sowings if each.in_flower and window.card.lives_on(each.names))


def _looks(window: ScoutingWindow, plan: SeasonPlan, journal: Journal) -> str:
    """Clean looks and the last look of any kind; a find's own sentence has the former already."""
    days = [
        each.seen_on
        for each in journal.sightings
        if each.kind != "heard"
        and each.organism in (window.card.key, "")
        and (each.event == window.event.key or not each.event)
        and plan.season.first <= each.seen_on <= plan.today
    ]
    if not days:
        told = window.late is not None and window.late.reached is not None
        return "" if told else "No look on record yet."
    return f"{count(window.clean_looks, 'clean look')} this season; last look {day(max(days))}."


def _the_rest(plan: SeasonPlan) -> Iterator[str | Line]:
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
        yield Line(f"The rest of your list: {', '.join(counts)}.  gddcast ahead")


def _next(plan: SeasonPlan) -> str:
    looks = [each for each in plan.windows if each.event.opens_looks]
    first = next((each for each in looks if each.status in GROUPS["look now"]), None)
    first = first or next((each for each in looks if each.early is not None), None)
    if first is None:
        return "Log a visit:  gddcast saw none"
    found = f"gddcast saw {shell(first.card.key)} {first.event.key}"
    return f"Log a visit:  gddcast saw none     Found some:  {found}"


def walk_json(
    plan: SeasonPlan,
    habits: Habits,
    sowings: Sequence[SowingToday],
    ahead: Sequence[PlantAhead],
    chores: Sequence[OwnChore],
    show: Unit,
    made: dt.datetime,
    *,
    changes: Mapping[Stage, Change] | None = None,
) -> str:
    """The whole walk as one object; stages that are not looked for today are left to ``ahead``."""
    moved = changes or {}
    told = [(heading, each) for heading, chosen in grouped(plan) for each in chosen]
    told += [("no longer near", each) for each, _ in no_longer_near(plan, moved)]
    parts = about(plan) | {
        "watches_all": plan.watches_all,
        "items": [
            _item_json(heading, window, item_since(plan, window, moved, show), habits, sowings)
            for heading, window in told
        ],
        "sowings": [_sowing_json(*each) for each in zip(sowings, ahead, strict=True)],
        "chores": [
            {
                "chore": each.words, "where": each.where, "rule": each.rule,
                "from": each.first.isoformat(), "until": each.last.isoformat(),
            }
            for each in chores
        ],
    }  # fmt: skip
    return as_json("walk", made, parts)


def _item_json(
    heading: str, window: ScoutingWindow, item: Json, habits: Habits, sowings: Sequence[SowingToday]
) -> Json:
    cautions = (window.event.caution, *window.card.cautions)
    return {
        "group": heading,
        **item,
        "look": item["look"] | {"plants": plants_wanted(window, habits)},
        "cautions": list(dict.fromkeys(filter(None, cautions))),
        "in_flower": [each.sowing.name for each in hosts_in_flower(window, sowings)],
    }


def _sowing_json(each: SowingToday, coming: PlantAhead) -> Json:
    return {
        "name": each.sowing.name,
        "crop": each.sowing.crop,
        "bed": each.sowing.bed,
        "sown": each.sowing.sown_on.isoformat(),
        "age_days": each.age_days,
        "in_flower": each.in_flower,
        "covered": each.covered,
        "next": _due_json(coming),
        "asks_for_flowers": coming.flowers_since is not None,
        "picked_for_too_long": coming.worn is not None,
        "jobs": [{"job": job.job, "done": job.done_on.isoformat()} for job in each.jobs],
    }


def _due_json(coming: PlantAhead) -> Json | None:
    due = coming.next
    if due is None:
        return None
    return {
        "event": due.key,
        "first": iso(due.first),
        "middle": iso(due.middle),
        "last": iso(due.last),
        "years": list(due.years) if due.years else None,
        "known_by": coming.basis,
    }
