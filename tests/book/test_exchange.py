"""A book as text and back, without loss; a shareable copy without names."""

from __future__ import annotations

import csv
import datetime as dt
import io
import tomllib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gddcast.book import announcements
from gddcast.book.exchange import ImportRefusal, export_book, import_book
from gddcast.book.opening import Book, open_book
from gddcast.errors import Refusal
from gddcast.journal.entries import Closing, Job, OwnGoal, Sighting, Sowing
from gddcast.readers.opening import data_folder
from gddcast.today.announcements import Announcement
from tests.book.places import FILE, HERE, NOW, TODAY, days, new_book

DAY = dt.date(2026, 6, 24)
NAN = float("nan")


def full_book(folder: Path) -> Book:
    """Something in every table."""
    book = new_book(folder, watch=("squash-bug",))
    told = Announcement(
        "walk", NOW, TODAY, "2026", "squash-bug", "eggs", "1 January", DAY, DAY, None, "ab12"
    )
    items = (
        Sowing("cucumber", DAY, "Ada's bed", "pale, long", False, 'the "first"', note="in\r\nfog"),
        Job("up", DAY, 'the "first"', "Ada's bed", "Ada saw it"),
        Sighting("squash-bug", "eggs", DAY, "saw", DAY - dt.timedelta(2), False, "by Ada's gate",
                 10, 3, "=1+1; ärmlich", count=0),
        Sighting("", "", DAY, "none", trap=True, nights=7, by="Ada"),
        OwnGoal("squash-bug", "eggs", 580.1234567, 570.0, 590.0, DAY, 10 / 3, 4, 10.0, 30.0,
                "single sine", "horizontal", "01-01", "three seasons"),
        Closing("squash-bug", "", DAY, "Ada pulled it all"),
    )  # fmt: skip
    for item in items:
        with book.writing(NOW, TODAY) as pen:
            pen.add(item)
            pen.announce(told)
    with book.writing(NOW, TODAY) as pen:
        pen.weather(days("2026-06-01", [10 / 3, NAN, 5], [20, 21.1, 22]), FILE)
        pen.withdraw("2026-003", "it was Ada's dog")
    return book


def test_an_export_older_than_a_column_is_read(tmp_path: Path) -> None:
    """What it could not say is unknown; a heading in the wrong place is still a fault."""
    export_book(full_book(tmp_path / "garden"), tmp_path / "copy", NOW)
    sheet = tmp_path / "copy" / "own_goal.csv"
    rows = [line.split(",") for line in sheet.read_text(encoding="utf-8").splitlines()]
    sheet.write_text("".join(f"{','.join(row[:8])}\n" for row in rows), encoding="utf-8")
    assert rows[0][7] == "note"
    (goal,) = import_book(tmp_path / "copy", tmp_path / "again").journal().goals
    assert (goal.goal, goal.kept_on, goal.lower, goal.seasons) == (580.1234567, DAY, None, None)
    sheet.write_text("".join(f"{','.join(row[:6])}\n" for row in rows), encoding="utf-8")
    with pytest.raises(ImportRefusal, match=r"own_goal\.csv, line 1: found entry, organism"):
        import_book(tmp_path / "copy", tmp_path / "third")


def test_an_export_from_before_traps_is_read(tmp_path: Path) -> None:
    """Its looks were at plants, as far as it could say, and by nobody named."""
    book = full_book(tmp_path / "garden")
    export_book(book, tmp_path / "copy", NOW)
    sheet = tmp_path / "copy" / "sighting.csv"
    with sheet.open(encoding="utf-8", newline="") as page:
        rows = list(csv.reader(page))
    assert rows[0][-3:] == ["trap", "nights", "by"]
    with sheet.open("w", encoding="utf-8", newline="") as page:
        csv.writer(page).writerows(row[:-3] for row in rows)
    then, now = import_book(tmp_path / "copy", tmp_path / "again").journal(), book.journal()
    assert then.sightings == tuple(
        replace(each, trap=False, nights=None, by=None) for each in now.sightings
    )
    assert any(each.trap for each in now.sightings)


