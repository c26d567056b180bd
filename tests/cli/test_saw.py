"""``gddcast saw``: any stage a person can see, and the catches of a trap, as typed."""

from __future__ import annotations

import datetime as dt
import json
import os
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from gddcast.book.opening import open_book
from gddcast.cli import main

SAMPLES = Path(__file__).parents[1] / "samples"
WHOLE = SAMPLES / "larkhollow_2014_to_31aug2026_f.csv"
SETUP = (
    "setup", "--name", "Larkhollow Patch", "--at", "41.2,-89.4", "--timezone", "America/Chicago",
    "--show", "F", "--no-input",
)  # fmt: skip
ON = ("--on", "2026-07-20")
BEETLE, MOTH = "colorado-potato-beetle", "codling-moth"


def run(*words: str) -> Result:
    """What a command answers."""
    return CliRunner().invoke(main, list(words))


def flat(answer: Result) -> str:
    """What it printed, without its line breaks."""
    assert answer.exit_code == 0, answer.stderr
    return " ".join(answer.stdout.split())


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A book with Larkhollow's weather, watching four pests; we stand beside it."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("GDDCAST_BOOK", raising=False)
    assert run(*SETUP).exit_code == 0
    folder = tmp_path / "larkhollow-patch"
    settings = folder / "book.toml"
    watch = f'watch = ["squash-bug", "squash-vine-borer", "{BEETLE}", "{MOTH}"]'
    told = [line for line in settings.read_text().splitlines() if "watch =" not in line]
    told.insert(told.index("[looking]") + 1, watch)
    settings.write_text("\n".join(told) + "\n")
    assert run("weather", "add", str(WHOLE), *ON).exit_code == 0
    return folder


def saw(*words: str) -> str:
    return flat(run("saw", *words, *ON))


def status(stage: str, organism: str) -> str:
    """Where a stage of a card stands on the walk's day."""
    items = json.loads(run("why", organism, stage, "--json", *ON).stdout)["items"]
    return items[0]["status"]  # type: ignore[no-any-return]


def test_a_large_larva_says_that_everything_before_it_is_under_way(book: Path) -> None:
    before = [status(stage, BEETLE) for stage in ("eggs", "egg-hatch", "third-instars")]
    assert "under way" not in before
    said = saw(BEETLE, "large larvae", "--seen", "2026-06-22")
    assert "So these had begun, at the latest: overwintered beetles by 2 June;" in said
    for stage in ("adults", "eggs", "egg-hatch", "second-instars", "third-instars"):
        assert status(stage, BEETLE) == "under way", stage
    assert status("fourth-instars", BEETLE) == "seen"
    said = flat(run("walk", *ON))
    assert "large larvae (fourth instars), which eat most · seen 22 June" in said, said
    walk = flat(run("walk", "--full", *ON))
    assert "Colorado potato beetle: earlier stages You logged large larvae on Mon 22 June" in walk
    # One block an organism, and none of its stages is asked for as if it were still to come.
    assert walk.count("earlier stages") == 1
    for stage in ("second instars", "first egg patches", "overwintered beetles"):
        assert f"Colorado potato beetle: {stage}" not in walk


def test_what_runs_from_a_stage_nobody_saw_says_that_it_may_be_sooner(book: Path) -> None:
    """The sum of pupae counts from eggs, whose latest day is all that is known."""
    said = saw(BEETLE, "large larvae", "--seen", "2026-06-22")
    assert "LARVAE GONE INTO THE SOIL" in said
    assert "Or sooner: only the latest day of its start is known." in said
    eggs_too = saw(BEETLE, "eggs", "--seen", "2026-05-30", "--clean", "2026-05-28")
    assert "Or sooner" not in eggs_too
    assert status("eggs", BEETLE) == "seen"


