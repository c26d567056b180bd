"""Promise beside record: the shares found, their intervals, and how many they rest on."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

pytest.importorskip("matplotlib", reason="figures need the extra [charts]")

from matplotlib.figure import Figure

from gddcast.draw.calibration import (
    calibration_note,
    calibration_sentence,
    draw_calibration,
    draw_held,
    draw_tenths,
)
from gddcast.heat.counting import Counting
from gddcast.skill.backtest import backtest
from gddcast.skill.targets import Target
from gddcast.skill.track_record import LeadRecord, by_lead
from tests.draw.looks import colours, contrast, laid_out, marks, meetings, text_colours
from tests.draw.records import known


@cache
def records(name: str) -> tuple[LeadRecord, ...]:
    targets = [Target(f"{goal}", Counting(10.0), goal) for goal in (300.0, 550.0)]
    return by_lead(backtest(known(name), targets, at_least=5 if name == "12 years" else 20))


def test_marks_intervals_and_promises_are_the_record_s() -> None:
    ax = draw_held(Figure().add_subplot(), records("36 years"))
    found = {(mark, round(y)): x for mark, x, y, _ in marks(ax)}
    for row, record in enumerate(records("36 years")):
        for mark, share in zip("os^", (0.5, 0.8, 0.9), strict=True):
            assert found[mark, row] == pytest.approx(100 * record.held[share], rel=0, abs=1e-9)
    spans = sorted(
        tuple(line.get_xdata()) for line in ax.lines if line.get_linewidth() == 1.2
    )  # fmt: skip
    expected = sorted(
        (100 * low, 100 * high)
        for record in records("36 years")
        for low, high in record.held_interval.values()
    )
    np.testing.assert_allclose(spans, expected, rtol=0, atol=1e-9)
    promised = {line.get_xdata()[0] for line in ax.lines if line.get_linewidth() == 2.4}
    assert promised == {50.0, 80.0, 90.0}


def test_every_row_says_how_many_it_rests_on() -> None:
    ax = draw_held(Figure().add_subplot(), records("12 years"))
    for label, record in zip(ax.get_yticklabels(), records("12 years"), strict=True):
        assert f"{record.forecasts} outlook" in label.get_text()
        assert f"{record.seasons} season" in label.get_text()
    note = calibration_note(known("12 years"), records("12 years"), "past only")
    assert "earlier ones only" in note
    assert "Few seasons" in note
    assert "weather only" in note


def test_it_is_said_in_words_which_spans_are_good() -> None:
    """A promise outside its interval is called too narrow or too wide, and no other is."""
    good = {0.5: (0.3, 0.7), 0.8: (0.6, 0.9), 0.9: (0.7, 1.0)}
    record = replace(records("12 years")[0], held_interval=good)
    kept = "kept its promise, as far as these seasons can tell."
    assert calibration_sentence([record]) == f"Every span {kept}"
    narrow = replace(record, held_interval=good | {0.8: (0.1, 0.7)})
    assert calibration_sentence([narrow]) == (
        f"Too narrow: 80 % {record.days} ahead. Every other span {kept}"
    )
    wide = replace(record, held_interval=dict.fromkeys(good, (0.95, 1.0)))
    assert calibration_sentence([wide]).startswith("Wider than need be: 50 %")
    assert "other" not in calibration_sentence([wide])


def test_tenths_are_drawn_as_counted() -> None:
    record = records("36 years")[2]
    ax = draw_tenths(Figure().add_subplot(), record)
    np.testing.assert_allclose(ax.patches[0].get_data().values, record.pit, rtol=0, atol=1e-12)
    assert sum(record.pit) == pytest.approx(1.0, rel=0, abs=1e-9)
    assert ax.lines[0].get_ydata()[0] == 0.1


def test_spans_are_told_apart_without_colour() -> None:
    ax = draw_held(Figure().add_subplot(), records("12 years"))
    assert len({mark for mark, _, _, _ in marks(ax)}) == 3
    assert all(contrast(each) >= 3.0 for each in colours(ax))
    assert text_colours(ax) <= {"#000000", "#0072b2"}


@pytest.mark.parametrize("width", [80, 180])
@pytest.mark.parametrize("name", ["12 years", "36 years"])
def test_no_words_meet(name: str, width: int) -> None:
    found = records(name)
    fig = laid_out(lambda fig: draw_calibration(fig, found), width, 17 * len(found) + 15)
    assert meetings(fig) == []
    assert len(fig.axes) == (1 if width < 127 else 1 + len(found))
