"""Writing it down: days as people say them, today's list, a paper sheet, second thoughts."""

from __future__ import annotations

import csv
import datetime as dt
import re
from html import unescape
from pathlib import Path

import pytest

from gddcast.book.opening import Book, open_book
from gddcast.journal.entries import Sighting
from gddcast.readers.opening import data_folder
from tests.acceptance.terminal import WHOLE, at_a_terminal, flat, refused, run, setting

ON = ("--on", "2026-07-02")
BORER = "squash-vine-borer"
BEETLE = "striped-cucumber-beetle"


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Book:
    """Larkhollow to 1 July 2026, two beds, three pests watched; we are in its folder's parent."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("GDDCAST_BOOK", raising=False)
    rows = WHOLE.read_text(encoding="utf-8").splitlines(keepends=True)
    Path("garden.csv").write_text(
        "".join(row for row in rows if row < "2026-07-02" or not row[0].isdigit())
    )
    run("setup", "--book", "patch", "--name", "Larkhollow", "--at", "41.2,-89.4",
        "--timezone", "America/Chicago", "--show", "F", "--no-input")  # fmt: skip
    setting(Path("patch"), "watch = []", f'watch = ["{BORER}", "squash-bug", "{BEETLE}"]')
    # A card of the book's own: its cue still holds in July, so that three pests are due.
    card = (data_folder() / "pests" / f"{BEETLE}.toml").read_text(encoding="utf-8")
    Path("patch/cards").mkdir()
    Path(f"patch/cards/{BEETLE}.toml").write_text(
        card.replace('latest = "30 June"', 'latest = "31 August"'), encoding="utf-8"
    )
    run("weather", "add", "garden.csv", *ON)
    run("did", "sown", "summer-squash", "--bed", "row 2", "--done", "20 May", *ON)
    run("did", "sown", "cucumber", "--bed", "row 4", "--done", "5/25", *ON)
    return open_book("patch")


def looks(book: Book) -> list[tuple[str, str, str, str | None]]:
    return [(each.kind, each.organism, each.event, each.where) for each in book.journal().sightings]


def terminal(answers: list[str], *words: str) -> tuple[int, str]:
    code, screen, asked = at_a_terminal(words, answers, Path())
    assert asked == len(answers), screen
    return code, screen


# --- dates ----------------------------------------------------------------------------------------


def test_a_day_is_typed_as_people_say_it_and_said_back_in_full(book: Book) -> None:
    for typed, said in (
        ("Wed", "Wed 1 July 2026"), ("yesterday", "Wed 1 July 2026"), ("3 days ago", "Mon 29 June"),
        ("June 28", "Sun 28 June 2026"), ("Sat 27 June 2026", "Sat 27 June 2026"),
        ("6/26", "Fri 26 June 2026"),
    ):  # fmt: skip
        told = run("saw", "none", "--seen", typed, "--yes", *ON).stdout
        assert said in told
    assert book.journal().sightings[-1].seen_on == dt.date(2026, 6, 26)


def test_the_day_it_is_pretended_to_be_is_read_first(book: Book) -> None:
    """Wherever --on stands among the words; and --on itself is the nearest such day."""
    for words in (("--seen", "Mon", *ON), (*ON, "--seen", "Mon")):
        assert "Mon 29 June 2026" in run("saw", "none", *words, "--yes").stdout
    said = run("walk", "--on", "2 July 2026").stdout
    assert "Thu 2 July 2026" in said


def test_numbers_two_ways_are_asked_unless_the_book_s_habit_says(book: Book) -> None:
    words = ("saw", "none", "--seen", "6/7", *ON)
    told = run(*words, code=2).stderr
    assert "'6/7' is 6 July 2025 or 7 June 2026. Write the month as a word." in told
    setting(book.folder, '# number_order = "month-first"', 'number_order = "month-first"')
    assert "Sun 7 June 2026" in run(*words).stdout
    assert book.journal().sightings[-1].seen_on == dt.date(2026, 6, 7)


def test_a_week_is_the_coming_one_and_a_season_begins_on_words(book: Book) -> None:
    run("sheet", "--week", "Mon", *ON)
    assert Path("sheet-larkhollow-2026-07-06.html").exists()
    run("setup", "--book", "south", "--name", "South", "--at", "-41.2,147.1", "--timezone",
        "Australia/Hobart", "--show", "C", "--season-begins", "1 August", "--no-input")  # fmt: skip
    assert open_book("south").place.season_begins == (8, 1)


def test_today_is_that_of_the_book_s_place(book: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of a file it is this machine's; a word that needs no today asks for none."""
    asked: list[str | None] = []

    def clock(place: object = None) -> dt.date:
        asked.append(getattr(place, "timezone", None))
        return dt.date(2026, 7, 2)

    monkeypatch.setattr("gddcast.cli.clock.today_at", clock)
    run("did", "watered", "row 2", "--done", "yesterday")
    assert asked[0] == "America/Chicago"
    asked.clear()
    run("heat", "garden.csv", "--lower", "50F", "--from", "yesterday", *ON)
    assert asked == []
    run("heat", "garden.csv", "--lower", "50F", "--from", "24 June")
    assert asked[0] is None


