"""Which column of a table is the date, the maximum, the minimum, the site."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from gddcast.errors import Refusal, shell
from gddcast.readers.columns import QUANTITIES, TEMPERATURE, Kind, Meaning, words_of
from gddcast.readers.date_columns import all_between, date_columns
from gddcast.readers.flags import origin_column
from gddcast.readers.reading import Note
from gddcast.readers.tables import Table


@dataclass(frozen=True, slots=True)
class Roles:
    """Positions of the columns that matter; None where a file has none.

    ``high`` and ``low`` are the day's or the interval's extremes, ``single`` is the one
    temperature of a log, ``mean`` the day's mean where nothing else is there.
    """

    stamp: int | None = None
    clock: int | None = None
    minute: int | None = None
    year: int | None = None
    month: int | None = None
    day: int | None = None
    day_number: int | None = None
    high: int | None = None
    low: int | None = None
    single: int | None = None
    mean: int | None = None
    origin: int | None = None
    site: int | None = None
    notes: tuple[Note, ...] = ()

    @property
    def temperatures(self) -> tuple[int, ...]:
        """Columns that hold temperatures, the maximum first."""
        found = (self.high, self.low) if self.high is not None else (self.single, self.mean)
        return tuple(at for at in found if at is not None)


def roles_of(
    table: Table, name: str, *, max_column: str | None = None, min_column: str | None = None
) -> Roles:
    """Find the columns of a table.

    Parameters
    ----------
    table : Table
    name : str
        File, for people.
    max_column, min_column : str, optional
        Names or numbers (from 1) the person gave.

    Raises
    ------
    Refusal
        If a column is absent, or two could be meant.
    """
    meanings = table.meanings()
    high = _asked(table, max_column, name)
    low = _asked(table, min_column, name)
    given = frozenset(at for at in (high, low) if at is not None)
    dated = Roles(**date_columns(table, meanings, name, given)._asdict())
    origin = origin_column(table, name)
    site = next((i for i, m in enumerate(meanings) if m.kind == "site" and i != origin), None)
    dated = replace(dated, origin=origin, site=site)
    if not table.header_line and (max_column is None or min_column is None):
        raise _headerless(table, dated, name)
    meanings, dated = _minutes_apart(table, meanings, dated)
    if high is None:
        high = _one_of("max", meanings, name, table)
    if low is None:
        low = _one_of("min", meanings, name, table)
    if high is not None and low is not None:
        roles = replace(dated, high=high, low=low)
    else:
        roles = _without_both(dated, high, low, meanings, name, max_column, table)
    if max_column is None and min_column is None:
        refuse_doubtful(table, roles.temperatures, meanings, name)
    elif max_column is None or min_column is None:
        refuse_other_spots(table, roles.temperatures, meanings, name)
    return _noted(roles, meanings)


def _minutes_apart(
    table: Table, meanings: tuple[Meaning, ...], dated: Roles
) -> tuple[tuple[Meaning, ...], Roles]:
    """Take a column ``min`` right behind one of bare hours for the minutes, not for minima."""
    hour = dated.clock
    if hour is None or hour + 1 == len(meanings):
        return meanings, dated
    at = hour + 1
    if not set(words_of(table.names[at])) <= {"min", "mn", "mins", "minute", "minutes"}:
        return meanings, dated
    if not all_between(table.column(at), 0, 59) or not all_between(table.column(hour), 0, 24):
        return meanings, dated
    others = (*meanings[:at], Meaning(table.names[at], "other"), *meanings[at + 1 :])
    return others, replace(dated, minute=at)


def _without_both(
    dated: Roles,
    high: int | None,
    low: int | None,
    meanings: Sequence[Meaning],
    name: str,
    max_column: str | None,
    table: Table,
) -> Roles:
    """Roles in a file that lacks the maximum, the minimum or both."""
    if max_column is not None and low is None and high is not None:
        return replace(dated, single=high)
    single = _one_of("temperature", meanings, name, table)
    if single is not None and high is None and low is None:
        return replace(dated, single=single)
    mean = _one_of("mean", meanings, name, table)
    if mean is not None and high is None and low is None:
        return replace(dated, mean=mean)
    present, absent = ("maximum", "minimum") if high is not None else ("minimum", "maximum")
    if high is None and low is None:
        present, absent = "", "temperature"
    flag = "--min-column NAME" if absent == "minimum" else "--max-column NAME"
    raise Refusal(
        name,
        f"it has a column of the day’s {present} and none of its {absent}"
        if present
        else "none of its columns is called a temperature",
        f"Its columns are {', '.join(meaning.name for meaning in meanings)[:200]}.",
        "If one of them holds it, name it:",
        flag=flag,
        slug="column-unclear",
    )


def _asked(table: Table, wanted: str | None, name: str) -> int | None:
    """Position of a column the person named."""
    if wanted is None:
        return None
    plain = [column.strip().casefold() for column in table.names]
    if plain.count(wanted.strip().casefold()) == 1:
        return plain.index(wanted.strip().casefold())
    if wanted.isascii() and wanted.isdigit() and 1 <= int(wanted[:6]) <= len(plain):
        return int(wanted) - 1
    times = plain.count(wanted.strip().casefold())
    raise Refusal(
        name,
        f"{times} of its columns are called '{wanted}'"
        if times
        else f"it has no column '{wanted}'",
        f"Its columns are {', '.join(table.names)[:200]}.",
        f"Give one of these names, or a number from 1 to {len(plain)}.",
        slug="column-unclear",
    )


def _one_of(kind: Kind, meanings: Sequence[Meaning], name: str, table: Table) -> int | None:
    """The one column of a kind; two that differ only in scale are the same readings twice."""
    every = [at for at, meant in enumerate(meanings) if meant.kind == kind]
    found = [at for at in every if meanings[at].measured] or every
    if len(found) < 2:
        return found[0] if found else None
    units = {meanings[at].unit for at in found}
    spots = {meanings[at].spot for at in found}
    if len(units) == len(found) and None not in units and len(spots) == 1:
        return found[0]
    names = [meanings[at].name for at in found]
    likely = [at for at in found if not meanings[at].doubt] or found
    outdoors = [at for at in likely if meanings[at].spot in ("outdoors", "")]
    best = table.called((outdoors or likely)[0])
    option = "min" if kind == "min" else "max"
    word = {"max": "maxima", "min": "minima", "mean": "means"}.get(kind, "temperatures")
    raise Refusal(
        name,
        f"{len(found)} of its columns could be the {word}",
        f"They are {', '.join(names)[:200]}.",
        "Say which holds the air outdoors:",
        flag=shell(f"--{option}-column", best),
        slug="column-unclear",
    )


def _noted(roles: Roles, meanings: Sequence[Meaning]) -> Roles:
    """What the names of the chosen columns give cause to say."""
    notes = []
    spots = {meanings[at].spot for at in roles.temperatures}
    for spot in sorted(spots - {"", "outdoors"}):
        notes.append(
            Note(
                "sensor-spot",
                f"The column’s name says {spot}: outdoor insects live by the air outdoors.",
                cure="Use a thermometer in open shade for them.",
            )
        )
    if roles.stamp is not None and "read" in meanings[roles.stamp].name.casefold().split("_"):
        notes.append(
            Note(
                "reading-hour",
                f"Column '{meanings[roles.stamp].name}' gives the day of reading. If you read in "
                "the morning, the maximum belongs to the day before.",
                cure="Say at what hour:",
                flag="--reading-hour 8",
            )
        )
    return replace(roles, notes=(*roles.notes, *notes))


def _headerless(table: Table, dated: Roles, name: str) -> Refusal:
    """Ask for the order of the columns, with the pair that would make sense."""
    about_time = {dated.stamp, dated.year, dated.month, dated.day, dated.day_number}
    rest = [at for at in range(len(table.names)) if at not in about_time]
    pair = _likely_pair(table, rest)
    first = ", ".join(cell.strip() for cell in table.rows[0])[:80]
    evidence = f"Its first line is already data: {first}."
    flag = None
    if pair is not None:
        high, low = (at + 1 for at in pair)
        evidence += f" Column {high} is never below column {low}: likely maximum and minimum."
        flag = f"--max-column {high} --min-column {low}"
    return Refusal(
        name,
        "it has no header, so I don’t know which columns are maximum and minimum",
        evidence,
        "Say which, counted from 1:",
        flag=flag,
        slug="header-missing",
    )


def _likely_pair(table: Table, rest: list[int]) -> tuple[int, int] | None:
    """The first two neighbouring columns of which one is never below the other, and vary."""
    sample = table.rows[:400]
    for one, other in pairwise(rest):
        try:
            a = [float(row[one].replace(",", ".")) for row in sample]
            b = [float(row[other].replace(",", ".")) for row in sample]
        except ValueError:
            continue
        gaps = [x - y for x, y in zip(a, b, strict=True)]
        if len(set(a)) > 1 and len(set(b)) > 1 and any(gaps):
            if min(gaps) >= 0:
                return one, other
            if max(gaps) <= 0:
                return other, one
    return None


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
        found = f"column '{doubted.name}' is the soil’s"
        reason = "Insects above ground and the sums printed for them live by the air."
    else:
        found = f"column '{doubted.name}' may hold something other than the air’s temperature"
        reason = f"'{doubted.doubt}' in its name is a word I don’t know."
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
    spoken = [word for word in title if word in QUANTITIES]
    named = any(TEMPERATURE & {*words} for words in (*plain, title))
    if not spoken or named or any(meanings[at].unit for at in used):
        return
    found = f"the lines above its header speak of '{spoken[0]}' and of no temperature"
    reason = f"Its columns are {', '.join(table.names)[:200]}."
    raise _asking(table, used, name, found, reason)


def _asking(table: Table, used: Sequence[int], name: str, problem: str, reason: str) -> Refusal:
    options = ("--max-column", "--min-column")
    flags = [
        f"{option} {shell(table.called(at))}" for option, at in zip(options, used, strict=False)
    ]
    return Refusal(
        name,
        problem,
        reason,
        "If the days’ air temperatures stand there, say so:",
        flag=" ".join(flags),
        slug="column-unclear",
    )
