"""``gddcast tune``: four finds, two finds, a fifth that contradicts; nothing kept unasked."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from gddcast.book.opening import open_book
from gddcast.cli import main

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


def test_a_kept_number_is_in_every_answer_until_it_is_dropped(patch: Path, tmp_path: Path) -> None:
    """Counted, said, exported and imported with its method; dropped, the card counts again."""
    log(4)
    ahead = ("ahead", "--full", "--watch", "squash-vine-borer", "--on", "2026-06-11")
    before = run(*ahead).stdout
    kept = run(*TUNE, "--keep", "1061")
    assert "says so; published: 1,000." in kept.stdout
    said = "Your own number 1,060 °F-days from 4 seasons, kept 11 June 2026; published 1,000."
    after = run(*ahead).stdout
    assert said in " ".join(after.split())
    assert "of 1,060 °F-days, above 50 °F, single sine" in " ".join(after.split())
    for words in (("walk", "--full", "--on", "2026-06-18"),
                  ("why", "squash-vine-borer", "moths", "--on", "2026-06-11")):  # fmt: skip
        assert "1,060 °F-days from 4 seasons" in " ".join(run(*words).stdout.split())
    item = json.loads(run(*ahead, "--json").stdout)["items"][0]
    assert item["own_number"]["used"] is True
    assert item["own_number"]["goal"] == item["sum_reached"]["low_end"]["goal"]
    assert item["own_number"]["seasons"] == 4
    run("report", "-o", str(tmp_path / "season.html"), "--on", "2026-06-11",
        "--watch", "squash-vine-borer")  # fmt: skip
    assert "1,060 °F-days from 4 seasons" in (tmp_path / "season.html").read_text("utf-8")
    run("calendar", "-o", str(tmp_path / "a.ics"), "--watch", "squash-vine-borer", "--on",
        "2026-06-11")  # fmt: skip
    folded = (tmp_path / "a.ics").read_text("utf-8").replace("\n ", "")
    assert "1\\,060 °F-days from 4 seasons" in folded
    run("export", "copy")
    run("import", "copy", "--book", "again")
    assert open_book(tmp_path / "again").journal().goals == open_book(patch).journal().goals
    assert "Kept: 1,060, on 11 June 2026." in run(*TUNE, "--book", str(patch)).stdout
    dropped = run(*TUNE, "--drop", "--book", str(patch))
    assert "counted by its card again" in dropped.stdout
    assert run(*ahead, "--book", str(patch)).stdout == before
    gone = open_book(patch).entries()[-1]
    assert gone.withdrawn_at is not None
    assert gone.note == "dropped"
    assert "no number of your own is kept" in run(
        *TUNE, "--drop", "--book", str(patch), code=3
    ).stderr  # fmt: skip


def test_a_changed_method_puts_a_kept_number_aside(patch: Path) -> None:
    log(4)
    run(*TUNE, "--keep", "1061")
    settings = patch / "book.toml"
    text = settings.read_text(encoding="utf-8")
    settings.write_text(text.replace('shape = "single-sine"', 'shape = "card"'), encoding="utf-8")
    answer = run("ahead", "--full", "--watch", "squash-vine-borer", "--on", "2026-06-11").stdout
    said = " ".join(answer.split())
    assert "of 1,000 °F-days, above 50 °F, floor the mean" in said
    assert "is not used: it was fitted above 50 °F, single sine" in said


def test_a_moved_thermometer_is_said_beside_its_seasons(patch: Path) -> None:
    assert patch.is_dir()
    log(4)
    run("did", "moved-sensor", "--done", "2023-08-01", "--on", "2026-06-11")
    text = run(*TUNE).stdout
    assert "2023: not used, the thermometer was moved after it, on 1 August 2023." in text
    assert "2 seasons with a clean look before the find: too few" in text


def test_a_sum_the_finds_rule_out_is_refused(patch: Path) -> None:
    log(4)
    answer = run(*TUNE, "--keep", "900", code=3)
    assert "your finds do not allow 900" in answer.stderr
    assert open_book(patch).journal().goals == ()


def test_a_book_without_finds_says_so(patch: Path) -> None:
    assert patch.is_dir()
    assert "No bracket yet." in run(*TUNE).stdout
