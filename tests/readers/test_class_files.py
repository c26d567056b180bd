"""Class lists, keys and answers: read as they come, or refused with the line and the cure."""

from __future__ import annotations

from pathlib import Path

import pytest

from gddcast.errors import Refusal
from gddcast.readers.class_files import (
    answer_in,
    figures_in,
    read_answers,
    read_fault_answers,
    read_key,
    read_names,
)


def file_of(folder: Path, text: str) -> Path:
    path = folder / "class.csv"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize(
    "text",
    [
        "student\nAda Finch\nBen Oak\n", "Name\nAda Finch\n\nBen Oak\n", "Ada Finch\nBen Oak\n",
        "First name;Last_name\nAda;Finch\nBen;Oak\n", "\ufeffstudent\r\n Ada Finch \r\nBen Oak",
    ],
)  # fmt: skip
def test_names_as_people_keep_them(tmp_path: Path, text: str) -> None:
    assert read_names(file_of(tmp_path, text)) == ("Ada Finch", "Ben Oak")


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("student,grade\nAda,5\n", "its column “grade” is not known"),
        ("student\nAda\nAda\n", "there are 2 of Ada"),
        ("student\n", "it names nobody"),
        ("", "it is empty|empty"),
        ("student\nFinch, Ada\n", "line 2: it has 2 cells"),
    ],
)
def test_class_lists_are_refused_with_their_cure(tmp_path: Path, text: str, found: str) -> None:
    with pytest.raises(Refusal, match=found):
        read_names(file_of(tmp_path, text))


@pytest.mark.parametrize(
    ("reader", "text", "found"),
    [
        (read_answers, "student,A,B\nAda,1,2\n", "it has no column C"),
        (read_answers, "student,A,B,C,D\nAda,1,2,3,4\n", "its column “d” is not known"),
        (read_fault_answers, "student,line\nAda,many\n", "“many” stands under line"),
        (read_fault_answers, "student,line\nAda,1_0\n", "“1_0” stands under line"),
        (read_fault_answers, "student,line,fault\nAda,3,typo\n", "“typo” stands under fault"),
        (
            read_answers,
            "student,A,B,C\n" + "x" * 200_000,
            "200,000 letters long[^.]*.\n  A CSV file is expected",
        ),
        (read_answers, "student,A,B,C\n" + '"' + "x\n" * 90_000, "not end within 131,072 letters"),
        (read_key, "student,sheet\nAda,1\n", "it has no column form"),
    ],
)
def test_answers_are_refused_with_their_cure(  # type: ignore[no-untyped-def]
    tmp_path: Path, reader, text: str, found: str
) -> None:
    with pytest.raises(Refusal, match=found):
        reader(file_of(tmp_path, text))


@pytest.mark.parametrize("cell", ["nan", "inf", "1e999", "1_0", "٣٢", "9" * 400, "38 or 39", "–"])
def test_what_only_a_program_takes_for_a_number_is_no_answer(cell: str) -> None:
    assert answer_in(cell) is None


@pytest.mark.parametrize(("cell", "number"), [("4 6", 46.0), ("10", 10.0), ("٣", None)])
def test_a_figure_no_sheet_has_is_not_left_out(cell: str, number: float | None) -> None:
    """Read as 4 alone, “4 6” would be right."""
    assert figures_in(cell) == number


def test_a_name_comes_back_as_the_key_has_it(tmp_path: Path) -> None:
    (given,) = read_answers(file_of(tmp_path, "student,A,B,C\n''tis,1,2,'-3\n"))
    assert (given.student, given.cells["C"]) == ("'tis", "-3")
