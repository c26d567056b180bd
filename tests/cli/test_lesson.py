"""``gddcast lesson`` as a teacher types it."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from gddcast.cli import main
from gddcast.heat.shapes import single_sine
from gddcast.lessons.teaching import ORDER, PRINT
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
        "single sine area of the day’s curve above = 9.7",
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
    assert "they don’t say whether they are °F or °C" in answer.stderr
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
    total = f'">{make_worksheet(7).total(single_sine):.1f}</td>'
    assert total in key
    assert total not in sheet
    assert sheet.count("<td></td>") == 7 * 7
    assert len(re.findall(r"<th [^>]*scope=\"row\">\d\.\d\d</th>", sheet)) == 21
    assert "round only the answer" in sheet
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
    assert re.search(r"hourly readings +12\.50", answer)
    assert re.search(r"floor the readings +12\.50 +\+0\.00 +0\.00 +same time", answer)


def test_thirty_sheets_a_key_and_their_marks(folder: Path) -> None:
    """A teacher's Monday: names, sheets, key; answers typed in; one command marks them."""
    (folder / "names.csv").write_text(
        "".join(f"Student {number}\n" for number in range(1, 31)), encoding="utf-8"
    )
    lesson("class", "--students", "names.csv", "-o", "class.html")
    sheets = (folder / "class.html").read_text(encoding="utf-8")
    assert sheets.count('<section class="sheet"') == 30
    key = (folder / "class-key.csv").read_text(encoding="utf-8").splitlines()
    printed_key = (folder / "class-key.html").read_text(encoding="utf-8")
    assert len(key) == 31
    assert "Student 30" in printed_key
    assert len({line.split(",", 7)[7] for line in key[1:]}) > 25

    rows = [line.split(",") for line in key[1:]]
    wrong = f"{float(rows[0][8]) - 32:.1f}"
    answers = [f"{row[0]},{row[1]},{row[7]},{row[8]},{row[9]}" for row in rows]
    answers[0] = f"{rows[0][0]},{rows[0][1]},{rows[0][7]},{wrong},"
    (folder / "class-answers.csv").write_text(
        "\n".join(["student,sheet,A,B,C", *answers]), encoding="utf-8"
    )
    said = lesson("mark", "class-key.csv", "class-answers.csv").stdout
    assert "30 sheets: 88 of 90 answers right." in said
    assert f"B: {float(wrong):g} for {rows[0][8]}: minus 32: a heat sum has none" in said
    assert f"C: nothing; it is {rows[0][9]}" in said

    (folder / "twice.csv").write_text(
        "\n".join(["student,sheet,A,B,C", answers[0], answers[1], answers[0]]), encoding="utf-8"
    )
    refused = run("lesson", "mark", "class-key.csv", "twice.csv").stderr
    assert f"twice.csv, line 4: sheet {rows[0][1]} stands on line 2 already" in refused

    (folder / "class-key.csv").write_text(
        "\n".join(key).replace(rows[4][9], "1.0"), encoding="utf-8"
    )
    answer = run("lesson", "mark", "class-key.csv", "class-answers.csv")
    assert answer.exit_code == 3
    assert "its answers are not those of that sheet" in answer.stderr


def test_planted_errors_are_marked(folder: Path) -> None:
    lesson("errors", "--seed", "3", "--unit", "C", "--answers", "-o", "key.csv")
    fault, first = (folder / "key.csv").read_text(encoding="utf-8").splitlines()[1].split(",")[:2]
    (folder / "found.csv").write_text(f"student,line\nAda,{first}\nAda,10\n", encoding="utf-8")
    said = lesson("mark", "key.csv", "found.csv").stdout
    assert "Ada: 1 of 7 found; 1 sound line named" in said
    assert fault not in said.partition("not found")[2]


