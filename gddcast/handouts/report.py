"""The season report: one page for phone, wall and paper that fetches nothing and runs nothing."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from html import escape

import numpy as np

from gddcast import sentences, words
from gddcast.findings import effect_words
from gddcast.handouts import paper
from gddcast.handouts.find_brackets import brackets_drawn, find_brackets
from gddcast.handouts.report_style import report_style
from gddcast.handouts.season_curve import (
    SeasonCurves,
    month_headings,
    month_rows,
    season_curve,
    season_curves,
    shown,
    whole_sum,
)
from gddcast.handouts.year_dot_strip import dot_rows, has_year_dots, year_dot_strip
from gddcast.plan import SeasonPlan
from gddcast.scouting import ScoutingWindow, inner_span
from gddcast.series import Origin
from gddcast.thermal_time import running_heat
from gddcast.units import Unit, from_celsius
from gddcast.words import Status

#: Told in full at the top.
_THIS_WEEK = (Status.LOOK_NOW, Status.OVERDUE, Status.COMING_UP)
_DAYS_BEHIND = 14
_SECTIONS = {
    "week": "This week",
    "ahead": "Still to come",
    "season": "How the season stands",
    "seen": "What you’ve seen",
    "past": "Past seasons",
    "record": "Is the weather record sound?",
    "numbers": "The numbers behind this",
    "sources": "Sources",
}


def report_page(plan: SeasonPlan, show: Unit) -> str:
    """The whole report as one HTML file.

    Parameters
    ----------
    plan : SeasonPlan
    show : {"F", "C"}
        What the person reads.
    """
    curves = season_curves(plan)
    parts = {
        "week": _week(plan, show),
        "ahead": _still_to_come(plan, show),
        "season": _season(plan, curves, show),
        "seen": _seen(plan, show),
        "past": _past(plan, curves, show),
        "record": _record(plan),
        "numbers": _numbers(plan, show),
        "sources": _sources(plan),
    }
    told = {name: list(part) for name, part in parts.items()}
    told = {name: part for name, part in told.items() if part}
    body = [
        '<a class="skip" href="#week">Skip to this week</a>',
        paper.heading(plan.place.name, 1),
        paper.paragraph(sentences.weather_line(plan).removeprefix(f"{plan.place.name} · ")),
    ]
    for name, part in told.items():
        body += [f'<section aria-labelledby="{name}">', _heading(name), *part, "</section>"]
        if name == "week":
            body.append(_contents(told))
    body.append(f"<footer>{paper.paragraph(words.CAUTIONS)}</footer>")
    today = words.day(plan.today, year=True)
    return paper.page(
        f"{plan.place.name}, {today}", body, style=report_style(sentences.weather_line(plan))
    )


def _heading(name: str) -> str:
    return f'<h2 id="{name}">{escape(_SECTIONS[name])}</h2>'


def _contents(names: Iterable[str]) -> str:
    links = "".join(
        f'<li><a href="#{name}">{escape(_SECTIONS[name])}</a></li>'
        for name in names
        if name != "week"
    )
    return f'<nav aria-label="Contents"><ul>{links}</ul></nav>'


def _week(plan: SeasonPlan, show: Unit) -> Iterator[str]:
    due = [each for each in plan.windows if each.status in _THIS_WEEK]
    if not any(each.status is Status.LOOK_NOW for each in due):
        yield paper.paragraph("Nothing on your list is due today.")
    items = []
    for window in due:
        mark = f"{window.status.shape} {window.status.word}"
        items.append(
            f"<li><b>{escape(sentences.title(window))}</b> ({escape(mark)})<br>"
            f"{escape(sentences.when(window, show))} "
            f"{escape(sentences.look(window, plan.today))}</li>"
        )
    if items:
        yield f'<ul class="due">{"".join(items)}</ul>'
    if plan.watches_all:
        yield paper.paragraph("Watching every card that has a date or a cue.")
    if plan.verdict.trust != "sound":
        reasons = "; ".join(plan.verdict.reasons)
        yield paper.paragraph(f"Weather record: {plan.verdict.trust} ({reasons}).")


def _still_to_come(plan: SeasonPlan, show: Unit) -> Iterator[str]:
    dated = [each for each in plan.windows if has_year_dots(each)]
    dated.sort(key=lambda each: (each.opens or plan.season.last, each.card.key, each.event.key))
    if dated:
        yield paper.paragraph(
            f"{words.count(len(dated), 'stage')} still lie ahead. Each dot is the day one past "
            "year would bring, from this season’s heat so far."
        )
        rows = [_due_row(each) for each in dated]
        headings = ("stage", "today", "look from", "fastest year", "most years", "slowest year")
        yield paper.wide(paper.table(headings, rows), "Stages by date")
        yield '<div class="strips">'
        for number, window in enumerate(dated, 1):
            name = f"{sentences.title(window)}, strip {number}"
            takeaway = f"{sentences.title(window)}. {sentences.when(window, show)}"
            yield paper.figure(takeaway, year_dot_strip(window, name, plan.today))
        yield "</div>"
        yield from _year_table(dated)
        yield paper.paragraph(f"{words.WEATHER_ONLY} {words.AWAY_FROM_HOME}")
    told = {id(each) for each in dated} | {
        id(each) for each in plan.windows if each.status in (*_THIS_WEEK, Status.SEEN)
    }
    others = [each for each in plan.windows if id(each) not in told]
    if others:
        yield paper.heading("Without a date ahead", 3)
        yield paper.listed(_together(others, show))


def _together(windows: Sequence[ScoutingWindow], show: Unit) -> Iterator[str]:
    """One line for all stages of an organism of which the same is to be said."""
    alike: dict[tuple[str, Status, str], list[ScoutingWindow]] = {}
    for each in windows:
        key = each.card.key, each.status, sentences.when(each, show)
        alike.setdefault(key, []).append(each)
    for (_, status, said), group in alike.items():
        first, *more = group
        stages = "; ".join([sentences.title(first), *(each.event.words for each in more)])
        yield f"{status.shape} {stages} ({status.word}). {said}"


def _due_row(window: ScoutingWindow) -> list[str]:
    late = window.late
    inner = inner_span(late) if late else None
    many = "too few to call"
    if inner is not None:
        many = f"{words.span(inner.first, inner.last)} ({inner.years} of {inner.total})"
    days = [window.opens, window.fastest, window.slowest]
    opens, fastest, slowest = (words.day(day, weekday=False) if day else "–" for day in days)
    if late is not None and window.slowest is None:
        slowest = "not this season"
    status = f"{window.status.shape} {window.status.word}"
    return [sentences.title(window), status, opens, fastest, many, slowest]


def _year_table(windows: Sequence[ScoutingWindow]) -> Iterator[str]:
    """The day of every dot drawn: a row a stage, a column a past year."""
    years = sorted({dot.season for each in windows for _, dots in dot_rows(each) for dot in dots})
    rows = []
    for window in windows:
        for label, dots in dot_rows(window):
            days = {dot.season: dot.day for dot in dots}
            name = sentences.title(window) + (f", {label}" if label else "")
            rows.append([name, *(_cell(year, days) for year in years)])
    yield paper.heading("The same days, year by year", 3)
    yield paper.wide(paper.table(("stage", *years), rows), "The day each past year would bring")


def _cell(year: str, days: dict[str, dt.date | None]) -> str:
    if year not in days:
        return "–"
    day = days[year]
    return words.day(day, weekday=False) if day else "not"


def _season(plan: SeasonPlan, curves: SeasonCurves, show: Unit) -> Iterator[str]:
    takeaway = sentences.season_line(plan, show)
    heats = [*curves.past, *([curves.current] if curves.current else [])]
    if not any(np.isfinite(each.heat).any() for each in heats):
        yield paper.paragraph(takeaway)
        return
    table = paper.table(
        month_headings(curves, plan), month_rows(curves, plan, show),
        caption=f"°{show}-days, {_counted(plan, show)}",
    )  # fmt: skip
    yield '<div class="side">'
    yield paper.figure(takeaway, season_curve(curves, show, takeaway))
    yield paper.wide(table, "Heat month by month")
    yield "</div>"


def _counted(plan: SeasonPlan, show: Unit) -> str:
    """How the sums of the season are counted, in one phrase."""
    counting = plan.standing_counting
    lower = words.temperature(counting.lower, show, 1).replace(".0", "")
    first = words.day(plan.season.first, weekday=False)
    said = f"above {lower}, {counting.shape.name}, from {first}"
    if np.isfinite(counting.upper):
        upper = words.temperature(counting.upper, show, 1).replace(".0", "")
        said += f"; {counting.cutoff.name} at {upper}"
    return said


def _seen(plan: SeasonPlan, show: Unit) -> Iterator[str]:
    seen = [each for each in plan.windows if each.found is not None]
    if seen:
        many = words.count(len(brackets_drawn(seen)), "stage")
        takeaway = (
            f"{many} seen: each began no later than its dot, and no earlier than its line, "
            "which is dashed where no clean look came before."
        )
        yield paper.figure(takeaway, find_brackets(seen, plan.today))
        told = [f"{sentences.title(each)}. {sentences.when(each, show)}" for each in seen]
        yield paper.listed(dict.fromkeys(told))
    restarted = [each for each in plan.windows if each.clock and each.clock.kind == "find"]
    if restarted:
        yield paper.listed(
            f"{sentences.title(each)} is counted from {each.clock.words}."
            for each in restarted
            if each.clock is not None
        )


def _past(plan: SeasonPlan, curves: SeasonCurves, show: Unit) -> Iterator[str]:
    if not curves.past:
        yield paper.paragraph("The record holds no past season.")
        return
    day = plan.standing.through if plan.standing else plan.through
    seasons = [*curves.past, *([curves.current] if curves.current else [])]
    then = {each.season.name: each.through(day) for each in seasons}
    order = sorted((each for each in then.values() if np.isfinite(each)), reverse=True)
    rows = []
    for each in reversed(seasons):
        heat = then[each.season.name]
        rank = str(order.index(heat) + 1) if np.isfinite(heat) else "left out"
        whole = "so far" if each is curves.current else shown(whole_sum(each), show)
        rows.append(
            [each.season.name, shown(heat, show), rank, whole, str(each.unknown)],
        )
    until = words.day(day, weekday=False)
    if order:
        warmest = max((heat, name) for name, heat in then.items() if np.isfinite(heat))[1]
        many = words.count(len(order), "season")
        yield paper.paragraph(
            f"To {until}, {warmest} is the warmest of {many} whose days are all known."
        )
    else:
        yield paper.paragraph(f"No season’s days are all known to {until}.")
    headings = ("season", f"to {until}", "rank", "whole season", "days missing")
    caption = f"°{show}-days, {_counted(plan, show)}"
    yield paper.wide(paper.table(headings, rows, caption=caption), "Seasons side by side")


def _record(plan: SeasonPlan) -> Iterator[str]:
    verdict = plan.verdict
    reasons = f": {'; '.join(verdict.reasons)}" if verdict.reasons else ""
    yield paper.paragraph(f"The record is {verdict.trust}{reasons}.")
    facts = [
        f"{words.count(len(verdict.usable_seasons), 'past season')} can be used."
        if verdict.usable_seasons
        else "No past season can be used.",
        f"This season: {_so_far(plan)}.",
    ]
    if verdict.lost_seasons:
        facts.append(f"Too many days missing in {words.listed(verdict.lost_seasons)}.")
    yield paper.listed(facts)
    grave = [each for each in verdict.findings if each.level == "finding"]
    if grave:
        yield paper.heading("What was found", 3)
        yield paper.listed(
            " ".join(part for part in (each.words, effect_words(each), each.cure) if part)
            for each in grave
        )
    notes = [each.words for each in verdict.findings if each.level == "note"]
    if notes:
        more = f" The other {len(notes) - 5} are told by  gddcast weather check." * (len(notes) > 5)
        yield paper.paragraph(f"Worth knowing: {' '.join(notes[:5])}{more}")


def _so_far(plan: SeasonPlan) -> str:
    kinds = (plan.missing, "missing"), (plan.patched, "patched"), (plan.forecast, "of forecast")
    return ", ".join(f"{words.count(days, 'day')} {kind}" for days, kind in kinds)


def _numbers(plan: SeasonPlan, show: Unit) -> Iterator[str]:
    yield "<details open><summary>The last days, and every published number used</summary>"
    yield from _last_days(plan, show)
    if plan.overrule.shape or plan.overrule.cutoff or plan.overrule.start:
        yield paper.paragraph(
            "Your own method stands in for the cards’: dates differ from the published way."
        )
    yield paper.heading("What each date rests on", 3)
    rows = []
    for window in plan.windows:
        rests = sentences.basis(window, show)
        gaps = sentences.stand_ins(window, window.moves)
        said = " ".join(part for part in (rests, gaps, *window.notes) if part)
        if said:
            rows.append(f"{sentences.title(window)}. {said}")
    yield paper.listed(rows)
    yield "</details>"


def _last_days(plan: SeasonPlan, show: Unit) -> Iterator[str]:
    season = plan.series.between(plan.season.first, plan.season.last).before(plan.today)
    heat = plan.standing_counting.daily(season)
    total = running_heat(heat) if len(season) else heat
    rows = []
    for index in range(max(0, len(season) - _DAYS_BEHIND), len(season)):
        low, high = (
            "–" if np.isnan(each[index]) else f"{float(from_celsius(each[index], show)):.0f}"
            for each in (season.tmin, season.tmax)
        )
        origin = Origin(season.origin[index]).name.lower()
        rows.append(
            [words.day(season.date(index)), low, high, shown(heat[index], show),
             shown(total[index], show), origin]
        )  # fmt: skip
    if not rows:
        yield paper.paragraph("No day of this season is known yet.")
        return
    headings = ("day", f"min °{show}", f"max °{show}", f"heat °{show}-days", "sum", "origin")
    caption = f"The last {words.count(len(rows), 'day')}: {_counted(plan, show)}"
    yield paper.wide(paper.table(headings, rows, caption=caption), "The last days")


def _sources(plan: SeasonPlan) -> Iterator[str]:
    cited = set()
    for window in plan.windows:
        keys = {window.cue.source} if window.cue else set()
        if window.number is not None:
            keys |= {window.number.source} | ({window.number.primary or ""} - {""})
        cited |= {window.card.sources[key].citation for key in keys if key in window.card.sources}
    if cited:
        yield paper.listed(sorted(cited))
