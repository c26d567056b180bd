"""``gddcast tune``: from the first find on; a fifth that contradicts; what older books kept."""

from __future__ import annotations

import csv
import datetime as dt
import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from gddcast.book.opening import open_book
from gddcast.cli import main
from gddcast.journal.entries import OwnGoal

SAMPLES = Path(__file__).parents[1] / "samples"
TUNE = ("tune", "squash-vine-borer", "moths", "--on", "2026-06-11")


def run(*words: str, code: int = 0) -> Result:
    answer = CliRunner().invoke(main, list(words))
    assert answer.exit_code == code, answer.output + answer.stderr
    return answer


@pytest.fixture
def patch(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A book with twelve years of weather, its sums counted by single sine, and no find."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("GDDCAST_BOOK", raising=False)
    run("setup", "--name", "Patch", "--at", "41.2,-89.4", "--timezone", "America/Chicago",
        "--show", "F", "--no-input")  # fmt: skip
    settings = tmp_path / "patch" / "book.toml"
    text = settings.read_text(encoding="utf-8")
    assert 'shape = "card"' in text
    settings.write_text(text.replace('shape = "card"', 'shape = "single-sine"'), encoding="utf-8")
    run("weather", "add", str(SAMPLES / "larkhollow_2014_to_31aug2026_f.csv"), "--on", "2026-09-01")
    return tmp_path / "patch"


def log(seasons: int) -> None:
    with (SAMPLES / "observed_first_adults.csv").open(encoding="utf-8") as lines:
        for row in list(csv.DictReader(lines))[:seasons]:
            saw(row["first_seen"], row["last_clean_look"])


def saw(seen: str, clean: str) -> None:
    run("saw", "squash-vine-borer", "moths", "--seen", seen, "--clean", clean, "--on",
        f"{seen[:4]}-12-01")  # fmt: skip


def test_the_first_find_is_in_every_answer(patch: Path, tmp_path: Path) -> None:
    """Counted and said by every surface; one setting leaves the dates to the card."""
    ahead = ("ahead", "--watch", "squash-vine-borer", "--on", "2026-06-11")
    before = json.loads(run(*ahead, "--json").stdout)["items"][0]
    log(1)
    item = json.loads(run(*ahead, "--json").stdout)["items"][0]
    assert item["own_number"]["used"] is True
    assert item["own_number"]["goal"] == item["sum_reached"]["low_end"]["goal"]
    assert item["own_number"]["seasons"] == 1
    assert item["insect_seen"]["spans"][1]["first"] == item["look"]["from"]
    assert item["look"]["from"] != before["look"]["from"]
    said = "By your finds of 1 season it is first seen any day"
    assert item["says"].startswith(said)
    for words in (ahead, ("walk", "--full", "--watch", "squash-vine-borer", "--on", "2026-06-18"),
                  ("why", "squash-vine-borer", "moths", "--on", "2026-06-11")):  # fmt: skip
        assert said in " ".join(run(*words).stdout.split())
    run("report", "-o", str(tmp_path / "season.html"), "--on", "2026-06-11",
        "--watch", "squash-vine-borer")  # fmt: skip
    assert said in (tmp_path / "season.html").read_text("utf-8")
    run("calendar", "-o", str(tmp_path / "a.ics"), "--watch", "squash-vine-borer", "--on",
        "2026-06-11")  # fmt: skip
    folded = (tmp_path / "a.ics").read_text("utf-8").replace("\n ", "")
    assert said in folded
    settings = patch / "book.toml"
    text = settings.read_text(encoding="utf-8")
    assert 'own_finds = "use"' in text
    settings.write_text(text.replace('"use"', '"beside"'), encoding="utf-8")
    beside = json.loads(run(*ahead, "--json").stdout)["items"][0]
    assert beside["look"] == before["look"]
    assert beside["own_number"]["used"] is False
    assert "by the spread of" in " ".join(run(*ahead, "--full").stdout.split())


def test_the_screen_begins_with_the_answer_and_is_short(patch: Path) -> None:
    assert patch.is_dir()
    log(4)
    text = run(*TUNE).stdout
    assert text.startswith(
        "Squash vine borer, first moths: by your finds of 4 seasons first seen at 1,0"
    )
    assert len(text.splitlines()) <= 20
    flat = " ".join(text.split())
    assert "published: 1,000 (South Dakota State University Extension, 2021)" in flat
    assert "Off in the mean of 3 seasons:" in flat
    assert "by the calendar." in flat
    assert "Looking by the chance of 1 in 10 would have cost" in flat
    assert "odd one" not in flat
    saw("2021-06-12", "2021-06-10")
    assert "2021 is the odd one" in " ".join(run(*TUNE).stdout.split())


def test_a_find_without_a_clean_look_is_marked(patch: Path) -> None:
    assert patch.is_dir()
    run("saw", "squash-vine-borer", "moths", "--seen", "2024-06-28", "--on", "2024-12-01")
    text = run(*TUNE).stdout
    assert "15–28 June *" in text
    assert "* No clean look before the find: an early end is assumed." in text


def test_a_number_kept_in_an_older_book_is_not_counted(patch: Path) -> None:
    """The entry stays as it was; one sentence says what became of it."""
    log(2)
    without = run("ahead", "--watch", "squash-vine-borer", "--on", "2026-06-11", "--json").stdout
    kept = OwnGoal("squash-vine-borer", "moths", 900.0, 890.0, 910.0, dt.date(2025, 10, 3))
    book = open_book(patch)
    with book.writing(dt.datetime.now(dt.UTC), dt.date(2026, 6, 11)) as pen:
        pen.add(kept)
    (goal,) = open_book(patch).journal().goals
    assert goal.goal == kept.goal
    said = "The number kept on 3 October 2025 is not used any more: finds count by themselves."
    assert said in " ".join(run(*TUNE).stdout.split())
    answer = run("ahead", "--watch", "squash-vine-borer", "--on", "2026-06-11", "--json").stdout
    looks = [[each["look"] for each in json.loads(text)["items"]] for text in (without, answer)]
    assert looks[0] == looks[1]
    assert json.loads(run(*TUNE, "--json").stdout)["kept"]["kept_on"] == "2025-10-03"


def test_a_moved_thermometer_is_said_beside_its_seasons(patch: Path) -> None:
    assert patch.is_dir()
    log(4)
    run("did", "moved-sensor", "--done", "2023-08-01", "--on", "2026-06-11")
    text = run(*TUNE).stdout
    assert "2023: not used, the thermometer was moved after it, on 1 August 2023." in text
    assert "by your finds of 2 seasons" in text


def test_an_insect_that_flies_in_has_no_sum_here(patch: Path) -> None:
    assert patch.is_dir()
    answer = run("tune", "potato-leafhopper", "--on", "2026-06-11", code=3)
    assert answer.stderr


def test_a_book_without_finds_says_what_one_would_do(patch: Path) -> None:
    assert patch.is_dir()
    text = " ".join(run(*TUNE).stdout.split())
    assert "no find of yours has a say yet; published: 1,000" in text
    assert "about halves that" in text
    assert "gddcast saw squash-vine-borer moths --seen DATE --clean DATE" in text
