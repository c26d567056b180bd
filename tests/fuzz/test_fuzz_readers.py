"""Ten thousand made-up files whose truth is known, and the ones that were once read wrong."""

from pathlib import Path

import pytest

from tests.fuzz import corpus
from tests.fuzz.fuzz_readers import must_be_read, outcome, run, sheet_of
from tests.fuzz.oracle import FLAGGED, REFUSED, RIGHT, WRONG

FILES = 10_000


@pytest.mark.slow
def test_no_file_is_read_wrong() -> None:
    figures = run(FILES)

    assert figures.failures == []
    # Refusing is no escape: what says all about itself is read, and half of everything else.
    assert figures.classes[RIGHT] + figures.classes[FLAGGED] > FILES / 2
    assert figures.by["(unchanged)"][RIGHT] > figures.by["(unchanged)"][REFUSED]


def test_most_files_say_all_about_themselves() -> None:
    sheets = [sheet_of(number) for number in range(200)]

    assert sum(map(must_be_read, sheets)) > 60
    assert {sheet.kind for sheet in sheets} > {"daily", "log", "means", "stacked"}


def test_a_number_is_always_the_same_file() -> None:
    assert sheet_of(4711).raw() == sheet_of(4711).raw()


@pytest.mark.parametrize("sweep", [False, True])
@pytest.mark.parametrize("file", corpus.files(), ids=lambda file: file.name)
def test_what_was_once_read_wrong_is_not_again(file: Path, sweep: bool) -> None:
    truth = corpus.load(file)
    verdict, why = outcome(file.read_bytes(), file.name, truth, sweep=sweep)

    assert verdict != WRONG, why
    assert not truth.plain or verdict != REFUSED, why
