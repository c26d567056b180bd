"""``gddcast watch``, ``setup --grow``, and sowings that are asked about, as a person types them."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest

from gddcast.book.opening import open_book
from gddcast.cards.library import pests_of
from gddcast.readers.card_files import load_cards
from tests.cli.test_book_commands import BORER, SETUP, WHOLE, book, flat, here, run, weathered

__all__ = ["book", "here", "weathered"]  # fixtures
SCHEMA = Path(__file__).parents[2] / "data" / "schemas" / "watch.json"
ON = ("--on", "2026-06-25")


def many(*crops: str) -> int:
    """Pests of some crops, by the cards themselves."""
    cards = load_cards()
    return len({pest.key for crop in crops for pest in pests_of(cards.values(), cards[crop].names)})


def refused(words: tuple[str, ...], *said: str) -> None:
    """It ends with 3 and says so."""
    answer = run(*words)
    assert answer.exit_code == 3, answer.output + answer.stderr
    for each in said:
        assert each in " ".join(answer.stderr.split())


def test_setup_takes_what_is_grown_and_says_how_much_is_watched(here: Path) -> None:
    answer = run(*SETUP, "--grow", "courgettes,Sweet Corn,kale")
    pests = many("summer-squash", "sweet-corn", "kale")
    assert 20 < pests < 40
    assert f"Watching {pests} pests of 3 crops:  gddcast watch" in answer.stdout
    settings = open_book(here / "larkhollow-patch").settings
    assert settings.grow == ("summer-squash", "sweet-corn", "kale")
    elsewhere = (*SETUP[:2], "Elsewhere", *SETUP[3:], "--grow")
    refused((*elsewhere, "kale,brocoli"), "Did you mean broccoli?")
    refused((*elsewhere, "luffa"), "There is nothing to watch on it.")
    assert not (here / "elsewhere").exists()


def test_a_book_that_is_there_is_told_what_is_grown(book: Path) -> None:
    answer = run("setup", "--grow", "kale")
    assert f"Watching {many('kale')} pests of 1 crop:  gddcast watch" in answer.stdout
    assert "grow = " in answer.stdout
    assert open_book(book).settings.grow == ("kale",)


def test_pests_are_added_and_dropped_by_any_name(book: Path) -> None:
    run("setup", "--grow", "kale")
    added = run("watch", "add", "Melittia cucurbitae,", "squash bug", "striped cucumber", *ON)
    assert "Added squash vine borer, squash bug, striped cucumber beetle." in flat(added)
    assert f"Now watching {many('kale')} pests of 1 crop and 3 besides." in flat(added)
    again = run("watch", "add", "squash", "bug")  # one name in two words
    assert flat(again).startswith("All of it was watched already.")
    dropped = run("watch", "drop", "swede-midge", "squash-bug")
    left = many("kale") - 1
    assert f"Dropped squash bug, swede midge. Now watching {left} pests of 1 crop and 2" in flat(
        dropped
    )
    settings = open_book(book).settings
    assert settings.watch == (BORER, "striped-cucumber-beetle")
    assert (settings.grow, settings.leave_out) == (("kale",), ("swede-midge",))
    back = run("watch", "add", "swede-midge")
    assert "Added swede midge." in back.stdout
    assert open_book(book).settings.leave_out == ()


def test_a_crop_brings_its_pests_and_takes_them_away(book: Path) -> None:
    kale, beet = (f"Now watching {many(crop)} pests of 1 crop." for crop in ("kale", "beet"))
    assert kale in flat(run("watch", "add", "kale"))
    assert beet not in flat(run("watch", "add", "beets"))
    assert open_book(book).settings.grow == ("kale", "beet")
    assert beet in flat(run("watch", "drop", "kale"))


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("borer", "european-corn-borer, lesser-peachtree-borer"),
        ("squash", "several crops are called so. Did you mean pumpkin, summer-squash or winter"),
        ("cucmber", "Did you mean cucumber?"), ("xyzzy", "No name is near it."),
    ],
)  # fmt: skip
def test_a_name_of_none_or_of_several_is_refused_and_nothing_written(
    book: Path, name: str, said: str
) -> None:
    before = (book / "book.toml").read_bytes()
    refused(("watch", "add", "kale", name), said)
    assert (book / "book.toml").read_bytes() == before


def test_the_list_stands_in_few_lines_a_paragraph_a_crop(book: Path) -> None:
    run("setup", "--grow", "kale,summer-squash")
    run("watch", "add", "leek-moth")
    run("watch", "drop", "melon-aphid")
    lines = run("watch").stdout.splitlines()
    pests = many("kale", "summer-squash") - 1
    assert lines[0] == f"Watching {pests} pests of 2 crops and 1 besides."
    assert len(lines) <= 10
    text = " ".join(" ".join(lines).split())
    for said in ("kale cabbage-aphid, cabbage-looper", "summer squash corn-rootworms",
                 "besides leek-moth", "left out melon-aphid", "watch add NAME"):  # fmt: skip
        assert said in text
    assert max(map(len, lines)) <= 98


def test_the_list_for_programs_keeps_to_its_schema(book: Path) -> None:
    schema = json.loads(SCHEMA.read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    for words in ((), ("setup", "--grow", "kale,leek"), ("watch", "add", BORER),
                  ("watch", "drop", "swede-midge")):  # fmt: skip
        assert not words or run(*words).exit_code == 0
        answer = json.loads(run("watch", "--json").stdout)
        jsonschema.validate(answer, schema)
    assert answer["rests_on"] == "said"
    assert answer["left_out"] == ["swede-midge"]
    by_key = {each["key"]: each for each in answer["watched"]}
    assert by_key[BORER]["by_name"]
    assert by_key["cabbage-aphid"]["on"] == ["kale"]
    answer["watched"][0]["color"] = "red"
    with pytest.raises(jsonschema.ValidationError, match="color"):
        jsonschema.validate(answer, schema)


def test_every_surface_watches_the_same(weathered: Path) -> None:
    """Walk, ahead and JSON; the calendar's stages and the page's names are of the list alone."""
    run("setup", "--grow", "kale")
    run("watch", "add", BORER)
    keys = {each["key"] for each in json.loads(run("watch", "--json").stdout)["watched"]}
    for surface in ("walk", "ahead"):
        items = json.loads(run(surface, "--json", *ON).stdout)["items"]
        assert {each["organism"] for each in items} <= keys
    for name, page in (("report", "r.html"), ("sheet", "s.html"), ("calendar", "c.ics")):
        assert run(name, "-o", page, *ON).exit_code == 0
        text = Path(page).read_text(encoding="utf-8")
        assert "alfalfa" not in text.lower()
        assert "squash vine borer" in text.lower().replace("\r\n ", "")
    only = json.loads(run("ahead", "--grow", "beet", "--json", *ON).stdout)["items"]
    cards = load_cards()
    of_beet = {each.key for each in pests_of(cards.values(), cards["beet"].names)}
    assert {each["organism"] for each in only} <= of_beet
    assert "beet-armyworm" in of_beet


def test_a_new_crop_offers_its_pests_once_and_never_to_a_bare_record(book: Path) -> None:
    assert "Not watched" not in run("did", "sown", "kale", *ON).stdout
    run("setup", "--grow", "kale")
    answer = flat(run("did", "sown", "okra", *ON))
    assert "Not watched on okra: " in answer
    assert "Watch them: gddcast watch add okra" in answer
    told = run("did", "sown", "cabbage", *ON).stdout  # all of kale's pests are its own
    assert "Not watched on cabbage: " not in told or "imported cabbageworm" not in told
    run("watch", "add", "okra")
    assert "Not watched" not in run("did", "sown", "okra", "--bed", "row 2", *ON).stdout


def test_an_old_book_without_a_list_is_asked_once(
    weathered: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Offered what was sown; an empty answer counts too; a program is never asked."""
    monkeypatch.setattr("gddcast.cli.book_here.can_ask", lambda **_: True)
    run("did", "sown", "kale", "--done", "2026-05-01", *ON)
    assert "What do you grow?" not in run("walk", "--json", *ON).stderr
    first = run("walk", *ON, typed="\n")
    assert "What do you grow? (crops, with commas; their pests are watched) [kale]" in first.stderr
    assert open_book(weathered).settings.grow == ("kale",)
    assert "What do you grow?" not in run("walk", *ON).stderr


