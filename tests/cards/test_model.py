"""What a card can be asked: thresholds in °C, what is not stated, what follows a find."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from gddcast.cards.model import Card, Event, Look, Number, Source, Start, crop_names

STAGE = Number(
    kind="laboratory",
    unit="F",
    lower=50.0,
    upper=86.0,
    cutoff=None,
    shape="any",
    of="air",
    starts_from=Start(event="eggs"),
    goal=(180.0, 270.0),
    found_in="nowhere",
    source="book",
    evidence="from memory",
    default=True,
)


def card_of(*events: Event) -> Card:
    """An invented card with these events."""
    return Card("bug", "bug", "Inventus", "pest", Look("grey", "leaves", "any hour"), events, {})


def test_a_heat_sum_scales_without_thirty_two() -> None:
    """50 °F is 10 °C, but 180 °F-days are 100 °C-days."""
    assert STAGE.goal_c is not None
    np.testing.assert_allclose(STAGE.lower_c, 10.0, rtol=0, atol=1e-12)
    np.testing.assert_allclose(STAGE.upper_c, 30.0, rtol=0, atol=1e-12)
    np.testing.assert_allclose(STAGE.goal_c, (100.0, 150.0), rtol=0, atol=1e-12)


def test_development_days_at_a_constant_temperature() -> None:
    """Goal over warmth above the threshold; nothing outside the thresholds."""
    days = STAGE.days_at(20.0)
    assert days is not None
    np.testing.assert_allclose(days, (10.0, 15.0), rtol=0, atol=1e-12)
    assert STAGE.days_at(10.0) is None
    assert STAGE.days_at(31.0) is None
    assert replace(STAGE, lower=None).days_at(20.0) is None
    assert replace(STAGE, goal=None).days_at(20.0) is None


@pytest.mark.parametrize(
    ("changes", "missing"),
    [
        ({}, ("cutoff",)),
        ({"upper": None}, ("upper",)),
        ({"upper": math.inf}, ()),
        ({"lower": None, "shape": None, "starts_from": None, "cutoff": "horizontal"},
         ("lower", "shape", "starts_from")),
    ],
)  # fmt: skip
def test_what_is_not_stated(changes: dict[str, object], missing: tuple[str, ...]) -> None:
    """A cut-off is missing only where there is an upper threshold for it to act on."""
    assert replace(STAGE, **changes).not_stated == missing  # type: ignore[arg-type]


def test_a_find_starts_the_clock_of_what_follows_it() -> None:
    """Eggs are laid when moths fly, so a moth seen starts the clock of the hatch."""
    moths = Event("moths", "first moths")
    eggs = Event("eggs", "first eggs", same_time_as="moths")
    hatch = Event("egg-hatch", "eggs hatch", numbers=(STAGE,))
    later = Event("pupae", "pupae", numbers=(replace(STAGE, starts_from=Start(event="egg-hatch")),))
    card = card_of(moths, eggs, hatch, later)
    assert list(card.follows("moths")) == [hatch]
    assert list(card.follows("eggs")) == [hatch]
    assert list(card.follows("egg-hatch")) == [later]
    assert list(card.follows("pupae")) == []


def test_an_event_falls_back_to_the_look_of_its_card() -> None:
    card = card_of(Event("eggs", "eggs", look=Look(looks_like="bronze")))
    look = card.look_at(card.events[0])
    assert (look.looks_like, look.where_on_plant) == ("bronze", "leaves")


def test_one_number_a_study_stands_in_the_comparison() -> None:
    """The default speaks for its study; a refit of the same study does not stand beside it."""
    refit = replace(STAGE, primary="first", goal=(999.0, 999.0), default=False)
    first = replace(STAGE, primary="first")
    second = replace(STAGE, primary="second", goal=(360.0, 360.0), default=False)
    from_elsewhere = replace(second, primary="third", starts_from=Start(event="larvae"))
    field = replace(second, primary="fourth", kind="biofix")
    event = Event("nymphs", "nymphs", numbers=(refit, first, second, from_elsewhere, field))
    assert event.laboratories_at(20.0) == {"first": 12.5, "second": 20.0}
    assert Event("nymphs", "nymphs").laboratories_at(20.0) == {}


@pytest.mark.parametrize(
    ("author", "short"),
    [
        ("Fargo WS, Bonjour EL", "Fargo and Bonjour, 1988"),
        ("Buckley LB, Arakaki AJ, Cannistra AF", "Buckley et al., 1988"),
        ("Basham C.W., Ells J.E., Murgel J.", "Basham et al., 1988"),
        ("Surname, A. B.", "Surname, 1988"),
        ("Surname, A. B. and Other, C.", "Surname and Other, 1988"),
        ("Baek S and others", "Baek et al., 1988"),
        ("Jones VP et al.", "Jones et al., 1988"),
        ("Du Plessis H, Schlemmer M-L", "Du Plessis and Schlemmer, 1988"),
        ("Iowa State University Extension and Outreach",
         "Iowa State University Extension and Outreach, 1988"),
    ],
)  # fmt: skip
def test_short_names_of_sources(author: str, short: str) -> None:
    """Surnames of people; an office keeps its whole name."""
    assert Source("a", author, "1988", "Title", "Journal").short == short


def test_a_year_not_stated_is_said_in_one_word() -> None:
    assert Source("a", "Owens D", "not stated", "Title", "Page").short == "Owens, undated"


def test_a_crop_is_known_by_every_name_it_has() -> None:
    """A host list says melon, the crop's own card cantaloupe; squash is no squash bug's onion."""
    melon = replace(card_of(), key="cantaloupe", name="cantaloupe", group="crop", also=("melon",))
    names = crop_names({"cantaloupe": melon}, "cantaloupe")
    pest = replace(card_of(), hosts=("Melon (seedlings)", "tomatoes", "green beans"))
    assert pest.lives_on(names)
    assert pest.lives_on(crop_names({}, "green-bean"))  # a crop without a card, by its key
    assert not pest.lives_on(crop_names({}, "watermelon"))
    assert not pest.lives_on(crop_names({}, "cantaloupe"))
    assert melon.lives_on(names)
    assert not melon.lives_on(["onion"])
