"""What people's machines and files hold is never called a fault of ours."""

from __future__ import annotations

import datetime as dt
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from hypothesis import given, settings
from hypothesis import strategies as st

from gddcast.book.opening import open_book
from gddcast.cli import main
from gddcast.cli.opening import open_reading

GARDEN = Path(__file__).parents[1] / "samples" / "larkhollow_2014_2026_f.csv"
ON = ("--on", "2026-06-11")
SETUP = ("setup", "--book", "patch", "--timezone", "UTC", "--show", "F", "--no-input", "--name")
FETCHED = "# made by: gddcast weather fetch, 2026-06-01\n"


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder, and we are in it."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("GDDCAST_BOOK", raising=False)
    return tmp_path


def ran(*words: str) -> Result:
    return CliRunner().invoke(main, words)


def test_a_name_with_blanks_round_it_is_kept_without_them() -> None:
    assert ran(*SETUP, "  Larkhollow \t Patch \n").exit_code == 0
    assert open_book("patch").place.name == "Larkhollow Patch"
    assert ran("setup", "--book", "patch", "--name", " Pond ").exit_code == 0
    assert open_book("patch").place.name == "Pond"


@pytest.mark.parametrize(
    ("name", "found"),
    [("x" * 400, "it has 400 letters"), ("   ", "it is empty"), ("a\x1bb", "it can’t be printed"),
     ("a\u202eb", "it can’t be printed")],
)  # fmt: skip
def test_a_name_that_fits_no_page_is_refused(name: str, found: str, here: Path) -> None:
    answer = ran(*SETUP, name)
    assert answer.exit_code == 3
    assert f": {found}.\n  It stands over every page" in answer.stderr
    assert not list(here.iterdir())


def test_a_long_name_makes_a_folder_that_a_disk_takes() -> None:
    words = [word for word in SETUP if word not in ("--book", "patch")]
    answer = ran(*words, "北" * 100)
    assert answer.exit_code == 0, answer.output
    (folder,) = (each for each in Path().iterdir() if each.is_dir())
    assert open_book(folder).place.name == "北" * 100


@settings(max_examples=25, deadline=None)
@given(st.text(max_size=120))
def test_any_name_makes_a_book_or_is_refused(name: str) -> None:
    shutil.rmtree("patch", ignore_errors=True)
    answer = ran(*SETUP, name)
    assert answer.exit_code in (0, 3), answer.output
    assert "fault of gddcast" not in answer.stderr
    assert (answer.exit_code == 0) == Path("patch").exists()


@pytest.mark.parametrize("epoch", ["soon", "", "-1", "1e9", "9" * 30])
def test_a_bad_source_date_epoch_is_nothing_to_us(epoch: str) -> None:
    """Reproducible builds set it; libraries that draw read it and stumble."""
    words = ["chart", "day-curve", "--high", "90F", "--low", "60F", "--lower", "50F", "--force"]
    made = []
    for env in ({}, {"SOURCE_DATE_EPOCH": epoch}):
        answer = subprocess.run(
            [sys.executable, "-m", "gddcast", *words, "-o", "a.pdf"], check=False, timeout=90,
            env={**{k: v for k, v in os.environ.items() if k != "SOURCE_DATE_EPOCH"}, **env},
            capture_output=True,
        )  # fmt: skip
        assert answer.returncode == 0, answer.stderr
        made.append(Path("a.pdf").read_bytes())
    assert made[0] == made[1]


@pytest.mark.parametrize(
    "line",
    [
        "# place: My garden",
        "# place: 999,2",
        "# place: nan,nan",
        "# timezone: Mars/Olympus",
        "# station: no",
        "# place: -41,174",
    ],
)
def test_a_remark_in_somebodys_file_is_a_remark(line: str) -> None:
    """It moves nothing: every answer is that of the file without it."""
    text = GARDEN.read_text(encoding="utf-8")
    Path("garden.csv").write_text(text, encoding="utf-8")
    plain = {words: ran(*words).stdout for words in COMMANDS}
    Path("garden.csv").write_text(f"{line}\n{text}", encoding="utf-8")
    for words, said in plain.items():
        answer = ran(*words)
        assert answer.exit_code == 0, answer.stderr
        assert answer.stdout == said


