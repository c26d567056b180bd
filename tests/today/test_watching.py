"""Which cards a place watches: what was said, else what is on record; a change loses nothing."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gddcast.cards.library import crop_called, crops_near, pests_of
from gddcast.cards.model import Card
from gddcast.errors import ArgumentRefusal
from gddcast.journal.entries import Journal, Sighting, Sowing
from gddcast.readers.card_files import load_cards
from gddcast.today.practice import Practice
from gddcast.today.watching import WatchList, watch_list, with_fewer, with_more
from gddcast.weather.series import Season

CARDS = load_cards()
CROPS = tuple(key for key, card in CARDS.items() if card.group == "crop")
PESTS = tuple(key for key, card in CARDS.items() if card.group == "pest")
SEASON = Season(dt.date(2026, 1, 1), dt.date(2026, 12, 31))
BOOK = Practice(watch=(), grow=())  # one that nobody said anything to
KALE = Sowing("kale", dt.date(2026, 4, 1), name="kale 2026-1")


def watched(practice: Practice, journal: Journal | None = None) -> WatchList:
    return watch_list(practice, CARDS, journal or Journal(), SEASON)


def named(crop: str) -> set[str]:
    """Pests of a crop."""
    return {card.key for card in pests_of(CARDS.values(), CARDS[crop].names)}


@pytest.mark.parametrize("crop", CROPS)
def test_every_vegetable_has_pests_that_live_on_it(crop: str) -> None:
    """So that nobody who says what they grow is shown an empty list."""
    assert len(named(crop)) >= 2


@pytest.mark.parametrize(
    ("crop", "pests"),
    [
        # Penn State Extension, Leafy vegetables: insect identification and control in the home
        # garden: cabbage looper and imported cabbageworm. University of Wisconsin Extension, Black
        # cutworm, 2006: beets, carrots, leafy greens, snap beans, sweet corn. The others are
        # common practice, no source.
        ("kale", {"cabbage-looper", "imported-cabbageworm"}),
        ("summer-squash", {"squash-bug", "squash-vine-borer", "striped-cucumber-beetle"}),
        ("beet", {"black-cutworm"}),
        ("carrot", {"black-cutworm", "carrot-rust-fly"}),
        ("lettuce", {"black-cutworm"}),
        ("snap-bean", {"black-cutworm", "mexican-bean-beetle"}),
        ("sweet-corn", {"black-cutworm", "corn-earworm", "european-corn-borer"}),
    ],
)
def test_hosts_are_what_extension_bulletins_say(crop: str, pests: set[str]) -> None:
    assert pests <= named(crop)


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("courgette", "summer-squash"), ("Courgettes", "summer-squash"), ("potatoes", "potato"),
        ("tomatoes", "tomato"), ("peas", "garden-pea"), ("Beetroot", "beet"),
        ("corn", "sweet-corn"),
        ("aubergine", "eggplant"), ("Zea mays", "sweet-corn"), ("leeks", "leek"),
        ("cherries", "cherry"), ("bean", None), ("beans", None), ("squash", None), ("luffa", None),
    ],
)  # fmt: skip
def test_crops_go_by_the_names_people_type(name: str, key: str | None) -> None:
    """A plant without a card is one when a pest's card names it; a shared name means none."""
    assert crop_called(CARDS.values(), name) == key


@pytest.mark.parametrize(
    ("name", "likely"),
    [
        ("beans", ["lima-bean", "snap-bean"]), ("brocoli", ["broccoli"]), ("cucmber", ["cucumber"]),
        ("squash", ["pumpkin", "summer-squash", "winter-squash"]), ("luffa", []), ("fennel", []),
    ],
)  # fmt: skip
def test_a_name_shared_or_nearly_a_crop_s_is_asked_about(name: str, likely: list[str]) -> None:
    assert crops_near(CARDS.values(), name) == likely