@pytest.mark.parametrize(
    "words",
    [
        (BEETLE, "large larvae", "--seen", "2026-06-22"),
        ("squash-bug", "nymphs", "--seen", "2026-06-24", "--clean", "2026-06-22"),
        ("squash-vine-borer", "moths", "--seen", "2026-06-24", "--clean", "2026-06-22"),
        ("squash-vine-borer", "tunnels", "--unsure", "--seen", "2026-06-24"),
        (MOTH, "moths", "--trap", "--count", "2", "--seen", "2026-04-30"),
    ],
    ids=lambda words: words[0],
)
def test_a_find_is_confirmed_in_eight_lines_that_end_with_the_way_on(
    book: Path, words: tuple[str, ...]
) -> None:
    lines = run("saw", *words, "--no-input", "--yes", "--on", "2026-06-25").stdout.splitlines()
    assert len(lines) <= 8
    assert lines[0].startswith("Logged: ")
    assert lines[-1] == f"More:  gddcast why {words[0]}     Undo:  gddcast undo"


def test_a_hint_names_the_book_that_is_not_found_by_itself(book: Path) -> None:
    saw("squash-bug", "eggs")
    elsewhere = book.parent / "other"
    elsewhere.mkdir()
    os.chdir(elsewhere)
    where = ("--book", str(book), *ON)
    told = [
        run("saw", "squash-bug", "eggs", "--again", *where), run("undo", "--yes", *where),
        run("redo", *where), run("saw", "none", *where), run("heard", "squash-bug", "eggs", *where),
    ]  # fmt: skip
    hints = " ".join(map(flat, told))
    assert hints.count("gddcast ") == hints.count(f"--book {book}") == 9


def test_signs_are_understood_by_their_other_words(book: Path) -> None:
    for words, key in (
        ("tunnels", "tunnels"), ("hollow stems", "tunnels"), ("Sawdust", "frass"),
        ("any stage", "any-stage"), ("grubs", "larvae"),
    ):  # fmt: skip
        saw("squash-vine-borer", words, "--again")
        (*_, last) = open_book(book).journal().sightings
        assert last.event == key


def test_a_sign_that_comes_later_dates_no_stage_by_a_clean_look(book: Path) -> None:
    """Hollow stems two days after a clean look: the hatch was missed, not two days ago."""
    saw("none", "squash-vine-borer", "--seen", "2026-07-08")
    saw("squash-vine-borer", "tunnels", "--seen", "2026-07-10")
    why = flat(run("why", "squash-vine-borer", "egg-hatch", *ON))
    assert "you logged hollowed stems on Fri 10 July, so it had begun by then" in why
    assert "Began between" not in why


def test_any_stage_says_only_that_the_first_has_begun(book: Path) -> None:
    said = saw("squash-bug", "any stage", "--seen", "2026-06-02")
    assert "So these had begun, at the latest: adults back from winter." in said
    assert "Clock restarts" not in said
    assert status("eggs", "squash-bug") != "under way"


def test_the_sustained_catch_starts_the_clock_and_the_stray_does_not(book: Path) -> None:
    catches = (("04-20", 0), ("04-23", 1), ("04-27", 0), ("04-30", 2), ("05-07", 12))
    said = [
        saw(MOTH, "moths", "--trap", "--count", str(count), "--nights", "4", "--seen",
            f"2026-{day}", "--by", "Ada")
        for day, count in catches
    ]  # fmt: skip
    assert "trap empty after 4 nights, by Ada, Mon 20 April" in said[0]
    for stray in (said[1], said[3]):
        assert "No clock starts yet: its card waits for catches at 2 visits running." in stray
        assert "Clock restarts" not in stray
    assert "12 in a trap in 4 nights, 3 a night, by Ada" in said[4]
    assert "the first of them, Thu 30 April, starts the clock" in said[4]
    assert "Clock restarts for FIRST EGGS HATCHING" in said[4]
    why = flat(run("why", MOTH, "egg-hatch", *ON))
    assert "after your empty trap of 27 April and your catch of 30 April" in why
    later = saw(MOTH, "moths", "--trap", "--count", "5", "--seen", "2026-05-14")
    assert "The clock keeps running from Thu 30 April" in later


