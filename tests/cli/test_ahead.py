"""The main commands as a new user meets them: ahead, demo, why, heat."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from gddcast.cli import main
from tests.real_records import SAMPLES

LARK = str(SAMPLES / "larkhollow_2014_to_31aug2026_f.csv")


def run(*arguments: str) -> Result:
    """One command, its two streams apart."""
    return CliRunner().invoke(main, list(arguments))


def test_the_demo_says_that_it_is_invented_and_gives_a_dated_window() -> None:
    """README's first command."""
    result = run("demo")
    assert result.exit_code == 0, result.output
    assert "invented" in result.stderr
    assert "Imported cabbageworm: the next generation’s eggs · any day 9–12 June" in result.stdout
    assert len(result.stdout.splitlines()) <= 32
    full = run("demo", "--full").stdout
    assert "With past years’ weather from here on: any day" in " ".join(full.split())
    assert "The label is the law".lower() in result.stdout.lower()


def test_ahead_without_a_file_never_shows_the_demo() -> None:
    """Refused, with how to name a file and where the demo is."""
    result = run("ahead")
    assert result.exit_code == 3
    assert "no temperature file" in result.stderr
    assert "Brackenrise" not in result.output


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (
            ["ahead", str(SAMPLES / "02_celsius_no_unit.csv"), "--no-input"],
            "whether it is °F or °C",
        ),
        (["ahead", str(SAMPLES / "27_empty.csv")], "27_empty.csv"),
        (["ahead", "no_such_file.csv"], "no_such_file.csv"),
        (["ahead", LARK, "--watch", "squash-vine-boror"], "squash-vine-borer"),
        (["why", LARK, "squash-vine-borer", "moth"], "moths"),
        (["heat", LARK, "--lower", "50"], "Write the F or C behind the number"),
        (["heat", LARK, "--lower", "10F"], "is the other scale meant"),
    ],
)
def test_refusals_have_three_parts_and_no_traceback(arguments: list[str], said: str) -> None:
    """What, why, and the cure; exit 3."""
    result = run(*arguments)
    assert result.exit_code == 3, result.output
    assert said in result.stderr
    assert len(result.stderr.strip().splitlines()) >= 3
    assert "Traceback" not in result.output


def test_a_wrong_command_is_answered_with_the_near_one() -> None:
    """Exit 2: the command line was not understood."""
    result = run("ahed", LARK)
    assert result.exit_code == 2
    assert "Did you mean 'ahead'" in result.stderr


@pytest.mark.parametrize(
    ("on", "status"),
    [
        ("2026-06-11", "coming up"),
        ("2026-06-21", "look now"),
        ("2026-06-27", "look now"),
        ("2026-07-06", "overdue"),
    ],
)
def test_walking_through_june_the_status_moves_on(on: str, status: str) -> None:
    """Coming up, look now, overdue, with the card's own method (floor the mean)."""
    result = run("ahead", LARK, "--watch", "squash-vine-borer", "--on", on, "--json")
    assert result.exit_code == 0, result.output
    answer = json.loads(result.stdout)
    moths = next(each for each in answer["items"] if each["stage"] == "moths" and each["number"])
    assert moths["status"] == status
    assert moths["says"]
    assert moths["look"]["where_on_plant"]
    if status == "overdue":
        # Floor the mean, from 1 January: the sum passed 1,000 °F-days on 25 June.
        assert moths["sum_reached"]["high_end"]["reached"] == "2026-06-25"


def test_json_is_clean_and_dates_are_iso() -> None:
    """Nothing but JSON on stdout; one dot a usable past year."""
    result = run("ahead", LARK, "--on", "2026-06-11", "--watch", "squash-vine-borer", "--json")
    answer = json.loads(result.stdout)
    assert answer["schema"] == "gddcast/ahead/1"
    assert answer["weather"]["last_day"] == "2026-06-10"
    moths = next(each for each in answer["items"] if each["stage"] == "moths" and each["number"])
    assert len(moths["sum_reached"]["high_end"]["year_dots"]) == 12
    assert {each["field"] for each in moths["stand_ins"]} == {"upper", "starts_from"}


