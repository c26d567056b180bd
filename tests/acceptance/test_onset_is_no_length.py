"""No surface lets the doubt about a start be read as a length of time.

Spans of days stand in three kinds of sentence: with "any day", a count of years or a share before
them, where something may start; with a word of lasting, where something lasts; with a word of the
past, where it is over. A span that stands bare, or in words not listed here, fails: people take it
for a duration (Joslyn and Savelli, 2021, on spans drawn and written; common reading of calendars).
"""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import pytest

from tests.acceptance.terminal import TO_JUNE, WHOLE, run

MONTHS = "January|February|March|April|May|June|July|August|September|October|November|December"
WEEKDAY = "(?:(?:Mon|Tue|Wed|Thu|Fri|Sat|Sun) )?"
SPAN = re.compile(
    rf"{WEEKDAY}\d{{1,2}}(?: (?:{MONTHS}))?(?: \d{{4}})? ?– ?{WEEKDAY}\d{{1,2}} (?:{MONTHS})\b"
)
#: On one day of the span it may start.
STARTS = r"[Aa]ny day|\d+ of \d+ give|\d\d ?% give|\d\d ?%:"
#: It lasts as long as the span.
LASTS = r"week|walks of|small|in flower|up to first pick|bearing|harvest|sow the next|goes on until"
#: It is over, and the span says between which days, or for how long, it was so.
PAST = r"[Bb]egan(?: between)?|Worth knowing:|patched:?|missing:?|now [^:]+:"
KNOWN = re.compile(rf"(?:{STARTS}|{LASTS}|{PAST})\W*$")
COUNTED = re.compile(r" \((?:\d+ of \d+|\d\d %)\)")
BLOCK = "\N{PILCROW SIGN}"


def plain(page: str) -> str:
    """The words of a page, its blocks and cells parted."""
    page = re.sub(r"<style.*?</style>", " ", page, flags=re.DOTALL)
    page = re.sub(r"</?(?:b|strong|em|span|small|tspan)\b[^>]*>", "", page)
    return unescape(re.sub(r"<[^>]+>", f" {BLOCK} ", page))


def bare(words: str) -> list[str]:
    """Spans before which nothing says of which kind they are."""
    words = " ".join(words.split())
    return [
        words[max(0, found.start() - 60) : found.end() + 20]
        for found in SPAN.finditer(words)
        if not KNOWN.search(words[max(0, found.start() - 60) : found.start()])
        and not COUNTED.match(words[found.end() :])
    ]


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("GDDCAST_BOOK", raising=False)
    run("demo", "--copy", "patch")
    return tmp_path


PRINTED = [
    ("walk", "--book", "patch"), ("walk", "--full", "--book", "patch"),
    ("ahead", "--book", "patch"), ("ahead", TO_JUNE),
    ("ahead", "--full", "--book", "patch"), ("ahead", "--full", TO_JUNE),
    ("ahead", "--book", "patch", "--since", "2026-06-01"),
    ("why", TO_JUNE, "squash-vine-borer"), ("why", "--book", "patch", "squash-bug"),
    ("sow", "plan", "--book", "patch", "--crop", "sweet-corn"),
    ("sow", "plan", TO_JUNE, "--crop", "summer squash", "--sown", "2026-05-20"),
    ("saw", "squash-bug", "eggs", "--book", "patch"),
]  # fmt: skip


@pytest.mark.parametrize("command", PRINTED, ids=lambda each: " ".join(map(str, each))[-40:])
def test_on_the_screen(here: Path, command: tuple[str, ...]) -> None:
    shown = run(*command, "--on", "2026-06-11").stdout
    assert SPAN.search(" ".join(shown.split()))
    assert bare(shown) == []


def test_in_a_table_of_seasons(here: Path) -> None:
    """Past rows hold brackets under "seen"; this season's row what may come."""
    table = run("seasons", "--book", "patch", "--pest", "squash-vine-borer", "--on", "2026-06-11")
    (this,) = (line for line in table.stdout.splitlines() if line.startswith("> 2026  "))
    assert "any day" in this
    assert bare(this) == []


@pytest.mark.parametrize("on", ["2026-05-02", "2026-06-11", "2026-07-30"])
@pytest.mark.parametrize("surface", ["report", "sheet"])
def test_on_a_page(here: Path, surface: str, on: str) -> None:
    run(surface, WHOLE, "--on", on, "-o", "page.html")
    shown = plain(Path("page.html").read_text(encoding="utf-8"))
    assert SPAN.search(" ".join(shown.split()))
    assert bare(shown) == []


def test_in_a_calendar(here: Path) -> None:
    run("calendar", "--book", "patch", "--on", "2026-06-11", "-o", "reminders.ics")
    lines = Path("reminders.ics").read_bytes().decode().replace("\r\n ", "")
    assert "any day" in lines
    assert bare(lines.replace("\\", "")) == []
