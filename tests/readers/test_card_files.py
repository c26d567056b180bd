"""Card files: what is read from them, and what is said of their faults."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest

from gddcast.cards.model import Start
from gddcast.errors import Refusal
from gddcast.readers.card_files import (
    CardRefusal,
    check_card_file,
    faults_between_cards,
    load_card,
    load_cards,
)
from gddcast.text.cards.card_template import card_template

# An invented insect with invented numbers: nothing here was published.
CARD = """\
name = "larkhollow bug"
latin = "Inventus larkhollowi"
hosts = ["squash"]
looks_like = "a grey bug"
where_on_plant = "leaf undersides"
time_of_day = "not stated"

[[event]]
key = "eggs"
words = "first eggs"
[[event.number]]
kind = "calendar"
unit = "F"
lower = 50
upper = "none"
cutoff = "none"
shape = "single sine"
of = "air"
starts_from = "1 March"
goal = 400
found_in = "nowhere"
source = "book"
evidence = "from memory"
default = true
reason = "The only one."

[[event]]
key = "nymphs"
words = "first nymphs"
[[event.number]]
kind = "laboratory"
unit = "C"
lower = 14.3
upper = "not stated"
cutoff = "not stated"
shape = "any"
of = "air"
starts_from = "eggs"
goal = [100, 120.5]
found_in = "nowhere"
source = "book"
evidence = "compiled"
default = true
reason = "The only one."

[[event.days]]
days = [7, 9]
starts_from = "eggs"
source = "common practice, no source"
evidence = "common practice"

[[cue]]
words = "when vines run"
crop_stage = "vining"
source = "common practice, no source"
evidence = "common practice"

