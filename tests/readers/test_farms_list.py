"""The list of farms: defaults, files beside it, faults of one farm and of all."""

from __future__ import annotations

from pathlib import Path

import pytest

from gddcast.errors import Refusal
from gddcast.readers.farms_list import holds_farms, list_text, read_farms
from gddcast.readers.farms_table import farms_in_table
from gddcast.toml.faults import FaultsRefusal
from tests.farms.twelve import farm


def _write(folder: Path, name: str, text: str = "") -> None:
    (folder / name).parent.mkdir(exist_ok=True)
    (folder / name).write_text(text, encoding="utf-8")


def test_a_farm_takes_from_the_list_what_it_does_not_say(tmp_path: Path) -> None:
    _write(tmp_path, "farms.toml", """show = "C"
watch = ["squash-bug"]
[place]
latitude = 41.2
longitude = -89.4
timezone = "America/Chicago"
[farm.Brook]
file = "b.csv"
latitude = -38.0
unit = "F"
dates = "day-first"
watch = ["squash-vine-borer"]
neighbour = "Mill"
[farm.Mill]
""")  # fmt: skip
    _write(tmp_path, "Mill.tsv")
    listed = read_farms(tmp_path)
    brook, mill = listed.farms
    assert (listed.show, listed.watch) == ("C", ("squash-bug",))
    assert (brook.place.latitude, brook.place.longitude) == (-38.0, -89.4)
    assert brook.place.timezone == "America/Chicago"
    assert brook.place.season_begins == (7, 1)
    assert (brook.unit, brook.dates, brook.neighbour) == ("F", "day-first", "Mill")
    assert brook.watch == ("squash-vine-borer",)
    assert (mill.file, mill.watch, mill.place.latitude) == ("Mill.tsv", None, 41.2)
    assert mill.place.season_begins == (1, 1)


def test_files_and_books_not_listed_count_under_their_own_names(tmp_path: Path) -> None:
    _write(tmp_path, "farms.toml", 'leave_out = ["list.csv"]\n[farm.Brook]\nfile = "b.csv"\n')
    for name in ("b.csv", "list.csv", "Pond.csv", ".hidden.csv", "notes.md", "Mill/book.toml",
                 "Mill.csv", "empty/readme.txt"):  # fmt: skip
        _write(tmp_path, name)
    listed = read_farms(tmp_path)
    # Mill.csv is what the book of that name was filled from.
    assert [(each.name, each.file, each.is_book) for each in listed.farms] == [
        ("Brook", "b.csv", False), ("Mill", "Mill", True), ("Pond", "Pond.csv", False),
    ]  # fmt: skip


def test_a_fault_in_one_farm_s_table_is_that_farm_s(tmp_path: Path) -> None:
    _write(tmp_path, "farms.toml", '[farm.Brook]\nunit = "X"\n[farm.Mill]\nfile = "m.csv"\n')
    listed = read_farms(tmp_path)
    faults = {each.name: each.fault for each in listed.farms}
    assert faults["Mill"] is None
    assert isinstance(faults["Brook"], FaultsRefusal)
    assert "line 2" in faults["Brook"].expected
    assert '"F", "C", "K" or "tenths-C"' in faults["Brook"].expected


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[place]\nlatitude = 141\n", "a number from -90 to 90"),
        ("watch = 3\n", "a list of card names"),
        ("[farms.Brook]\n", "a table nobody knows"),
        ("show = F\n", "a line of TOML"),
        ("farm = 3\n", "a table"),
    ],
)
def test_a_fault_of_the_list_itself_is_the_list_s(tmp_path: Path, text: str, said: str) -> None:
    _write(tmp_path, "farms.toml", text)
    _write(tmp_path, "Brook.csv")
    with pytest.raises(FaultsRefusal, match=r"farms\.toml") as refused:
        read_farms(tmp_path)
    assert said in str(refused.value)


def test_no_folder_and_no_farm_are_refused_with_the_way_to_make_one(tmp_path: Path) -> None:
    with pytest.raises(Refusal, match="there is no such folder"):
        read_farms(tmp_path / "nowhere")
    with pytest.raises(Refusal, match="farms setup"):
        read_farms(tmp_path)
    assert not holds_farms(tmp_path)
    _write(tmp_path, "Brook.csv")
    assert holds_farms(tmp_path)
    _write(tmp_path, "book.toml")
    assert not holds_farms(tmp_path)  # a season book of one place


def test_a_farm_is_found_by_name_in_any_case_or_its_near_one_is_named(tmp_path: Path) -> None:
    _write(tmp_path, "Two Ponds.csv")
    listed = read_farms(tmp_path)
    assert listed.named("two ponds").file == "Two Ponds.csv"
    with pytest.raises(Refusal, match="Did you mean 'Two Ponds'"):
        listed.named("Two Pond")


def test_one_file_of_several_sites_is_a_farm_a_site(tmp_path: Path) -> None:
    rows = ["site,date,max_c,min_c"]
    for number, site in enumerate(("North", "South")):
        series = farm(number).between("2026-05-01", "2026-05-20")
        rows += [
            f"{site},{day},{high:.1f},{low:.1f}"
            for day, high, low in zip(series.dates, series.tmax, series.tmin, strict=True)
        ]
    _write(tmp_path, "all.csv", "\n".join(rows) + "\n")
    listed = read_farms(tmp_path / "all.csv")
    assert [(each.name, each.site, each.file) for each in listed.farms] == [
        ("North", "North", "all.csv"), ("South", "South", "all.csv"),
    ]  # fmt: skip


