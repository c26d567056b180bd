"""``gddcast sheet``: one page of one week, from a file or a book, which remembers what it said."""

from __future__ import annotations

import datetime as dt
import json
import re
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from gddcast.book.opening import open_book
from gddcast.cli import main
from gddcast.cli.demo_book import make_demo_book
from tests.real_records import SAMPLES

LARKHOLLOW = str(SAMPLES / "larkhollow_2014_2026_f.csv")
ON = ("--on", "2026-06-11")
WATCH = ("--watch", "squash-vine-borer,squash-bug,striped-cucumber-beetle,european-corn-borer")


def run(*words: str) -> Result:
    return CliRunner().invoke(main, ["sheet", *words])


def page_of(path: str | Path) -> str:
    return Path(path).read_text(encoding="utf-8")


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder, and we are in it."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("GDDCAST_BOOK", raising=False)
    return tmp_path


@pytest.fixture
def demo(here: Path) -> str:
    make_demo_book(here / "demo")
    return str(here / "demo")


def test_of_a_file_under_its_monday() -> None:
    """Written beside us; a second run makes the same bytes; Letter and A4 differ in their rule."""
    assert run(LARKHOLLOW, *ON, *WATCH).exit_code == 0
    first = page_of("sheet-larkhollow_2014_2026_f-2026-06-08.html")
    assert "size: A4" in first
    assert run(LARKHOLLOW, *ON, *WATCH, "-o", "again.html").exit_code == 0
    assert page_of("again.html") == first
    assert run(LARKHOLLOW, *ON, *WATCH, "--paper", "letter", "-o", "l.html").exit_code == 0
    assert "size: letter" in page_of("l.html")


def test_writes_over_nothing_unasked(here: Path) -> None:
    (here / "mine.html").write_text("mine")
    refused = run(LARKHOLLOW, *ON, *WATCH, "-o", "mine.html")
    assert refused.exit_code == 3
    assert "--force" in refused.stderr
    assert (here / "mine.html").read_text() == "mine"


@pytest.mark.parametrize("on", ["2026-06-16", "2026-06-18"])
def test_its_dots_are_those_of_ahead(on: str) -> None:
    """Each dot drawn is a year and day of the JSON; none is left out but those told to be."""
    day = ("--on", on)
    assert run(LARKHOLLOW, *day, *WATCH, "-o", "s.html").exit_code == 0
    answer = CliRunner().invoke(main, ["ahead", LARKHOLLOW, *day, *WATCH, "--json"])
    items = json.loads(answer.stdout)["items"]
    page = page_of("s.html")
    figures = re.findall(r'<div class="strip"><p><b>(.*?)</b>(.*?)</div>', page, re.DOTALL)
    compared = 0
    for label, figure in figures:
        title = unescape(label).lstrip("0123456789 ")
        item = next(each for each in items if each["words"] == title)
        drawn = {(year, on_day) for year, on_day in re.findall(
            r"<title>(\d{4}): (\d+ \w+)</title>", figure)}  # fmt: skip
        early, late = (_dots(item, end) for end in ("low_end", "high_end"))
        assert drawn <= early | late
        if drawn and "these weeks" not in figure:
            assert drawn >= late
            compared += 1
    assert compared


def _dots(item: dict[str, Any], end: str) -> set[tuple[str, str]]:
    answer = (item.get("sum_reached") or {}).get(end) or {}
    days = {
        dot["season"]: dt.date.fromisoformat(dot["day"])
        for dot in answer.get("year_dots", ())
        if dot["day"]
    }
    return {(season, f"{day.day} {day:%B}") for season, day in days.items()}


def test_a_later_week_is_named_and_one_that_is_over_is_refused() -> None:
    assert run(LARKHOLLOW, *ON, *WATCH, "--week", "2026-06-24").exit_code == 0
    page = page_of("sheet-larkhollow_2014_2026_f-2026-06-22.html")
    assert "week Mon 22 – Sun 28 June 2026" in page
    assert "printed Thu 11 June 2026" in page
    refused = run(LARKHOLLOW, *ON, *WATCH, "--week", "2026-06-03")
    assert refused.exit_code == 3
    assert "--on 2026-06-01" in refused.stderr
    assert not Path("sheet-larkhollow_2014_2026_f-2026-06-01.html").exists()
    refused = run(LARKHOLLOW, *ON, *WATCH, "--week", "2027-02-03")
    assert refused.exit_code == 3
    assert "another season" in refused.stderr