def test_an_export_brings_everything_back(tmp_path: Path) -> None:
    """The second export is the first, byte for byte: nothing was lost, rounded or reordered."""
    book = full_book(tmp_path / "garden")
    rows = export_book(book, tmp_path / "copy", NOW)
    again = import_book(tmp_path / "copy", tmp_path / "again")
    assert again.entries() == book.entries()
    assert again.journal() == book.journal()
    assert again.settings == book.settings
    assert again.announced("walk", "2026") == book.announced("walk", "2026")
    assert (again.series().tmin.tobytes(), again.sources()) == (
        book.series().tmin.tobytes(),
        book.sources(),
    )
    assert export_book(again, tmp_path / "second", NOW) == rows
    for file in (tmp_path / "copy").iterdir():
        assert (tmp_path / "second" / file.name).read_bytes() == file.read_bytes()


text = st.text(st.characters(codec="utf-8", exclude_characters="\x00"), min_size=1, max_size=20)
maybe = st.none() | text
day = st.dates(dt.date(2000, 1, 1), TODAY)
any_item = st.one_of(
    st.builds(Sowing, text, day, maybe, maybe, st.booleans(), text, note=maybe),
    st.builds(Job, text, day, maybe, maybe, maybe),
    st.builds(
        Sighting, text, text, day, st.sampled_from(["saw", "none", "heard"]), st.none(),
        st.booleans(), maybe, st.just(10), st.integers(0, 10), maybe, count=st.none() | st.just(3),
        trap=st.booleans(), nights=st.none() | st.just(7), by=maybe,
    ),
)  # fmt: skip


@settings(max_examples=25, deadline=None, derandomize=True)
@given(st.lists(any_item, max_size=6))
def test_any_words_survive_the_way(tmp_path_factory: pytest.TempPathFactory, items: list) -> None:  # type: ignore[type-arg]
    """Commas, quotes, line ends, signs of any script."""
    folder = tmp_path_factory.mktemp("garden")
    book = new_book(folder / "one")
    for item in items:
        with book.writing(NOW, TODAY) as pen:
            pen.add(item)
    export_book(book, folder / "copy", NOW)
    assert import_book(folder / "copy", folder / "two").entries() == book.entries()


def test_a_shareable_copy_names_nobody(tmp_path: Path) -> None:
    book = full_book(tmp_path / "garden")
    export_book(book, tmp_path / "copy", NOW, shareable=True)
    whole = "".join(file.read_text(encoding="utf-8") for file in (tmp_path / "copy").iterdir())
    for word in ("Ada", "Larkhollow", '"first"', "garden.csv", "ärmlich", "19:30", "fog"):
        assert word not in whole, word
    shared = import_book(tmp_path / "copy", tmp_path / "shared")
    assert (shared.place.latitude, shared.place.longitude) == (41.2, -89.4)
    (sowing,), (job,) = shared.journal().sowings, shared.journal().jobs
    assert (sowing.name, job.sowing) == ("sowing 1", "sowing 1")  # what belonged still belongs
    assert sowing.bed == job.bed == "bed 1"
    assert (sowing.variety, sowing.sown_on) == ("pale, long", DAY)
    assert shared.series().tmin.tobytes() == book.series().tmin.tobytes()


def test_a_shareable_copy_rounds_the_place(tmp_path: Path) -> None:
    from gddcast.book.setting_text import settings_text

    book = new_book(tmp_path / "garden")
    exact = replace(HERE, latitude=41.23456, longitude=-0.04, elevation=187.0)
    text = settings_text(replace(book.settings, place=exact)) + "# Ada lives here\n"
    (book.folder / "book.toml").write_text(text, encoding="utf-8")
    export_book(open_book(book.folder), tmp_path / "copy", NOW, shareable=True)
    shared = (tmp_path / "copy" / "book.toml").read_text(encoding="utf-8")
    place = tomllib.loads(shared)["place"]
    assert (place["latitude"], place["longitude"], place["elevation_m"]) == (41.2, 0, 190)
    assert "Ada" not in shared


def test_an_export_never_mixes_with_what_is_there(tmp_path: Path) -> None:
    book = new_book(tmp_path / "garden")
    (tmp_path / "copy").mkdir()
    (tmp_path / "copy" / "letter.txt").write_text("dear")
    with pytest.raises(Refusal, match="there is something in it"):
        export_book(book, tmp_path / "copy", NOW)
    assert [file.name for file in (tmp_path / "copy").iterdir()] == ["letter.txt"]


