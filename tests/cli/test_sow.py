"""``gddcast sow``: from a bare file, from a book, and what it refuses."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from gddcast.cli import main

SAMPLES = Path(__file__).parents[1] / "samples"
LARKHOLLOW = str(SAMPLES / "larkhollow_2014_to_31aug2026_f.csv")
SOWN = ("--sown", "07-11", "--sown", "07-25", "--sown", "08-01", "--sown", "08-10")


def last(*words: str) -> Result:
    return CliRunner().invoke(main, ["sow", "last", *words])


def run_plan(*words: str) -> Result:
    return CliRunner().invoke(main, ["sow", "plan", *words])


def test_a_bare_file_with_a_heat_sum() -> None:
    words = (LARKHOLLOW, "--crop", "cucumber", "--heat", "1003F", *SOWN, "--on", "2026-06-11")
    answer = last(*words, "--picking-days", "21")
    assert answer.exit_code == 0, answer.output
    rows = [" ".join(line.split()) for line in answer.stdout.splitlines()[2:6]]
    assert rows == [
        "11 July 12 of 12 past years", "25 July 9 of 12", "1 August 8 of 12", "10 August 6 of 12",
    ]  # fmt: skip
    table = json.loads(last(*words, "--json").stdout)
    assert [row["fits"] for row in table["sown_by"]] == [12, 9, 8, 6]
    assert table["need"]["basis"] == "your number"
    assert table["need"]["used"] == 1003


def test_without_own_sowings_days_and_it_says_so() -> None:
    answer = last(LARKHOLLOW, "--crop", "summer squash", "--on", "2026-06-11")
    first = " ".join(answer.stdout.split())
    assert "45–50 days from seed to first pick by its card" in first
    assert "no own sowings on record" in first


def test_the_calendar_stands_beside_the_heat() -> None:
    """Forty days or sixty: twenty days of the packet are twenty days of the sowing."""
    words = (LARKHOLLOW, "--crop", "cucumber", "--heat", "1003F", "--on", "2026-06-11")
    days = {}
    for packet in (40, 60):
        answer = last(*words, "--packet-days", str(packet))
        text = " ".join(answer.stdout.split())
        assert f"seed houses: {packet} packet days and 14 of cushion" in text
        assert "in 12 of 12 and" in text
        table = json.loads(last(*words, "--packet-days", str(packet), "--json").stdout)
        check = table["by_the_calendar"]
        assert (check["packet_days"], check["cushion_days"], check["years"]) == (packet, 14, 12)
        days[packet] = [dt.date.fromisoformat(day) for day in check["sow_by"]]
    assert [(early - late).days for early, late in zip(days[40], days[60], strict=True)] == [
        20
    ] * 12
    assert "65 packet days" in last(*words).stdout  # the card's own


def test_plants_that_are_set_out_are_counted_from_there() -> None:
    answer = last(LARKHOLLOW, "--crop", "tomato", "--on", "2026-06-11")
    assert "70–75 days from planting out to first pick by its card" in answer.stdout
    assert "planted by" in answer.stdout
    plan = run_plan(LARKHOLLOW, "--crop", "tomato", "--sown", "2026-05-20", "--on", "2026-06-11")
    assert "Planted out Wed 20 May" in plan.stdout
    assert "first pick     29 July – 3 August" in plan.stdout  # 20 May and 70 to 75 days


def test_celsius_readers_get_celsius() -> None:
    answer = last(
        LARKHOLLOW, "--crop", "cucumber", "--heat", "557.2C", "--show", "C", *SOWN,
        "--on", "2026-06-11",
    )  # fmt: skip
    assert "557 °C-days" in answer.stdout
    assert "before the first 0 °C night" in answer.stdout


def test_a_book_uses_its_own_three_sowings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("GDDCAST_BOOK", raising=False)
    words = [
        ("setup", "--name", "Patch", "--at", "41.2,-89.4", "--timezone", "America/Chicago",
         "--show", "F", "--no-input"),
        ("weather", "add", LARKHOLLOW, "--on", "2026-09-01"),
    ]  # fmt: skip
    for year, sown, picked in (
        (2023, "05-20", "07-14"), (2024, "06-01", "07-13"), (2025, "06-20", "07-31"),
    ):  # fmt: skip
        on = f"{year}-12-01"
        words.append(("did", "sown", "cucumber", "--done", f"{year}-{sown}", "--on", on))
        words.append(("did", "first-pick", "cucumber", "--done", f"{year}-{picked}", "--on", on))
    for each in words:
        answer = CliRunner().invoke(main, list(each))
        assert answer.exit_code == 0, answer.output
    answer = last("--crop", "cucumber", "--on", "2026-06-11")
    assert answer.exit_code == 0, answer.output
    assert "cucumber: yours took" in answer.stdout
    assert "(3 sowings; above 50 °F, single sine)" in " ".join(answer.stdout.split())
    plan = run_plan("--crop", "cucumber", "--on", "2025-09-01")
    assert "first pick     31 July, on record" in plan.stdout
    assert "sow the next   14–21 August" in plan.stdout


def test_refusals() -> None:
    pest = last(LARKHOLLOW, "--crop", "squash-bug")
    assert pest.exit_code == 3
    assert "a pest, not a crop" in pest.stderr
    short = last(str(SAMPLES / "01_clean_iso_f.csv"), "--crop", "cucumber")
    assert short.exit_code == 3
    assert "no whole past season" in short.stderr
    bare = last(LARKHOLLOW, "--crop", "cucumber", "--heat", "1003")
    assert bare.exit_code == 3


def test_first_says_when_most_years_were_through() -> None:
    words = ("sow", "first", LARKHOLLOW, "--on", "2026-03-11")
    answer = CliRunner().invoke(main, list(words))
    assert answer.exit_code == 0, answer.output
    text = answer.stdout
    assert "11 of 12 past years had had their last 32 °F night by 26 April" in text
    assert "Air says nothing about soil" in text
    table = json.loads(CliRunner().invoke(main, [*words, "--json"]).stdout)
    assert (table["over"]["years"], table["over"]["of"]) == (11, 12)  # two on the same day
    milder = json.loads(CliRunner().invoke(main, [*words, "--json", "--frost", "36F"]).stdout)
    assert milder["over"]["by"] > table["over"]["by"]


def test_plan_lays_out_sowings_and_the_pests_they_meet() -> None:
    words = ("sow", "plan", LARKHOLLOW, "--crop", "summer squash", "--sown", "2026-05-20",
             "--on", "2026-05-21")  # fmt: skip
    answer = CliRunner().invoke(main, list(words))
    assert answer.exit_code == 0, answer.output
    assert "first pick     4–9 July, middle 6 July" in answer.stdout
    assert "squash vine borer: first moths" in " ".join(answer.stdout.split())
    text = " ".join(answer.stdout.split())
    assert "big enough from 11 June: look for eggs from day 22 of each sowing (squash bug" in text
    assert "up 24 May – 4 June" in text
    assert "before frost 21 days of picking in 12 of 12 past years" in text
    assert "Last sowing for 21 days of picking before the first 32 °F night:" in text
    assert max(map(len, answer.stdout.splitlines())) <= 98
    table = json.loads(CliRunner().invoke(main, [*words, "--json"]).stdout)
    assert {each["event"]: each["basis"] for each in table["needs"]} == dict.fromkeys(
        ("up", "first-flower", "first-pick"), "card days"
    )
    assert table["sowings"][0]["sow_next"] == ["2026-07-20", "2026-07-27"]
    none = CliRunner().invoke(main, ["sow", "plan", LARKHOLLOW, "--crop", "beet"])
    assert none.exit_code == 3
    assert "no sowing of this season was given" in none.stderr
    other = CliRunner().invoke(main, [*words[:-1], "2025-05-21"])
    assert "2026-05-20 lies outside the season 2025" in other.stderr
