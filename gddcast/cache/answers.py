"""The table of answers: one of each question, used while all it rests on is as it was.

It is a help, never a need: a table that is damaged, foreign, locked or can't be made answers
nothing, and every answer is worked out as if there were none.
"""

from __future__ import annotations

import datetime as dt
import sqlite3
import zlib
from collections.abc import Mapping
from pathlib import Path
from types import TracebackType
from typing import Any, Self, TypeVar

from gddcast.cache.as_json import AsJson
from gddcast.cards.model import Card

Answer = TypeVar("Answer")
#: Its file, in the cache folder.
ANSWERS = "answers.sqlite"
#: What was not asked for so many days is put away [d]; so is the oldest beyond this [bytes].
KEPT_DAYS, LARGEST = 60, 100_000_000
_TABLE = (
    "CREATE TABLE IF NOT EXISTS answer "
    "(question TEXT PRIMARY KEY, basis TEXT, asked TEXT, body BLOB) WITHOUT ROWID"
)
_PUT_AWAY = """
DELETE FROM answer WHERE asked < :since OR question IN (
    SELECT question FROM (
        SELECT question, sum(length(body)) OVER (ORDER BY asked DESC, question) AS size FROM answer
    ) WHERE size > :largest
)"""


class Answers:
    """Answers kept in a folder, one of each question.

    Parameters
    ----------
    folder : Path
    today : datetime.date
        What is not asked for a while is put away.
    cards : mapping of str to Card
        On which all of them rest.
    """

    def __init__(self, folder: Path, today: dt.date, cards: Mapping[str, Card]) -> None:
        self._plain = AsJson(cards)
        self._today = today.isoformat()
        self._since = (today - dt.timedelta(days=KEPT_DAYS)).isoformat()
        self._table = _opened(folder)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, raised: BaseException | None,
        where: TracebackType | None,
    ) -> None:  # fmt: skip
        if self._table is None:
            return
        self._run(_PUT_AWAY, {"since": self._since, "largest": LARGEST})
        self._table.close()

    def of(self, question: str, basis: str, kind: type[Answer]) -> Answer | None:
        """The answer to a question, if it rests on the same; else None.

        Parameters
        ----------
        question : str
            Names it among all others.
        basis : str
            Fingerprint of everything the answer rests on.
        kind : type
            What the answer is.
        """
        rows = self._run("SELECT body, asked FROM answer WHERE question = ? AND basis = ?",
                         (question, basis))  # fmt: skip
        for body, asked in rows:
            try:
                answer = self._plain.value(zlib.decompress(body).decode("utf-8"), kind)
            except Exception:  # whatever it is, it is no answer of ours
                return None
            if asked != self._today:
                self._run("UPDATE answer SET asked = ? WHERE question = ?", (self._today, question))
            return answer if isinstance(answer, kind) else None
        return None

    def keep(self, question: str, basis: str, answer: object) -> None:
        """Keep an answer in the place of the one before; at once, so that Ctrl-C loses none."""
        if self._table is not None:
            body = zlib.compress(self._plain.text(answer).encode("utf-8"), 1)
            row = (question, basis, self._today, body)
            self._run("INSERT OR REPLACE INTO answer VALUES (?, ?, ?, ?)", row)

    def _run(self, statement: str, values: Any) -> list[Any]:
        if self._table is None:
            return []
        try:
            return self._table.execute(statement, values).fetchall()
        except sqlite3.Error:
            return []


def _opened(folder: Path) -> sqlite3.Connection | None:
    """The table; made anew where it is damaged or foreign, None where it can't be made."""
    for _ in range(2):
        table = None
        try:
            folder.mkdir(parents=True, exist_ok=True)
            table = sqlite3.connect(folder / ANSWERS, timeout=1.0, isolation_level=None)
            # What a power cut takes is worked out again.
            table.execute("PRAGMA auto_vacuum = FULL")
            table.execute("PRAGMA synchronous = OFF")
            table.execute("PRAGMA journal_mode = MEMORY")
            table.execute(_TABLE)
            table.execute("SELECT question, basis, asked, body FROM answer LIMIT 1").fetchone()
            return table
        except OSError:
            return None
        except sqlite3.Error as error:
            if table is None or "locked" in str(error):
                return None
            table.close()
            try:
                (folder / ANSWERS).unlink()
            except OSError:
                return None
    return None
