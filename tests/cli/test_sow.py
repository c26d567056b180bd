"""``gddcast sow``: from a bare file, from a book, and what it refuses."""

from __future__ import annotations

import datetime as dt
import json
import re
from pathlib import Path

from click.testing import CliRunner, Result

from gddcast.cli import main

SAMPLES = Path(__file__).parents[1] / "samples"
LARKHOLLOW = str(SAMPLES / "larkhollow_2014_to_31aug2026_f.csv")
SOWN = ("--sown", "07-11", "--sown", "07-25", "--sown", "08-01", "--sown", "08-10")


def ran(*words: str) -> Result:
    return CliRunner().invoke(main, list(words))


def last(*words: str) -> Result:
    return CliRunner().invoke(main, ["sow", "last", *words])


def run_plan(*words: str) -> Result:
    return CliRunner().invoke(main, ["sow", "plan", *words])


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


def test_last_begins_with_the_days_worth_it() -> None:
    """The latest that fitted every year, and the latest that did in five of six."""
    answer = last(LARKHOLLOW, "--crop", "cucumber", "--picking-days", "21", "--on", "2026-06-11")
    said, rest = answer.stdout.split("\n\n")
    rows = dict(line.split("  ", 1) for line in rest.splitlines() if " of 12" in line[10:26])
    fits = {day.strip(): int(text.split()[0]) for day, text in rows.items()}
    best = [day for day, years in fits.items() if years == max(fits.values())][-1]
    latest = [day for day, years in fits.items() if years >= 10][-1]
    assert " ".join(said.split()) == (
        f"Cucumber sown by {best} in {fits[best]} of 12 past years and by {latest} in "
        f"{fits[latest]} leaves 21 days of picking before the first 32 °F night."
    )
    never = last(LARKHOLLOW, "--crop", "cucumber", "--sown", "10-20", "--on", "2026-06-11")
    assert never.stdout.startswith("Cucumber: no sowing day tried leaves 21 days of picking")


def test_plants_that_are_set_out_are_counted_from_there() -> None:
    answer = last(LARKHOLLOW, "--crop", "tomato", "--on", "2026-06-11")
    assert "70–75 days from planting out to first pick by its card" in answer.stdout
    assert "planted by" in answer.stdout
    plan = run_plan(LARKHOLLOW, "--crop", "tomato", "--sown", "2026-05-20", "--on", "2026-06-11")
    assert "Planted out Wed 20 May" in plan.stdout
    assert "first pick     any day 29 July – 3 August" in plan.stdout  # 20 May and 70 to 75 days


def test_celsius_readers_get_celsius() -> None:
    answer = last(
        LARKHOLLOW, "--crop", "cucumber", "--heat", "557.2C", "--show", "C", *SOWN,
        "--on", "2026-06-11",
    )  # fmt: skip
    assert "557 °C-days" in answer.stdout
    assert "before the first 0 °C night" in answer.stdout


def test_refusals() -> None:
    pest = last(LARKHOLLOW, "--crop", "squash-bug")
    assert pest.exit_code == 3
    assert "a pest, not a crop" in pest.stderr
    short = last(str(SAMPLES / "01_clean_iso_f.csv"), "--crop", "cucumber")
    assert short.exit_code == 3
    assert "no whole past season" in short.stderr
    bare = last(LARKHOLLOW, "--crop", "cucumber", "--heat", "1003")
    assert bare.exit_code == 3
    perennial = last(LARKHOLLOW, "--crop", "asparagus")
    assert perennial.exit_code == 3
    assert "from a stage of the grown plant, not from seed" in perennial.stderr


def test_first_says_when_most_years_were_through() -> None:
    words = ("sow", "first", LARKHOLLOW, "--on", "2026-03-11")
    answer = CliRunner().invoke(main, list(words))
    assert answer.exit_code == 0, answer.output
    text = answer.stdout
    assert text.startswith("11 of 12 past years had had their last 32 °F night by 26 April")
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
    assert "first pick     any day 4–9 July, middle 6 July" in answer.stdout
    assert "squash vine borer: first moths" in " ".join(answer.stdout.split())
    text = " ".join(answer.stdout.split())
    assert "big enough from 11 June: look for eggs from day 22 of each sowing (squash bug" in text
    assert "up any day 24 May – 4 June" in text
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


