"""What a column holds, told from its name in several languages."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from gddcast.readers import column_words
from gddcast.readers.reading import FileUnit

#: What a column can hold, as far as we care.
Kind = Literal[
    "stamp", "clock", "year", "month", "day", "day-number",
    "max", "min", "mean", "temperature", "site", "other",
]  # fmt: skip

#: Kinds whose cells are temperatures.
TEMPERATURES: tuple[Kind, ...] = ("max", "min", "mean", "temperature")

#: Where the thermometer of a column hangs.
Spot = Literal["", "outdoors", "indoors", "under cover", "soil"]


_UNIT_IN_NAME = re.compile(
    r"(?:°|º|˚|\ufffd|deg(?:ree)?s?[ _.]*)\s*([fck])(?![a-z])|(?<![a-z])(fahrenheit|celsius|celcius"
    r"|centigrade|kelvin)(?![a-z])|[\[(]\s*([fck])\s*[\])]|[ _,./-]([fck])$"
    r"|(?:max|min|mean|avg|temp)([fck])$",
    re.IGNORECASE,
)
_TENTHS_IN_NAME = re.compile(
    r"tenths?(?![a-z])|\b10ths|(?:^|\D)0[.,]1[\s_]*°?[\s_]*(?:deg(?:ree)?s?)?[\s_]*c"
    r"|1/10[\s_]*°?[\s_]*c|[x×*][\s_]*10\b|\b10[\s_]*[x×*]|/\s*10\b|zehntel|dixi[eè]me"
    r"|d[eé]cima|tienden|tiondel",
    re.IGNORECASE,
)
_IN_A_UNIT = re.compile(r"\bin\s*(?:°|\d|deg|[fck]\b)", re.IGNORECASE)
_GLUED = re.compile(
    r"^(air|t|temp|temperature|daily)?(max|min|mean|avg)(temp|temperature)?([fck])?$"
)


#: Words that give a column of temperatures no other meaning.
_KNOWN = frozenset.union(
    column_words.MAX, column_words.MIN, column_words.MEAN, column_words.TEMPERATURE,
    column_words.SITE, column_words.INDOORS, column_words.COVER, column_words.OUTDOORS,
    column_words.PLAIN,
)  # fmt: skip

# Letters that do not come apart into a plain one and an accent.
_LETTERS = str.maketrans({"ø": "o", "Ø": "O", "æ": "ae", "Æ": "AE", "ß": "ss", "œ": "oe"})


@dataclass(frozen=True, slots=True)
class Meaning:
    """What one column name says.

    ``doubt`` is the word for which a column of temperatures may hold others than the day's air
    temperatures; ``measured`` is false where it holds forecasts or long-term means.
    """

    name: str
    kind: Kind
    unit: FileUnit | None = None
    spot: Spot = ""
    doubt: str = ""
    measured: bool = True


def words_of(name: str) -> tuple[str, ...]:
    """A column name as lower-case words without accents.

    Examples
    --------
    >>> words_of("T-Max (°C)"), words_of("HöchstTemp")
    (('t', 'max', 'c'), ('hochst', 'temp'))
    """
    plain = unicodedata.normalize("NFKD", name).translate(_LETTERS)
    plain = "".join(letter for letter in plain if not unicodedata.combining(letter))
    plain = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", plain)
    found = []
    for word in re.findall(r"[a-z0-9]+", plain.casefold()):
        word = word.removeprefix("tages")
        glued = _GLUED.match(word)
        found += [part for part in glued.groups() if part] if glued else [word]
    return tuple(found)


@lru_cache(maxsize=4096)
def meaning(name: str) -> Meaning:
    """What a column of this name holds.

    Examples
    --------
    >>> meaning("Tmax °C").kind, meaning("Tmax °C").unit
    ('max', 'C')
    >>> meaning("Dew point").kind
    'other'
    """
    words = words_of(name) if len(name) <= 200 else ()
    kind = "other" if "%" in name else _kind(frozenset(words))
    if kind not in ("max", "min", "mean", "temperature"):
        return Meaning(name, kind)
    spot = _spot(frozenset(words) - ({"in"} if _IN_A_UNIT.search(name) else set()))
    unmeasured = [word for word in words if _is_unmeasured(word, kind)]
    unknown = [word for word in words if not word.isdigit() and word not in _KNOWN]
    soil = [word for word in words if word in column_words.SOIL]
    # Tenths of °F or of kelvin are no scale that is read.
    tenths = ["tenths"] if _TENTHS_IN_NAME.search(name) and unit_in(name) is None else []
    doubt = next(iter((*unmeasured, *soil, *unknown, *tenths)), "")
    return Meaning(name, kind, unit_in(name), spot, doubt, not unmeasured)


def _is_unmeasured(word: str, kind: Kind) -> bool:
    """Whether a word says that nobody measured this on the day, as in "average high"."""
    return word in column_words.NOT_MEASURED or (
        kind in ("max", "min") and word in column_words.MEAN and word not in ("tg", "tas")
    )


def speaks_of_tenths(text: str) -> bool:
    """Whether a legend says that temperatures are in tenths of °C.

    Examples
    --------
    >>> speaks_of_tenths("TX: maximum temperature (in 0.1 degrees Celsius); RH: sum (in 0.1 mm)")
    True
    """
    return any(
        _TENTHS_IN_NAME.search(line) and column_words.TEMPERATURE & set(words_of(line))
        for line in text.splitlines()
    )


def unit_in(name: str) -> FileUnit | None:
    """Scale a name or heading states, or None.

    Examples
    --------
    >>> unit_in("max_f"), unit_in("Temp, °C"), unit_in("max")
    ('F', 'C', None)
    """
    if _TENTHS_IN_NAME.search(name):
        other = {"f", "k", "degf", "fahrenheit", "kelvin"} & {*words_of(name)}
        return None if other else "tenths-C"
    found = _UNIT_IN_NAME.search(name)
    if found is None:
        return None
    letter = next(part for part in found.groups() if part)[0].upper()
    return "F" if letter == "F" else "K" if letter == "K" else "C"


def _kind(words: frozenset[str]) -> Kind:
    if not words or words & column_words.NOT_AIR:
        return "other"
    about_time = words & (column_words.CLOCK | {"date", "datetime", "timestamp"})
    if (
        words & (column_words.MAX | column_words.MIN | column_words.MEAN | column_words.TEMPERATURE)
        and not about_time
    ):
        return _temperature_kind(words)
    if words & column_words.DAY_NUMBER or (
        words & column_words.DAY and words & (column_words.YEAR | {"number", "no", "nr"})
    ):
        return "day-number"
    if (
        words & (column_words.MAX | column_words.MIN) and about_time
    ):  # the time at which the maximum was reached
        return "other"
    # "day" alone may be a date or a day of the month: the other columns tell.
    for kind, names in (
        ("day", column_words.DAY),
        ("stamp", column_words.STAMP),
        ("year", column_words.YEAR),
        ("month", column_words.MONTH),
    ):
        if words & names and not (kind == "day" and len(words) > 1):
            return kind  # type: ignore[return-value]
    if words & column_words.CLOCK:
        return "clock"
    return "site" if words & column_words.SITE else "other"


def _temperature_kind(words: frozenset[str]) -> Kind:
    highest, lowest = bool(words & column_words.MAX), bool(words & column_words.MIN)
    if highest and lowest:
        return "other"
    if highest:
        return "max"
    if lowest:
        return "min"
    return "mean" if words & column_words.MEAN else "temperature"


def _spot(words: frozenset[str]) -> Spot:
    if words & column_words.SOIL:
        return "soil"
    if words & column_words.COVER:
        return "under cover"
    if words & column_words.INDOORS:
        return "indoors"
    return "outdoors" if words & column_words.OUTDOORS else ""
