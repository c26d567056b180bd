"""A season of Mondays, spring to frost, weather brought in 16 times: no walk is long or silent."""

from __future__ import annotations

import datetime as dt

import pytest

from tests.acceptance.walked_season import IMPORTS, Walked, walked_season

LABEL = "the label is the law"


@pytest.fixture(scope="module")
def season() -> tuple[Walked, ...]:
    return walked_season()


def test_it_is_a_whole_season(season: tuple[Walked, ...]) -> None:
    """Else the lengths below would prove little."""
    assert len(IMPORTS) == 16
    assert (season[0].day, season[-1].day) == (dt.date(2025, 4, 7), dt.date(2025, 10, 20))
    assert max(len(week.walk.beds) for week in season) >= 4
    assert any(week.walk.needs_caution for week in season)
    assert any(week.walk.coming for week in season)


def test_no_walk_is_longer_than_a_page(season: tuple[Walked, ...]) -> None:
    """Six pests on up to four beds, on the first walk of each week, cautions and all."""
    for week in season:
        assert len(week.lines) <= 36, (week.day, len(week.lines))
        if week.day.month == 7 and not week.stale:
            assert len(week.lines) <= 28, (week.day, len(week.lines))
        assert max(map(len, week.lines)) <= 80


def test_a_late_record_gives_no_all_clear(season: tuple[Walked, ...]) -> None:
    for number, week in enumerate(season):
        assert week.stale is (number not in IMPORTS)
        assert any(line.startswith("No all-clear: ") for line in week.lines) is week.stale


def test_each_line_says_where_to_stand_or_when_to_come_back(season: tuple[Walked, ...]) -> None:
    """A pest has its line and the line of where and how many; without one there is a day."""
    for week in season:
        text = "\n".join(week.lines)
        for block in week.walk.blocks:
            title = f"  {block.status.shape} {block.card.name.capitalize()}: "
            titles = [at for at, line in enumerate(week.lines) if line.startswith(title)]
            assert len(titles) == 1, (week.day, title)
            assert " · " in week.lines[titles[0] + 1] or " · " in week.lines[titles[0] + 2]
        for bed in week.walk.beds:
            assert any(line.lower().startswith(f"{bed.name}: ") for line in week.lines)
        if not week.walk.blocks:
            assert "Come back " in text or "No stage on your list" in text
        assert (LABEL in " ".join(text.split())) is bool(week.walk.blocks)  # Mondays are the first