# --- the round ------------------------------------------------------------------------------------


def test_a_round_of_today_s_list_bed_by_bed(book: Book) -> None:
    """None, one find with its plants, and what is logged is not asked again."""
    on = ("--on", "2026-06-25")
    code, screen = terminal(["n", "", "y", "3/10", "", "n"], "saw", *on)
    assert code == 0, screen
    assert screen.index("row 2\n") < screen.index("row 4\n")
    assert "Thu 25 June 2026 · 4 looks in 2 beds" in screen
    assert "Logged 3 entries, 1 look left" in screen
    assert looks(book) == [
        ("none", BORER, "", "row 2"), ("saw", "squash-bug", "eggs", "row 2"),
        ("none", BEETLE, "", "row 4"),
    ]  # fmt: skip
    find = book.journal().sightings[1]
    assert (find.plants_with, find.plants_looked, find.sure) == (3, 10, True)
    code, screen = terminal([""], "saw", *on)
    assert "1 look in 1 bed" in screen


def test_a_round_goes_the_way_of_the_walk_and_asks_in_its_words(book: Book) -> None:
    """Beds as their grower walks them, row 4 before the one sown first."""
    setting(book.folder, "order = []", 'order = ["row 4", "row 2"]')
    on = ("--on", "2026-06-25")
    walk = run("walk", *on).stdout
    assert walk.index("Row 4: cucumber") < walk.index("Row 2: summer squash")
    code, screen = terminal(["stop"], "saw", *on)
    assert code == 0, screen
    assert "row 4\n  striped cucumber beetle: overwintered beetles?" in screen


def test_a_round_that_is_stopped_keeps_what_was_confirmed(book: Book) -> None:
    code, screen = terminal(["n", "undo", "n", "stop"], "saw", *ON)
    assert code == 0, screen
    assert "Withdrawn: entry 2026-004." in screen
    assert "Logged 1 entry, 3 looks left:  gddcast saw     Undo the last:  gddcast undo" in screen
    assert [each.entry for each in book.journal().sightings] == ["2026-005"]
    said = run("undo", *ON).stdout
    assert said.startswith("Withdrawn: clean look for squash vine borer, row 2, Thu 2")


def test_ctrl_c_keeps_it_too(book: Book) -> None:
    """The end of what is typed is the same interruption as Ctrl-C; the book is whole."""
    code, screen = terminal(["n", "\x04"], "saw", *ON)
    assert code == 0, screen
    assert "Stopped; what was confirmed is in the book." in screen
    assert looks(book) == [("none", BORER, "", "row 2")]


