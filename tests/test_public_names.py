"""What a scientist or teacher writes: exported names, short reprs, tables, and kinds that work."""

from __future__ import annotations

import ast
import datetime as dt
import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest

import gddcast
from gddcast.heat.heat_days import heat_days
from gddcast.weather.series import Origin

NOTEBOOKS = sorted((Path(__file__).parents[1] / "notebooks").glob("*.ipynb"))
READING = gddcast.demo_temperatures()
RECORD = gddcast.patch_short(READING)
CARDS = gddcast.load_cards()
COUNTING = gddcast.Counting(10.0, 30.0)


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_notebooks_use_exported_names_only(path: Path) -> None:
    """No notebook knows a room of the house, so rooms may be rebuilt under it."""
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    code = "\n".join("".join(cell["source"]) for cell in cells if cell["cell_type"] == "code")
    public = set(gddcast.__all__)
    used = set()
    for node in ast.walk(ast.parse(code)):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("gddcast"):
            assert node.module == "gddcast", f"{path.stem} imports from {node.module}"
            used |= {alias.name for alias in node.names}
        elif isinstance(node, ast.Import):
            assert not any(alias.name.startswith("gddcast.") for alias in node.names)
        elif isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
            used |= {node.attr} if node.value.id == "gddcast" else set()
    assert used
    assert used <= public, sorted(used - public)


def test_every_exported_name_is_there_and_named_in_help() -> None:
    """A name nobody can read of is not public."""
    for name in gddcast.__all__:
        assert getattr(gddcast, name) is not None
        assert f"``{name}``" in gddcast.__doc__ or f"``{name}.from_frame``" in gddcast.__doc__, name


