"""A saved copy of Today by the command, and what gives its rows back."""

from __future__ import annotations

from pathlib import Path

from click.testing import CliRunner
from starlette.testclient import TestClient

from gddcast.cli import main
from gddcast.cli.page_book import PageBook
from tests.web.conftest import token_of, words_of

HEAD = "number,pest,stage,bed,day,looked,saw,count,note\r\n"
FOUND = "1,squash-bug,eggs,row 2,2026-06-09,10,3,,\r\n"


def test_the_command_writes_a_copy_and_never_over_another(tmp_path: Path) -> None:
    copy = tmp_path / "today.html"
    run = CliRunner().invoke(main, ["page", "--demo", "--copy", str(copy)])
    assert run.exit_code == 0, run.stderr
    page = copy.read_text(encoding="utf-8")
    assert "Thursday 11 June" in words_of(page)
    assert "src=" not in page.replace("data-", "")
    assert "http" not in page.replace("http://www.w3.org/2000/svg", "")
    run = CliRunner().invoke(main, ["page", "--demo", "--copy", str(copy)])
    assert run.exit_code == 3
    assert "there is a file of that name" in run.stderr


def test_rows_are_entered_whole_or_come_back_to_be_mended(
    browser: TestClient, book: PageBook
) -> None:
    before, token = book.journal(), token_of(browser)
    odd = HEAD + FOUND + "2,unicorn,,row 2,2026-06-11,,no,,\r\n"
    answer = browser.post("/walked", data={"rows": odd, "token": token})
    assert answer.status_code == 422
    assert 'line 3 (row 2): found pest "unicorn"' in words_of(answer.text)
    assert "1,squash-bug,eggs,row 2,2026-06-09,10,3,," in answer.text
    assert book.journal() == before
    for rows, said in (("", "is empty"), ("a,b\r\n", "no column pest"), ("x" * 300_000, "many")):
        answer = browser.post("/walked", data={"rows": rows, "token": token})
        assert answer.status_code == 422
        assert said in words_of(answer.text)
    big = {"file": ("rows.csv", HEAD.encode() + b"x" * 300_000, "text/csv")}
    answer = browser.post("/walked", data={"token": token}, files=big)
    assert answer.status_code == 422
    assert "they are too many" in words_of(answer.text)
    browser.post("/walked", data={"rows": HEAD + FOUND, "token": token})
    assert len(book.journal().sightings) == len(before.sightings) + 1
    twice = browser.post("/walked", data={"rows": HEAD + FOUND, "token": token})
    assert "the same is on record already" in words_of(twice.text)
    assert 'name="certain"' in twice.text
