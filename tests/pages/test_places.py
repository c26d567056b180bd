"""Which drawing shows where to look, how many boxes there are to tick, and what is drawn."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from gddcast.cards.model import Card, Event, Look, Picture
from gddcast.cards.values import PLACES, TRAPS
from gddcast.pages.paper import templates
from gddcast.pages.sheet.boxes import PlantBoxes, plant_boxes
from gddcast.readers.card_files import load_cards

CARDS = load_cards()
_CABBAGE = "cabbage|broccoli|kale|collards|cauliflower"
_SQUASH = "squash|cucumber|melon|cantaloupe|pumpkin"
#: What is drawn: words one of which says the same place, and plants one of which it shows.
SHOWN: dict[Picture, tuple[str, str]] = {
    "ground": ("soil|ground|clods", ""),
    "turf": ("turf", ""),
    "boards": ("boards", ""),
    "root": ("root", "carrot|parsnip|turnip|radish|beet"),
    "fine-roots": ("root", ""),
    "tubers": ("tuber", "potato"),
    "bulb": ("bulb|neck", "onion|garlic"),
    "stem-base": ("stem|crown", ""),
    "fern-base": ("stem", "asparagus"),
    "corn-stalk": ("stalk|stem", "corn"),
    "trunk": ("trunk|limb", "apple|peach|cherry"),
    "grass-edge": ("grass", ""),
    "seedling": ("seedling|cotyledon|young plants", ""),
    "leaf-underside": ("underside", ""),
    "lobed-leaf-underside": ("underside", _SQUASH),
    "bean-leaf-underside": ("underside", "bean"),
    "cabbage-leaf-underside": ("underside", _CABBAGE),
    "leaf-top": ("lea[fv]", ""),
    "potato-leaves": ("lea[fv]", "potato"),
    "corn-leaves": ("lea[fv]", "corn"),
    "onion-leaves": ("lea[fv]", "onion|leek|garlic"),
    "fern": ("fern", "asparagus"),
    "onion-neck": ("neck|inner leaves", "onion|leek"),
    "cabbage-heart": ("heart|bud|growing point", f"{_CABBAGE}|lettuce"),
    "corn-whorl": ("whorl", "corn"),
    "spears": ("spear", "asparagus"),
    "shoot-tip": ("tip|young leaves|upper leaves", ""),
    "flower": ("flower|blossom", ""),
    "pods": ("pod", "bean|pea"),
    "fruit": ("fruit", "tomato|pepper|eggplant"),
    "vine-fruit": ("fruit", _SQUASH),
    "berries": ("fruit|berries", "berry"),
    "grape-cluster": ("cluster", "grape"),
    "tree-fruit": ("fruit", "apple|cherry|plum|peach"),
    "ear": ("ear|silk", "corn"),
    "whole-plant": ("", ""),
    "net": ("net", ""),
    "trap": (r"\btrap", ""),
    "sticky-trap": ("sticky", ""),
}


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


def test_a_drawing_shows_the_place_that_is_said_and_a_plant_the_pest_lives_on() -> None:
    """And a stage with a place of its own says it, in words as in its drawing."""
    for card in CARDS.values():
        plants = ", ".join(card.hosts) if card.group == "pest" else card.name
        for event in card.events:
            look = card.look_at(event)
            words, shown = SHOWN[look.picture or "whole-plant"]
            assert re.search(shown, plants), (card.key, event.key, look.picture, plants)
            if card.group == "pest":
                said = look.where_on_plant
                assert said is not None, (card.key, event.key, look.picture)
                assert re.search(words, said), (card.key, event.key, look.picture, said)


def test_a_stage_looked_for_in_a_trap_asks_for_traps_by_day_or_night() -> None:
    """Not for plants after dark with a torch, as the stages beside it do."""
    for card in CARDS.values():
        for event in card.events:
            look = card.look_at(event)
            is_trap = look.picture in TRAPS
            assert not is_trap or event.dated_by_catch is not None, (card.key, event.key)
            assert is_trap == (look.sample_unit == "trap"), (card.key, event.key)
            if is_trap:
                assert "torch" not in (look.time_of_day or ""), (card.key, event.key)


@pytest.mark.parametrize(
    ("card", "event", "place"),
    [
        # By a reader of the cards' words, without the rule.
        ("squash-bug", "eggs", "lobed-leaf-underside"),  # leaf undersides in the vein forks
        ("squash-bug", "adults", "boards"),  # crown …, under boards laid out overnight
        ("squash-vine-borer", "moths", "stem-base"),  # stem bases and leaf stalks
        ("squash-vine-borer", "pupae", "stem-base"),  # inside stems
        ("imported-cabbageworm", "adults", "flower"),  # butterflies
        ("imported-cabbageworm", "eggs", "cabbage-leaf-underside"),  # undersides of outer leaves
        ("cabbage-maggot", "eggs", "ground"),  # soil surface touching the stem
        ("cabbage-maggot", "pupae", "fine-roots"),
        ("carrot-rust-fly", "adults", "sticky-trap"),
        ("carrot-rust-fly", "egg-hatch", "root"),
        ("colorado-potato-beetle", "eggs", "leaf-underside"),
        ("corn-earworm", "eggs", "ear"),  # fresh silk
        ("corn-rootworms", "adults", "flower"),  # corn silks
        ("codling-moth", "moths", "trap"),  # pheromone trap
        ("codling-moth", "pupae", "trunk"),  # trunk bands, bark cracks
        ("peachtree-borer", "eggs", "trunk"),  # trunk from 30 cm above ground
        ("swede-midge", "eggs", "cabbage-heart"),  # growing point
        ("spotted-wing-drosophila", "adults", "berries"),  # ripening and ripe fruit
        ("serpentine-leafminers", "adults", "leaf-top"),  # older leaves, upper sides
        ("japanese-beetle", "egg-hatch", "turf"),  # roots of turf
        ("european-corn-borer", "moths", "grass-edge"),  # tall grass and weeds beside corn
        ("european-corn-borer", "egg-hatch", "corn-whorl"),
        ("onion-thrips", "adults", "onion-neck"),  # between the inner leaves at the neck
        ("asparagus-beetle", "second-adults", "fern"),
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
        (Look(sample_size=1, sample_unit="trap"), 10, PlantBoxes(1, "a box a trap")),
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