def test_a_list_that_is_written_says_what_it_was_given(tmp_path: Path) -> None:
    farms = {'The "Old" Mill': {"file": "m.csv", "latitude": 41.5, "watch": ["squash-bug"]}}
    text = list_text({"show": "C", "leave_out": None}, {"timezone": "UTC"}, farms)
    _write(tmp_path, "farms.toml", text)
    (mill,) = read_farms(tmp_path).farms
    assert (mill.name, mill.file, mill.place.latitude) == ('The "Old" Mill', "m.csv", 41.5)
    assert (mill.place.timezone, mill.watch) == ("UTC", ("squash-bug",))


def test_a_table_s_rows_become_farms_whatever_parts_its_cells(tmp_path: Path) -> None:
    _write(tmp_path, "list.csv", "Name;file;latitude;watch\nBrook;b.csv;41.2;\n\nMill;;;\n")
    assert farms_in_table(tmp_path / "list.csv") == {
        "Brook": {"file": "b.csv", "latitude": 41.2}, "Mill": {},
    }  # fmt: skip
    _write(tmp_path, "list.csv", 'name,watch\nBrook,"squash-bug; kale"\n')
    assert farms_in_table(tmp_path / "list.csv")["Brook"] == {"watch": ["squash-bug", "kale"]}


def test_every_fault_of_a_table_is_named_by_its_line(tmp_path: Path) -> None:
    rows = "name,latitude,unit\nBrook,north,F\nMill,41,Q\nMill,41,F\n,41,F\n"
    _write(tmp_path, "list.csv", rows)
    with pytest.raises(FaultsRefusal, match="it has 4 faults") as refused:
        farms_in_table(tmp_path / "list.csv")
    assert [each.line for each in refused.value.faults] == [2, 3, 4, 5]


@pytest.mark.parametrize(
    ("text", "said"),
    [("file\nb.csv\n", "no column of names"), ("name,phone\nB,1\n", "a column 'phone'"),
     ("name\n", "no row")],
)  # fmt: skip
def test_a_table_of_something_else_is_refused(tmp_path: Path, text: str, said: str) -> None:
    _write(tmp_path, "list.csv", text)
    with pytest.raises(Refusal, match=said):
        farms_in_table(tmp_path / "list.csv")


def test_a_disk_that_parts_letters_from_their_accents_makes_no_second_farm(tmp_path: Path) -> None:
    """As a folder copied from a Mac: the list says Östra in one letter, the disk in two."""
    one, two = "\u00d6stra", "O\u0308stra"
    (tmp_path / "farms.toml").write_text(f'[farm."{one}"]\nunit = "C"\n', encoding="utf-8")
    (tmp_path / f"{two}.csv").write_text("date,max_c,min_c\n2026-05-01,20,9\n", encoding="utf-8")
    (farm,) = read_farms(tmp_path).farms
    assert (farm.name, farm.file, farm.unit) == (one, f"{two}.csv", "C")
    assert read_farms(tmp_path).named(two.lower()) == farm
    text = f'[farm."{one}"]\nfile = "{one}.csv"\n'
    (tmp_path / "farms.toml").write_text(text, encoding="utf-8")
    assert len(read_farms(tmp_path).farms) == 1


def test_files_that_differ_in_capitals_are_two_farms(tmp_path: Path) -> None:
    (tmp_path / "a.csv").write_text("")
    if (tmp_path / "A.csv").exists():
        pytest.skip("a disk that keeps no capitals apart")
    (tmp_path / "A.csv").write_text("")
    (tmp_path / "farms.toml").write_text('[farm.ash]\nfile = "a.csv"\n')
    assert [each.file for each in read_farms(tmp_path).farms] == ["a.csv", "A.csv"]


def test_a_list_with_the_line_ends_of_windows_is_the_same(tmp_path: Path) -> None:
    text = 'show = "F"\n[farm."Two Ponds"]\nfile = "p.csv"\nlatitude = 41.2\n'
    (tmp_path / "farms.toml").write_bytes(text.encode())
    unix = read_farms(tmp_path).farms
    (tmp_path / "farms.toml").write_bytes(b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode())
    assert read_farms(tmp_path).farms == unix


@pytest.mark.parametrize("book", ["tp", "Two Ponds"])
def test_a_book_called_as_a_farm_or_its_file_is_that_farm_s(tmp_path: Path, book: str) -> None:
    _write(tmp_path, "farms.toml", '[farm."Two Ponds"]\nfile = "tp.csv"\n')
    _write(tmp_path, "tp.csv")
    assert [(each.file, each.is_book) for each in read_farms(tmp_path).farms] == [("tp.csv", False)]
    _write(tmp_path, f"{book}/book.toml")
    (ponds,) = read_farms(tmp_path).farms
    assert (ponds.name, ponds.file, ponds.is_book) == ("Two Ponds", book, True)


def test_what_only_stands_in_the_folder_is_told_from_what_is_listed(tmp_path: Path) -> None:
    _write(tmp_path, "farms.toml", '[farm.Brook]\nfile = "b.csv"\n')
    _write(tmp_path, "Pond.csv")
    assert [each.is_listed for each in read_farms(tmp_path).farms] == [True, False]


def test_a_folder_that_may_not_be_looked_into_hides_no_other(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _write(tmp_path, "Pond.csv")
    (tmp_path / "Locked").mkdir()
    is_file = Path.is_file

    def locked(path: Path) -> bool:
        if path.parent.name == "Locked":
            raise PermissionError(13, "Permission denied")
        return is_file(path)

    monkeypatch.setattr(Path, "is_file", locked)
    found = {each.name: each.is_book for each in read_farms(tmp_path).farms}
    assert found == {"Locked": True, "Pond": False}
