"""The table of answers: the same or nothing, whatever happened to its file."""

from __future__ import annotations

import datetime as dt
import sqlite3
import zlib
from contextlib import closing
from pathlib import Path

import pytest

from gddcast.cache import answers
from gddcast.cache.answers import ANSWERS, Answers
from gddcast.weather.series import Place

DAY = dt.date(2026, 6, 11)
BROOK = Place("Brook", 41.2, -89.4)


def _kept(folder: Path, day: dt.date = DAY, question: str = "brook", basis: str = "1") -> object:
    with Answers(folder, day, {}) as table:
        return table.of(question, basis, Place)


def _keep(folder: Path, day: dt.date = DAY, question: str = "brook") -> None:
    with Answers(folder, day, {}) as table:
        table.keep(question, "1", BROOK)


def test_an_answer_is_kept_for_its_question_and_what_it_rests_on(tmp_path: Path) -> None:
    _keep(tmp_path / "made")
    assert _kept(tmp_path / "made") == BROOK
    assert _kept(tmp_path / "made", basis="2") is None
    assert _kept(tmp_path / "made", question="pond") is None
    with Answers(tmp_path / "made", DAY, {}) as table:
        assert table.of("brook", "1", int) is None


@pytest.mark.parametrize(
    "harm",
    [lambda file: file.write_bytes(b"not a table at all, but long enough to be looked at" * 40),
     lambda file: file.write_bytes(file.read_bytes()[:5000]),
     lambda file: file.write_bytes(b""),
     lambda file: _altered(file, "DROP TABLE answer"),
     lambda file: _altered(file, "ALTER TABLE answer RENAME COLUMN body TO corpus"),
     lambda file: _altered(file, "UPDATE answer SET body = x'00'"),
     lambda file: _altered(file, "UPDATE answer SET body = 'words'"),
     lambda file: _altered(file, "UPDATE answer SET body = NULL"),
     lambda file: _body(file, b'{"Popen":["true"]}'), lambda file: _body(file, b"\xff")],
)  # fmt: skip
def test_a_table_that_is_damaged_or_foreign_answers_nothing_and_works_again(
    tmp_path: Path, harm: object
) -> None:
    _keep(tmp_path)
    harm(tmp_path / ANSWERS)  # type: ignore[operator]
    assert _kept(tmp_path) is None
    _keep(tmp_path)
    assert _kept(tmp_path) == BROOK


def _altered(file: Path, statement: str) -> None:
    with closing(sqlite3.connect(file, isolation_level=None)) as table:
        table.execute(statement)


def _body(file: Path, text: bytes) -> None:
    with closing(sqlite3.connect(file, isolation_level=None)) as table:
        table.execute("UPDATE answer SET body = ?", (zlib.compress(text),))


def test_a_folder_that_can_t_be_made_or_is_busy_only_answers_nothing(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x", encoding="utf-8")
    _keep(tmp_path / "file" / "below")
    assert _kept(tmp_path / "file" / "below") is None
    _keep(tmp_path)
    with closing(sqlite3.connect(tmp_path / ANSWERS, isolation_level=None)) as other:
        other.execute("BEGIN EXCLUSIVE")
        assert _kept(tmp_path) is None
        other.execute("ROLLBACK")
    assert _kept(tmp_path) == BROOK


def test_what_is_old_or_too_much_is_put_away(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    later = DAY + dt.timedelta(days=40)
    _keep(tmp_path, question="old")
    _keep(tmp_path, question="asked")
    assert _kept(tmp_path, later, "asked") == BROOK
    assert _kept(tmp_path, later + dt.timedelta(days=30), "asked") == BROOK
    assert _kept(tmp_path, DAY, "old") is None
    _keep(tmp_path, later + dt.timedelta(days=31), "newest")
    monkeypatch.setattr(answers, "LARGEST", 60)
    assert _kept(tmp_path, later + dt.timedelta(days=31), "newest") == BROOK
    assert _kept(tmp_path, later + dt.timedelta(days=31), "asked") is None
