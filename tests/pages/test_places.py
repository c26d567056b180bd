"""Which drawing shows where to look, how many boxes there are to tick, and what is drawn."""

from __future__ import annotations

import re
from typing import get_args
from xml.etree import ElementTree

import pytest

from gddcast.cards.model import Card, Event, Look, Picture
from gddcast.pages.paper import templates
from gddcast.pages.sheet.boxes import PlantBoxes, plant_boxes
from gddcast.readers.card_files import load_cards

CARDS = load_cards()
PLACES: tuple[Picture, ...] = get_args(Picture)


def drawing(place: str) -> str:
    """The drawing of a place in a first row."""
    return templates().get_template(f"places/{place}.svg").render(row={"number": 1})


def test_every_stage_of_every_pest_has_its_drawing() -> None:
    """None falls back on the whole plant, and every other drawing is asked for by some card."""
    asked = set()
    for card in CARDS.values():
        for event in card.events:
            place = card.look_at(event).picture
            assert place is not None or card.group == "crop", f"{card.key}, {event.key}"
            asked.add(place or "whole-plant")
    assert asked == set(PLACES)


@pytest.mark.parametrize(
    ("card", "event", "place"),
    [
        # By a reader of the cards' words, without the rule.
        ("squash-bug", "eggs", "leaf-underside"),  # leaf undersides in the vein forks
        ("squash-bug", "adults", "boards"),  # crown …, under boards laid out overnight
        ("squash-vine-borer", "moths", "stem-base"),  # stem bases and leaf stalks
        ("squash-vine-borer", "pupae", "stem-base"),  # inside stems
        ("imported-cabbageworm", "adults", "flower"),  # butterflies
        ("imported-cabbageworm", "eggs", "leaf-underside"),  # undersides of outer leaves
        ("cabbage-maggot", "eggs", "ground"),  # soil surface touching the stem
        ("cabbage-maggot", "pupae", "root"),
        ("carrot-rust-fly", "adults", "root"),
        ("colorado-potato-beetle", "eggs", "leaf-underside"),
        ("corn-earworm", "eggs", "ear"),  # fresh silk
        ("corn-rootworms", "adults", "ear"),  # corn silks
        ("codling-moth", "moths", "trap"),  # pheromone trap
        ("codling-moth", "pupae", "trunk"),  # trunk bands, bark cracks
        ("peachtree-borer", "eggs", "trunk"),  # trunk from 30 cm above ground
        ("swede-midge", "eggs", "shoot-tip"),  # growing point
        ("spotted-wing-drosophila", "adults", "fruit"),  # ripening and ripe fruit
        ("serpentine-leafminers", "adults", "leaf-top"),  # older leaves, upper sides
        ("japanese-beetle", "egg-hatch", "root"),  # roots of turf
        ("sweet-corn", "up", "ground"),
        ("sweet-corn", "first-silk", "ear"),
        ("summer-squash", "first-flower", "flower"),
    ],
)
def test_the_drawing_is_the_place_a_reader_would_go_to(card: str, event: str, place: str) -> None:
    found = CARDS[card].event(event)
    assert found is not None
    assert CARDS[card].look_at(found).picture == place


def test_a_stage_that_says_nothing_is_looked_for_where_its_card_says() -> None:
    """Its own picture and sample come first; the words of a sample and its number stay together."""
    eggs, other = Event("eggs", "eggs"), Event("adults", "adults", look=Look(plants="every plant"))
    own = Look("grey", "roots", plants="10 plants at 5 places", sample_size=5, sample_unit="place",
               picture="root")  # fmt: skip
    card = Card("bug", "bug", "Inventus", "pest", own, (eggs, other), {})
    assert card.look_at(eggs) == own
    look = card.look_at(other)
    assert (look.picture, look.plants, look.sample_size) == ("root", "every plant", None)


@pytest.mark.parametrize("place", PLACES)
def test_a_drawing_says_itself_and_stays_inside_its_frame(place: str) -> None:
    root = ElementTree.fromstring(drawing(place))
    assert root.get("role") == "img"
    assert root.get("viewBox") == "0 0 100 100"
    assert root[0].text == "Row 1"
    assert (root[1].text or "").startswith("Where to look, shaded: ")
    paths = [each for each in root.iter() if each.tag.endswith("path")]
    assert any(each.get("fill") == "#8f8f8f" for each in paths)  # the place to look
    assert {each.get("fill") for each in paths} <= {"none", "#ffffff", "#8f8f8f"}
    assert {each.get("stroke") for each in paths} <= {None, "#000000"}
    for each in paths:
        for x, y in re.findall(r"[MLC ](-?[\d.]+) (-?[\d.]+)", each.get("d", "")):
            assert 0 <= float(x) <= 100
            assert 0 <= float(y) <= 100


def test_no_two_drawings_are_alike() -> None:
    assert len({drawing(place) for place in PLACES}) == len(PLACES)


def test_the_grey_is_dark_enough_for_a_copying_machine() -> None:
    """At least 40 % ink."""
    assert 1 - 0x8F / 255 >= 0.4


@pytest.mark.parametrize(
    ("look", "few", "boxes"),
    [
        (Look(), 10, PlantBoxes(10)),
        (Look(plants="every plant if under 8; otherwise 8", sample_size=8), 99, PlantBoxes(8)),
        (Look(sample_size=20), 10, PlantBoxes(20)),
        (Look(sample_size=25), 10, PlantBoxes(13, "a box for 2")),
        (Look(sample_size=50), 10, PlantBoxes(10, "a box for 5")),
        (Look(sample_size=100), 10, PlantBoxes(20, "a box for 5")),
        (Look(sample_size=5, sample_unit="place"), 10, PlantBoxes(5, "a box a place")),
        (Look(sample_size=10, sample_unit="tree"), 3, PlantBoxes(10, "a box a tree")),
        (Look(), 10_000, PlantBoxes(20, "a box for 500")),
    ],
)
def test_boxes_follow_the_sample(look: Look, few: int, boxes: PlantBoxes) -> None:
    assert plant_boxes(look, few) == boxes


def test_a_sample_has_the_number_its_words_have() -> None:
    """The words people read and the boxes they tick ask for the same."""
    for card in CARDS.values():
        for event in card.events:
            look = card.look_at(event)
            assert 1 <= plant_boxes(look, 10).count <= 20
            if look.sample_size is not None:
                number = str(look.sample_size).replace("10", "10|ten")
                assert look.plants is not None
                assert re.search(rf"\b({number})\b", look.plants), (card.key, event.key)
                assert look.sample_unit == "plant" or look.sample_unit in look.plants
