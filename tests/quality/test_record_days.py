"""Days of a record by kind, counted a second way from the file's own rows."""

from __future__ import annotations

import datetime as dt
from itertools import pairwise

import numpy as np
import pytest

from gddcast.quality.record_days import DayKind, day_kinds, season_days
from gddcast.quality.verdict import judge
from gddcast.weather.gaps import patch_short
from gddcast.weather.series import DailySeries, Origin

TODAY = dt.date(2026, 6, 11)
FIRST = dt.date(2024, 3, 1)


@pytest.fixture
def record() -> DailySeries:
    """Two seasons and a half: 3 days missing, 20 missing, 9 stuck, one of 155 °F, 2 of a model."""
    days = (TODAY - FIRST).days
    rng = np.random.default_rng(5)
    season = np.sin(2 * np.pi * (np.arange(days) - 60) / 365.25)
    low = 5 + 12 * season + rng.normal(0, 3, days)
    high = low + 10 + rng.normal(0, 1.5, days)
    origin = np.full(days, Origin.MEASURED)

    def at(*day: int) -> int:
        return (dt.date(*day) - FIRST).days

    low[at(2025, 4, 10) : at(2025, 4, 13)] = np.nan
    low[at(2024, 8, 1) : at(2024, 8, 21)] = np.nan
    high[at(2026, 5, 20) : at(2026, 5, 29)] = 29.0
    high[at(2025, 6, 20)] = 68.3
    origin[at(2025, 9, 1) : at(2025, 9, 3)] = Origin.MODEL
    origin[np.isnan(low)] = Origin.UNKNOWN
    return DailySeries(FIRST, low, high, origin)


def test_each_kind_is_counted_where_it_was_planted(record: DailySeries) -> None:
    verdict = judge(record)
    seasons = season_days(verdict, patch_short(verdict.judged), TODAY)
    counts = {each.season.name: {kind: each.count(kind) for kind in DayKind} for each in seasons}
    assert counts["2024"][DayKind.MISSING] == 20  # January and February came before it
    assert seasons[0].runs[0].begin == 60
    assert counts["2025"][DayKind.PATCHED] == 3 + 1  # the struck spike was filled as well
    assert counts["2025"][DayKind.MODEL] == 2
    assert counts["2026"][DayKind.SUSPECT] == 9
    assert counts["2026"][DayKind.MISSING] == 0
    assert [each.lends for each in seasons] == [False, True, None]
    for each in seasons:
        last = min(each.season.last, TODAY - dt.timedelta(days=1))
        first = max(each.season.first, FIRST)
        assert sum(counts[each.season.name].values()) == (last - first).days + 1


def test_runs_follow_one_another_and_differ(record: DailySeries) -> None:
    verdict = judge(record)
    for each in season_days(verdict, patch_short(verdict.judged), TODAY):
        ends = [run.end for run in each.runs]
        assert [run.begin for run in each.runs][1:] == ends[:-1]
        kinds = [run.kind for run in each.runs]
        assert all(one is not other for one, other in pairwise(kinds))


def test_a_day_is_told_as_the_worst_it_is(record: DailySeries) -> None:
    """Of the stuck days one goes missing as well."""
    low = record.tmin.copy()
    lost = record.index(dt.date(2026, 5, 24))
    low[lost] = np.nan
    holed = DailySeries(record.first, low, record.tmax, np.where(np.isnan(low), 0, record.origin))
    verdict = judge(holed)
    kinds = day_kinds(verdict, verdict.judged)
    assert kinds[lost] == DayKind.MISSING


def test_days_from_today_on_are_not_of_the_record(record: DailySeries) -> None:
    verdict = judge(record)
    patched = patch_short(verdict.judged)
    early = season_days(verdict, patched, dt.date(2025, 5, 1))
    assert [each.season.name for each in early] == ["2024", "2025"]
    assert early[-1].lends is None
    assert early[-1].runs[-1].end == 120
    assert season_days(verdict, patched, FIRST) == ()
    for today, lends in ((dt.date(2024, 12, 31), None), (dt.date(2025, 1, 1), False)):
        (only,) = season_days(verdict, patched, today)
        assert only.lends is lends  # a season is over on the morning after its last day