def test_why_shows_the_card_its_gaps_and_what_they_are_worth() -> None:
    """Heat so far, dots, source, stand-ins with their effect."""
    words = ("why", LARK, "squash-vine-borer", "moths", "--on", "2026-06-11", "--days", "--full")
    result = run(*words)
    assert result.exit_code == 0, result.output
    for said in ("Heat so far", "What the card says", "What it leaves out", "o = one past year",
                 "South Dakota", "floor the readings", "10 June"):  # fmt: skip
        assert said in result.stdout, said

    assert "A find of it starts   the clock of: eggs hatching, larvae boring in." in result.stdout
    assert "gddcast saw squash-vine-borer moths" in result.stdout
    last = run("why", LARK, "squash-vine-borer", "second-moths", "--on", "2026-06-11", "--full")
    assert "A find of it starts" not in last.stdout  # nothing follows it on its card


@pytest.mark.parametrize(
    ("pest", "stage"),
    [("squash-vine-borer", "moths"), ("cabbage-maggot", "second-peak"), ("squash-bug", "eggs")],
)
def test_why_says_the_number_used_first_and_folds_the_rest(pest: str, stage: str) -> None:
    words = ("why", LARK, pest, stage, "--on", "2026-06-11")
    lines, full = (run(*words, *more).stdout.splitlines() for more in ((), ("--full",)))
    assert len(lines) <= 30
    assert lines[2] == full[2]
    text = " ".join(" ".join(lines).split())
    if "What the card says" in text:
        assert text.index("What the card says") < text.index("Heat so far")
        assert "Read another way the date moves by up to" in text
        assert lines[-1].endswith("every reading:  --full")
        assert len(lines) < len(full)


def test_why_of_a_pest_has_each_stage_once_in_a_sentence() -> None:
    """Ten stages of the cabbage maggot took 207 lines, the header with each of them."""
    lines = run("why", LARK, "cabbage-maggot", "--on", "2026-05-25").stdout.splitlines()
    assert len(lines) <= 26
    assert sum("weather through" in line for line in lines) == 1
    assert len([line for line in lines if "Peak of the spring flies: " in line]) == 1
    assert "gddcast why cabbage-maggot STAGE" in " ".join(lines)


def test_heat_as_csv_has_one_line_a_day() -> None:
    """Comment, header, days; units in the header."""
    result = run(
        "heat", LARK, "--lower", "50F", "--from", "2026-05-01", "--to", "2026-05-03", "--csv"
    )
    lines = result.stdout.splitlines()
    assert lines[1] == "date,min_f,max_f,heat_f_days,sum_f_days,origin"
    assert len(lines) == 5


