"""``gddcast backtest``: a sentence first, counts that agree with the JSON, refusals with a cure."""

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from gddcast.cli import main

SAMPLES = Path(__file__).parents[1] / "samples"
LARKHOLLOW = str(SAMPLES / "larkhollow_2014_to_31aug2026_f.csv")
ONE = ["backtest", LARKHOLLOW, "--pests", "squash vine borer", "--on", "2026-06-11"]


def run(*words: str, code: int = 0) -> str:
    result = CliRunner().invoke(main, list(words))
    assert result.exit_code == code, result.output + result.stderr
    return result.stdout if code == 0 else result.stderr


def test_sentence_first_then_the_table() -> None:
    lines = run(*ONE).splitlines()
    assert lines[0].startswith("8–14 days ahead, ")
    assert "the 80 % span held in" in lines[0]
    assert sum("…" in line for line in lines) == 5
    assert "weather only" in lines[-1]
    assert "\x1b" not in "".join(lines)
    assert all(len(line) <= 92 for line in lines)
    head = next(at for at, line in enumerate(lines) if line.startswith("ahead "))
    above = " ".join(lines[:head])
    for column in ("outlook", "unchanged", "calendar"):
        assert column in lines[head]
        assert f"{column} = " in above  # said before it is met


def test_a_narrow_screen_has_fewer_columns_and_explains_those_it_has() -> None:
    answer = CliRunner(env={"COLUMNS": "50"}).invoke(main, ONE)
    assert answer.exit_code == 0
    lines = answer.stdout.splitlines()
    assert all(len(line) <= 50 for line in lines)
    (head,) = [line.split() for line in lines if line.startswith("ahead ")]
    assert head == ["ahead", "issued", "outlook", "calendar", "in", "80"]
    assert "unchanged" not in answer.stdout


def test_counts_that_differ_are_told_apart() -> None:
    """The first line counts a date once, the table every outlook of it."""
    lines = run("backtest", LARKHOLLOW, "--pests", "squash-bug,european-corn-borer").splitlines()
    (found,) = re.findall(r"held in \d+ of (\d+) dates", " ".join(lines[:2]))
    (row,) = [line for line in lines if line.startswith("8–14 d ")]
    assert int(row.split()[2]) > int(found)
    assert "the first line counts the one nearest the row’s middle" in " ".join(
        " ".join(lines).split()
    )


@pytest.mark.parametrize("protocol", ["past only", "leave one out"])
def test_json_says_the_same(protocol: str) -> None:
    flag = "--leave-one-out" if protocol == "leave one out" else "--past-only"
    answer = json.loads(run(*ONE, flag, "--json"))
    assert answer["protocol"] == protocol
    assert run(*ONE, flag).startswith(answer["leads"][1]["sentence"])
    nearest = answer["leads"][1]
    assert set(nearest["mae"]) == {
        "outlook", "plain graft", "mean heat", "calendar, not yet", "calendar",
    }  # fmt: skip
    assert set(nearest["held"]) == {"50%", "80%", "90%"}
    assert nearest["dates"] == nearest["seasons"]
    # Twelve seasons: all of them can be foretold from the others, seven from five before them.
    assert nearest["seasons"] <= (12 if protocol == "leave one out" else 7)


def test_days_after_today_have_no_say() -> None:
    assert json.loads(run(*ONE, "--json"))["record"]["last"] == "2026-06-10"


def test_too_few_seasons_is_refused_with_a_cure() -> None:
    short = str(SAMPLES / "01_clean_iso_f.csv")
    said = run("backtest", short, "--on", "2026-07-01", code=3)
    assert "too few whole seasons" in said
    assert "gddcast weather fetch" in said
    assert "--leave-one-out" not in said  # one season has no others


def test_leave_one_out_is_only_offered_where_it_helps() -> None:
    """Eight seasons, 2014 to 2021: three of them have five before them, each has seven others."""
    some = ["backtest", LARKHOLLOW, *ONE[2:4], "--on", "2022-01-01"]
    assert "try --leave-one-out" in run(*some, code=3)
    assert run(*some, "--leave-one-out").splitlines()[0].count("past seasons") == 1


def test_without_a_file_the_season_book_is_asked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("GDDCAST_BOOK", raising=False)
    assert "no season book" in run("backtest", code=3)
    setup = "setup --name Larkhollow --at 41.2,-89.4 --timezone America/Chicago --show F --no-input"
    run(*setup.split())
    run("weather", "add", LARKHOLLOW, "--on", "2026-09-01")
    book = run("backtest", *ONE[2:])
    assert book.splitlines()[0] == run(*ONE).splitlines()[0]
    assert book.splitlines()[2].startswith("Larkhollow: 1 goal")