def test_an_import_never_writes_over_a_book(tmp_path: Path) -> None:
    book = full_book(tmp_path / "garden")
    export_book(book, tmp_path / "copy", NOW)
    with pytest.raises(Refusal, match="there is a season book in it"):
        import_book(tmp_path / "copy", book.folder)
    with pytest.raises(Refusal, match="it holds no export of a season book"):
        import_book(book.folder, tmp_path / "new")
    assert not (tmp_path / "new").exists()


@pytest.mark.parametrize(
    ("file", "old", "new", "told"),
    [
        ("sowing.csv", "2026-06-24", "24.6.2026", "sowing.csv, line 3: found sown_on"),
        ("sighting.csv", "2026-003", "2026-099", "expected the name of an entry in entry.csv"),
        ("sighting.csv", ",no,", ",maybe,", "expected one of yes, no"),
        ("sighting.csv", ",10,3,", ",10,33,", "expected what the record allows"),
        ("weather_day.csv", "measured", "guessed", "expected one of unknown, measured"),
        ("weather_day.csv", ",20.0,", ",20 C,", "expected a number"),
        ("weather_day.csv", "tmin_c", "tmin_f", "expected the headings entry, day, tmin_c"),
        ("entry.csv", "2026-002", "2026-001", "expected each name once"),
        ("job.csv", ",up,", ",up,,", "found 7 cells; expected 6"),
        ("job.csv", "Ada saw it", "x" * 140_000, "job.csv, line 2: found a cell that does not end"),
        ("sighting.csv", ",10,3,", f",{10**23},3,", "expected a number of no more than 15 digits"),
        ("own_goal.csv", ",580.1234567,", f",{'5' * 400},", "expected a number"),
        ("own_goal.csv", ",01-01", ",19-39", 'found starts "19-39"; expected a day of the year'),
        ("export.toml", "sowing = 1", "sowing = 2", "sowing.csv: found 1 rows; export.toml says 2"),
    ],
)
def test_faults_of_sheets_are_told_by_file_and_line(
    tmp_path: Path, file: str, old: str, new: str, told: str
) -> None:
    book = full_book(tmp_path / "garden")
    export_book(book, tmp_path / "copy", NOW)
    sheet = tmp_path / "copy" / file
    words = sheet.read_bytes().decode()
    assert old in words
    sheet.write_bytes(words.replace(old, new, 1).encode())
    with pytest.raises(ImportRefusal) as caught:
        import_book(tmp_path / "copy", tmp_path / "again")
    assert told in str(caught.value)
    assert not (tmp_path / "again").exists()


@pytest.mark.parametrize("format_", ["[" * 5_000, "9" * 5_000, "2"], ids=["deep", "long", "later"])
def test_a_folder_that_says_it_is_no_export_is_refused(tmp_path: Path, format_: str) -> None:
    export_book(full_book(tmp_path / "garden"), tmp_path / "copy", NOW)
    about = tmp_path / "copy" / "export.toml"
    about.write_text(about.read_text().replace("format = 1", f"format = {format_}"))
    with pytest.raises(Refusal, match=r"it holds no export|its format is 2"):
        import_book(tmp_path / "copy", tmp_path / "again")


def test_a_sheet_that_is_missing_is_missed(tmp_path: Path) -> None:
    book = full_book(tmp_path / "garden")
    export_book(book, tmp_path / "copy", NOW)
    (tmp_path / "copy" / "job.csv").unlink()
    with pytest.raises(ImportRefusal, match=r"job\.csv: it is missing"):
        import_book(tmp_path / "copy", tmp_path / "again")


def test_the_demo_book_is_one_and_whole() -> None:
    """It watches cards there are; five seasons of sowings, finds, clean looks and chores."""
    from gddcast.cli.demo_book import DEMO_TODAY, demo_book
    from gddcast.readers.card_files import load_cards

    cards = load_cards()
    with demo_book() as book:
        assert book.practice(cards).watch == book.settings.watch
        journal, series = book.journal(), book.series(DEMO_TODAY)
        withdrawn = [entry for entry in book.entries() if entry.withdrawn_at]
    assert not book.folder.exists()
    for year in range(2022, 2027):
        assert any(sowing.sown_on.year == year for sowing in journal.sowings)
        kinds = {look.kind for look in journal.sightings if look.seen_on.year == year}
        assert {"saw", "none"} <= kinds
    for look in journal.sightings:
        card = cards[look.organism]
        assert card.event(look.event) is not None, look
    names = {sowing.name for sowing in journal.sowings}
    assert {job.sowing for job in journal.jobs if job.sowing} <= names
    assert {sowing.crop for sowing in journal.sowings} <= cards.keys()
    assert len(withdrawn) == 1
    assert (series.last, len(series)) == (dt.date(2026, 6, 10), 4544)