def test_what_is_refused_in_a_round_is_asked_again(book: Book) -> None:
    code, screen = terminal(["y", "11/10", "3/10", "2 July", "n", "stop"], "saw", *ON)
    assert code == 0, screen
    assert "11 of 10 plants can’t be" in screen
    assert "it is not before the find" in screen
    assert "Logged: a clean look for squash vine borer, row 2" in screen


def test_nobody_to_ask_is_told_the_long_form(book: Book) -> None:
    told = refused("saw", *ON)
    assert "gddcast saw PEST STAGE" in told
    assert looks(book) == []


# --- the sheet ------------------------------------------------------------------------------------


def test_paper_and_table_agree_on_numbers(book: Book) -> None:
    """The number printed beside a row is the number in the table, and both name the same pest."""
    run("sheet", "-o", "s.html", "--csv", "s.csv", *ON)
    page = unescape(Path("s.html").read_text(encoding="utf-8"))
    row = re.compile(r'<h2><span class="number">(\d+)</span><svg.*?</svg>([^<]+)</h2>', re.DOTALL)
    printed = row.findall(page)
    table = list(csv.DictReader(Path("s.csv").read_text(encoding="utf-8").splitlines()))
    assert len(printed) >= 2
    for number, title in printed:
        pests = {row["pest"] for row in table if row["number"] == number}
        assert pests == {title.lower().replace(" ", "-")}
    beds = [(row["pest"], row["bed"]) for row in table]
    assert (BEETLE, "row 2") in beds
    assert (BEETLE, "row 4") in beds
    assert all(not row[name] for row in table for name in ("day", "looked", "saw", "count", "note"))


def test_neither_is_written_where_one_may_not_be(book: Book) -> None:
    Path("s.html").write_text("mine")
    refused("sheet", "-o", "s.html", "--csv", "s.csv", *ON)
    assert not Path("s.csv").exists()


