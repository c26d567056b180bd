"""The farms in a browser: the board's content, each farm's day and report, nothing to write."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from gddcast.cli.page_farms import PageFarms
from gddcast.web.farms import farms_app
from gddcast.web.keys import Keys
from gddcast.web.serving import names_of
from tests.acceptance.terminal import refused, run
from tests.farms.twelve import ON, SEVEN, TODAY, laid_out, twelve
from tests.web.conftest import HOME, PORT, words_of


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return laid_out(twelve(tmp_path_factory.mktemp("web") / "twelve"))


@pytest.fixture
def scout(folder: Path) -> Iterator[TestClient]:
    """A browser that the start key let in."""
    keys = Keys()
    app = farms_app(PageFarms(folder, TODAY), keys, names_of(PORT), PORT)
    with TestClient(app, base_url=HOME) as client:
        assert client.get(f"/start?key={keys.start}").status_code == 200
        yield client


def test_it_says_what_the_board_says(scout: TestClient, folder: Path) -> None:
    said = words_of(scout.get("/").text)
    first, second, *_ = run("farms", "ahead", str(folder), *ON).stdout.splitlines()
    assert first in said
    assert second in said
    for rank, name in enumerate(SEVEN, start=1):
        assert f"{rank}\u2002{name}" in said.replace(f"{rank} {name}", f"{rank}\u2002{name}")
    assert "Ivy Copy 358 days of the last year read exactly as at Ashby Ridge: a copy?" in said
    assert "Larch Page It is a web page, not a table." in said


def test_each_farm_opens_its_own_day_and_its_report(scout: TestClient) -> None:
    assert 'href="/farm?name=Gull%20Point"' in scout.get("/").text
    assert "Nothing on your list is due." in words_of(scout.get("/farm?name=Gull+Point").text)
    day = scout.get("/farm?name=Ashby+Ridge")
    said = words_of(day.text)
    assert "Ashby Ridge Thursday 11 June · weather through last night" in said
    assert "Coming up: start looking Mon 15 June: squash vine borer, first moths" in said
    assert "<form" not in day.text
    assert 'href="/report?name=Ashby%20Ridge"' in day.text
    report = scout.get("/report?name=Gull+Point")
    assert "Gull Point" in report.text
    assert "Squash vine borer" in report.text
    assert "'nonce-" in report.headers["content-security-policy"]


@pytest.mark.parametrize("path", ["/farm", "/report"])
def test_one_that_can_t_be_read_says_why(scout: TestClient, path: str) -> None:
    for name, why in (("Larch Page", "It is a web page"), ("Nowhere", "no farm of that name")):
        answer = scout.get(path, params={"name": name})
        assert answer.status_code == 422
        assert why.lower() in words_of(answer.text).lower()


def test_a_change_in_a_file_is_seen_at_the_next_look(tmp_path: Path) -> None:
    folder = twelve(tmp_path / "twelve")
    farms = PageFarms(folder, TODAY)
    assert len(farms.board().refused) == 2
    (folder / "Larch Page.csv").unlink()
    assert len(farms.board().refused) == 1


def test_nobody_else_looks_and_nobody_writes(folder: Path) -> None:
    app = farms_app(PageFarms(folder, TODAY), keys := Keys(), names_of(PORT), PORT)
    with TestClient(app, base_url=HOME) as client:
        for path in ("/", "/farm?name=Gull+Point", "/report?name=Gull+Point"):
            assert client.get(path).status_code == 403
        assert client.get("/start?key=x").status_code == 403
        assert client.get(f"/start?key={keys.start}").status_code == 200
        assert client.get("/", headers={"host": "example.org"}).status_code == 421
        for path in ("/", "/farm", "/report", "/saw", "/undo"):
            answer = client.post(path, data={}, headers={"origin": HOME})
            assert answer.status_code in (404, 405)
        assert client.get("/record").status_code == 404


def test_a_book_is_no_folder_of_farms(demo: Path, folder: Path) -> None:
    assert "it is a season book" in refused("page", str(demo))
    answer = run("page", str(folder), "--demo", code=2)
    assert "by itself" in answer.stderr