def test_what_was_said_wins_and_a_bare_file_has_every_card() -> None:
    assert set(watched(replace(BOOK, grow=("kale",))).keys) == named("kale")
    both = watched(replace(BOOK, grow=("kale",), watch=("squash-bug",)), Journal(sowings=(KALE,)))
    assert set(both.keys) == named("kale") | {"squash-bug"}
    assert both.keys[0] == "squash-bug"
    assert [card.key for card in both.besides] == ["squash-bug"]
    assert watched(replace(BOOK, watch=("squash-bug",)), Journal(sowings=(KALE,))).keys == (
        "squash-bug",
    )
    left = watched(replace(BOOK, grow=("kale",), leave_out=("swede-midge",)))
    assert set(left.keys) == named("kale") - {"swede-midge"}
    assert set(watched(Practice()).keys) == set(CARDS)
    with pytest.raises(ArgumentRefusal, match="no card has that name"):
        watched(Practice(watch=("squosh-bug",)))


@pytest.mark.parametrize(
    ("day", "counts"),
    [(dt.date(2026, 4, 1), True), (dt.date(2025, 1, 1), True), (dt.date(2024, 12, 1), False)],
)
def test_without_a_word_the_book_s_record_says_what_is_watched(day: dt.date, counts: bool) -> None:
    """Sown or seen since the season before; a report or a clean look is neither."""
    sightings = (
        Sighting("apple-maggot", "adults", day),
        Sighting("codling-moth", "moths", day, "heard"),
        Sighting("leek-moth", "moths", day, "none"),
    )
    found = watched(BOOK, Journal(sightings, sowings=(replace(KALE, sown_on=day),)))
    assert found.basis == "record"
    assert set(found.keys) == (named("kale") | {"apple-maggot"} if counts else set())


def test_a_crop_without_a_card_has_the_pests_that_name_it() -> None:
    assert {"leek-moth", "onion-maggot"} <= set(watched(replace(BOOK, grow=("leek",))).keys)
    assert watched(replace(BOOK, grow=("luffa",))).keys == ()


_CHOSEN = st.builds(
    Practice,
    watch=st.lists(st.sampled_from(PESTS), max_size=3, unique=True).map(tuple),
    grow=st.lists(st.sampled_from(CROPS), max_size=3, unique=True).map(tuple),
    leave_out=st.lists(st.sampled_from(PESTS), max_size=2, unique=True).map(tuple),
)
_JOURNALS = st.sampled_from([
    Journal(), Journal(sowings=(KALE,)),
    Journal((Sighting("leek-moth", "moths", dt.date(2026, 5, 1)),), sowings=(KALE,)),
])  # fmt: skip


@settings(max_examples=150, deadline=None)
@given(_CHOSEN, _JOURNALS, st.sampled_from(PESTS))
def test_adding_a_pest_adds_it_alone(practice: Practice, journal: Journal, pest: str) -> None:
    before = watched(practice, journal)
    after = watched(with_more(practice, before, CARDS, pests=[pest]), journal)
    assert set(after.keys) == {*before.keys, pest}


@settings(max_examples=150, deadline=None)
@given(_CHOSEN, _JOURNALS, st.sampled_from(CROPS))
def test_adding_a_crop_loses_nothing(practice: Practice, journal: Journal, crop: str) -> None:
    before = watched(practice, journal)
    after = watched(with_more(practice, before, CARDS, crops=[crop]), journal)
    assert set(after.keys) == {*before.keys, *named(crop)} - (
        set(practice.leave_out) - set(before.keys)
    )


@settings(max_examples=150, deadline=None)
@given(_CHOSEN, _JOURNALS, st.data())
def test_dropping_a_pest_drops_it_alone(
    practice: Practice, journal: Journal, data: st.DataObject
) -> None:
    before = watched(practice, journal)
    if len(before.keys) < 2:
        return
    pest = data.draw(st.sampled_from(before.keys))
    after = watched(with_fewer(practice, before, CARDS, pests=[pest]), journal)
    assert set(after.keys) == set(before.keys) - {pest}


def test_dropping_a_crop_keeps_what_lives_on_another() -> None:
    practice = replace(BOOK, grow=("kale", "cabbage"), watch=("squash-bug",))
    after = watched(with_fewer(practice, watched(practice), CARDS, crops=["kale"]))
    assert set(after.keys) == named("cabbage") | {"squash-bug"}


def test_hosts_of_a_watched_pest_are_the_crops_grown() -> None:
    found = watched(replace(BOOK, grow=("kale", "beet")))
    looper: Card = CARDS["cabbage-looper"]
    assert found.hosts(looper, CARDS) == ("kale",)