@pytest.mark.parametrize(
    "words",
    [("worksheet", "--seed", "7", "-o", "sheet.pdf"), (*SCHOOL, "-o", "day.csv"),
     ("jars", "--seed", "5", "-o", "jars.html"), ("quiz", "day", "-o", "quiz.csv")],
)  # fmt: skip
def test_an_ending_a_lesson_has_not_is_refused(folder: Path, words: tuple[str, ...]) -> None:
    answer = run("lesson", *words)
    assert answer.exit_code == 3
    assert "this lesson is written as ." in answer.stderr
    assert not (folder / words[-1]).exists()


def test_a_sheet_as_a_table_reads_back(folder: Path) -> None:
    """Its readings are a weather file like any other."""
    from gddcast.readers.temperature_file import read_temperatures

    lesson("worksheet", "--seed", "7", "-o", "sheet.csv")
    series = read_temperatures(folder / "sheet.csv").series
    assert series.tmax[0] * 9 / 5 + 32 == pytest.approx(make_worksheet(7).days[0].high, abs=1e-9)


def test_jars_go_through_thresholds(folder: Path) -> None:
    """What the key says is what the program finds."""
    lesson("jars", "--seed", "5", "-o", "jars.csv")
    key = lesson("jars", "--seed", "5", "--answers").stdout
    found = run("thresholds", "jars.csv").stdout
    heat = re.search(r"heat sum of (\d+) °C-days", key)
    assert heat is not None
    assert re.search(rf"Heat sum +{heat[1]}\.|Heat sum +{int(heat[1]) - 1}\.", found)


def test_a_season_by_six_methods() -> None:
    """Six dates, six printed numbers; the sine's own is the day itself."""
    said = lesson("season", "--seed", "4", "--methods").stdout
    assert len(re.findall(r"^  (?:floor|single|double) .*\d+ June", said, re.M)) == 11
    assert re.search(r"single sine +1,000 °F-days +the day itself", said)
    celsius = lesson("season", "--seed", "4", "--methods", "--unit", "C").stdout
    printed = dict(re.findall(r"^  ([a-z ]+?) +([\d.]+) °C-days  ", celsius, re.M))
    assert len(printed) == 6
    # Two methods of two days are two numbers.
    assert printed["double sine"] != printed["single sine"]


def test_every_command_of_the_plan_runs_as_printed(folder: Path) -> None:
    """A teacher copies them from the page; only what names a file of their own is left out."""
    (folder / "names.csv").write_text("Ada\nBo\n", encoding="utf-8")
    printed = [command for command, _ in PRINT] + [f"gddcast lesson {name}" for name, _ in ORDER]
    lessons = [each.split()[2:] for each in printed if each.startswith("gddcast lesson ")]
    tried = [words for words in lessons if "YOURFILE.csv" not in words]
    assert len(tried) == len(lessons) - 1 >= 9
    for words in tried:
        lesson(*words)


def test_every_quiz_has_five_explained_questions() -> None:
    from gddcast.readers.quiz_file import load_quizzes

    quizzes = load_quizzes()
    assert set(quizzes) == {"day", "worksheet", "methods", "errors", "season", "jars"}
    for quiz in quizzes.values():
        assert len(quiz.questions) == 5
        for question in quiz.questions:
            assert question.right in ("a", "b", "c")
            assert len(set(question.choices)) == 3
            assert len(question.why.split()) >= 5
        asked = lesson("quiz", quiz.lesson).stdout
        assert quiz.questions[0].why[:20] not in asked


def test_notebooks_come_with_their_records(folder: Path) -> None:
    """Eight notebooks and every file they name; nothing is written over unasked."""
    lesson("notebooks", "teaching")
    books = sorted((folder / "teaching" / "notebooks").glob("*.ipynb"))
    assert len(books) == 9
    text = "".join(book.read_text(encoding="utf-8") for book in books)
    for name in set(re.findall(r"\.\./(data/records/\w+\.csv)", text)):
        assert (folder / "teaching" / name).is_file()
    assert (folder / "teaching" / "data" / "records" / "README.md").is_file()
    assert run("lesson", "notebooks", "teaching").exit_code == 3
