"""The yearbook: what the journal holds, days by their own weather, a plan of the next season."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from gddcast.cli import main
from gddcast.cli.demo_book import make_demo_book

SAMPLES = Path(__file__).parents[1] / "samples"
LARKHOLLOW = str(SAMPLES / "larkhollow_2014_to_31aug2026_f.csv")


def run(*words: str) -> Result:
    return CliRunner().invoke(main, list(words))


def plain(page: Path) -> str:
    """Its words, a space between cells."""
    body = page.read_text(encoding="utf-8").split("<main>")[1]
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", body)).split())


@pytest.fixture
def year(tmp_path: Path) -> str:
    make_demo_book(tmp_path / "patch")
    page = tmp_path / "mine.html"
    made = run("report", "--book", str(tmp_path / "patch"), "--year", "2025", "--on", "2026-06-11",
               "-o", str(page))  # fmt: skip
    assert made.exit_code == 0, made.output
    return plain(page)


def test_my_year_holds_what_was_seen_and_picked(year: str) -> None:
    """Of the demo's journal (data/demo/*.csv): a find with its bracket, a sowing to its pick."""
    assert "Brackenrise Patch: my year 2025" in year
    assert "Squash vine borer: first moths 19 June 22–23 June 4 days later" in year
    assert "Sweet corn, north end, sown 5 May 24 July 80 7 August" in year  # 26 + 30 + 24 days
    assert "21–22 June (2022)" in year  # seen in another year
    assert "2025-1" not in year  # nobody is called by a key


def test_the_plan_is_of_the_next_season_week_by_week(year: str) -> None:
    """Each whole year falls into one week of a stage; the weeks add up to the years."""
    plan = year[year.index("When to look in 2026") :]
    weeks = re.findall(r"Squash vine borer: first moths \((\d+) of 11\)", plan)
    assert sum(map(int, weeks)) == 11
    assert "16 June (2024)" in plan
    assert "2 July (2015)" in plan
    assert "by your finds" in plan
    assert "floor the mean, from 1 January" in plan
    assert "Stages that count from a find of yours have no day until you see it." in plan


def test_too_few_years_are_dots_only(tmp_path: Path) -> None:
    rows = Path(LARKHOLLOW).read_text(encoding="utf-8").splitlines(keepends=True)
    file = tmp_path / "young.csv"
    file.write_text("".join([rows[0], *(row for row in rows[1:] if row >= "2023")]))
    page = tmp_path / "a.html"
    made = run("report", str(file), "--watch", "squash-vine-borer", "--year", "2025",
               "--on", "2026-06-11", "-o", str(page))  # fmt: skip
    assert made.exit_code == 0, made.output
    said = plain(page)
    assert "Too few to call a span" in said
    row = said[said.index("counted, and whose number") :]
    assert re.search(r"first moths \d+ \w+ \(\d{4}\) – – \d+ \w+ \(2023\) 3 [\d,]+ °", row)


def test_a_year_that_is_not_on_record_is_refused(tmp_path: Path) -> None:
    page = tmp_path / "a.html"
    answer = run("report", LARKHOLLOW, "--year", "2031", "--on", "2026-06-11", "-o", str(page))
    assert answer.exit_code == 3
    assert "There are 2014 to 2026." in answer.stderr
    assert not page.exists()