def test_the_demo_book_is_what_its_inventor_writes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The sheets can be made again, to the letter."""
    import runpy
    import shutil

    demo = data_folder() / "demo"
    for name in ("invent_book.py", "weather.csv"):
        shutil.copy(demo / name, tmp_path)
    runpy.run_path(str(tmp_path / "invent_book.py"), run_name="__main__")
    for sheet in ("entry", "withdrawal", "sighting", "sowing", "job"):
        made, kept = (folder / f"{sheet}.csv" for folder in (tmp_path, demo))
        assert made.read_bytes() == kept.read_bytes()


def test_announcement_columns_are_those_of_the_table(tmp_path: Path) -> None:
    from gddcast.book import store

    with store.reading(new_book(tmp_path).records) as connection:
        rows = connection.execute("PRAGMA table_info(announcement)").fetchall()
    assert tuple(name for _, name, *_ in rows) == ("number", *announcements.COLUMNS)


def resaved(folder: Path, how: str) -> None:
    """Every sheet as a spreadsheet saves it again."""
    for sheet in folder.glob("*.csv"):
        rows = list(csv.reader(io.StringIO(sheet.read_bytes().decode("utf-8"), newline="")))
        page = io.StringIO(newline="")
        csv.writer(page, delimiter="," if how == "utf-8-sig" else ";").writerows(rows)
        if how == "utf-16":
            page = io.StringIO(newline="")
            csv.writer(page, delimiter="\t").writerows([*rows, [""] * len(rows[0])])
        sheet.write_bytes(page.getvalue().encode(how))
    about = folder / "export.toml"
    about.write_bytes(about.read_bytes().decode("utf-8").encode("utf-8-sig"))


@pytest.mark.parametrize("how", ["utf-8-sig", "utf-16", "utf-8"])
def test_an_export_saved_again_by_a_spreadsheet_comes_back_whole(tmp_path: Path, how: str) -> None:
    """With a mark, as "Unicode text" parted by tabs, and parted by semicolons."""
    book = full_book(tmp_path / "garden")
    export_book(book, tmp_path / "copy", NOW)
    resaved(tmp_path / "copy", how)
    again = import_book(tmp_path / "copy", tmp_path / "again")
    assert again.journal() == book.journal()
    assert again.entries() == book.entries()
    np.testing.assert_array_equal(again.series().tmin, book.series().tmin)


def test_numbers_with_a_comma_for_a_point_are_read_where_no_comma_parts_cells(
    tmp_path: Path,
) -> None:
    book = full_book(tmp_path / "garden")
    export_book(book, tmp_path / "copy", NOW)
    sheet = tmp_path / "copy" / "own_goal.csv"
    rows = list(csv.reader(sheet.read_text(encoding="utf-8").splitlines()))
    rows[1] = [cell.replace(".", ",") for cell in rows[1]]
    sheet.write_text("".join(f"{';'.join(row)}\n" for row in rows), encoding="utf-8")
    assert (
        import_book(tmp_path / "copy", tmp_path / "again").journal().goals == book.journal().goals
    )


@pytest.mark.parametrize("how", ["cp1252", "cp437", "cut utf-16"])
def test_another_alphabet_is_refused_with_its_line_and_never_guessed(
    tmp_path: Path, how: str
) -> None:
    export_book(full_book(tmp_path / "garden"), tmp_path / "copy", NOW)
    sheet = tmp_path / "copy" / "sighting.csv"
    text = sheet.read_bytes().decode("utf-8")
    assert "ä" in text.splitlines()[1]
    sheet.write_bytes(text.encode("utf-16")[:-1] if how == "cut utf-16" else text.encode(how))
    with pytest.raises(ImportRefusal, match=r"sighting\.csv, line \d+: found letters") as caught:
        import_book(tmp_path / "copy", tmp_path / "again")
    where, expected, cure = str(caught.value).splitlines()[:3]
    assert "a sheet has a fault" in where
    assert "save it as “CSV UTF-8”" in expected
    assert "no book was made" in cure
    assert not (tmp_path / "again").exists()
    if how != "cut utf-16":
        assert "line 2: found letters that are not UTF-8" in expected
