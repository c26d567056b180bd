"""Columns that may hold no air temperature of the day: their owner says so, or they are not read.

Soil, forecasts, long-term means, another thermometer's minimum, a word nobody here knows: each was
once read as the day's air, and nothing in the numbers told.
"""

from __future__ import annotations

import shlex
from collections.abc import Sequence

from gddcast.errors import Refusal
from gddcast.readers import column_words
from gddcast.readers.columns import Meaning, words_of
from gddcast.readers.tables import Table


def refuse_doubtful(
    table: Table, used: Sequence[int], meanings: Sequence[Meaning], name: str
) -> None:
    """Refuse columns whose names, or the lines above them, leave open what they hold.

    Parameters
    ----------
    table : Table
    used : sequence of int
        Columns taken for the temperatures, the maximum first.
    meanings : sequence of Meaning
    name : str
        File, for people.

    Raises
    ------
    Refusal
        With the flags that name the columns, which settle it.
    """
    refuse_other_spots(table, used, meanings, name)
    doubted = next((meanings[at] for at in used if meanings[at].doubt), None)
    if doubted is None:
        _refuse_other_title(table, used, meanings, name)
        return
    if not doubted.measured:
        found = f"column '{doubted.name}' seems to hold what nobody measured on the day"
        reason = f"Its name says '{doubted.doubt}': a forecast or a long-term mean is no record."
    elif doubted.spot == "soil":
        found = f"column '{doubted.name}' is the soil's"
        reason = "Insects above ground and the sums printed for them live by the air."
    else:
        found = f"column '{doubted.name}' may hold something other than the air's temperature"
        reason = f"'{doubted.doubt}' in its name is a word I don't know."
    raise _asking(table, used, name, found, reason)


def refuse_other_spots(
    table: Table, used: Sequence[int], meanings: Sequence[Meaning], name: str
) -> None:
    """Refuse a maximum and a minimum of two thermometers."""
    spots = [meanings[at].spot or "outdoors" for at in used]
    if len(set(spots)) > 1:
        found = "its maximum and its minimum seem to be of two thermometers"
        reason = f"{' and '.join(table.names[at] for at in used)}: {' and '.join(spots)}."
        raise _asking(table, used, name, found, reason)


def _refuse_other_title(
    table: Table, used: Sequence[int], meanings: Sequence[Meaning], name: str
) -> None:
    """Refuse bare names under a title that speaks of humidity, say, and of no temperature."""
    plain = [words_of(table.names[at]) for at in used]
    title = words_of(table.title)
    spoken = [word for word in title if word in column_words.QUANTITIES]
    named = any(column_words.TEMPERATURE & {*words} for words in (*plain, title))
    if not spoken or named or any(meanings[at].unit for at in used):
        return
    found = f"the lines above its header speak of '{spoken[0]}' and of no temperature"
    reason = f"Its columns are {', '.join(table.names)[:200]}."
    raise _asking(table, used, name, found, reason)


def _asking(table: Table, used: Sequence[int], name: str, found: str, reason: str) -> Refusal:
    options = ("--max-column", "--min-column")
    flags = [
        f"{option} {shlex.quote(table.called(at))}"
        for option, at in zip(options, used, strict=False)
    ]
    return Refusal(
        name,
        found,
        reason,
        "If the days' air temperatures stand there, say so:",
        flag=" ".join(flags),
        slug="column-unclear",
    )
