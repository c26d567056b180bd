"""The invented year: a function of its seed, with a story that is true of its days."""

from __future__ import annotations

import re

import numpy as np
import pytest

from gddcast.heat.cutoffs import no_cutoff
from gddcast.heat.daily import degree_days
from gddcast.lessons.invented import invent_year
from gddcast.units import fahrenheit

SEEDS = range(15)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_whole_year_of_possible_days(seed: int) -> None:
    """365 days of whole °F, no low above its high."""
    series = invent_year(seed).series
    assert len(series) == 365
    assert series.missing == 0
    assert np.all(series.tmin < series.tmax)
    whole = fahrenheit(series.tmax)
    np.testing.assert_allclose(whole, np.round(whole), rtol=0, atol=1e-9)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_story_is_true(seed: int) -> None:
    """Hottest day, its reading and the day of 1,000 °F-days are those of the days themselves."""
    invented = invent_year(seed)
    series, story = invented.series, " ".join(invented.story)
    hottest = fahrenheit(series.tmax.max())
    assert f": {hottest:.0f} °F." in story

    heat = np.cumsum(degree_days(fahrenheit(series.tmin), fahrenheit(series.tmax), lower=50.0,
                                 cutoff=no_cutoff))  # fmt: skip
    reached = series.date(int(np.argmax(heat >= 1000.0)))
    said = re.search(r"By \w+ (\d+) (\w+) it had given 1,000 °F-days", story)
    assert said is not None
    assert said.groups() == (str(reached.day), f"{reached:%B}")


def test_three_spells_in_the_order_of_the_year() -> None:
    """The story has three spells besides frosts, heat and the hottest day."""
    for seed in SEEDS:
        story = invent_year(seed).story
        assert len(story) == 7
        assert sum("usual" in sentence for sentence in story) == 3


def test_celsius_tells_the_same_days() -> None:
    """The unit changes the words, not the weather."""
    fahrenheit_year, celsius_year = invent_year(5, unit="F"), invent_year(5, unit="C")
    np.testing.assert_array_equal(fahrenheit_year.series.tmax, celsius_year.series.tmax)
    assert "°F" not in " ".join(celsius_year.story)
    assert "556 °C-days above 10 °C" in " ".join(celsius_year.story)