def test_ahead_and_why_ask_the_book_where_no_file_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Finds in the book restart the clock on every surface."""
    monkeypatch.chdir(tmp_path)
    book = ["--book", "patch", "--on", "2026-06-25"]
    place = ["--name", "P", "--at", "41.2,-89.4", "--timezone", "America/Chicago", "--show", "F"]
    for arguments in (
        ["setup", "--book", "patch", *place, "--no-input"],
        ["weather", "add", LARK, *book],
        [
            "saw",
            "squash-vine-borer",
            "moths",
            "--seen",
            "2026-06-24",
            "--clean",
            "2026-06-22",
            *book,
        ],
    ):
        assert run(*arguments).exit_code == 0
    ahead = run("ahead", "--full", "--on", "2026-06-25", "--watch", "squash-vine-borer")
    assert ahead.exit_code == 0, ahead.output
    both = "from 23 June or 25 June, after your clean look of 22 June and your find of 24 June"
    assert both in " ".join(ahead.stdout.split())
    assert "Began between" in ahead.stdout
    why = run("why", "squash-vine-borer", "egg-hatch", *book)
    assert why.exit_code == 0, why.output
    assert both in " ".join(why.stdout.split())
    assert (
        run("why", "squash-vine-borer", "egg-hatch", "--file", LARK, "--on", "2026-06-25").exit_code
        == 0
    )
    assert run("why").exit_code == 2


def test_the_book_says_how_long_a_gap_is_patched(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """patch_up_to_days = 1 leaves a gap of two days unknown, and the date unsaid."""
    monkeypatch.chdir(tmp_path)
    lines = Path(LARK).read_text(encoding="utf-8").splitlines()
    kept = [each for each in lines if not each.startswith(("2026-05-10", "2026-05-11"))]
    Path("holed.csv").write_text("\n".join(kept) + "\n", encoding="utf-8")
    book = ["--book", "patch", "--on", "2026-06-11"]
    place = ["--name", "P", "--at", "41.2,-89.4", "--timezone", "America/Chicago", "--show", "F"]
    assert run("setup", "--book", "patch", *place, "--no-input").exit_code == 0
    assert run("weather", "add", "holed.csv", *book).exit_code == 0
    watch = ["ahead", *book, "--watch", "squash-vine-borer"]
    assert "2 days patched" in " ".join(run(*watch).stdout.split())
    settings = Path("patch/book.toml")
    text = settings.read_text(encoding="utf-8")
    assert "patch_up_to_days = 5" in text
    settings.write_text(text.replace("patch_up_to_days = 5", "patch_up_to_days = 1"), "utf-8")
    assert "Can’t say: 10–11 May missing" in run(*watch).stdout


BORER = ("--watch", "squash-vine-borer")


def test_weather_of_a_past_season_is_not_called_this_one_s() -> None:
    """Four years on: the year is said, and last week's warmth is not this year's."""
    text = run("ahead", LARK, "--on", "2030-06-11", *BORER).stdout
    why = run("why", LARK, "squash-vine-borer", "moths", "--on", "2030-06-11").stdout
    for said in (text, why):
        assert "weather through Mon 31 August 2026, none of this season" in " ".join(said.split())
        assert max(map(len, said.splitlines())) <= 98
    assert "Still to go           1,000 °F-days.\n" in why
    assert "This year’s last 7 days" not in why
    assert "This year’s last 7 days" in run("why", LARK, "squash-vine-borer", "moths", "--on",
                                            "2026-06-11").stdout  # fmt: skip


@pytest.mark.parametrize(
    ("since", "said"),
    [("2026-06-12", "today comes before it"), ("2006-06-11", "the record had not begun then")],
)
def test_since_a_day_that_says_nothing_is_refused(since: str, said: str) -> None:
    result = run("ahead", LARK, "--on", "2026-06-11", "--since", since, *BORER)
    assert result.exit_code == 3
    assert said in result.stderr
    assert not result.stdout


def test_since_a_day_of_last_year_says_its_year() -> None:
    text = run("ahead", LARK, "--on", "2026-06-11", "--since", "2025-06-20", *BORER).stdout
    assert "On Fri 20 June 2025: any day" in " ".join(text.split())
    this_year = run("ahead", LARK, "--on", "2026-06-11", "--since", "2026-06-04", *BORER).stdout
    assert "On Thu 4 June: any day" in " ".join(this_year.split())


def test_one_past_year_is_one_year(tmp_path: Path) -> None:
    """Not "like 2025 … 2025"."""
    head, *days = Path(LARK).read_text(encoding="utf-8").splitlines()
    file = tmp_path / "one.csv"
    lines = [head, *(day for day in days if day >= "2025")]
    file.write_text("\n".join(lines), encoding="utf-8")
    text = run("why", str(file), "squash-vine-borer", "moths", "--on", "2026-06-11").stdout
    assert (
        "With the weather of the only past year on file from here on: 23 June. Too few to call."
    ) in " ".join(text.split())
    assert "went on like 2025: Tue 23 June (1 past year)" in " ".join(text.split())
    assert "Spans, calibrated" not in text


def test_a_long_list_draws_what_is_to_be_looked_for_and_names_the_rest_once() -> None:
    """Every card: peaks and ends have no row, a reason that stages share is said once."""
    text = run("ahead", LARK, "--on", "2026-06-11").stdout
    chart, rest = text.split("one past year’s weather")
    assert "Squash vine borer: first moths" in chart
    assert "peak" not in chart
    assert "Dates that ask for no look: Peachtree borer: flight at its peak (any day" in rest
    assert rest.count("Published for soil temperatures, not for air.") == 1
    few = run("ahead", LARK, "--on", "2026-06-11", "--watch", "peachtree-borer").stdout
    assert "flight at its peak" in few.split("one past year’s weather")[0]
