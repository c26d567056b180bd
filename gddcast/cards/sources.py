"""Where a number was printed: one publication, and the fields of all that rests on one."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Annotated

from gddcast.cards.values import (
    COMMON_PRACTICE,
    NOT_STATED,
    UNDATED,
    Cited,
    Claimed,
    Degrees,
    Lack,
    Text,
)
from gddcast.toml.schema import Doc, Key

_INITIALS = re.compile(r"(?<![\w.])(?:[A-Z]\.?[ -]?){1,4}(?=$|,|;| and | & | et al)")
_MORE = re.compile(r"(?:and others|et al\.?)\s*$")
_PEOPLE = re.compile(r",|;| and | & ")


CitedIn = Annotated[
    Cited,
    Doc(
        f'a key of `[sources]`, or `"{COMMON_PRACTICE}"`', '"my-source"',
        f'a key of [sources] below, or "{COMMON_PRACTICE}"',
        to_add=(
            "this key, which is needed",
            f'Add  source = "…" , a key of [sources] or "{COMMON_PRACTICE}".',
        ),
    ),
]  # fmt: skip
ClaimedIn = Annotated[
    Claimed,
    Doc(
        "`seen` (read by us in the source), `compiled` (read in a compilation that may have "
        "refitted it), `from memory` (not checked), `common practice`",
        '"from memory"', "seen, compiled, from memory, common practice",
        to_add=(
            "this key, which is needed",
            'Add  evidence = "…" : seen, compiled, from memory or common practice.',
        ),
    ),
]  # fmt: skip
Note = Annotated[Text | None, Doc("one sentence", '"One sentence."')]
UnitIn = Annotated[
    Degrees,
    Doc(
        "`F` or `C`: of every temperature and sum of this table", '"F"',
        "F or C: of lower, upper and goal alike",
        to_add=("this key, which is needed", 'Add  unit = "F"  or  unit = "C".'),
    ),
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Source:
    """``[sources.KEY]``: where a number was printed.

    Every source is used; every number, cue and figure has one.
    """

    key: Annotated[str, Key()]  # the KEY
    author: Annotated[Text, Doc("surnames and initials, or the office", '"Surname, A. B."')]
    year: Annotated[Text, Doc('in quotes, or `"undated"`', '"2020"')]
    title: Annotated[Text, Doc("as printed", '"Title of the paper or bulletin"')]
    publication: Annotated[
        Text, Doc("where it appeared", '"Journal 12: 34-56, or who published it"')
    ]
    url: Annotated[Text | None, Doc("its address", '"https://"')] = None
    read: Annotated[
        Text | None, Doc('what was read of it: `"abstract, 2026"`', '"page 3, read in May 2026"')
    ] = None
    lacks: Annotated[
        tuple[Lack, ...],
        Doc(
            "what the reference still lacks, not printed or not found: `authors`, `year`, `title`, "
            "`publication`, `volume`, `pages`, `address`"
        ),
    ] = ()

    @property
    def dated(self) -> str:
        """Its year, or that it has none."""
        return UNDATED if self.year == NOT_STATED else self.year

    @property
    def citation(self) -> str:
        """The whole reference in one line; a title that asks keeps its own end.

        Examples
        --------
        >>> Source("a", "Fargo WS", "1988", "Is it so?", "Journal 1").citation
        'Fargo WS (1988). Is it so? Journal 1.'
        """
        parts = (f"{self.author} ({self.dated})", self.title, self.publication)
        ended = (part if part.endswith("?") else f"{part.rstrip('.')}." for part in parts if part)
        return " ".join(ended)

    @property
    def short(self) -> str:
        """Surnames and year, for a line that has little room.

        Examples
        --------
        >>> Source("a", "Fargo WS, Bonjour EL", "1988", "Title", "Journal").short
        'Fargo and Bonjour, 1988'
        >>> Source("b", "South Dakota State University Extension", "2021", "T", "P").short
        'South Dakota State University Extension, 2021'
        """
        parts = _PEOPLE.split(_MORE.sub("", self.author))
        people = [surname for part in parts if (surname := _surname(part))]
        if not _INITIALS.search(self.author):  # an office, not people
            people = [self.author.rstrip(".")]
        elif _MORE.search(self.author) or len(people) > 2:
            people = [f"{people[0]} et al."]
        return f"{' and '.join(people)}, {self.dated}"


def _surname(part: str) -> str:
    """What is left of one author without initials."""
    return _INITIALS.sub("", part).strip(" .")