def test_a_book_with_a_list_is_not_asked(weathered: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("gddcast.cli.book_here.can_ask", lambda **_: True)
    file = weathered / "book.toml"
    text = file.read_text(encoding="utf-8").replace("watch = []", 'watch = ["squash-bug"]')
    # As a book of an earlier version has it.
    text = "".join(row for row in text.splitlines(keepends=True) if "leave_out" not in row)
    file.write_text(text.replace("# grow = ", "# gone = "), encoding="utf-8")
    assert "What do you grow?" not in run("walk", *ON).stderr
    assert open_book(weathered).settings.watch == ("squash-bug",)


def test_a_walk_of_a_file_needs_to_know_what_to_look_for(here: Path) -> None:
    refused(("walk", str(WHOLE), *ON), "nobody said what to look for", "--grow summer-squash,kale")
    answer = run("walk", str(WHOLE), "--grow", "courgette", *ON)
    assert answer.exit_code == 0
    assert "Squash vine borer" in answer.stdout
    assert "lfalfa" not in answer.stdout
    refused(("walk", str(WHOLE), "--grow", "beans", *ON), "Did you mean lima-bean or snap-bean?")


def test_a_second_sowing_of_the_same_day_is_asked_about(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    sown = ("did", "sown", "cucumber", "--bed", "row 3", *ON)
    assert run(*sown).exit_code == 0
    refused(sown, "cucumber 2026-1 is on record on that day (entry 2026-001)", "--yes")
    for other in (("--bed", "row 4"), ("--variety", "pickling"), ("--name", "late one"),
                  ("--done", "2026-06-24"), ("--yes",)):  # fmt: skip
        assert run(*sown, *other).exit_code == 0
    monkeypatch.setattr("gddcast.cli.book_here.can_ask", lambda **_: True)
    assert run(*sown, typed="n\n").exit_code == 130
    assert len(open_book(book).journal().sowings) == 6
    assert run(*sown, typed="y\n").exit_code == 0


def test_a_crop_misspelt_is_asked_about_wherever_it_is_named(
    weathered: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for words in (("did", "sown", "zuchini"), ("sow", "last", "--crop", "zuchini"),
                  ("sow", "plan", "--crop", "zuchini", "--sown", "2026-06-01")):  # fmt: skip
        refused((*words, *ON), "Did you mean summer-squash?")
    run("did", "sown", "courgettes", "--done", "2026-05-20", *ON)
    refused(("did", "up", "courgete", *ON), "Did you mean courgette?")
    assert run("did", "sown", "zuchini", "--yes", *ON).exit_code == 0  # stands by the name
    monkeypatch.setattr("gddcast.cli.book_here.can_ask", lambda **_: True)
    assert run("did", "sown", "brocoli", *ON, typed="broccoli\n").exit_code == 0
    crops = [each.crop for each in open_book(weathered).journal().sowings]
    assert crops == ["summer-squash", "zuchini", "broccoli"]


def test_skipped_puts_a_chore_away(weathered: Path) -> None:
    run("did", "sown", "cucumber", "--done", "2026-04-20", "--bed", "row 3", *ON)
    run("did", "first-pick", "cucumber", "--done", "2026-06-08", *ON)
    chores = json.loads(run("walk", "--json", *ON).stdout)["chores"]
    assert [each["chore"] for each in chores] == ["side-dress", "sow the next one"]
    assert "put away" in run("did", "skipped", "row 3", *ON).stdout
    assert json.loads(run("walk", "--json", *ON).stdout)["chores"] == []
    assert run("undo", *ON).exit_code == 0
    assert len(json.loads(run("walk", "--json", *ON).stdout)["chores"]) == 2


def test_no_next_sowing_is_told_after_the_last_one_worth_it(weathered: Path) -> None:
    """Nor of a crop that is picked once; `sow last` counts the same past years."""
    run("did", "sown", "cucumber", "--done", "2026-05-20", "--on", "2026-08-01")
    late = ("--done", "2026-07-25", "--on", "2026-08-01")
    answer = run("did", "first-pick", "cucumber", *late)
    late = "8–15 August is too late for a next one: gddcast sow last --crop cucumber"
    assert late in flat(answer)
    last = run("sow", "last", "--crop", "cucumber", "--picking-days", "21", "--on", "2026-08-01")
    assert "10 of 12" in last.stdout
    run("did", "sown", "carrot", "--done", "2026-04-01", "--on", "2026-08-01")
    picked = run("did", "first-pick", "carrot", "--done", "2026-06-08", "--on", "2026-08-01")
    assert "Your rules: side-dress Mon 22 June." in picked.stdout


def test_hints_name_a_book_that_is_not_found_by_itself(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every hint is typed as it stands, from a folder that holds no book."""
    monkeypatch.chdir(tmp_path)
    Path("far").mkdir()
    run("setup", "--book", "far/new", "--name", "Larkhollow", "--timezone", "America/Chicago",
        "--show", "F", "--no-input")  # fmt: skip
    grow = "gddcast setup --grow summer-squash,kale --book far/new"
    assert grow in flat(run("watch", "--book", "far/new"))
    run("demo", "--copy", "far/patch")
    away = ("--book", "far/patch", *ON)
    listed = flat(run("watch", *away))
    assert (
        "gddcast watch add NAME --book far/patch gddcast watch drop NAME --book far/patch" in listed
    )
    kale = flat(run("did", "sown", "leek", "--on", "2026-06-10", "--book", "far/patch"))
    assert "gddcast watch add leek --book far/patch" in kale
    tuned = flat(run("tune", "seedcorn-maggot", *away))
    assert "--seen DATE --clean DATE" in tuned
    assert "gddcast saw seedcorn-maggot" in tuned.partition("--book far/patch")[0]
