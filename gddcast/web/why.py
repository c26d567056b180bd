"""Why: a date's sentence, its dots, its sums, its source."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from gddcast import words
from gddcast.draw.shared_axis import SharedAxis
from gddcast.draw.svg import Svg
from gddcast.draw.year_dots import days_of, dot_rows, has_year_dots
from gddcast.scouting.windows import ScoutingWindow, without_repeats
from gddcast.text import looks, sentences
from gddcast.text.dates.why import reasons, second_brood
from gddcast.text.terminal import Line
from gddcast.today.beside_dates import insect_date, stage_of
from gddcast.today.plan import other_readings
from gddcast.web.cards import card_of
from gddcast.web.screen import Shown
from gddcast.words import capital

if TYPE_CHECKING:
    from starlette.requests import Request

    from gddcast.today.today import Today
    from gddcast.units import Unit
    from gddcast.web.season_book import SeasonBook


#: A longer axis is divided by months. [weeks]
_WEEKS = 8


@dataclass(frozen=True, slots=True)
class StageWhy:
    """One stage: when, its dots, and what that rests on, a label and its texts a fact."""

    key: str
    title: str
    when: str
    look: str
    drawn: tuple[Svg, ...]
    has_ends: bool
    facts: tuple[tuple[str, tuple[str, ...]], ...]


@dataclass(frozen=True, slots=True)
class WhyPage:
    """What ``web/why.html`` shows."""

    title: str
    latin: str
    organism: str
    looks_like: str
    stages: tuple[StageWhy, ...]
    others: tuple[tuple[str, str], ...]  # key and words of stages not opened
    weather_only: str = words.WEATHER_ONLY
    away_from_home: str = words.AWAY_FROM_HOME


def screen(request: Request, book: SeasonBook) -> Shown:
    """The stage asked for, or those that are due or near; the others by name."""
    card = card_of(book, request.query_params.get("organism", ""))
    today = book.today()
    if card.key not in today.plan.watched:
        today = today.watching([card.key])
    every = without_repeats(each for each in today.windows(card) if each.card.key == card.key)
    asked = request.query_params.get("event", "")
    chosen = [each for each in every if each.event.key == asked] or every
    brood = second_brood(today, card)
    answered = {each.event.key for each in chosen if each.cue is None}
    chosen = [each for each in chosen if each.cue is None or each.event.key not in answered]
    stages = tuple(_stage(each, number, today, book.show(), brood, _signs(each, every, book.show()))
                   for number, each in enumerate(chosen, 1))  # fmt: skip
    shown = {each.event.key for each in chosen}
    others = dict.fromkeys(
        (each.event.key, each.event.words) for each in every if each.event.key not in shown
    )
    page = WhyPage(
        capital(card.name),
        card.latin,
        card.key,
        capital(card.look.looks_like or ""),
        stages,
        tuple(others),
    )
    return Shown("why.html", page)


def _signs(window: ScoutingWindow, every: Sequence[ScoutingWindow], show: Unit) -> list[str]:
    """Cues of a stage that has a date."""
    return [
        sentences.when(each, show) for each in every
        if each.cue is not None and each is not window and each.event.key == window.event.key
    ]  # fmt: skip


def _stage(
    window: ScoutingWindow, number: int, today: Today, show: Unit, brood: str, signs: Sequence[str]
) -> StageWhy:
    drawn = _dots(window, number, today) if has_year_dots(window) else ()
    lines = reasons(
        today.plan, window, other_readings(today.plan, window), show,
        today.track_records.get(stage_of(window)), insect_date(today.plan, window),
        today.practice.habits.tail, None,
        brood=brood if window.bracket else "", signs=signs, full=True, width=None,
    )  # fmt: skip
    return StageWhy(
        window.event.key, capital(window.event.words), sentences.when(window, show),
        capital(looks.look(window, today.day)), drawn,
        bool(drawn) and len(dot_rows(window)) > 1, tuple(facts(lines)),
    )  # fmt: skip


def _dots(window: ScoutingWindow, number: int, today: Today) -> tuple[Svg, ...]:
    """Its years over an axis of their own: of weeks, or of months where it is long."""
    rows = dot_rows(window)
    days = [day for _, dots in rows for day, _ in days_of(dots)]
    first = min(today.day, *days)
    weeks = (max(days) - first).days // 7 + 2
    axis = SharedAxis.of_months(today.day, [rows])
    if weeks <= _WEEKS:
        axis = SharedAxis.of_weeks(first, weeks, today.day, [rows])
    opens = window.opens if window.event.opens_looks else None
    return axis.head(), axis.row(rows, f"{sentences.title(window)}, stage {number}", opens)


def facts(lines: Iterable[str | Line]) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Labels, each with its texts: a line without a label belongs to the one before.

    Examples
    --------
    >>> list(facts([Line("72 °F", "Lower  "), Line("", "Upper  "), Line("more", "  ")]))
    [('Lower', ('72 °F', 'more'))]
    """
    label, texts = "", list[str]()
    for line in lines:
        if not isinstance(line, Line) or not line.text:
            continue
        if line.first.strip(" ●"):
            if texts:
                yield label, tuple(texts)
            label, texts = line.first.strip(), []
        texts.append(line.text)
    if texts:
        yield label, tuple(texts)
