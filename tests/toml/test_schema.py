"""One schema: what it lets pass becomes a record, what it does not is named, all of it at once."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import dataclass, field
from typing import Annotated, Any, Literal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gddcast.toml import schema
from gddcast.toml.rules import Rule, Wrong, number, one_of, span, whole, words
from gddcast.toml.schema import Doc, Flat, Key, Wording


@dataclass(frozen=True, slots=True)
class Size:
    """What a garden measures; its keys stand in the garden's own table."""

    high: Annotated[float | None, Rule(number(0, 10))] = None
    colour: Literal["red", "blue"] = "red"


@dataclass(frozen=True, slots=True)
class Bed:
    """One of a list of tables."""

    name: Annotated[str, Rule(words, "a bed"), Doc("its name", '"row 1"')]
    rows: Annotated[int, Rule(whole(1, 9), 1)]


@dataclass(frozen=True, slots=True)
class Shed(Bed):
    """One of a table of named tables."""

    key: Annotated[str, Key()]


@dataclass(frozen=True, slots=True)
class Garden:
    """A whole document."""

    owner: Annotated[str, Key()]
    name: Annotated[str, Rule(words)]
    beds: Annotated[tuple[Bed, ...], Key("bed")] = ()
    sheds: dict[str, Shed] = field(default_factory=dict)
    size: Annotated[Size, Flat()] = Size()
    notes: tuple[Annotated[str, Rule(words)], ...] = ()


WORDING = Wording(
    unknown=lambda path: f"an unknown {path[-1]}",
    take_away="Take it away.",
    no_table=lambda path, value: (f"{value!r} at {path}", "a table", "Write a table."),
)
SOUND = {
    "name": "Larkhollow",
    "high": 3,
    "colour": "blue",
    "notes": ["wet"],
    "sheds": {"old": {"name": "old shed", "rows": 1}},
}


def test_a_sound_document_becomes_its_record() -> None:
    """Tables in tables, keys of a flat one beside, what is given beside the document."""
    garden = schema.record(Garden, SOUND, owner="Nobody")
    assert garden == Garden(
        "Nobody", "Larkhollow", (), {"old": Shed("old shed", 1, "old")}, Size(3.0, "blue"), ("wet",)
    )
    assert schema.faults(Garden, SOUND, WORDING) == ([], SOUND)
    assert {column.key: value for column, value in schema.values(garden.size)} == {
        "high": 3.0,
        "colour": "blue",
    }


@pytest.mark.parametrize(
    ("change", "path", "found", "expected", "cure"),
    [
        ({"nam": "x"}, ("nam",), "an unknown nam", "one of name, bed, sheds", "Did you mean name?"),
        ({"zzz": 1}, ("zzz",), "an unknown zzz", "high, colour", "Take it away."),
        ({"owner": "me"}, ("owner",), "an unknown owner", "one of", "Take it away."),
        ({"high": "3"}, ("high",), '"3"', "a plain number", "without quotes"),
        ({"colour": "Blue"}, ("colour",), '"Blue"', '"red" or "blue"', 'mean "blue"?'),
        ({"notes": "wet"}, ("notes",), '"wet"', "a list in [ ]", "[ ]"),
        ({"notes": ["a", 3]}, ("notes", 1), "3", "some words", "quotes"),
        ({"sheds": 3}, ("sheds",), "3 at", "a table", "Write"),
        ({"sheds": {"a": {"rows": 1}}}, ("sheds", "a", "name"), "nothing", "needed", "Add it."),
        ({"bed": [{"name": "a", "rows": 0}]}, ("bed", 0, "rows"), "0", "from 1 to 9", "quotes"),
        ({"bed": [{"name": "a", "rows": 1, "key": "b"}]}, ("bed", 0, "key"), "unknown", "", ""),
    ],
)  # fmt: skip
def test_what_is_not_sound_is_named(
    change: dict[str, Any], path: tuple[str | int, ...], found: str, expected: str, cure: str
) -> None:
    """One slip, one fault, at its place; with its stand-in the rest still makes a record."""
    document = {**SOUND, **change}
    with pytest.raises((Wrong, TypeError, AttributeError), match=r"."):
        schema.record(Garden, document, owner="")
    (fault,), mended = schema.faults(Garden, document, WORDING)
    assert fault.path == path
    assert found in fault.problem
    assert expected in fault.expected
    assert cure in fault.cure
    assert schema.record(Garden, mended, owner="").name == "Larkhollow"


bed = st.fixed_dictionaries(
    {"name": st.sampled_from(["a", "", 3])},
    optional={"rows": st.sampled_from([1, 0, "1", True]), "wide": st.just(1)},
)
documents = st.fixed_dictionaries(
    {},
    optional={
        "name": st.sampled_from(["Larkhollow", " ", 3]),
        "bed": st.lists(bed, max_size=2) | st.just(3),
        "sheds": st.dictionaries(st.sampled_from("ab"), bed, max_size=2) | st.just([1]),
        "high": st.sampled_from([3, 11, "3", True]),
        "colour": st.sampled_from(["red", "green"]),
        "notes": st.lists(st.sampled_from(["wet", 3]), max_size=2) | st.just("wet"),
        "key": st.just("x"),
    },
)


@settings(max_examples=300, deadline=None, derandomize=True)
@given(documents)
def test_a_record_is_made_where_and_only_where_no_fault_is_named(document: dict[str, Any]) -> None:
    """Both walks over the schema, the quick one and pydantic's, let the same pass."""
    try:
        schema.record(Garden, document, owner="")
        made = True
    except (ValueError, TypeError, AttributeError):
        made = False
    found, _ = schema.faults(Garden, document, WORDING)
    assert made is (found == [])
    assert len({fault.path for fault in found}) == len(found)


@pytest.mark.parametrize(
    ("rule", "good", "bad"),
    [
        (words, [(" a ", "a")], ["", 3, None]),
        (one_of("F", "C"), [("F", "F")], ["f", 3, ["F"]]),
        (number(-1, 1), [(1, 1.0), (-0.5, -0.5)], [True, "1", 1.1, float("nan")]),
        (whole(0, 5), [(0, 0), (5, 5)], [True, 6, -1, 1.0, "1"]),
        (span(1, 9), [(3, (3, 3)), ([2, 3], (2, 3))], [[3, 2], [1], [1, 2, 3], [0, 1], "1"]),
    ],
)
def test_rules(rule: Any, good: list[tuple[Any, Any]], bad: list[Any]) -> None:
    for written, used in good:
        assert rule(written) == used
    for written in bad:
        with pytest.raises(Wrong, match=r"."):
            rule(written)


def test_a_sound_file_is_read_without_pydantic() -> None:
    """Which takes longer to import than a book takes to open; a faulty one may wait for it."""
    program = (
        "import sys; from gddcast.book.settings import settings_in, SettingsRefusal\n"
        "settings_in('[place]\\nname = \"x\"\\n'); print('pydantic' in sys.modules)\n"
        "try: settings_in('[place]\\nnam = 3\\n')\n"
        "except SettingsRefusal as refusal: print(len(refusal.faults), 'pydantic' in sys.modules)"
    )
    run = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert run.stdout.splitlines() == ["False", "2 True"]
