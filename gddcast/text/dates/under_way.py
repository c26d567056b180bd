"""Stages that a later one says are under way: nobody logged them, and nobody need look for them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from gddcast import words
from gddcast.scouting.windows import ScoutingWindow
from gddcast.text import sentences
from gddcast.text.terminal import Line, under
from gddcast.words import Status


def earlier_stages(windows: Iterable[ScoutingWindow]) -> Iterator[Line]:
    """Stages that later ones say are under way, an organism at a time."""
    of_card: dict[str, list[ScoutingWindow]] = {}
    for window in windows:
        if window.status is Status.UNDER_WAY:
            of_card.setdefault(window.card.name, []).append(window)
    for name, chosen in of_card.items():
        title = f"{words.capital(name)}: earlier stages"
        yield Line(title, status=Status.UNDER_WAY, weight="bold")
        yield from map(under, sentences.under_way(chosen))
