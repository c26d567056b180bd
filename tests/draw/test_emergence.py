"""An emergence curve drawn: dots one a past year, shares of the library, never a bar."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from dataclasses import replace

import pytest

pytest.importorskip("matplotlib", reason="figures need the extra [charts]")

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from gddcast.draw.emergence import draw_emergence, emergence_takeaway
from gddcast.heat.counting import counting_of
from gddcast.readers.card_files import load_cards
from gddcast.today.emergence_ahead import EmergenceAhead, emergence_ahead
from tests.draw.looks import colours, contrast, laid_out, marks, meetings, text_colours
from tests.draw.records import RECORDS, known, today_of

CURVES = {
    "apple maggot": ("apple-maggot", "half-out"),
    "western bean cutworm": ("western-bean-cutworm", "moths"),
}


def ahead_of(name: str, curve: str = "apple maggot") -> EmergenceAhead:
    card, event = CURVES[curve]
    found = load_cards()[card].event(event)
    assert found is not None
    number = next(number for number in found.numbers if number.emergence)
    assert number.starts_from is not None
    assert number.starts_from.date is not None
    today = today_of(name)
    start = dt.date(today.year, *number.starts_from.date)
    return emergence_ahead(known(name), number, counting_of(number), start=start, today=today)


def dots(ax: Axes) -> Counter[tuple[float, float]]:
    return Counter((x, y) for mark, x, y, _ in marks(ax) if mark == "o")


@pytest.mark.parametrize("curve", CURVES)
@pytest.mark.parametrize("name", ["12 years", "late", "36 years"])
def test_one_dot_a_past_year_in_the_row_of_each_share(name: str, curve: str) -> None:
    """Rows on one axis of days: no share is read off a height."""
    ahead = ahead_of(name, curve)
    ax = draw_emergence(Figure().add_subplot(), ahead)
    floors = dict(zip(ahead.main_shares, ax.get_yticks(), strict=True))
    assert sorted(floors.values(), reverse=True) == list(floors.values())  # first on top
    days: dict[float, Counter[float]] = {share: Counter() for share in floors}
    for x, y in dots(ax).elements():
        days[min(floors, key=lambda share: abs(floors[share] - y))][x] += 1
    for share, one in ahead.main_shares.items():
        assert days[share] == Counter(day.toordinal() + 0.5 for day in one.days)
    reached = {one.reached.toordinal() + 0.5 for one in ahead.main_shares.values() if one.reached}
    assert {x for mark, x, _, _ in marks(ax) if mark == "D"} == reached
    assert bool(reached) is (name == "late" and curve == "apple maggot")
    labels = [label.get_text() for label in ax.get_yticklabels()]
    assert labels[list(ahead.main_shares).index(ahead.middle)] == "half out"
    assert not ax.patches
    assert not ax.collections


@pytest.mark.parametrize("width", [80, 180])
def test_piles_end_below_the_next_row(width: int) -> None:
    """Thirty-five dots in four days still belong to their own share."""
    ahead = ahead_of("36 years", "western bean cutworm")
    fig = laid_out(lambda fig: draw_emergence(fig.add_subplot(), ahead), width)
    (ax,) = fig.axes
    floors = [ax.transData.transform((0, each))[1] for each in ax.get_yticks()]
    above = dict(zip(floors, [ax.get_window_extent().y1, *floors], strict=False))
    for mark, x, y, line in marks(ax):
        if mark == "o":
            base = ax.transData.transform((x, y))[1]
            row = min(floors, key=lambda each: abs(each - base))
            assert line.get_transform().transform((x, y))[1] < above[row]


def test_colours_hold_on_white() -> None:
    ax = draw_emergence(Figure().add_subplot(), ahead_of("late"))
    assert all(contrast(each) >= 3.0 for each in colours(ax) - {"#d0d0d0"})  # but for the grid
    assert text_colours(ax) <= {"#000000", "#0072b2"}


def test_the_takeaway_has_its_counts() -> None:
    assert emergence_takeaway(ahead_of("12 years"), "Apple maggot") == (
        "Apple maggot, half out. With past years’ weather from here on: any day 6–18 July; "
        "11 of 12 give 9–18 July."
    )
    late = emergence_takeaway(ahead_of("late"), "Apple maggot")
    assert late.endswith("35 % were out by Sat 11 July.")
    few = emergence_takeaway(ahead_of("3 years"), "Apple maggot")
    assert "With the weather of the 3 past years on file" in few
    assert "Too few to call." in few


def test_the_takeaway_says_both_ends_of_a_bracket() -> None:
    """Counted from the last clean look half are out earlier: it spoke of the late start alone."""
    ahead = ahead_of("12 years")
    late = ahead.outlooks[ahead.middle]
    sooner = dt.timedelta(days=4)
    early = replace(
        late, heat=late.heat + 5.0,
        dots=tuple(replace(each, day=each.day and each.day - sooner) for each in late.dots),
    )  # fmt: skip
    said = emergence_takeaway(ahead, "Apple maggot", early)
    assert said.startswith(
        "Apple maggot, half out. With past years’ weather from here on: any day 2–18 July"
    )
    assert "give" not in said  # the middle of one end is not the middle of both
    with_line = ahead_of("late")
    now = with_line.outlooks[with_line.middle]
    both = emergence_takeaway(with_line, "Apple maggot", replace(now, heat=now.heat + 5.0))
    assert both.endswith("35 % at least were out by Sat 11 July.")


@pytest.mark.parametrize("width", [80, 180])
@pytest.mark.parametrize("curve", CURVES)
@pytest.mark.parametrize("name", RECORDS)
def test_no_words_meet(name: str, curve: str, width: int) -> None:
    ahead, room = ahead_of(name, curve), max((width - 45) // 28, 2)
    fig = laid_out(lambda fig: draw_emergence(fig.add_subplot(), ahead, room=room), width, 90)
    assert meetings(fig) == []