def test_plan_begins_with_the_days_asked_for() -> None:
    """First pick and the next sowing; of several sowings the first and the last to bear."""
    words = (LARKHOLLOW, "--on", "2026-06-11", "--crop", "cucumber", "--heat", "1003F")
    several = ("--sown", "2026-05-20", "--sown", "2026-06-15", "--sown", "2026-09-01")
    one, more = run_plan(*words, *several[:2]), run_plan(*words, *several)
    first, *_ = one.stdout.splitlines()
    assert re.fullmatch(r"Cucumber, 1 sowing: first pick about \d+ July; sow the next .+", first)
    first, *_ = more.stdout.splitlines()
    assert re.fullmatch(
        r"Cucumber, 3 sowings: first pick about \d+ July, of the last to bear about .+", first
    )
    assert "1 September" not in first


def test_looking_by_own_finds_has_one_span_on_every_screen(tmp_path: Path) -> None:
    """The dots of the sum are no dates of the insect: walk, ahead and plan say the same days."""
    book = ("--book", str(tmp_path / "patch"), "--on", "2026-06-11")
    ran("demo", "--copy", str(tmp_path / "patch"))
    said = [
        " ".join(ran(*command, *book).stdout.split())
        for command in (("walk",), ("ahead",), ("sow", "plan", "--crop", "summer-squash"))
    ]
    assert all("first moths any day 18–29 June, 8 times in 10" in each for each in said[2:])
    assert "first moths; any day 18–29 June, 8 times in 10 by your finds" in said[0]
    assert "first seen any day 18–29 June, 8 times in 10" in said[1]
    assert "that was any day 19–26 June" in said[1]
    assert not any("23–27 June" in each for each in said)


def test_what_is_said_after_a_sowing_can_be_run_and_is_true_of_it(tmp_path: Path) -> None:
    """A hint names the crop it needs; a plant set out was up before; what is unknown is no no."""
    here = ("--book", str(tmp_path / "patch"), "--on", "2026-06-11")
    place = ("--name", "Larkhollow", "--at", "41.2,-89.4", "--timezone", "America/Chicago")
    made = ran("setup", *here[:2], *place, "--show", "F", "--grow", "tomato,cabbage", "--no-input")
    assert made.exit_code == 0, made.output
    assert ran("weather", "add", LARKHOLLOW, *here, "--yes").exit_code == 0
    set_out = ran("did", "planted-out", "tomato", "--done", "2026-05-22", *here).stdout
    sown = ran("did", "sown", "cabbage", "--done", "2026-04-20", *here).stdout
    assert "did first-pick 'tomato 2026-1'" in set_out
    assert "did up 'cabbage 2026-1'" in sown
    for crop, said in (("tomato", set_out), ("cabbage", sown)):
        hint = re.findall(r"gddcast (sow plan --crop \S+)", said)[0]
        plan = ran(*hint.split(), *here)
        assert hint.endswith(crop)
        assert plan.exit_code == 0, plan.stderr
    unknown = " ".join(plan.stdout.split())
    assert "before the first 32 °F night: its first pick can’t be foretold." in unknown
    assert "; planted out 22 May: any day" in " ".join(ran("why", "tomato", *here).stdout.split())
    several = ran("sow", "plan", *here)
    assert several.exit_code == 3
    assert "it names no crop" in several.stderr
    assert "Sown this season: cabbage and tomato." in several.stderr
    assert ran("undo", *here).exit_code == 0  # the cabbage: one crop is left, and it is meant
    assert ran("sow", "plan", *here).stdout.startswith("Tomato, 1 sowing")
    assert ran("redo", *here).exit_code == 0
    page = tmp_path / "report.html"
    assert ran("report", *here, "-o", str(page)).exit_code == 0
    assert "1 sowing, first pick not foretold." in page.read_text(encoding="utf-8")