COMMANDS = (
    ("ahead", "garden.csv", "--watch", "squash-bug", *ON),
    ("seasons", "garden.csv", *ON),
)  # fmt: skip


@pytest.mark.parametrize(
    ("line", "found"),
    [("# place: My garden", "'My garden' is not a point"), ("# place: 999,2", "no place on earth"),
     ("# place: nan,nan", "no place on earth"), ("# timezone: Mars/Olympus", "nobody knows")],
)  # fmt: skip
def test_a_line_of_our_own_that_was_spoilt_is_said(line: str, found: str) -> None:
    head, _, rest = GARDEN.read_text(encoding="utf-8").partition("\n")
    Path("garden.csv").write_text(f"{FETCHED}{line}\n{head}\n{rest}", encoding="utf-8")
    answer = ran("ahead", "garden.csv", "--watch", "squash-bug", *ON)
    assert answer.exit_code == 3
    assert answer.stderr.startswith(f"Can’t use garden.csv: its line '{line}' can’t be used.")
    assert found.lower() in answer.stderr.lower()
    with_place = ("ahead", "garden.csv", "--at", "41.2,-89.4", "--watch", "squash-bug", *ON)
    assert ran(*with_place).exit_code == 0


def test_our_own_lines_still_say_where_a_file_was_made() -> None:
    """South of the equator seasons begin in July."""
    text = GARDEN.read_text(encoding="utf-8")
    said = f"# place: -41.2,174.5\n# timezone: Pacific/Auckland\n{text}"
    for head, place in (
        (FETCHED, (-41.2, 174.5, "Pacific/Auckland", (7, 1))), ("", (None, None, None, (1, 1))),
    ):  # fmt: skip
        Path("garden.csv").write_text(head + said, encoding="utf-8")
        found = open_reading(Path("garden.csv"), on=dt.date(2026, 6, 11))[0].series.place
        assert (found.latitude, found.longitude, found.timezone, found.season_begins) == place


def test_a_spoilt_station_line_is_no_reason_to_fetch_over_a_file() -> None:
    days = "2026-05-01,20,10,measured,a\n2026-05-02,21,11,measured,a\n"
    text = f"date,max_c,min_c,origin,source\n{days}"
    Path("w.csv").write_text(f"{FETCHED}# station: somewhere\n{text}", encoding="utf-8")
    answer = ran("weather", "fetch", "-o", "w.csv")
    assert answer.exit_code == 3
    assert "is not as the fetch wrote it" in answer.stderr


def test_the_last_day_of_all_is_refused_where_it_is_typed_and_where_it_is_read() -> None:
    assert ran(*SETUP, "Patch").exit_code == 0
    for words in (
        ("walk", "--on", "9999-12-31"), ("saw", "none", "--seen", "9999-12-31"),
        ("did", "sown", "cucumber", "--done", "0001-01-01"),
    ):  # fmt: skip
        answer = ran(*words, "--book", "patch")
        assert answer.exit_code == 2
        assert "is too far off: give a day from 1700 to 2200" in answer.stderr
    Path("far.csv").write_text("date,max_f,min_f\n2026-05-01,70,50\n9999-12-31,71,50\n")
    assert "line 3 would be 31 Dec 9999" in ran("weather", "check", "far.csv").stderr
    ran("export", "out", "--book", "patch")
    sheet = Path("out/entry.csv")
    row = f"2026-001,saw,{dt.datetime(9999, 12, 31, tzinfo=dt.UTC).isoformat()},,"
    sheet.write_text(sheet.read_text().splitlines()[0] + "\n" + row + "\n")
    answer = ran("import", "out", "--book", "again")
    assert answer.exit_code == 3
    assert "entry.csv, line 2: found" in answer.stderr