[sources.book]
author = "Nobody A"
year = "1999"
title = "A title"
publication = "A book"
"""


@pytest.fixture
def card_file(tmp_path: Path) -> Path:
    file = tmp_path / "larkhollow-bug.toml"
    file.write_text(CARD, "utf-8")
    return file


def refusal_of(file: Path, text: str) -> CardRefusal:
    """What is said of a card with this text."""
    file.write_text(text, "utf-8")
    with pytest.raises(CardRefusal, match=r"Can’t use .*larkhollow-bug\.toml") as caught:
        check_card_file(file)
    return caught.value


def test_a_card_holds_what_its_file_says(card_file: Path) -> None:
    """Numbers as printed, "none" as infinite, "not stated" as None."""
    card = check_card_file(card_file)
    eggs, nymphs = card.events
    assert card.key == "larkhollow-bug"
    assert card.hosts == ("squash",)
    assert eggs.default is not None
    assert eggs.default.starts_from == Start(date=(3, 1))
    assert (eggs.default.lower, eggs.default.upper, eggs.default.goal) == (50, math.inf, (400, 400))
    assert eggs.default.not_stated == ()
    assert nymphs.default is not None
    assert nymphs.default.starts_from == Start(event="eggs")
    assert nymphs.default.upper is None
    assert nymphs.default.goal == (100, 120.5)
    assert nymphs.default.not_stated == ("upper",)
    assert nymphs.days[0].days == (7, 9)
    assert [cue.crop_stage for cue in card.cues] == ["vining"]
    assert card.citation("book") == "Nobody A (1999). A title. A book."


# What is changed in the card, then: place, found, expected, cure of the one fault it makes.
FAULTS = {
    "a typo in a key": (
        ("hosts =", "host ="),
        [("hosts", "nothing", "this key", "Add"), ("host", "unknown", "hosts", "mean hosts?")],
    ),
    "a latitude of no place": (
        ("lower = 50", "latitude = 9999999999\nlower = 50"),
        [('event "eggs", number 1, latitude', "9999999999", "from -90 to 90", "two swapped")],
    ),
    "a number in quotes": (
        ("lower = 50", 'lower = "50"'),
        [('event "eggs", number 1, lower', '"50"', "a plain number", "without quotes")],
    ),
    "a threshold with its unit": (
        ("lower = 50", 'lower = "50 F"'),
        [('event "eggs", number 1, lower', '"50 F"', "a plain number", "its own key")],
    ),
    "°F taken for °C": (
        ('unit = "F"', 'unit = "C"'),
        [('event "eggs", number 1, lower', "50 °C", "−5 and 25 °C", "unit says")],
    ),
    "thresholds swapped": (
        ('upper = "none"', "upper = 48"),
        [('event "eggs", number 1, upper', "48 °F with lower 50", "above the lower", "source")],
    ),
    "an upper threshold that no air reaches": (
        ('upper = "none"', "upper = 141"),
        [('event "eggs", number 1, upper', "141 °F", "no more than 140 °F", "what the source")],
    ),
    "an unknown day shape": (
        ('shape = "single sine"', 'shape = "simple sine"'),
        [('event "eggs", number 1, shape', '"simple sine"', '"single sine"', "mean")],
    ),
    "any shape in the field": (
        ('shape = "single sine"', 'shape = "any"'),
        [('event "eggs", number 1, shape', '"any"', "the source used", "laboratory")],
    ),
    "a cut-off without threshold": (
        ('cutoff = "none"', 'cutoff = "vertical"'),
        [('event "eggs", number 1, cutoff', '"vertical" without', "none", "nothing to cut off")],
    ),
    "a date that is none": (
        ('"1 March"', '"30 February"'),
        [('event "eggs", number 1, starts_from', '"30 February"', '"1 January"', "day first")],
    ),
    "a date for a biofix": (
        ('kind = "calendar"', 'kind = "biofix"'),
        [('event "eggs", number 1, starts_from', "a date for a biofix", "a find", "never mixed")],
    ),
    "a range upside down": (
        ("[100, 120.5]", "[120.5, 100]"),
        [('event "nymphs", number 1, goal', "[120.5, 100]", "low end first", "Check")],
    ),
    "a goal of nothing": (
        ("goal = 400", "goal = true"),
        [('event "eggs", number 1, goal', "true", "a number", "245")],
    ),
    "a negative goal": (
        ("goal = 400", "goal = -400"),
        [('event "eggs", number 1, goal', "-400", "zero or more", "Check")],
    ),
    "no default": (
        ('evidence = "from memory"\ndefault = true', 'evidence = "from memory"'),
        [('event "eggs"', "no default", "exactly one", "Choose")],
    ),
    "a default without reason": (
        ('reason = "The only one."\n\n[[event]]', "[[event]]"),
        [('event "eggs", number 1, reason', "without its reason", "why", "Add")],
    ),
    "a default without goal": (
        ("goal = 400", 'goal = "not stated"'),
        [('event "eggs", number 1, default', "without a goal", "with a goal", "another")],
    ),
    "an unknown start": (
        ('starts_from = "eggs"\ngoal', 'starts_from = "egg"\ngoal'),
        [('event "nymphs", number 1, starts_from', '"egg"', "eggs, nymphs", 'mean "eggs"?')],
    ),
    "a start from itself": (
        ('starts_from = "eggs"\ngoal', 'starts_from = "nymphs"\ngoal'),
        [('event "nymphs", number 1, starts_from', "the event itself", "earlier", "Name")],
    ),
    "an event twice": (
        ('key = "nymphs"', 'key = "eggs"'),
        [
            ('event "eggs", key', "2 times", "each key once", "of its own"),
            ('event "eggs", key', "2 times", "each key once", "of its own"),
            ('event "eggs", number 1, starts_from', "itself", "earlier", "Name"),
            ('event "eggs", days 1, starts_from', "itself", "earlier", "Name"),
        ],
    ),
    "a key with blanks": (
        ('key = "nymphs"', 'key = "Small nymphs"'),
        [('event "Small nymphs", key', '"Small nymphs"', "hyphens", '"small-nymphs"')],
    ),
    "a source not listed": (
        ('source = "book"\nevidence = "compiled"', 'source = "bok"\nevidence = "compiled"'),
        [('event "nymphs", number 1, source', '"bok"', "one of book", 'mean "book"?')],
    ),
    "a source nobody uses": (
        (
            "[sources.book]",
            '[sources.other]\nauthor="B"\nyear="1"\ntitle="t"\npublication="p"\n[sources.book]',
        ),
        [("sources, other", "nothing uses", "in use", "Take it away")],
    ),
    "seen without a source": (
        ('source = "common practice, no source"\nevidence = "common practice"\n\n[[cue',
         'source = "common practice, no source"\nevidence = "seen"\n\n[[cue'),
        [('event "nymphs", days 1, evidence', '"seen" without a source', "common", "Name")],
    ),
    "a year that is no text": (
        ('year = "1999"', "year = 1999"),
        [("sources, book, year", "1999", "text in quotes", "quotes")],
    ),
    "an empty text": (
        ('title = "A title"', 'title = " "'),
        [("sources, book, title", '" "', "some words", "not stated")],
    ),
    "an unknown kind of evidence": (
        ('"from memory"', '"memory"'),
        [('event "eggs", number 1, evidence', '"memory"', '"from memory"', "mean")],
    ),
    "a default in words": (
        ('default = true\nreason = "The only one."\n\n[[event]]',
         'default = "yes"\nreason = "The only one."\n\n[[event]]'),
        [('event "eggs", number 1, default', '"yes"', "true or false", "README")],
    ),
    "a default on soil": (
        ('of = "air"\nstarts_from = "1 March"', 'of = "soil 10 cm"\nstarts_from = "1 March"'),
        [],
    ),
    "a migrant dated by heat": (
        ('latin =', 'comes_from_elsewhere = "Flies in."\nlatin ='),
        [('event "eggs", number 1, default', "comes from elsewhere", "a find", "migrants")],
    ),
    "a goal of 400 digits": (
        ("goal = ", f"goal = {'9' * 400} # "),
        [('event "eggs", number 1, goal', "9999", "a number, or [low, high]", "Write it like")],
    ),
    "a stage of four million days": (
        ("days = ", "days = 4_000_000 # "),
        [('event "nymphs", days 1, days', "4000000", "no more than 36,525 days", "against the")],
    ),
    "a cue four million days after sowing": (
        ('crop_stage = "vining"', "after_sowing_days = 4_000_000"),
        [("cue 1, after_sowing_days", "4000000", "36,525", "")],
    ),
    "two cues in one": (
        ('crop_stage = "vining"', 'crop_stage = "vining"\nafter_sowing_days = 22'),
        [("cue 1", "several cues", "one of", "one [[cue]]")],
    ),
    "a cue without unit": (
        ('crop_stage = "vining"', "air_above = 55"),
        [("cue 1, air_above", "without its unit", '"F" or "C"', "Add")],
    ),
    "a temperature of the day without a temperature": (
        ('crop_stage = "vining"', 'crop_stage = "vining"\nof_day = "mean"'),
        [("cue 1, of_day", '"mean" of no temperature', "a temperature", "Add  air_above")],
    ),
    "an unknown temperature of the day": (
        ('crop_stage = "vining"', 'air_above = 55\nunit = "F"\nof_day = "noon"'),
        [("cue 1, of_day", "noon", '"maximum", "minimum", "mean"', "Where the source is silent")],
    ),
    "events held to a day nobody defined": (
        (
            "[sources.book]",
            ('[[day_length]]\nwords = "they rest"\nhours = 15.8\nevents = ["nymphs"]\n'
            'definition = "not stated"\nfound_in = "nowhere"\nsource = "book"\n'
            'evidence = "from memory"\n[sources.book]'),
        ),
        [("day_length 1, events", "a day nobody defined", "none", "Take events away")],
    ),
    "an emergence curve of another family": (
        (
            "[[event.days]]",
            (
                '[event.number.emergence]\nfamily = "erlang"\nsource = "book"\n'
                "parameters = { mean = 100, sd = 5 }\n[[event.days]]"
            ),
        ),
        [
            (
                'event "nymphs", number 1, emergence, parameters',
                "mean 100, sd 5",
                "mean and k",
                "Name the parameters",
            )
        ],
    ),
    "a sample without its number": (
        ("hosts =", 'sample_unit = "tree"\nhosts ='),
        [("sample_unit", '"tree" of no number', "how many", "sample_size")],
    ),
    "a sample of none": (
        ("hosts =", "sample_size = 0\nhosts ="),
        [("sample_size", "0", "a whole number from 1", "without quotes")],
    ),
    "a place nobody drew": (
        ("hosts =", 'picture = "trunks"\nhosts ='),
        [("picture", '"trunks"', '"leaf-underside"', 'mean "trunk"?')],
    ),
    "an event for nothing known": (
        ('words = "first eggs"', 'words = "first eggs"\nfor = "lay"'),
        [('event "eggs", for', '"lay"', '"laying", "hatch"', 'mean "laying"?')],
    ),
    "a look-alike not there": (
        ("[[cue]]", '[[look_alike]]\nname = "x"\ntell = "y"\ncard = "squash-bgu"\n[[cue]]'),
        [("look_alike 1, card", '"squash-bgu"', "is there", 'mean "squash-bug"?')],
    ),
}  # fmt: skip


@pytest.mark.parametrize(("change", "faults"), FAULTS.values(), ids=FAULTS.keys())
def test_fault(
    card_file: Path, change: tuple[str, str], faults: list[tuple[str, str, str, str]]
) -> None:
    """Each slip is named alone, where it is, with what was found, what is wanted and the cure."""
    assert change[0] in CARD
    text = CARD.replace(*change, 1)
    if not faults:
        card_file.write_text(text, "utf-8")
        assert check_card_file(card_file).events
        return
    refusal = refusal_of(card_file, text)
    assert len(refusal.faults) == len(faults), refusal
    for fault, (place, found, expected, cure) in zip(refusal.faults, faults, strict=True):
        assert fault.place == place
        assert found in fault.problem
        assert expected in fault.expected
        assert cure in fault.cure
        assert fault.file == str(card_file)


def test_frost_is_kept_in_celsius_with_its_source(card_file: Path) -> None:
    """Water freezes at 32 °F: a temperature, so it loses its 32."""
    frost = 'frost_kills = { at = 32, unit = "F", source = "book", evidence = "seen" }\n'
    card_file.write_text(frost + CARD, "utf-8")
    card = check_card_file(card_file)
    assert card.frost_kills is not None
    assert card.frost_kills.celsius == 0
    assert (card.frost_kills.source, card.frost_kills.evidence) == ("book", "seen")


def test_every_fault_is_named_at_once_in_the_order_of_its_lines(card_file: Path) -> None:
    """Slips in values and slips between keys come in one refusal, each with its own line."""
    text = (
        CARD.replace("hosts =", "host =")
        .replace("goal = 400", "goal = []")
        .replace("lower = 14.3", "lower = 64.3")
        .replace('starts_from = "eggs"\nsource', 'starts_from = "larvae"\nsource')
    )
    refusal = refusal_of(card_file, text)
    lines = text.splitlines()
    said = [(fault.place, lines[fault.line - 1]) for fault in refusal.faults]
    assert said == [
        ("hosts", 'name = "larkhollow bug"'),
        ("host", 'host = ["squash"]'),
        ('event "eggs", number 1, goal', "goal = []"),
        ('event "nymphs", number 1, lower', "lower = 64.3"),
        ('event "nymphs", days 1, starts_from', 'starts_from = "larvae"'),
    ]
    assert "it has 5 faults" in str(refusal)
    assert all(f"line {fault.line}" in str(refusal) for fault in refusal.faults)


def test_a_default_must_be_counted_on_air_where_an_air_number_is_there(card_file: Path) -> None:
    """Only air temperatures are at hand."""
    eggs = CARD[CARD.index("[[event.number]]") : CARD.index('[[event]]\nkey = "nymphs"')]
    soil = eggs.replace('"air"', '"soil 10 cm"')
    air = eggs.replace('default = true\nreason = "The only one."\n', "")
    refusal = refusal_of(card_file, CARD.replace(eggs, soil + air))
    assert [fault.place for fault in refusal.faults] == ['event "eggs", number 1, default']
    assert "soil 10 cm" in refusal.faults[0].problem


def test_goals_counted_alike_must_rise(card_file: Path) -> None:
    """A later event of one source and method cannot need less heat."""
    eggs = CARD[CARD.index("[[event]]") : CARD.index('[[event]]\nkey = "nymphs"')]
    peak = eggs.replace('"eggs"', '"peak"').replace("goal = 400", "goal = 390")
    refusal = refusal_of(card_file, CARD.replace(eggs, eggs + peak))
    assert [fault.problem for fault in refusal.faults] == ["390 after 400"]
    other_place = peak.replace('"nowhere"', '"elsewhere"')
    card_file.write_text(CARD.replace(eggs, eggs + other_place), "utf-8")
    assert len(check_card_file(card_file).events) == 3


def test_events_that_wait_for_each_other_are_refused(card_file: Path) -> None:
    text = CARD.replace('"1 March"', '"nymphs"').replace('kind = "calendar"', 'kind = "biofix"')
    refusal = refusal_of(card_file, text)
    assert [fault.problem for fault in refusal.faults] == [
        "eggs ← nymphs ← eggs",
        "nymphs ← eggs ← nymphs",
    ]


@pytest.mark.parametrize(
    ("text", "line", "found"),
    [
        ('name = "x"\nlatin = “y”\n', 2, "“y”"),
        ('name = "x"\nname = "y"\n', 2, "name"),
        ('name = "x"\nhosts = ["a", \n', 2, "hosts"),
        ('name = "x"\nhosts = ' + "[" * 5_000 + '\nalso = ["a"]\n', 2, "hosts = [["),
        ("name = " + "9" * 5_000 + '\nlatin = "x"\n', 1, "name = 99"),
    ],
)
def test_text_that_is_no_toml(card_file: Path, text: str, line: int, found: str) -> None:
    """The line that cannot be read is shown, with what TOML expects."""
    (fault,) = refusal_of(card_file, text).faults
    assert fault.line >= line
    assert found in fault.problem or fault.problem == "the end of the text"
    assert "TOML" in fault.expected


def test_what_a_text_editor_leaves_in_a_file_is_no_fault(card_file: Path) -> None:
    """A byte-order mark and carriage returns, as editors on Windows write them."""
    card_file.write_bytes(b"\xef\xbb\xbf" + CARD.replace("\n", "\r\n").encode())
    assert check_card_file(card_file).name == "larkhollow bug"


def test_a_file_that_is_no_text_is_refused(card_file: Path) -> None:
    card_file.write_bytes(b"\xff\xfe\x00n")
    with pytest.raises(Refusal, match=r"it is not UTF-8 text"):
        check_card_file(card_file)
    with pytest.raises(Refusal, match=r"no such file"):
        check_card_file(card_file.with_name("nothing.toml"))


def test_own_cards_come_before_packaged_ones(tmp_path: Path) -> None:
    """A card of one's own takes the place of the packaged one, and says so."""
    (tmp_path / "larkhollow-bug.toml").write_text(CARD, "utf-8")
    (tmp_path / "squash-bug.toml").write_text(CARD, "utf-8")
    cards = load_cards(cards_folder=tmp_path)
    added, replaced = cards["larkhollow-bug"], cards["squash-bug"]
    assert not added.replaces_packaged
    assert added.own_file == str(tmp_path / "larkhollow-bug.toml")
    assert replaced.replaces_packaged
    assert replaced.latin == "Inventus larkhollowi"
    assert load_card("squash-bug", cards_folder=tmp_path) == replaced
    assert load_card("squash-bug").own_file is None


