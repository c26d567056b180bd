"""How long the walks of a season are, in lines of an 80-column terminal."""

from __future__ import annotations

import statistics

import pytest

from tests.acceptance.walked_season import walked_season


def test_lengths_of_a_season_of_walks(capsys: pytest.CaptureFixture[str]) -> None:
    """Printed week by week; bounds are in tests/acceptance/test_walked_season.py."""
    weeks = walked_season()
    lengths = [len(week.lines) for week in weeks]
    with capsys.disabled():
        print("\nwalks of a season, lines at 80 columns (pests to look for):")
        for week in weeks:
            late = "  weather a week late" if week.stale else ""
            print(f"  {week.day}  {len(week.lines):2} ({len(week.walk.blocks)}){late}")
        print(f"  middle {statistics.median(lengths):.0f}, longest {max(lengths)}")
    assert len(lengths) == 29