def test_importing_it_loads_numpy_at_most() -> None:
    """A wing's name is never taken by something else."""
    code = (
        "import sys, gddcast; gddcast.degree_days(1, 2, lower=0); "
        "heavy = {'pandas', 'xarray', 'scipy', 'pydantic', 'matplotlib'} & set(sys.modules); "
        "assert not heavy, heavy; gddcast.outlook_of; import gddcast.outlook.dates; "
        "assert gddcast.outlook.dates.outlook_of is gddcast.outlook_of"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stderr


def results() -> dict[str, Any]:
    """One of each public result."""
    target = gddcast.Target("one", gddcast.Counting(10.0), 300.0)
    short = RECORD.between("2014-01-01", "2019-12-31")
    jars = gddcast.Rearing([18, 21.5, 25, 28], [28.2, 21.6, 16.1, 15.0])
    return {
        "reading": READING,
        "series": RECORD,
        "counting": COUNTING,
        "degree-days": heat_days(
            READING, "2026-06-11",
            lower=10.0, upper=30.0, shape=gddcast.single_sine, cutoff=gddcast.horizontal,
        ),
        "sums": gddcast.season_heats(RECORD, COUNTING)[0],
        "outlook": gddcast.outlook_of(
            RECORD, COUNTING, 600.0, start="2026-01-01", today="2026-05-20"
        ),
        "plan": gddcast.season_plan(READING, CARDS, "2026-06-11", watch="squash bug"),
        "backtest": gddcast.backtest(short, [target], at_least=4),
        "thresholds": gddcast.threshold_line(jars),
        "card": CARDS["squash-bug"],
    }  # fmt: skip


def test_results_have_a_short_repr_and_a_table() -> None:
    """What a cell ends with can be read: a line, or a table with rows."""
    for name, result in results().items():
        assert len(repr(result)) < 160, (name, repr(result))
        assert repr(result).startswith("<"), name
        table = result.to_frame()
        assert isinstance(table, pd.DataFrame), name
        assert len(table), name


def test_tables_hold_the_numbers() -> None:
    """The dots of an outlook, the sum of the days, both intervals of a threshold."""
    have = results()
    outlook, plan, days = have["outlook"], have["plan"], have["degree-days"]
    assert outlook.to_frame()["day"].dt.date.tolist() == list(outlook.days)
    assert plan.to_frame()["organism"].unique().tolist() == ["squash-bug"]
    table = days.to_frame()
    assert table.attrs["counted"]["start"] == "2026-01-01"
    np.testing.assert_allclose(
        table["degree_days"].cumsum().iloc[:60], table["sum"].iloc[:60], rtol=0, atol=1e-9
    )
    assert have["backtest"].to_frame()["season"].tolist() == have["backtest"].season.tolist()
    assert have["thresholds"].to_frame().loc["lower", "value"] == have["thresholds"].lower.value
    card = have["card"].to_frame()
    assert len(card) == sum(len(event.numbers) for event in have["card"].events)


def test_days_and_files_are_taken_as_they_come() -> None:
    """A Timestamp, a datetime64 or text names a day; a file that was read is its days."""
    day = dt.date(2026, 5, 20)
    plain = gddcast.outlook_of(RECORD, COUNTING, 600.0, start=dt.date(2026, 1, 1), today=day)
    for same in (pd.Timestamp("2026-05-20 13:00"), np.datetime64("2026-05-20"), "2026-05-20"):
        again = gddcast.outlook_of(RECORD, COUNTING, 600.0, start="2026-01-01", today=same)
        assert again.dots == plain.dots
        assert RECORD.before(same).last == day - dt.timedelta(days=1)
        assert RECORD.index(same) == RECORD.index(day)
    first = gddcast.DailySeries(pd.Timestamp("2026-05-01"), [1.0], [2.0]).first
    assert type(first) is dt.date
    np.testing.assert_array_equal(COUNTING.daily(READING), COUNTING.daily(READING.series))
    assert gddcast.judge(READING).trust is gddcast.judge(READING.series).trust
    for wrong, words in (("20/5/2026", "it is no date"), (20260520, "it is no date")):
        with pytest.raises(gddcast.Refusal, match=words):
            RECORD.before(wrong)  # type: ignore[arg-type]
    with pytest.raises(gddcast.Refusal, match="from_frame"):
        gddcast.judge(RECORD.to_frame())  # type: ignore[arg-type]


@pytest.mark.parametrize("watch", ["squash-bug", ["squash-bug"], ["Squash bug"], "Anasa tristis"])
def test_a_name_alone_can_be_watched(watch: Any) -> None:
    """Key or name; a text is one name, not its letters."""
    plan = gddcast.season_plan(RECORD, CARDS, "2026-06-11", watch=watch)
    assert plan.watched == ("squash-bug",)


def test_a_name_of_no_card_is_refused_with_the_nearest() -> None:
    """Not a KeyError."""
    with pytest.raises(gddcast.Refusal, match="Did you mean squash-bug"):
        gddcast.season_plan(RECORD, CARDS, "2026-06-11", watch=["squash-bgu"])


def test_marks_survive_a_table_both_ways() -> None:
    """Patched, model and forecast days stay marked; a day put in between is unknown."""
    marks = [Origin.MEASURED, Origin.PATCHED, Origin.MODEL, Origin.FORECAST, Origin.UNKNOWN]
    series = gddcast.DailySeries(
        dt.date(2026, 5, 1), [4.0, 5, 6, 7, np.nan], [14.0, 15, 16, 17, np.nan], marks
    )
    frame = series.to_frame()
    assert gddcast.DailySeries.from_frame(frame, unit="C").origin.tolist() == marks
    holed = gddcast.DailySeries.from_frame(frame.drop(frame.index[2]), unit="C")
    assert holed.origin.tolist() == [1, 2, 0, 4, 0]
    assert gddcast.DailySeries.from_frame(frame.drop(columns="origin"), unit="C").count(
        Origin.MEASURED
    ) == 4  # fmt: skip
    frame.loc[frame.index[0], "origin"] = "guessed"
    with pytest.raises(gddcast.Refusal, match=r"'guessed'\.\n.*patched"):
        gddcast.DailySeries.from_frame(frame, unit="C")
    with pytest.raises(gddcast.Refusal, match="no rows"):
        gddcast.DailySeries.from_frame(frame.iloc[:0], unit="C")


def test_dates_of_stations_and_years_say_why_there_is_none() -> None:
    """By hand: floor the mean at 10 a day reaches 500 on day 50; a hole, a cold place, an end."""
    days = pd.date_range("2023-01-01", "2025-02-10")
    low = pd.DataFrame({"warm": 15.0, "cold": -9.0, "holed": 15.0}, index=days)
    low.loc["2024-01-09", "holed"] = np.nan
    table = gddcast.dates_reached(
        low, low + 10.0, unit="C", lower=10.0, goal=500.0, shape="floor the mean"
    )
    assert table["day"].dt.strftime("%m-%d")["warm"].tolist()[:2] == ["02-19", "02-19"]
    why = table["why"].unstack("season")  # noqa: PD010
    assert why.to_numpy().tolist() == [
        ["not reached", "not reached", "not yet"],
        ["", "days missing", "not yet"],
        ["", "", "not yet"],
    ]
    in_f = gddcast.dates_reached(
        low * 1.8 + 32, low * 1.8 + 50, unit="F", lower=50, goal=900, shape="floor the mean"
    )
    pd.testing.assert_series_equal(in_f["day"], table["day"])
    alone = gddcast.dates_reached(
        low["warm"], (low["warm"] + 10.0).rename("tmax"), unit="C", lower=10.0, goal=20.0,
        start=(3, 1), shape="floor the mean",
    )  # fmt: skip
    assert alone["day"].iloc[0] == pd.Timestamp("2023-03-02")
    with pytest.raises(gddcast.Refusal, match="to_pandas"):
        gddcast.dates_reached(low, low.to_numpy(), unit="C", lower=10.0, goal=1.0)


@pytest.mark.parametrize("unit", ["K", "f", "°F", "celsius", None])
def test_another_word_than_f_or_c_is_never_taken_for_celsius(unit: str) -> None:
    """Kelvin under such a word were dated in the first days of January."""
    days = pd.date_range("2024-01-01", "2024-12-31")
    low = pd.Series(283.15, days)
    table = pd.DataFrame({"tmin": low, "tmax": low + 10.0})
    with pytest.raises(gddcast.Refusal, match="it is no scale"):
        gddcast.dates_reached(low, low + 10.0, unit=unit, lower=10.0, goal=20.0)  # type: ignore[arg-type]
    with pytest.raises(gddcast.Refusal, match="it is no scale"):
        gddcast.DailySeries.from_frame(table, unit=unit)  # type: ignore[arg-type]


def test_a_card_where_a_counting_belongs_and_a_name_where_a_card_does() -> None:
    card = CARDS["squash-vine-borer"]
    with pytest.raises(gddcast.Refusal, match="this Card: it is no Counting"):
        gddcast.season_heats(RECORD, card)  # type: ignore[arg-type]
    with pytest.raises(gddcast.Refusal, match="this str: it is no card"):
        gddcast.past_dates(RECORD, "squash-vine-borer")  # type: ignore[arg-type]


def test_past_dates_of_a_card_are_those_of_its_sums() -> None:
    """The same days as `season_heats` gives, one row a stage and season."""
    card = CARDS["squash-vine-borer"]
    table = gddcast.past_dates(RECORD, card)
    number = card.event("moths").default  # type: ignore[union-attr]
    assert number is not None
    heats = gddcast.season_heats(RECORD, gddcast.counting_of(number))
    for heat in heats:
        day = heat.reached(number.goal_c[0])  # type: ignore[index]
        row = table.loc[("first moths, 556 °C·d", heat.season.name)]
        assert (None if pd.isna(row["day"]) else row["day"].date()) == day
        assert bool(row["why"]) is (day is None)