def test_crops_of_ones_own_stand_in_the_folder_of_crops(tmp_path: Path) -> None:
    (tmp_path / "crops").mkdir()
    (tmp_path / "crops" / "my-bean.toml").write_text(card_template("crop"), "utf-8")
    assert load_cards(cards_folder=tmp_path)["my-bean"].group == "crop"


def test_a_folder_that_is_not_there_is_refused(tmp_path: Path) -> None:
    with pytest.raises(Refusal, match=r"there is no such folder"):
        load_cards(cards_folder=tmp_path / "nowhere")


def test_faults_of_several_files_are_listed_by_file(tmp_path: Path) -> None:
    for name in ("a-bug", "b-bug"):
        (tmp_path / f"{name}.toml").write_text(CARD.replace("lower = 50", "lower = 5"), "utf-8")
    with pytest.raises(CardRefusal, match=r"2 card files: they have 2 faults") as caught:
        load_cards(cards_folder=tmp_path)
    assert [Path(fault.file).stem for fault in caught.value.faults] == ["a-bug", "b-bug"]


def test_a_card_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(Refusal, match=r"Did you mean squash-bug\?"):
        load_card("squash-bugs")


@pytest.mark.parametrize("group", ["pest", "crop"])
def test_the_card_to_fill_in_has_no_fault(tmp_path: Path, group: str) -> None:
    """As it comes, and with every line that is commented out put to work."""
    file = tmp_path / "my-card.toml"
    text = card_template(group)  # type: ignore[arg-type]
    file.write_text(text, "utf-8")
    assert check_card_file(file, group).events  # type: ignore[arg-type]
    # A migrant may not be dated from 1 January, so that one line stays a comment.
    keys = r"^# (?!comes_from_elsewhere)(?=\[\[|[a-z_]+ = )"
    file.write_text(re.sub(keys, "", text, flags=re.MULTILINE), "utf-8")
    assert check_card_file(file, group).events  # type: ignore[arg-type]


def test_an_event_that_does_not_say_what_it_is_for(card_file: Path) -> None:
    """Cards of before there was `for` still open: a pest's start, a crop's own stage."""
    card_file.write_text(CARD, "utf-8")
    assert {event.purpose for event in check_card_file(card_file).events} == {"start"}
    assert {event.purpose for event in check_card_file(card_file, "crop").events} == {"crop stage"}
    card_file.write_text(
        CARD.replace('words = "first eggs"', 'words = "eggs"\nfor = "end"'), "utf-8"
    )
    for group in ("pest", "crop"):
        first = check_card_file(card_file, group).events[0]  # type: ignore[arg-type]
        assert (first.purpose, first.opens_looks) == ("end", False)


def test_names_used_twice_are_found(tmp_path: Path) -> None:
    (tmp_path / "pests").mkdir()
    for name in ("a-bug", "b-bug"):
        (tmp_path / "pests" / f"{name}.toml").write_text(CARD, "utf-8")
    faults = faults_between_cards(tmp_path)
    assert [(fault.place, fault.problem) for fault in faults] == [
        ("name", '"larkhollow bug", also in the card a-bug'),
        ("latin", '"Inventus larkhollowi", also in the card a-bug'),
    ]
