"""What the schema of cards says of itself: a card to fill in, and the tables of its fields."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from gddcast.cards.model import PESTS_NEED, Card, Look
from gddcast.toml.schema import Column, columns

_OPENING = """\
# A card of your own. One organism, one file, named for its key: my-{what}.toml is "my-{what}".
# Fill in what your source says, exactly as it is printed, in the unit it is printed in.
# Where it is silent, write "not stated". Never fill a gap from another source.
# Lines with # in front are comments, or keys you may leave out.
# Check it:  gddcast {group}s check my-{what}.toml
"""
#: What is said over a table of a new card.
_ABOVE = {
    "look_alike": "What it is confused with. card is the key of its card, where there is one.",
    "event": "Each thing that happens is an [[event]]. Commands call it by its key.",
    "event.number": (
        "Each published heat sum for it is an [[event.number]]. Several may stand side by side;\n"
        "# exactly one has default = true and says why."
    ),
    "event.days": "Where no heat sum is published, [[event.days]] gives calendar days instead.",
    "cue": "Where no heat sum is published, a cue says what to go by.",
}
#: Tables of a new card in their order; those it may do without stand in comments.
_TABLES = {
    "pest": ("look_alike", "event", "event.number", "cue", "sources"),
    "crop": ("event", "event.number", "event.days", "sources"),
}
_OPTIONAL = ("look_alike", "event.days", "cue")
#: Keys a new card has besides those it cannot do without.
_FILLED = ("for", "default", "reason", *PESTS_NEED)
#: A cue goes by one thing: the others are in the tables of fields.
_ELSEWHERE = (
    "after_sowing_days", "air_above", "of_day", "stand_in", "days_in_row", "earliest", "latest",
    "dates_source", "latitude",
)  # fmt: skip
_LOOK = columns(Look)


def card_template(group: Literal["pest", "crop"]) -> str:
    """Text of a card to fill in, with a comment on every key."""
    what = "beetle" if group == "pest" else "bean"
    lines = [_OPENING.format(what=what, group=group), *_keys(Card, "", group)]
    for name in _TABLES[group]:
        column = _at(name)
        assert column.table is not None
        rows = [f"[[{name}]]" if column.is_list else f"[{name}.my-source]"]
        rows += _keys(column.table, name, group)
        if name in _OPTIONAL:
            rows = [row if row.startswith("# ") else f"# {row}" for row in rows]
        lines += ["", *([f"# {_ABOVE[name]}"] if name in _ABOVE else []), *rows]
    return "\n".join(lines) + "\n"


def _keys(table: type, name: str, group: str) -> Iterator[str]:
    for column in columns(table):
        about, is_look = column.about, column in _LOOK
        example = about.example
        if isinstance(example, tuple):
            example = example[0 if group == "pest" else 1]
        beside = is_look and (name or group == "crop")  # the card's own, of a pest
        if not example or beside or (name == "cue" and column.key in _ELSEWHERE):
            continue
        line = f"{column.key} = {example}"
        if not column.needed and column.key not in _FILLED:
            line = f"# {line}"
        yield f"{line:<40} # {about.hint}" if about.hint else line


def _at(name: str) -> Column:
    """The column of a table by its dotted name."""
    table: type = Card
    for key in name.split("."):
        column = next(each for each in columns(table) if each.key == key)
        table = column.table or table
    return column


def field_tables() -> str:
    """Every table of a card file with its keys, in Markdown."""
    return "\n\n".join(["## The card", _table(Card, with_look=True), *_tables(Card)])


def _tables(table: type) -> Iterator[str]:
    """The tables inside a table, one after another, each with its keys."""
    for column in columns(table):
        if column.table is None:
            continue
        name, _, says = (column.table.__doc__ or "").partition("\n")[0].partition(": ")
        yield f"## {name.replace('``', '`')}\n\n{says[:1].upper()}{says[1:]}"
        yield _table(column.table)
        yield from _tables(column.table)


def _table(table: type, *, with_look: bool = False) -> str:
    rows = []
    for column in columns(table):
        needed = "yes" if column.needed else "no"
        if with_look and column.key in PESTS_NEED:
            needed = "pests"
        if column.about.holds and (with_look or column not in _LOOK):
            rows.append(f"| `{column.key}` | {needed} | {column.about.holds} |")
        elif column == _LOOK[0]:
            keys = ", ".join(f"`{each.key}`" for each in _LOOK)
            rows.append(f"| {keys} | no | where this stage differs from the card |")
    return "| key | needed | what it holds |\n|---|---|---|\n" + "\n".join(rows)
