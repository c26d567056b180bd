"""Which drawing shows where to look, how many boxes there are to tick, and what is drawn."""

from __future__ import annotations

import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from gddcast.cards.model import Card, Event, Look
from gddcast.pages.paper import templates
from gddcast.pages.sheet.boxes import PlantBoxes, plant_boxes
from gddcast.pages.sheet.places import ANYWHERE, PLACES, drawing_of, places_named
from gddcast.readers.card_files import load_cards
from gddcast.scouting.windows import ScoutingWindow
from gddcast.words import Status

CARDS = load_cards()


def window(card: Card, event: Event) -> ScoutingWindow:
    return ScoutingWindow(card=card, event=event, status=Status.QUIET, look=card.look_at(event))


def drawn(key: str, event: str) -> str:
    found = CARDS[key].event(event)
    assert found is not None
    return drawing_of(window(CARDS[key], found))


def drawing(place: str) -> str:
    """The drawing of a place in a first row."""
    return templates().get_template(f"places/{place}.svg").render(row={"number": 1})


def test_every_stage_of_every_pest_has_its_drawing() -> None:
    """None falls back on the whole plant, and every drawing is asked for by some card."""
    asked = set()
    for card in CARDS.values():
        for event in card.events:
            place = drawing_of(window(card, event))
            assert place in PLACES
            assert place != ANYWHERE or card.group == "crop", f"{card.key}, {event.key}"
            asked.add(place)
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
    assert drawn(card, event) == place


def test_what_is_said_nearest_to_the_stage_decides() -> None:
    """The stage's picture, its words, the organism's picture, its words, the stage's name."""
    event = Event(key="a", words="ripe fruit")
    card = replace(CARDS["squash-bug"], look=Look(), events=(event,))
    assert drawing_of(window(card, event)) == "fruit"
    card = replace(card, look=Look(where_on_plant="on the roots"))
    assert drawing_of(window(card, event)) == "root"
    card = replace(card, look=Look(where_on_plant="on the roots", picture="flower"))
    assert drawing_of(window(card, event)) == "flower"
    event = replace(event, look=Look(where_on_plant="under boards, then the stem base"))
    assert drawing_of(window(card, event)) == "boards"
    event = replace(event, look=Look(where_on_plant="tips, or the trunk", picture="stem-base"))
    assert drawing_of(window(card, event)) == "trunk"
    nowhere = Event(key="a", words="first seen")
    assert drawing_of(window(replace(card, look=Look()), nowhere)) == ANYWHERE


def test_a_place_is_a_word_of_its_own() -> None:
    """Ears are not in years, a stem is not in a system, an underside is not a leaf's upper side."""
    assert places_named("early in the years, systems of ground") == ("ground",)
    assert places_named("undersides of leaves") == ("leaf-underside", "leaf-top")
    assert places_named(None) == places_named("") == ()


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
    ("words", "few", "boxes"),
    [
        ("all if fewer than 10, else 10 spread over edge and middle", 10, PlantBoxes(10)),
        ("every plant if under 8; otherwise 8 over edge and middle", 99, PlantBoxes(8)),
        ("20 plants along the edges", 10, PlantBoxes(20)),
        ("25 fresh silks", 10, PlantBoxes(13, "a box for 2")),
        ("one low leaf on each of 50 plants", 10, PlantBoxes(10, "a box for 5")),
        ("100 of them", 10, PlantBoxes(20, "a box for 5")),
        ("10 plants at 5 places", 10, PlantBoxes(5, "a box a place")),
        ("main limbs of ten trees", 3, PlantBoxes(10, "a box a tree")),
        ("10 feet of row", 7, PlantBoxes(7)),
        ("the foot of every young tree", 6, PlantBoxes(6)),
        ("all if fewer than 10000, else 10000 spread", 10_000, PlantBoxes(20, "a box for 500")),
    ],
)
def test_boxes_follow_the_words(words: str, few: int, boxes: PlantBoxes) -> None:
    assert plant_boxes(words, few) == boxes


def test_boxes_of_every_card_fit_two_lines() -> None:
    for card in CARDS.values():
        for event in card.events:
            plants = card.look_at(event).plants
            assert 1 <= plant_boxes(plants or "", 10).count <= 20