def test_finds_on_plants_and_in_traps_are_never_mixed(book: Path) -> None:
    saw(MOTH, "moths", "--trap", "--count", "2", "--seen", "2026-04-30")
    leaf = saw(MOTH, "moths", "--seen", "2026-05-02")
    assert "This season’s catches date it: kept beside them" in leaf
    assert "Clock restarts" not in leaf
    caught = saw("squash-vine-borer", "moths", "--trap", "--count", "3", "--seen", "2026-06-12")
    assert "no clock of this card goes by a trap" in caught
    assert status("moths", "squash-vine-borer") != "seen"
    seen = saw("squash-vine-borer", "moths", "--seen", "2026-06-20", "--count", "3")
    assert "Clock restarts for EGGS HATCHING" in seen


def test_a_count_of_none_is_a_clean_look_of_its_kind(book: Path) -> None:
    saw(MOTH, "moths", "--trap", "--count", "0", "--nights", "7", "--seen", "2026-04-20")
    saw("squash-bug", "eggs", "--count", "0", "--seen", "2026-06-01")
    trap, plants = open_book(book).journal().sightings
    assert (trap.kind, trap.event, trap.trap, trap.nights) == ("none", "moths", True, 7)
    assert (plants.kind, plants.event, plants.trap) == ("none", "eggs", False)


@pytest.mark.parametrize(
    ("words", "found"),
    [
        (("--nights", "7"), "nights are of a trap, and it has none"),
        (("--trap", "--plants", "1/10"), "a trap has no plants"),
    ],
)
def test_half_a_trap_is_refused_and_nothing_written(
    book: Path, words: tuple[str, ...], found: str
) -> None:
    before = len(open_book(book).entries())
    answer = run("saw", MOTH, "moths", *words, *ON)
    assert answer.exit_code == 3
    assert found in answer.stderr
    assert len(open_book(book).entries()) == before


def test_who_looked_stands_wherever_the_entry_is_told(book: Path) -> None:
    saw("squash-bug", "nymphs", "--by", "Bo", "--seen", "2026-06-20")
    (look,) = open_book(book).journal().sightings
    assert (look.by, look.seen_on) == ("Bo", dt.date(2026, 6, 20))
    assert run("export", "copy").exit_code == 0
    assert "Bo" in Path("copy/sighting.csv").read_text(encoding="utf-8")
    assert "nymphs, by Bo, Sat 20 June 2026" in flat(run("undo", *ON))


def test_what_has_begun_stands_in_the_answer_for_programs(book: Path) -> None:
    """For the squash bug by its printed 108.58 °C·d above 14.39 °C from egg to hatch."""
    saw("squash-bug", "nymphs", "--seen", "2026-06-20")
    items = json.loads(run("walk", "--json", *ON).stdout)["items"]
    begun = {each["stage"]: each["begun"] for each in items if each["organism"] == "squash-bug"}
    assert begun["egg-hatch"] is None
    assert begun["eggs"]["by"] == {"stage": "nymphs", "seen": "2026-06-20"}
    assert begun["eggs"]["counted_back"] is True
    rows = WHOLE.read_text(encoding="utf-8").splitlines()
    days = [row.split(",") for row in rows if row[:4] == "2026" and row[:10] <= "2026-06-20"]
    latest, sum_ = dt.date(2026, 6, 20), 0.0
    for _, high, low, *_ in reversed(days):  # by the day's mean alone, no upper threshold near
        sum_ += max(((float(high) + float(low)) / 2 - 32) / 1.8 - 14.39, 0.0)
        if sum_ >= 108.58:
            break
        latest -= dt.timedelta(days=1)
    told = dt.date.fromisoformat(begun["eggs"]["at_the_latest"])
    assert abs((told - latest).days) <= 2  # the day's shape counts cool nights' afternoons too


def test_a_calendar_no_longer_asks_for_what_is_under_way(book: Path) -> None:
    saw(BEETLE, "large larvae", "--seen", "2026-06-22")
    assert run("calendar", "-o", "reminders.ics", "--on", "2026-06-25").exit_code == 0
    written = Path("reminders.ics").read_text(encoding="utf-8").replace("\r\n ", "")
    assert "second instars" not in written
    assert "Seen: Colorado potato beetle: large larvae" in written
