"""``gddcast walk`` as a person types it, its dates recomputed here from the day's curve."""

from __future__ import annotations

import datetime as dt
import json
import re
from collections.abc import Iterator
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner, Result

from gddcast.cli import main
from gddcast.cli.demo_book import demo_book, make_demo_book

SAMPLES = Path(__file__).parents[1] / "samples"
WHOLE = SAMPLES / "larkhollow_2014_to_31aug2026_f.csv"
BORER = "squash-vine-borer"


def run(*words: str) -> Result:
    """What a command answers."""
    return CliRunner().invoke(main, list(words))


def walk(book: Path, on: str, *words: str) -> str:
    """The walk of one day."""
    answer = run("walk", "--book", str(book), "--on", on, *words)
    assert answer.exit_code == 0, answer.output
    return answer.stdout


def full(book: Path, on: str) -> str:
    """The whole walk of one day, every stage with its sums and sources."""
    return walk(book, on, "--full")


def flat(text: str) -> str:
    """Without line breaks, and numbers loosed from their units."""
    return " ".join(text.split())


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """Larkhollow's book, weather to 31 August 2026, the borer watched."""
    folder = tmp_path / "larkhollow-patch"
    made = run(
        "setup", "--book", str(folder), "--name", "Larkhollow Patch", "--at", "41.2,-89.4",
        "--timezone", "America/Chicago", "--show", "F", "--no-input",
    )  # fmt: skip
    assert made.exit_code == 0, made.output
    added = run("weather", "add", str(WHOLE), "--book", str(folder), "--on", "2026-09-01")
    assert added.exit_code == 0, added.output
    return folder


def watching(book: Path, *names: str) -> Path:
    """Only these cards watched."""
    settings = book / "book.toml"
    lines = [
        line for line in settings.read_text().splitlines() if "watch =" not in line.split("[")[0]
    ]
    here = lines.index(next(line for line in lines if line.startswith("[looking]")))
    lines.insert(here + 1, f"watch = {json.dumps(names)}")
    settings.write_text("\n".join(lines) + "\n")
    return book


def section(text: str, heading: str) -> str:
    """What stands under a heading, to the next blank line."""
    blocks = [block for block in text.split("\n\n") if block.startswith(heading)]
    return blocks[0] if blocks else ""


def test_an_item_says_what_where_when_how_many_and_how_often(book: Path) -> None:
    watching(book, BORER)
    assert run("saw", "none", "--book", str(book), "--on", "2026-06-21").exit_code == 0
    item = flat(section(full(book, "2026-06-22"), "LOOK NOW"))
    for words in ("Look for: ", "stem", "every ", "Plants: ", "1 clean look this season",
                  "last look Sun 21 June"):  # fmt: skip
        assert words in item, words
    assert "the label is the law" in flat(full(book, "2026-06-22"))


def test_a_habit_is_never_lengthened(book: Path) -> None:
    watching(book, BORER)
    settings = book / "book.toml"
    text = "\n".join(line for line in settings.read_text().splitlines() if "every_days" not in line)
    settings.write_text(text.replace("[looking]", "[looking]\nevery_days = 1", 1) + "\n")
    answer = json.loads(walk(book, "2026-06-22", "--json"))
    assert {each["look"]["every_days"] for each in answer["items"]} == {1}


def test_a_find_moves_a_stage_to_still_going_and_undo_brings_it_back(book: Path) -> None:
    watching(book, BORER)
    before = full(book, "2026-06-25")
    logged = run("saw", BORER, "moths", "--seen", "2026-06-24", "--clean", "2026-06-22",
                 "--on", "2026-06-25", "--book", str(book), "--no-input")  # fmt: skip
    assert logged.exit_code == 0, logged.output
    after = full(book, "2026-06-25")
    assert "first moths" in section(after, "STILL GOING")
    assert after.count("first moths") == 1
    assert "first moths" not in section(after, "LOOK NOW")
    assert "Squash vine borer: " in section(after, "COMING UP")  # eggs hatch from 30 June
    assert run("undo", "--book", str(book), "--on", "2026-06-25").exit_code == 0
    assert full(book, "2026-06-25") == before


