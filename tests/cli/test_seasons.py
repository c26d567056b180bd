"""``gddcast seasons``: from a file, from a book, in the south, and what it refuses."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from gddcast.cli import main

SAMPLES = Path(__file__).parents[1] / "samples"
LARKHOLLOW = str(SAMPLES / "larkhollow_2014_to_31aug2026_f.csv")


def run(*words: str) -> Result:
    return CliRunner().invoke(main, ["seasons", *words])


def test_a_bare_file() -> None:
    answer = run(LARKHOLLOW, "--on", "2026-06-11")
    assert answer.exit_code == 0, answer.output
    said, table = answer.stdout.split("\n\n")
    heading, _, columns, *rows = table.splitlines()
    assert heading == "°F-days above 50 (single sine, from 1 January), as each day began"
    assert columns.split("  ")[-1] == "rank"
    assert [row[2:6] for row in rows] == [str(year) for year in range(2014, 2027)]
    assert rows[-1].split() == [">", "2026", "112", "549", "–", "–", "757", "4"]
    assert [row[:2] for row in rows[:-1]] == ["  "] * 12  # this year's alone is marked
    assert said.startswith("2026 so far: 757")


def test_a_narrow_screen_goes_without_the_early_sums_and_says_so() -> None:
    words = ["seasons", LARKHOLLOW, "--on", "2026-06-11", "--pest", "squash-vine-borer"]
    narrow = CliRunner(env={"COLUMNS": "60"}).invoke(main, words).stdout
    wide = run(*words[1:]).stdout
    assert all(len(line) <= 60 for line in narrow.splitlines())
    assert "columns of sums more" in narrow
    assert "1 May" in wide
    assert "1 May" not in narrow
    assert "19–27 June" in narrow  # what is asked for stays


def test_a_pest_counts_as_its_card_does_and_json_agrees() -> None:
    words = (LARKHOLLOW, "--on", "2026-06-11", "--pest", "squash vine borer", "--stage", "moths")
    assert "(floor the mean, from 1 January)" in run(*words).stdout
    answer = json.loads(run(*words, "--json").stdout)
    assert answer["method"]["shape"] == "floor the mean"
    assert answer["goals"] == [1000.0]
    assert answer["seasons"][-1]["reached"] == [None]
    assert answer["seasons"][-2]["reached"] == ["2025-07-04"]


def test_the_south_says_its_months() -> None:
    answer = run(str(SAMPLES / "23_southern_season.csv"), "--at", "-38,176", "--on", "2026-06-01")
    assert "1 November  1 December  1 January  1 February" in answer.stdout
    assert "2025/26" in answer.stdout
    assert not re.search(r"1 (June|July)  ", answer.stdout)


def test_a_book_shows_when_it_was_seen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("GDDCAST_BOOK", raising=False)
    for words in (
        ("setup", "--name", "Patch", "--at", "41.2,-89.4", "--timezone", "America/Chicago",
         "--show", "F", "--no-input"),
        ("weather", "add", LARKHOLLOW, "--on", "2026-09-01"),
        ("saw", "squash-vine-borer", "moths", "--seen", "2025-07-03", "--clean", "2025-07-01",
         "--on", "2026-09-01"),
    ):  # fmt: skip
        answer = CliRunner().invoke(main, list(words))
        assert answer.exit_code == 0, answer.output
    answer = run("--pest", "squash-vine-borer", "--on", "2026-09-01")
    assert answer.exit_code == 0, answer.output
    row = {line[2:6]: line for line in answer.stdout.splitlines()}
    assert row["2025"].split()[-3:] == ["2–3", "July", "0"]  # its own sum was there on 3 July
    assert row["2024"].split()[-2:] == ["–", "–"]
    assert re.search(r"1,000 .*first moths  days after\n.*on .*seen +9\d\d\n", answer.stdout)
    early = run("--pest", "squash-vine-borer", "--on", "2026-06-11")
    this = next(line for line in early.stdout.splitlines() if line.startswith("> 2026 "))
    assert "19–27 June" in this  # as the walk has it that day
    said = "2026: with the weather of 12 past years from here on, fastest to slowest."
    assert said in early.stdout
    table = json.loads(run("--pest", "squash-vine-borer", "--on", "2026-06-11", "--json").stdout)
    assert table["seasons"][-1]["ahead"][0] == {
        "fastest": "2026-06-19", "slowest": "2026-06-27", "years": 12, "of": 12
    }  # fmt: skip
    assert [each["days_after"] for each in table["seasons"]][-2] == 0


def test_a_watch_list_says_what_is_counted(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The first of it that counts from a date; --lower has the last word."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("GDDCAST_BOOK", raising=False)
    for words in (
        ("setup", "--name", "Patch", "--show", "F", "--timezone", "UTC", "--no-input"),
        ("weather", "add", LARKHOLLOW, "--on", "2026-09-01"),
    ):
        assert CliRunner().invoke(main, list(words)).exit_code == 0
    settings = tmp_path / "patch" / "book.toml"
    text = settings.read_text("utf-8")
    watch = 'watch = ["squash-bug", "squash-vine-borer"]'
    settings.write_text(text.replace("watch = []", watch), "utf-8")
    answer = run("--on", "2026-06-11")
    assert answer.exit_code == 0, answer.output
    assert " 1,000" in answer.stdout.splitlines()[4]
    assert "Counted as for squash vine borer" in answer.stderr
    assert " on" not in run("--lower", "50F", "--on", "2026-06-11").stdout.splitlines()[5]


def test_refusals() -> None:
    both = run(LARKHOLLOW, "--pest", "squash-bug", "--lower", "50F")
    assert both.exit_code == 2
    biofix = run(LARKHOLLOW, "--pest", "squash-vine-borer", "--stage", "egg-hatch")
    assert biofix.exit_code == 3
    assert "no heat sum that counts from a date" in biofix.stderr


def test_a_season_without_heat_has_no_rank(tmp_path: Path) -> None:
    """Two cold days of January: "warmest of 13" would say a lot about nothing."""
    early = ("--on", "2026-01-03")
    said = run(LARKHOLLOW, *early).stdout.splitlines()[0]
    assert said == (
        "2026 so far: 0 °F-days through 2 January; the middle past season had none by then either."
    )
    page = tmp_path / "report.html"
    made = CliRunner().invoke(main, ["report", LARKHOLLOW, "--watch", "squash-vine-borer", *early,
                                     "-o", str(page)])  # fmt: skip
    assert made.exit_code == 0, made.output
    report = page.read_text(encoding="utf-8")
    assert "the middle past year had none by then either." in report
    assert "To 2 January no season had any heat." in report
    assert "warmest of" not in report
