"""A card file's document against its shape: pydantic's faults in our words, all at once."""

from __future__ import annotations

import re
from copy import deepcopy
from typing import Any, get_args

from pydantic import ValidationError

from gddcast.cards.model import NOT_STATED
from gddcast.readers.card_checks import COMMON_PRACTICE, faults_between_keys
from gddcast.readers.card_faults import Fault, near, one_of
from gddcast.readers.card_schema import CardTable, CueTable, Table
from gddcast.readers.toml_lines import Path

#: How to add what is missing, where it cannot be "not stated".
_TO_ADD = {
    "source": f'Add  source = "…" , a key of [sources] or "{COMMON_PRACTICE}".',
    "evidence": 'Add  evidence = "…" : seen, compiled, from memory or common practice.',
    "kind": 'Add  kind = "…" : calendar, biofix or laboratory.',
    "unit": 'Add  unit = "F"  or  unit = "C".',
    "hosts": 'Add  hosts = ["…"] , the crops it is looked for on.',
    "key": 'Add  key = "…" , a short word such as eggs or moths.',
    "words": 'Add  words = "…" , plain words such as first moths.',
    "days": "Add  days = 45  or  days = [45, 50].",
}
#: What pydantic's own kinds of fault mean in a card.
_EXPECTED = {
    "float_type": "a plain number without quotes",
    "int_type": "a whole number without quotes",
    "bool_type": "true or false, without quotes",
    "list_type": "a list in [ ]",
    "dict_type": "a table of keys and values",
    "model_type": "a table of keys and values",
    "finite_number": "a finite number",
}
_NOTHING_TO_SAY = CueTable(words="-", source=COMMON_PRACTICE, evidence="common practice")
#: What stands in for a faulty value while the rest of the card is checked.
_PLACEHOLDERS: dict[str, Any] = {
    "kind": "laboratory",
    "unit": "C",
    "shape": "any",
    "starts_from": "sowing",
    "goal": 1,
    "days": 1,
    "hours": 1,
    "at": 0,
    "source": COMMON_PRACTICE,
    "evidence": "common practice",
    "family": "normal",
    "hosts": [],
    "parameters": {},
    "key": "faulty",
}


def validated(document: dict[str, Any], model: type[CardTable]) -> tuple[CardTable, list[Fault]]:
    """The table of a document and everything that is wrong with it.

    Where single values are faulty the table holds stand-ins for them and must not become a card;
    it is there so that what is wrong *between* the other keys is said in the same breath.
    """
    faults: list[Fault] = []
    try:
        table = model.model_validate(document)
    except ValidationError as error:
        errors = error.errors(include_url=False)
        faults = [_in_our_words(model, one) for one in errors]
        table = _stand_in(model, document, errors)
    between = faults_between_keys(table)
    return table, faults + [fault for fault in between if not _follows_from(fault, faults)]


def _stand_in(model: type[CardTable], document: dict[str, Any], errors: list[Any]) -> CardTable:
    """The table with a stand-in wherever a value is faulty."""
    mended = deepcopy(document)
    for error in errors:
        *parents, last = error["loc"]
        here: Any = mended
        for step in parents:
            here = here[step]
        field = _table_at(model, tuple(parents)).model_fields.get(str(last))
        if isinstance(last, int):
            here[last] = "faulty"
        elif field is not None and field.is_required():
            here[last] = _PLACEHOLDERS.get(last, NOT_STATED)
        else:
            here.pop(last)
    try:
        return model.model_validate(mended)
    except ValidationError:
        # A list where a table should be, or the like: too little is left to look between.
        return model.model_construct(event=[], cue=[_NOTHING_TO_SAY])


def _follows_from(fault: Fault, faults: list[Fault]) -> bool:
    """Whether a fault between keys may only be there because a value was faulty."""
    keys = {step for one in faults for step in one.path[-1:]}
    if fault.path[:1] == ("sources",) and keys & {"source", "primary"}:
        return True
    if "key" in keys and fault.path[-1:] in (("starts_from",), ("event",), ("same_time_as",)):
        return True
    tables = [one.path[:-1] for one in faults if len(one.path) > 1]
    return any(_contains(table, fault.path) or _contains(fault.path, table) for table in tables)


def _contains(table: Path, path: Path) -> bool:
    return path[: len(table)] == table


def _in_our_words(model: type[Table], error: Any) -> Fault:
    """One of pydantic's faults with found, expected and cure."""
    path, kind, given = tuple(error["loc"]), error["type"], error["input"]
    context = error.get("ctx", {})
    if kind == "missing":
        cure = _TO_ADD.get(path[-1], f'Add it, with "{NOT_STATED}" where the source is silent.')
        return Fault(path, "nothing", "this key, which is needed", cure)
    if kind == "extra_forbidden":
        known = list(_table_at(model, path[:-1]).model_fields)
        guess = near(str(path[-1]), known)
        cure = f"Did you mean {guess}?" if guess else "Take it away, or use a key that is known."
        return Fault(path, f"an unknown key, {path[-1]}", f"one of {', '.join(known)}", cure)
    if kind == "literal_error":
        words = re.findall(r"'([^']*)'", context["expected"])
        guess = near(str(given), words)
        cure = f'Did you mean "{guess}"?' if guess else "Use one of these words."
        return Fault(path, _shown(given), one_of(words), cure)
    if kind == "card":
        return Fault(path, _shown(given), context["expected"], context["cure"])
    expected = _EXPECTED.get(kind, error["msg"].lower())
    return Fault(path, _shown(given), expected, "See data/README.md for what it may hold.")


def _shown(value: Any) -> str:
    """A value as it would stand in the file, cut where it is long."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list) and any(isinstance(item, dict) for item in value):
        return "a list of tables"
    text = f'"{value}"' if isinstance(value, str) else str(value)
    return text if len(text) <= 60 else text[:57] + "…"


def _table_at(model: type[Table], path: Path) -> type[Table]:
    """The table a path leads to."""
    for step in path:
        if isinstance(step, str) and step in model.model_fields:
            inner = _table_in(model.model_fields[step].annotation)
            model = inner or model
    return model


def _table_in(annotation: Any) -> type[Table] | None:
    """The table inside ``list[...]``, ``dict[str, ...]`` or ``... | None``."""
    if isinstance(annotation, type) and issubclass(annotation, Table):
        return annotation
    return next(filter(None, map(_table_in, get_args(annotation))), None)
