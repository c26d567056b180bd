"""A TOML document against its schema, a frozen dataclass: the record it makes, or every fault.

The fields of the dataclass say all there is to say. A type marked with a `Rule` is one value; a
dataclass, a tuple or a dict of them is a table, a list of tables or a table of named tables.
A sound document becomes its record at once. Only for one that is not does pydantic walk it, by a
model made from the same fields, and collect everything that is wrong.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from copy import deepcopy
from dataclasses import MISSING, dataclass, fields, is_dataclass
from functools import cache
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from gddcast.toml.faults import Fault
from gddcast.toml.lines import Path
from gddcast.toml.rules import Rule, Wrong, near, one_of, shown


@dataclass(frozen=True, slots=True)
class Key:
    """Mark of a field that has another name in the file: ``event`` for a tuple of ``events``.

    Without a name it never stands in the file; it is given beside the document.
    """

    name: str | None = None


@dataclass(frozen=True, slots=True)
class Flat:
    """Mark of a field whose own keys stand in the table round it."""


@dataclass(frozen=True, slots=True)
class Doc:
    """Mark that says what a field holds, for pages about the file and for new files.

    Parameters
    ----------
    holds : str
        For a reader, in Markdown.
    example : str or tuple of str
        As a new file has it, in TOML; one a kind of file where they differ.
    hint : str
        The comment beside the example.
    to_add : tuple of str
        What is expected, and the cure, where a needed key is not there.
    """

    holds: str = ""
    example: str | tuple[str, ...] = ""
    hint: str = ""
    to_add: tuple[str, str] | None = None


@dataclass(frozen=True, slots=True)
class Column:
    """One key of a table, as its dataclass has it."""

    attribute: str
    key: str
    hint: Any
    needed: bool
    about: Doc
    is_flat: bool = False  # the keys of its dataclass stand in the table round it

    @property
    def table(self) -> type | None:
        """The dataclass of the table, or of each table, that stands under this key."""
        return _dataclass_in(self.hint)

    @property
    def is_list(self) -> bool:
        """Whether it may stand there several times."""
        return get_origin(_parts(self.hint)[0]) is tuple


@dataclass(frozen=True, slots=True)
class Wording:
    """What one kind of file says of keys it does not know and of values that are no tables."""

    unknown: Callable[[Path], str]
    take_away: str
    no_table: Callable[[Path, Any], tuple[str, str, str]]
    no_list: tuple[str, str] = ("a list in [ ]", "Put it in [ ].")
    to_add: tuple[str, str] = ("this key, which is needed", "Add it.")


def columns(table: type) -> tuple[Column, ...]:
    """Every key that may stand in a table, in the order of its dataclass."""
    return tuple(
        column
        for each in _fields(table)
        for column in (columns(_plain(each.hint)) if each.is_flat else [each])
    )


def values(record: Any) -> Iterator[tuple[Column, Any]]:
    """Every key of a table and its value as it would be written; None where nothing is set."""
    table: type = type(record)
    for column in _fields(table):
        value = getattr(record, column.attribute)
        if column.is_flat:
            yield from values(value)
        else:
            rule = _rule(*_parts(column.hint))
            yield column, rule.write(value) if rule and value is not None else value


def record(table: type, document: Mapping[str, Any], **given: Any) -> Any:
    """The record of a sound document.

    Parameters
    ----------
    table : type
        Its dataclass.
    document : mapping
        As parsed.
    **given
        Fields that never stand in the file.

    Raises
    ------
    Wrong, TypeError, AttributeError
        At the first thing that is not sound; `faults` then says what is wrong.
    """
    return _maker(table)(document, given)


def faults(
    table: type, document: dict[str, Any], wording: Wording, needed: Collection[str] = ()
) -> tuple[list[Fault], dict[str, Any]]:
    """Every fault of the single keys and values, and the document with stand-ins for them.

    Parameters
    ----------
    table : type
        The dataclass of the whole document.
    document : dict
    wording : Wording
    needed : collection of str
        Keys of the document that must stand there besides those the dataclass asks for.

    Returns
    -------
    list of Fault, dict
        What is wrong *between* keys is looked for in the second, to be said in the same breath.
        It must not be used for anything else.
    """
    from pydantic import ValidationError

    try:
        _model(table, tuple(needed)).model_validate(document)
    except ValidationError as error:
        found = error.errors(include_url=False)
        return [_in_words(table, one, wording) for one in found], _mended(table, document, found)
    return [], document


@cache
def _fields(table: type) -> tuple[Column, ...]:
    hints = get_type_hints(table, include_extras=True)
    columns = []
    for each in fields(table):
        _, marks = _parts(hints[each.name])
        key = next((mark for mark in marks if isinstance(mark, Key)), Key(each.name))
        about = next((mark for mark in marks if isinstance(mark, Doc)), Doc())
        needed = each.default is MISSING and each.default_factory is MISSING
        flat = any(isinstance(mark, Flat) for mark in marks)
        if key.name is not None:
            columns.append(Column(each.name, key.name, hints[each.name], needed, about, flat))
    return tuple(columns)


@cache
def _maker(table: type) -> Callable[[Mapping[str, Any], dict[str, Any]], Any]:
    inside = [
        (each.attribute, _maker(_plain(each.hint)), {one.key for one in columns(_plain(each.hint))})
        for each in _fields(table) if each.is_flat
    ]  # fmt: skip
    plain = {each.key: (each.attribute, _reader(each.hint))
             for each in _fields(table) if not each.is_flat}  # fmt: skip

    def make(document: Mapping[str, Any], given: dict[str, Any]) -> Any:
        made = dict(given)
        rest: dict[str, Any] = {}
        for key, value in document.items():
            if key in plain:
                attribute, read = plain[key]
                made[attribute] = read(value)
            else:
                rest[key] = value
        for attribute, of, keys in inside:
            made[attribute] = of({key: rest.pop(key) for key in keys & rest.keys()}, {})
        if rest:
            raise Wrong("known keys", f"Take away {', '.join(rest)}.")
        return table(**made)

    return make


def _reader(hint: Any) -> Callable[[Any], Any]:
    """How a value, a table or a list of either is read."""
    bare, marks = _parts(hint)
    if rule := _rule(bare, marks):
        return rule.read
    inner = get_args(bare)
    if get_origin(bare) is tuple:
        each = _reader(inner[0])
        return lambda value: tuple([each(one) for one in _sure(value, list)])
    if get_origin(bare) is dict:
        make = _maker(inner[1])
        return lambda value: {key: make(one, {"key": key}) for key, one in value.items()}
    make = _maker(bare)
    return lambda value: make(value, {})


def _sure(value: Any, kind: type) -> Any:
    if not isinstance(value, kind):
        raise Wrong(f"a {kind.__name__}", "Write one.")
    return value


@cache
def _model(table: type, needed: tuple[str, ...] = ()) -> Any:
    """The pydantic model of a table."""
    from pydantic import ConfigDict, create_model

    definitions: dict[str, Any] = {
        each.key: (_annotation(each.hint), ... if each.needed or each.key in needed else None)
        for each in columns(table)
    }
    config = ConfigDict(extra="forbid", strict=True, protected_namespaces=())
    return create_model(table.__name__, __config__=config, **definitions)


def _annotation(hint: Any) -> Any:
    bare, marks = _parts(hint)
    if rule := _rule(bare, marks):
        return Annotated[Any, rule]
    inner = get_args(bare)
    if get_origin(bare) is tuple:
        return list[_annotation(inner[0])]  # type: ignore[misc]
    if get_origin(bare) is dict:
        return dict[str, _model(inner[1])]  # type: ignore[misc]
    return _model(bare)


def _parts(hint: Any) -> tuple[Any, tuple[Any, ...]]:
    """A type without its marks and without None, and the marks."""
    marks: tuple[Any, ...] = ()
    while True:
        if get_origin(hint) is Annotated:
            hint, marks = get_args(hint)[0], (*marks, *get_args(hint)[1:])
        elif get_origin(hint) in (Union, UnionType):
            hint = next(each for each in get_args(hint) if each is not NoneType)
        else:
            return hint, marks


def _plain(hint: Any) -> Any:
    return _parts(hint)[0]


def _rule(bare: Any, marks: Iterable[Any]) -> Rule | None:
    rule = next((mark for mark in marks if isinstance(mark, Rule)), None)
    if rule is None and get_origin(bare) is Literal:
        return Rule(one_of(*get_args(bare)), get_args(bare)[0])
    return rule


def _dataclass_in(hint: Any) -> type | None:
    bare, marks = _parts(hint)
    if _rule(bare, marks):
        return None
    if is_dataclass(bare):
        return bare if isinstance(bare, type) else None
    return next(filter(None, map(_dataclass_in, get_args(bare))), None)


def _in_words(table: type, error: Any, wording: Wording) -> Fault:
    """One of pydantic's faults with found, expected and cure."""
    path, kind, value = tuple(error["loc"]), error["type"], error["input"]
    if kind == "missing":
        column = _column(table, path)
        return Fault(path, "nothing", *((column and column.about.to_add) or wording.to_add))
    if kind == "extra_forbidden":
        known = [column.key for column in columns(_table_at(table, path[:-1]))]
        guess = near(str(path[-1]), known)
        cure = f"Did you mean {guess}?" if guess else wording.take_away
        return Fault(path, wording.unknown(path), f"one of {', '.join(known)}", cure)
    if kind == "value_error":
        wrong: Wrong = error["ctx"]["error"]
        return Fault(path, shown(value), wrong.expected, wrong.cure)
    if kind == "list_type":
        return Fault(path, shown(value), *wording.no_list)
    return Fault(path, *wording.no_table(path, value))


def _mended(table: type, document: dict[str, Any], errors: list[Any]) -> dict[str, Any]:
    """The document with a stand-in wherever a needed value is faulty, and no other."""
    mended = deepcopy(document)
    for error in errors:
        *parents, last = error["loc"]
        inside: Any = mended
        for step in parents:
            inside = inside[step]
        column = _column(table, error["loc"])
        if isinstance(last, int):
            inside[last] = "faulty"
        elif column is not None and column.needed and not column.table:
            rule = _rule(*_parts(column.hint))
            inside[last] = rule.stand_in if rule else []
        else:
            inside.pop(last, None)
    return mended


def _column(table: type, path: Sequence[Any]) -> Column | None:
    known = columns(_table_at(table, tuple(path[:-1])))
    return next((column for column in known if column.key == path[-1]), None)


def _table_at(table: type, path: Path) -> type:
    """The table a path leads to."""
    for step in path:
        inner = next((each.table for each in columns(table) if each.key == step), None)
        table = inner or table
    return table