def filled(saw: dict[tuple[str, str], tuple[str, str, str]]) -> None:
    """Fill day, looked and saw into the table's rows by pest and bed."""
    rows = list(csv.reader(Path("s.csv").read_text(encoding="utf-8").splitlines()))
    for row in rows[1:]:
        row[4:7] = saw.get((row[1], row[3]), ("", "", ""))
    with Path("s.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(rows)


def test_a_filled_sheet_is_entered_whole_or_not_at_all(book: Book) -> None:
    run("sheet", "-o", "s.html", "--csv", "s.csv", *ON)
    rows = {("squash-bug", "row 2"): ("Thu", "10", "3"), (BEETLE, "row 4"): ("Wed", "12", "0")}
    filled({**rows, (BEETLE, "row 2"): ("3 July 2026", "12", "0")})
    told = refused("saw", "--from", "s.csv", *ON)
    assert "line 2 (row 1): the day 2026-07-03: it is in the future" in told
    assert looks(book) == []
    filled(rows)
    said = run("saw", "--from", "s.csv", *ON).stdout
    assert said.startswith("Logged: 1 find, 1 clean look; 2 rows left empty.  [entry 2026-004 to")
    assert "squash bug eggs, row 2, Thu 2 July 2026  [entry 2026-004]" in said
    assert looks(book) == [("saw", "squash-bug", "eggs", "row 2"), ("none", BEETLE, "", "row 4")]
    # Once more is asked, and one undo takes one row.
    assert "the same is on record already" in refused("saw", "--from", "s.csv", *ON)
    run("saw", "--from", "s.csv", "--yes", *ON)
    run("undo", *ON)
    assert len(looks(book)) == 3


def test_a_bed_that_a_spreadsheet_would_run_comes_back_as_it_is(book: Book) -> None:
    run("did", "sown", "summer-squash", "--bed", "=1+2", "--done", "21 May", *ON)
    run("sheet", "-o", "s.html", "--csv", "s.csv", *ON)
    assert ",'=1+2," in Path("s.csv").read_text(encoding="utf-8")
    filled({("squash-bug", "'=1+2"): ("Thu", "10", "0")})
    run("saw", "--from", "s.csv", *ON)
    assert looks(book) == [("none", "squash-bug", "", "=1+2")]


def test_a_sheet_that_says_a_thing_twice_or_nothing_is_refused(book: Book) -> None:
    Path("s.csv").write_text("pest,stage,saw\nsquash-bug,eggs,x\nsquash-bug,eggs,x\n")
    told = refused("saw", "--from", "s.csv", "--seen", "today", *ON)
    assert "line 3: found what an earlier line says" in told
    Path("s.csv").write_text("pest,stage,saw\nsquash-bug,eggs,\n")
    assert "nothing is filled in" in refused("saw", "--from", "s.csv", *ON)
    assert "not both" in run("saw", "squash-bug", "--from", "s.csv", *ON, code=2).stderr


# --- are you sure? --------------------------------------------------------------------------------


def test_a_find_long_before_any_year_is_asked_about(book: Book) -> None:
    """The fastest past year has adults in May; 1 March is a slip, or a record."""
    early = ("saw", "--elsewhere", BORER, "moths", "--seen", "24 May", *ON)
    told = refused(*early)
    assert re.search(r"the find of Sun 24 May 2026: that is \d\d days before the fastest", told)
    assert told.rstrip().endswith(" --yes")
    assert looks(book) == []
    for answer, kept in (("n", 0), ("y", 1)):
        code, screen = terminal(["several", "", answer], *early)
        assert code == 0, screen
        assert ("Nothing was written." in screen) == (answer == "n")
        assert len(looks(book)) == kept


def test_a_reading_its_month_has_never_shown_is_asked_about(book: Book) -> None:
    """29/16 typed into a book of °F."""
    note = ("weather", "note", "--high", "29", "--low", "16", *ON)
    told = flat(refused(*note))
    assert "a high of 29 °F and a low of 16 °F is what no July of this record has shown" in told
    assert "If you read °C: --unit C" in told
    assert len(book.entries()) == 3
    assert "high 29.0 °C" in run(*note, "--unit", "C").stdout
    assert run(*note, "--yes").exit_code == 0
    assert book.series(dt.date(2026, 7, 3)).tmax[-1] == pytest.approx(-1.667, rel=0, abs=1e-3)


def test_undo_asks_where_it_is_much_and_redo_takes_it_back(book: Book) -> None:
    before = run("walk", *ON).stdout
    told = flat(refused("undo", "2026-001", *ON))
    assert re.search(r"this undo of entry 2026-001: it is 4,565 days of weather\.", told)
    assert "It would withdraw: weather from garden.csv, 4,565 days from 1 January 2014 to" in told
    assert book.weather() is not None
    code, screen = terminal(["n"], "undo", "2026-001", *ON)
    assert (code, "Nothing was written." in screen) == (0, True)
    assert "gddcast redo" in run("undo", "2026-001", "--yes", *ON).stdout
    assert book.weather() is None
    assert "Back again: weather from garden.csv, 4,565 days" in run("redo", *ON).stdout
    assert run("walk", *ON).stdout == before
    assert "no entry is withdrawn" in refused("redo", *ON)


def test_undo_asks_where_it_is_old(book: Book) -> None:
    """By this computer's clock, which dated it."""
    with book.writing(dt.datetime(2025, 5, 1, 8, tzinfo=dt.UTC), dt.date(2025, 5, 1),
                      trust_clock=True) as pen:  # fmt: skip
        pen.add(Sighting("squash-bug", "eggs", dt.date(2025, 5, 1)))
    told = flat(refused("undo", *ON))
    assert "it was written on Thu 1 May 2025" in told
    assert "It would withdraw: squash bug eggs, Thu 1 May 2025." in told
    run("undo", "--yes", *ON)
    # One of today goes without a question.
    run("saw", "none", *ON)
    assert run("undo", *ON).stdout.startswith("Withdrawn: clean look")
