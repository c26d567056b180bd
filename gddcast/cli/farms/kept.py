"""A farm's finished answer, kept in the cache folder until anything it rests on changes."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from gddcast import __version__

if TYPE_CHECKING:
    from gddcast.cache.answers import Answers
    from gddcast.cards.model import Card
    from gddcast.farms.farm import Farm

Answer = TypeVar("Answer")
_PARTS_OF_A_BOOK = ("book.toml", "book.sqlite", "book.sqlite-wal")


@dataclass(frozen=True, slots=True)
class KeptAnswers:
    """Answers of farms that were worked out before.

    Parameters
    ----------
    answers : Answers
    folder : Path
        Of the farms.
    query : str
        What is asked of each.
    basis : str
        What all of them rest on: the program, the cards, the list's own words.
    """

    answers: Answers
    folder: Path
    query: str
    basis: str

    def of(
        self, farm: Farm, day: dt.date, kind: type[Answer], work: Callable[[], Answer]
    ) -> Answer:
        """The answer kept of a farm, else the one a work gives; a refusal is never kept."""
        question = _digest(str(self.folder.resolve()), farm.name, kind.__name__, self.query)
        basis = _digest(
            self.basis, repr(farm), day.isoformat(), *_contents(self.folder / farm.file)
        )
        known = self.answers.of(question, basis, kind)
        if known is None:
            known = work()
            self.answers.keep(question, basis, known)
        return known


@contextmanager
def kept_answers(
    folder: Path, cards: Mapping[str, Card], own_cards: Path | None, *query: object, listed: object
) -> Iterator[KeptAnswers]:
    """The answers kept for the farms of a folder.

    Parameters
    ----------
    folder : Path
    cards : mapping of str to Card
    own_cards : Path, optional
        Folder of cards of one's own.
    query : object
        What is asked of each farm.
    listed : object
        What the list says of all.
    """
    from gddcast.cache.answers import Answers
    from gddcast.cli.cache_folder import cache_folder
    from gddcast.cli.clock import now
    from gddcast.readers.card_files import cards_fingerprint

    basis = _digest(__version__, _program(), cards_fingerprint(own_cards), repr(listed))
    with Answers(cache_folder(), now().date(), cards) as answers:
        yield KeptAnswers(answers, folder, repr(query), basis)


def _contents(path: Path) -> Iterator[str]:
    """Fingerprints of a farm's file, or of what its book is made of."""
    if not path.is_dir():
        yield _of_file(path)
        return
    for name in _PARTS_OF_A_BOOK:
        yield _of_file(path / name)


def _of_file(file: Path) -> str:
    try:
        if not file.is_file():
            return "none"  # a pipe or a device may never end
        with file.open("rb") as opened:
            return hashlib.file_digest(opened, "sha256").hexdigest()
    except OSError:
        return "none"


def _program() -> str:
    """Size and moment of every module: a program that was changed answers anew."""
    modules = sorted(Path(__file__).parents[2].rglob("*.py"))
    marks = ((each.name, (found := each.stat()).st_size, found.st_mtime_ns) for each in modules)
    return _digest(*map(repr, marks))


def _digest(*parts: str) -> str:
    return hashlib.sha256("\0".join(parts).encode("utf-8", "surrogatepass")).hexdigest()
