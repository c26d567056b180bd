"""How often to look, by the time of eggs and by habit."""

from __future__ import annotations

import numpy as np

from gddcast.scouting.windows import Habits, looking_interval


def test_eggs_get_three_chances_and_a_habit_is_never_lengthened() -> None:
    """245 °F-days at 21.4 a day are 11 days: every 3, or oftener if that is the habit."""

    def interval(goal: float | None, pace: float, habits: Habits) -> tuple[int, str]:
        return looking_interval(goal, pace, habits, "at this week's warmth")

    days, words = interval(245.0 / 1.8, 21.4 / 1.8, Habits())
    assert (days, words) == (3, "eggs take about 11 days at this week's warmth: 3 chances at each")
    assert interval(245.0 / 1.8, 21.4 / 1.8, Habits(every_days=2)) == (2, "your habit")
    assert interval(245.0 / 1.8, 21.4 / 1.8, Habits(every_days=3)) == (3, "your habit")
    assert interval(245.0 / 1.8, 21.4 / 1.8, Habits(every_days=6))[0] == 3
    for egg_days, every, chances in (
        (25.0, 7, "3 chances"),
        (2.0, 1, "2 chances"),
        (0.9, 1, "1 chance"),
    ):
        days, words = interval(egg_days * 0.4, 0.4, Habits())
        assert (days, words.split(": ")[1]) == (every, f"{chances} at each")
    for goal, pace, why in (
        (None, 11.9, "no egg time published"), (245.0, np.nan, "no weather known"),
        (245.0, 0.0, "too cold for eggs"),
    ):  # fmt: skip
        days, words = interval(goal, pace, Habits())
        assert days == 7
        assert why in words
