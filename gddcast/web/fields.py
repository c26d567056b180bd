"""What people put into a form, read back; what cannot be is refused in a sentence."""

from __future__ import annotations

import datetime as dt
import math
from typing import TYPE_CHECKING

from gddcast.errors import Refusal

if TYPE_CHECKING:
    from starlette.datastructures import FormData

#: Letters of a note; what is longer is no note.
LONGEST = 2_000


def text(fields: FormData, name: str) -> str:
    """What was typed, without what nobody sees; empty where nothing was."""
    return _legible(name, fields.get(name, ""))


def texts(fields: FormData, name: str) -> list[str]:
    """The same of a field that is there several times."""
    return [_legible(name, each) for each in fields.getlist(name)]


def _legible(name: str, value: object) -> str:
    if not isinstance(value, str) or len(value) > LONGEST:
        raise _wrong(name, "it is too long", f"It takes {LONGEST:,} letters.")
    return "".join(each if each.isprintable() else " " for each in value).strip()


def day(fields: FormData, name: str) -> dt.date | None:
    """A day as browsers send it; None where nobody chose one."""
    said = text(fields, name)
    try:
        return dt.date.fromisoformat(said) if said else None
    except ValueError:
        raise _wrong(name, f"'{said}' is no day", "Write it as 2026-06-11.") from None


def whole(fields: FormData, name: str, most: int) -> int | None:
    """A number of things; None where nobody counted."""
    said = text(fields, name)
    if not said:
        return None
    if not said.isascii() or not said.isdigit() or int(said[:12]) > most:
        raise _wrong(name, f"'{said[:20]}' is no number of things", f"0 to {most:,} are.")
    return int(said)


def reading(fields: FormData, name: str) -> float | None:
    """What a thermometer shows, by comma or point; None where nobody read it."""
    said = text(fields, name)
    if not said:
        return None
    found = number(said)
    if found is None:
        raise _wrong(name, f"'{said[:20]}' is no reading", "Write it as 61 or 16.5.")
    return found


def number(text: str) -> float | None:
    """A number by comma or point; None where it is none, or not finite.

    Examples
    --------
    >>> number("16,5"), number("\u22123"), number("warm"), number("nan")
    (16.5, -3.0, None, None)
    """
    try:
        found = float(text[:20].replace(",", ".").replace("\u2212", "-"))
    except ValueError:
        return None
    return found if math.isfinite(found) else None


def _wrong(name: str, problem: str, expected: str) -> Refusal:
    return Refusal(f"the field {name}", problem, expected, "Go back and change it.", slug="field")