def test_a_book_remembers_and_the_next_sheet_says_what_moved(demo: str) -> None:
    """Printed on the 8th and on the 11th; the second names the first, its days and the cause."""
    book = ("--book", demo)
    assert run(*book, "--on", "2026-06-08", "-o", "1.html").exit_code == 0
    assert "Moved since" not in page_of("1.html")
    told = open_book(demo).announced("sheet", "2026")
    assert told
    assert {each.day.isoformat() for each in told} == {"2026-06-08"}
    assert run(*book, *ON, "-o", "2.html").exit_code == 0
    assert re.search(
        r"Moved since the last sheet</\w+>\s*(?:<p[^>]*>)?\d: Told on Mon 8 June: "
        r"any day [\d–]+ June; now any day [\d–]+ June: ",
        page_of("2.html"),
    )
    assert run(*book, *ON, "-o", "3.html").exit_code == 0
    assert page_of("3.html") == page_of("2.html")
    both = open_book(demo).announced("sheet", "2026")
    assert {each.day.isoformat() for each in both} == {"2026-06-08", "2026-06-11"}
    assert len({(each.day, each.organism, each.event, each.clock) for each in both}) == len(both)


def test_a_book_that_cannot_be_written_still_gives_its_sheet(
    demo: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    from gddcast.book.opening import Book
    from gddcast.errors import Refusal

    def refuse(*_: object, **__: object) -> None:
        raise Refusal("book.sqlite", "it is read-only", "x", "y", slug="read-only")

    monkeypatch.setattr(Book, "writing", refuse)
    done = run("--book", demo, *ON, "-o", "s.html")
    assert done.exit_code == 0
    assert "it is read-only" in done.stderr
    assert "Brackenrise Patch" in page_of("s.html")


def test_the_growers_rules_reach_the_sheet(demo: str) -> None:
    """Watered every third day from the 9th: the 12th has a box; dust is asked for again."""
    for job, day in (("watered", "2026-06-09"), ("dusted", "2026-06-06")):
        done = CliRunner().invoke(
            main, ["did", job, "row 2", "--done", day, "--book", demo, *ON]
        )  # fmt: skip
        assert done.exit_code == 0, done.stderr
    settings = Path(demo) / "book.toml"
    rules = "[looking]\nwater_every_days = 3\ndust_again_days = 7\n"
    settings.write_text(
        settings.read_text(encoding="utf-8").replace("[looking]\n", rules), encoding="utf-8"
    )
    assert run("--book", demo, *ON, "-o", "s.html").exit_code == 0
    (chores,) = re.findall(r'<section class="chores".*?</section>', page_of("s.html"), re.DOTALL)
    days = re.findall(r"<span>(\w{3})</span><span( class=\"box\")?>", chores)
    assert [day for day, box in days if box] == ["Fri"]
    assert "By your rules: dust again, row 2, from 13 Jun (7 days after dusted 6 June)." in chores


def test_without_file_or_book_it_says_how() -> None:
    refused = run(*ON)
    assert refused.exit_code == 3
    assert "gddcast setup" in refused.stderr


@pytest.mark.parametrize(
    ("on", "monday"), [("2026-06-18", "2026-06-15"), ("2026-06-19", "2026-06-22")]
)
def test_from_friday_on_it_is_next_week_s(on: str, monday: str) -> None:
    """18 June 2026 is a Thursday; the sheet and the terminal both say which week it is."""
    made = run(LARKHOLLOW, "--on", on, *WATCH)
    assert made.exit_code == 0
    (page,) = Path().glob(f"sheet-*-{monday}.html")
    is_next = on == "2026-06-19"
    assert ("Next week’s sheet" in page.read_text(encoding="utf-8")) is is_next
    assert ("gddcast sheet --week 2026-06-19" in made.stderr) is is_next
