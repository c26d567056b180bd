"""What a file leaves open is said, and asked, all at once."""

import datetime as dt
from pathlib import Path

import click
import pytest

from gddcast.cli.opening import read_asking
from gddcast.errors import Refusal
from gddcast.readers.reading import OpenQuestion, OpenQuestions, Options
from gddcast.readers.temperature_file import temperatures_in

NOON = dt.datetime(2026, 5, 1)
#: Two places, stamps in UTC, no scale: three facts that only the owner knows.
LINES = ["site,time,temperature"] + [
    f"{site},{NOON + dt.timedelta(hours=hour):%Y-%m-%dT%H:%M}Z,{50 + above + hour % 24}"
    for site, above in (("brook", 0), ("hill", 9))
    for hour in range(240)
]


def open_in(lines: list[str], **given: object) -> Refusal:
    with pytest.raises(Refusal, match=r"log.csv") as refused:
        temperatures_in("\n".join([*lines, ""]).encode(), "log.csv", Options(**given))  # type: ignore[arg-type]
    return refused.value


def test_every_missing_fact_is_named_in_one_refusal() -> None:
    refusal = open_in(LINES)

    assert isinstance(refusal, OpenQuestions)
    assert [each.option for each in refusal.questions] == ["site", "unit", "timezone"]
    assert refusal.problem == "it leaves 3 facts open"
    assert refusal.flag == "--site brook --unit F --timezone AREA/CITY"
    assert refusal.expected.count("\n") == 2


def test_facts_that_were_said_are_not_asked_again() -> None:
    refusal = open_in(LINES, site="hill", timezone="America/Chicago")

    assert isinstance(refusal, OpenQuestion)
    assert (refusal.option, refusal.slug) == ("unit", "units-unclear")


def test_a_wrong_answer_is_not_mixed_with_facts_that_miss() -> None:
    refusal = open_in(LINES, site="barn")

    assert isinstance(refusal, OpenQuestion)
    assert refusal.problem == "it has no site 'barn'"


def test_a_dialogue_asks_them_one_after_another_and_reads_once_more(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "log.csv"
    file.write_text("\n".join([*LINES, ""]))
    monkeypatch.setattr("sys.stdin.isatty", lambda: True, raising=False)
    answers = {"Which is it?": ["hill", "F"], "Time zone?": ["America/Chicago"]}
    monkeypatch.setattr(click, "prompt", lambda question, **_: answers[question].pop(0))

    reading = read_asking(file, no_input=False)

    assert answers == {"Which is it?": [], "Time zone?": []}
    assert reading.options.chosen() == {
        "unit": "F", "site": "hill", "timezone": "America/Chicago", "sure": True,
    }  # fmt: skip
    # 23:00Z is 18:00 in Chicago's summer; standard time is 17:00, and the warmest of its day.
    assert reading.series.tmax.max() == pytest.approx((59 + 23 - 32) / 1.8, abs=1e-9)


def test_what_a_book_knows_is_not_asked(tmp_path: Path) -> None:
    file = tmp_path / "log.csv"
    file.write_text("\n".join([*LINES, ""]))
    with pytest.raises(Refusal, match="it leaves 2 facts open") as refused:
        read_asking(file, no_input=True, usual={"unit": "F"})

    assert refused.value.flag == "--site brook --timezone AREA/CITY"