def test_without_a_list_a_walk_is_of_what_is_on_record_and_says_how_to_change_it(
    book: Path,
) -> None:
    """Decision: never every card. Nothing on record, nothing watched, and a line that says how."""
    on, here = "2026-06-11", ("--book", str(book), "--no-input")
    text = flat(walk(book, on))
    assert "Nothing is watched yet. Say what you grow: gddcast setup --grow" in text
    assert "LOOK NOW nothing is watched" in flat(full(book, on))
    for words in (("did", "sown", "kale"), ("saw", "potato-leafhopper", "adults")):
        assert run(*words, *here[: 3 if words[0] == "saw" else 2], "--on", on).exit_code == 0
    answer = json.loads(walk(book, on, "--json"))
    seen = {each["organism"] for each in answer["items"]}
    text = flat(walk(book, on))
    assert re.search(
        r"watching \d pests of 1 crop and 1 besides, by what was sown and seen\.", text
    )
    assert "potato-leafhopper" in seen
    assert not answer["watches_all"]
    watching(book, BORER)
    assert "No list yet" not in flat(walk(book, on))


def test_old_weather_is_said_at_the_top(book: Path) -> None:
    watching(book, BORER)
    top = flat("\n".join(full(book, "2026-09-20").splitlines()[:4]))
    assert "weather through Mon 31 August" in top
    assert "No all-clear: the last 19 days are not on record" in top  # 1 to 19 September


def test_a_book_without_weather_says_what_to_bring(tmp_path: Path) -> None:
    folder = tmp_path / "new"
    run("setup", "--book", str(folder), "--name", "New", "--show", "C", "--timezone", "UTC",
        "--no-input")  # fmt: skip
    answer = run("walk", "--book", str(folder), "--on", "2026-06-11")
    assert answer.exit_code == 3
    assert "it has no weather yet" in answer.stderr
    assert "gddcast weather add" in answer.stderr


def test_a_cue_waits_for_the_crop_it_is_about(book: Path) -> None:
    """Squash bugs are looked for from day 22 of a squash, not of sweet corn."""
    watching(book, "squash-bug")
    add = ("--book", str(book), "--on", "2026-06-11", "--done")
    assert run("did", "sown", "sweet-corn", *add, "2026-05-01").exit_code == 0
    text = full(book, "2026-06-11")
    assert "sweet-corn 2026-1: 41 days since sown Fri 1 May." in flat(text)
    assert "● Squash bug" not in text
    assert run("did", "sown", "summer-squash", *add, "2026-05-20").exit_code == 0  # day 22
    assert "● Squash bug" in full(book, "2026-06-11")


def test_own_rules_and_flowers(book: Path) -> None:
    """Side-dress two weeks after first pick, uncover at flower, nothing on flowers."""
    watching(book, "squash-bug")
    jobs = [("sown", "2026-05-20"), ("covered", "2026-05-21"), ("first-flower", "2026-06-28"),
            ("first-pick", "2026-07-06")]  # fmt: skip
    for job, done in jobs:
        answer = run("did", job, "summer-squash", "--done", done, "--book", str(book),
                     "--on", "2026-07-19")  # fmt: skip
        assert answer.exit_code == 0, answer.output
    early, due = (flat(full(book, on)) for on in ("2026-07-19", "2026-07-20"))
    assert "side-dress (summer squash, sown 20 May)" not in early  # 6 July + 14 days = 20 July
    assert "side-dress (summer squash, sown 20 May): since Mon 20 July" in due
    assert "sow the next one (summer squash, sown 20 May): from 20–27 July" in due
    assert "uncover summer squash, sown 20 May: it is in flower" in due
    assert "In flower: summer squash, sown 20 May. Nothing on flowers" in due


