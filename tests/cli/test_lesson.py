"""``gddcast lesson`` as a teacher types it."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from gddcast.cli import main
from gddcast.heat.daily import single_sine
from gddcast.lessons.worksheet import make_worksheet

SAMPLES = Path(__file__).parents[1] / "samples"


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder to write in."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


def run(*words: str) -> Result:
    """What a command answers."""
    return CliRunner().invoke(main, list(words), env={"COLUMNS": "200"})


def lesson(*words: str) -> Result:
    """What a lesson answers, having gone well."""
    answer = run("lesson", *words)
    assert answer.exit_code == 0, answer.output
    return answer


SCHOOL = ("day", "--high", "72", "--low", "46", "--lower", "50", "--unit", "F")


@pytest.mark.parametrize(
    "line",
    [
        "floor the readings (72 + 50) / 2 − 50 = 11.0",
        "single sine area of the day's curve above = 9.7",
        "single triangle area of a straight-sided day above = 9.3",
        "floor the mean (72 + 46) / 2 − 50 = 9.0",
    ],
)
def test_a_worked_day_has_four_answers(line: str) -> None:
    """Each with its sum written out; the columns between are the screen's."""
    shown = [" ".join(each.split()) for each in lesson(*SCHOOL).stdout.splitlines()]
    assert any(each.startswith(line) for each in shown)
    assert shown[-1].startswith("Same day, four answers.")


def test_the_upper_threshold_side_by_side() -> None:
    """95/70 with 50/86: none 32.5, horizontal 30.1, vertical 15.4 by the single sine."""
    words = ("--high", "95F", "--low", "70F", "--lower", "50F", "--upper", "86F", "--steps")
    answer = lesson("day", *words).stdout
    row = re.search(r"^  single sine +(.*)$", answer.partition("upper threshold, 86")[2], re.M)
    assert row is not None
    assert row[1].split() == ["32.5", "30.1", "27.7", "15.4", "28.0"]
    assert "Nothing counts while it is above 86, 41.0% of the day" in answer


def test_bare_numbers_never_get_a_guessed_scale() -> None:
    """Without a unit the day is refused, and the flag that cures it is shown."""
    answer = run("lesson", *SCHOOL[:-2])
    assert answer.exit_code == 3
    assert "they don't say whether they are °F or °C" in answer.stderr
    assert "--unit F     (or --unit C)" in answer.stderr

    answer = run("lesson", *SCHOOL[:-2], "--upper", "30C", "--unit", "F")
    assert answer.exit_code == 3
    assert "some are °F and some °C" in answer.stderr


def test_the_page_says_itself(folder: Path) -> None:
    """The drawn day is one file: picture with title and words, table, nothing fetched."""
    answer = lesson(*SCHOOL, "-o", "day.html", "--paper", "letter")
    page = (folder / "day.html").read_text(encoding="utf-8")
    assert 'role="img"' in page
    assert "<desc" in page
    assert "<table" in page
    assert "size: letter" in page
    assert not re.search(r"(src|href)=", page)
    assert "<script" not in page
    assert "9.7 °F-days by the single sine" in page
    assert "Wrote day.html" in answer.stderr

    assert run("lesson", *SCHOOL, "-o", "day.html").exit_code == 3


def test_the_sheet_holds_no_answer(folder: Path) -> None:
    """A sheet has readings, rules, empty cells, curve and table; its key has the totals."""
    lesson("worksheet", "--seed", "7", "-o", "sheet.html")
    lesson("worksheet", "--seed", "7", "--answers", "-o", "key.html")
    sheet, key = (
        (folder / name).read_text(encoding="utf-8") for name in ("sheet.html", "key.html")
    )
    total = f"<td>{make_worksheet(7).total(single_sine):.1f}</td>"
    assert total in key
    assert total not in sheet
    assert sheet.count("<td></td>") == 7 * 7 + 9
    assert len(re.findall(r"<th [^>]*scope=\"row\">\d\.\d\d</th>", sheet)) == 21
    assert "round only the total" in sheet
    height = re.search(r"\.write tbody td.*?height: ([\d.]+)mm", sheet)
    assert height is not None
    assert float(height[1]) >= 8.0


def test_a_clean_class_file_has_nothing_to_find(folder: Path) -> None:
    """The invented days themselves are called sound: what is found was planted."""
    lesson("season", "--seed", "3", "-o", "year.csv")
    answer = run("weather", "check", "year.csv", "--on", "2027-01-02")
    assert answer.exit_code == 0
    assert "Missing   none        Duplicates none        Max below min none" in answer.stdout


def test_an_invented_year_is_a_file_like_any_other(folder: Path) -> None:
    """Its CSV reads back as the days the story was told of."""
    answer = lesson("season", "--seed", "4", "-o", "year.csv")
    assert answer.stdout == lesson("season", "--seed", "4").stdout
    from gddcast.readers.temperature_file import read_temperatures

    series = read_temperatures(folder / "year.csv").series
    assert (series.first, len(series), series.unit) == (dt.date(2026, 1, 1), 365, "F")


def test_methods_of_a_file_without_hours() -> None:
    """Six methods over the same days, and no word of truth where there is none."""
    answer = lesson("methods", str(SAMPLES / "01_clean_iso_f.csv")).stdout
    totals = re.findall(r"^  [a-z ]+? {2,}([\d,.]+)$", answer, re.M)
    assert len(totals) == 6
    assert "none of these can be called the true one" in answer


def test_methods_against_hours(folder: Path) -> None:
    """A log's own readings are the truth the methods are held against."""
    hours = [(day, hour) for day in range(1, 6) for hour in range(24)]
    lines = ["time,temp_C"]
    lines += [f"2026-05-{day:02} {hour:02}:00,{12 + 8 * (8 <= hour < 20)}" for day, hour in hours]
    (folder / "log.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")

    answer = lesson("methods", "log.csv", "--lower", "15C").stdout

    # Half of each day at 20 °C: 2.5 °C-days, five times, and just what flooring the readings says.
    assert re.search(r"hourly readings +12\.5", answer)
    assert re.search(r"floor the readings +12\.5 +\+0\.0 +0\.0 +same time", answer)
