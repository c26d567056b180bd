"""The report's sections in their order, its contents, its foot."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from gddcast import words
from gddcast.handouts import paper
from gddcast.handouts.drawings.season_curve import curves_of
from gddcast.handouts.report.ahead import still_to_come
from gddcast.handouts.report.beside import Beside
from gddcast.handouts.report.numbers import numbers, sources
from gddcast.handouts.report.record import weather_record
from gddcast.handouts.report.seasons import past_seasons, this_season
from gddcast.handouts.report.seen import what_was_seen
from gddcast.handouts.report.sowings import sowings
from gddcast.handouts.report.style import report_style
from gddcast.handouts.report.week import this_week
from gddcast.text import sentences
from gddcast.today.plan import SeasonPlan
from gddcast.units import Unit

_SECTIONS = {
    "week": "This week",
    "ahead": "Still to come",
    "season": "How the season stands",
    "seen": "What you’ve seen",
    "sowings": "Sowings",
    "past": "Past seasons",
    "record": "Is the weather record sound?",
    "numbers": "The numbers behind this",
    "sources": "Sources",
}


def report_page(plan: SeasonPlan, show: Unit, beside: Beside | None = None) -> str:
    """The whole report as one HTML file.

    Parameters
    ----------
    plan : SeasonPlan
    show : {"F", "C"}
        What the person reads.
    beside : Beside, optional
        What is known beside the plan.
    """
    beside = beside or Beside()
    curves = curves_of(plan)
    parts = {
        "week": this_week(plan, show, beside),
        "ahead": still_to_come(plan, show, beside),
        "season": this_season(plan, curves, show),
        "seen": what_was_seen(plan, show, beside),
        "sowings": sowings(plan, show, beside),
        "past": past_seasons(plan, curves, show),
        "record": weather_record(plan),
        "numbers": numbers(plan, show),
        "sources": sources(plan),
    }
    told = {name: list(part) for name, part in parts.items()}
    told = {name: part for name, part in told.items() if part}
    line = sentences.weather_line(plan)
    body = [
        '<a class="skip" href="#week">Skip to this week</a>',
        paper.heading(plan.place.name, 1),
        paper.paragraph(line.removeprefix(f"{plan.place.name} · ")),
    ]
    for name, part in told.items():
        body += [f'<section aria-labelledby="{name}">', _heading(name), *part, "</section>"]
        if name == "week":
            body.append(_contents(told))
    body.append(f"<footer>{paper.paragraph(words.CAUTIONS)}</footer>")
    title = f"{plan.place.name}, {words.day(plan.today, year=True)}"
    return paper.page(title, body, style=report_style(line))


def _heading(name: str) -> str:
    return f'<h2 id="{name}">{escape(_SECTIONS[name])}</h2>'


def _contents(names: Iterable[str]) -> str:
    links = "".join(
        f'<li><a href="#{name}">{escape(_SECTIONS[name])}</a></li>'
        for name in names
        if name != "week"
    )
    return f'<nav aria-label="Contents"><ul>{links}</ul></nav>'