def test_each_sowing_says_what_comes_next_and_asks_for_its_flowers(book: Path) -> None:
    """Flowers after 35-45 days by the card: 24 June to 4 July; two days of the week are asked."""
    watching(book, "squash-bug")
    settings = book / "book.toml"
    text = settings.read_text().replace("# every_days = 2", "every_days = 2")
    text = text.replace("# look_again_days = 2", "look_again_days = 2")
    settings.write_text(text)
    here = ("--book", str(book), "--on", "2026-08-20")
    assert run("did", "sown", "summer-squash", "--done", "2026-05-20", *here).exit_code == 0
    early = flat(full(book, "2026-06-11"))
    assert "Next: first flower any day 24 June – 4 July, by its card’s days." in early
    assert "In flower?" not in early
    said = "In flower? It may be since Wed 24 June; put nothing on open flowers then."
    assert said in flat(full(book, "2026-06-25"))
    assert said not in flat(full(book, "2026-06-27"))
    assert said in flat(full(book, "2026-07-01"))
    assert run("did", "first-flower", "--done", "2026-07-01", *here).exit_code == 0
    assert "In flower?" not in flat(full(book, "2026-07-08"))
    assert run("did", "first-pick", "--done", "2026-07-06", *here).exit_code == 0
    assert "Picked for" not in flat(full(book, "2026-07-27"))
    worn = flat(full(book, "2026-07-28"))
    assert "Picked for 22 days; your rule is 21." in worn
    assert "of 12 past years" in worn.split("A sowing of today left")[1][:70]
    assert run("did", "scraped", "row 2", "--done", "2026-07-10", *here).exit_code == 0
    assert "look again (row 2): since Sun 12 July" in flat(full(book, "2026-07-12"))
    pulled = run("did", "pulled", "--done", "2026-08-02", *here)
    assert "squash bug: unmated adult under plant litter" in pulled.stdout


@pytest.fixture(scope="module")
def demo() -> Iterator[Path]:
    """The demo's book, read-only."""
    with demo_book() as book:
        yield book.folder


def test_the_demo_walks_in_order(demo: Path) -> None:
    text = full(demo, "2026-06-11")
    order = ("LOOK NOW", "COMING UP", "STILL GOING", "MY PLANTS", "The season:", "Log a visit:")
    places = [text.index(each) for each in order]
    assert places == sorted(places)
    assert max(map(len, text.splitlines())) <= 98


def test_for_programs(demo: Path) -> None:
    answer = json.loads(walk(demo, "2026-06-11", "--json"))
    assert answer["schema"] == "gddcast/walk/1"
    assert answer["place"]["name"] == "Brackenrise Patch"
    groups = [each["group"] for each in answer["items"]]
    assert groups == sorted(groups, key=["look now", "coming up", "still going",
                                         "can't say"].index)  # fmt: skip
    ages = {each["name"]: each["age_days"] for each in answer["sowings"]}
    assert ages["cucumber 2026-1"] == (dt.date(2026, 6, 11) - dt.date(2026, 5, 26)).days


def test_the_insect_is_promised_apart_from_its_sum(book: Path) -> None:
    """In words and for programs, only where its source prints a spread."""
    watching(book, "codling-moth", BORER)
    text = flat(full(book, "2026-05-02"))
    assert text.count("The insect itself, by the printed spread of ± 26 °F-days") == 1
    assert "The dates above are of its heat sum" in text
    items = json.loads(walk(book, "2026-05-02", "--json"))["items"]
    promised = {each["organism"] for each in items if each["insect_seen"]}
    assert promised == {"codling-moth"}


def test_a_find_on_a_cue_is_seen_and_its_clean_looks_count(book: Path) -> None:
    """A card without a heat sum follows the same rule: a find is still going, not due."""
    watching(book, "squash-bug")
    here = ("--book", str(book), "--on", "2026-06-20")
    assert run("did", "sown", "summer-squash", "--done", "2026-05-20", *here).exit_code == 0
    assert run("saw", "none", "squash-bug", *here).exit_code == 0
    item = flat(section(full(book, "2026-06-21"), "LOOK NOW"))
    assert "1 clean look this season; last look Sat 20 June" in item
    found = run("saw", "squash-bug", "eggs", "--seen", "2026-06-21", "--book", str(book),
                "--on", "2026-06-21", "--no-input")  # fmt: skip
    assert found.exit_code == 0, found.output
    text = full(book, "2026-06-21")
    assert text.count("first egg masses") == 1  # two cues, one find
    assert "first egg masses" in section(text, "STILL GOING")
    assert "first egg masses" not in section(text, "LOOK NOW")


def test_a_day_the_calendar_was_told_does_not_move_in_silence(book: Path, tmp_path: Path) -> None:
    watching(book, BORER)
    out = str(tmp_path / "reminders.ics")
    told = run("calendar", "--book", str(book), "-o", out, "--on", "2026-06-11")
    assert told.exit_code == 0, told.output
    assert "Your calendar says" not in full(book, "2026-06-11")
    moved = flat(section(full(book, "2026-06-17"), "COMING UP"))
    assert "Look from Sat 20 June" in moved
    assert "Your calendar says Tue 16 June" in moved
    assert run("calendar", "--book", str(book), "-o", out, "--on", "2026-06-17").exit_code == 0
    assert "Your calendar says" not in full(book, "2026-06-17")
    small = flat(full(book, "2026-06-19"))  # 21 June now, 20 June told
    assert "Your calendar says Sat 20 June" in small
    assert "for less than 3 days it is left so" in small


def test_the_answer_for_programs_keeps_to_its_schema(demo: Path, book: Path) -> None:
    file = Path(__file__).parents[2] / "data" / "schemas" / "walk.json"
    schema = json.loads(file.read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    for folder, on in ((demo, "2026-06-11"), (demo, "2026-07-08"), (book, "2026-06-27")):
        jsonschema.validate(json.loads(walk(folder, on, "--json")), schema)
    answer = json.loads(walk(demo, "2026-06-11", "--json"))
    del answer["items"][0]["look"]["plants"]
    with pytest.raises(jsonschema.ValidationError, match="'plants' is a required property"):
        jsonschema.validate(answer, schema)


def test_a_commercial_figure_stands_once_and_names_its_crop(tmp_path: Path) -> None:
    """The demonstration has cucumber and summer squash in the ground, no cabbage."""
    folder = make_demo_book(tmp_path / "patch").folder
    assert run("did", "sown", "broccoli", "--done", "2026-05-20", "--book", str(folder),
               "--on", "2026-06-11").exit_code == 0  # fmt: skip
    said = flat(full(folder, "2026-06-11"))
    figures = re.findall(r"Commercial figure[^:]*: [^(]*", said)
    assert len(figures) == len(set(figures)) > 5
    beetle = [each for each in figures if "beetle" in each and "a plant" in each]
    assert [each.split(":")[0] for each in beetle] == [
        "Commercial figure, cucumber and muskmelon, while they can take wilt",
        "Commercial figure, watermelon, and most squash and pumpkin",
    ]


def test_a_sum_from_a_find_says_both_ends(book: Path) -> None:
    """From 1 June or 12 June: the heat since, and what is missing, at both; the dates by share."""
    watching(book, "squash-bug")
    found = run("saw", "squash-bug", "eggs", "--seen", "2026-06-11", "--clean", "2026-05-31",
                "--book", str(book), "--on", "2026-06-12")  # fmt: skip
    assert found.exit_code == 0, found.output
    why = flat(run("why", "--book", str(book), "squash-bug", "egg-hatch",
                   "--on", "2026-06-14").stdout)  # fmt: skip
    sums = re.search(r"Heat so far (\d+) or (\d+) of (\d+)", why)
    left = re.search(r"Still to go (\d+) to (\d+) °F-days", why)
    assert sums is not None
    assert left is not None
    most, least, goal = map(int, sums.groups())
    assert [int(each) for each in left.groups()] == pytest.approx(
        [max(goal - most, 0), goal - least], rel=0, abs=1.0
    )
    answer = json.loads(run("why", "--book", str(book), "squash-bug", "egg-hatch", "--json",
                            "--on", "2026-06-14").stdout)  # fmt: skip
    (item,) = (each for each in answer["items"] if each["sum_reached"])
    inner = item["sum_reached"]["inner"]
    assert (inner["years"], inner["of"]) == (None, 12)
    assert 0.75 <= inner["share"] < 1.0
    assert f"{inner['share']:.0%} give".replace("%", " %") in item["says"]
    assert item["says"].endswith("over the whole bracket.")
    for span in item["sum_reached"]["spans"]:
        assert f"{span['share']:.0%}: " in why
