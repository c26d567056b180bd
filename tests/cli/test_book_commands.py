"""The commands that write the season book, as a person types them."""

from __future__ import annotations

import datetime as dt
import json
import re
from pathlib import Path

import numpy as np
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
BORER = "squash-vine-borer"


def run(*words: str, typed: str | None = None) -> Result:
    """What a command answers."""
    return CliRunner().invoke(main, list(words), input=typed)


def flat(answer: Result) -> str:
    """What it printed, without its line breaks."""
    return " ".join(answer.stdout.split())


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder, and we are in it."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("GDDCAST_BOOK", raising=False)
    return tmp_path


@pytest.fixture
def book(here: Path) -> Path:
    """A new book, found because it is the only one in this folder."""
    assert run(*SETUP).exit_code == 0
    return here / "larkhollow-patch"


@pytest.fixture
def weathered(book: Path) -> Path:
    """The book with Larkhollow's weather to 24 June 2026."""
    rows = WHOLE.read_text(encoding="utf-8").splitlines(keepends=True)
    (book / "garden.csv").write_text(
        "".join(row for row in rows if row < "2026-06-25" or not row[0].isdigit())
    )
    assert run("weather", "add", str(book / "garden.csv"), "--on", "2026-06-25").exit_code == 0
    return book


def refused(answer: Result, *words: str) -> None:
    """Exit 3, three parts on stderr, and these words in them."""
    assert answer.exit_code == 3, answer.output
    assert answer.stderr.startswith("Can’t use ")
    assert len(answer.stderr.splitlines()) >= 3
    for word in words:
        assert word in answer.stderr


# --- setup --------------------------------------------------------------------------------------


def test_setup_by_flags(here: Path) -> None:
    answer = run(*SETUP)
    assert answer.stdout == (
        "Wrote larkhollow-patch/book.toml.  Next:  gddcast weather add YOURFILE.csv\n"
    )
    place = open_book(here / "larkhollow-patch").place
    assert (place.name, place.latitude, place.timezone) == (
        "Larkhollow Patch", 41.2, "America/Chicago",
    )  # fmt: skip


def test_setup_without_a_terminal_names_the_flag(here: Path) -> None:
    refused(run("setup", "--no-input"), "it is not told --name", "--name TEXT")
    refused(
        run("setup", "--name", "x", "--timezone", "UTC", "--no-input"),
        "it is not told --show",
        "--show F|C",
    )
    assert list(here.iterdir()) == []


def test_setup_asks_on_a_terminal(here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Few questions; an empty answer takes what is offered, a typing error is asked about."""
    monkeypatch.setattr("gddcast.cli.book_here.can_ask", lambda **_: True)
    monkeypatch.setattr("gddcast.cli.clock.machine_timezone", lambda: "America/Chicago")
    answer = run(
        "setup",
        typed="Larkhollow Patch\n95,-89\n41.2,-89.4\n\nf\n"
        "open-shade\nmorning\n\ncourgettes, brocoli\nbroccoli\n",
    )
    assert answer.exit_code == 0, answer.output
    asked = answer.stderr
    for question in ("Place name?", "Latitude, longitude?", "Timezone? [America/Chicago]",
                     "Show temperatures in F or C?", "Where does the thermometer hang?",
                     "in the morning, in the evening, or automatic?", "What do you grow?",
                     "'brocoli': which crop is it?"):  # fmt: skip
        assert question in asked
    assert "Latitude comes first" in asked  # a point that is no place is asked for again
    book = open_book(here / "larkhollow-patch")
    assert (book.place.longitude, book.place.timezone, book.show) == (-89.4, "America/Chicago", "F")
    assert book.settings.grow == ("summer-squash", "broccoli")
    weather = book.settings.weather
    assert (weather.sensor_spot, weather.reading_hour) == ("open-shade", 7)
    assert weather.day_ends == "morning-reading"
    assert re.search(r"Watching \d\d pests of 2 crops:  gddcast watch", answer.stdout)


@pytest.mark.parametrize(
    ("typed", "hour", "ends"),
    [("automatic\n", None, "midnight"), ("evening\n\n", 21, "midnight"),
     ("evening\n18\n", 18, "midnight"), ("morning\n6\n", 6, "morning-reading")],
)  # fmt: skip
def test_setup_asks_when_a_thermometer_is_read(
    here: Path, monkeypatch: pytest.MonkeyPatch, typed: str, hour: int | None, ends: str
) -> None:
    monkeypatch.setattr("gddcast.cli.book_here.can_ask", lambda **_: True)
    flags = ("--name", "Larkhollow", "--at", "41.2,-89.4", "--timezone", "America/Chicago")
    answer = run("setup", *flags, "--show", "F", "--grow", "kale", typed=f"\n{typed}")
    assert answer.exit_code == 0, answer.output + answer.stderr
    weather = open_book(here / "larkhollow").settings.weather
    assert (weather.reading_hour, weather.day_ends) == (hour, ends)
    assert ("counts twice" in answer.stderr) == (hour == 18)


def test_a_find_asks_what_only_its_finder_knows(
    weathered: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The day of seeing, one or several, the last clean look: pitfalls B11, B3, B12."""
    monkeypatch.setattr("gddcast.cli.book_here.can_ask", lambda **_: True)
    answer = run("saw", BORER, "moths", "--on", "2026-06-25",
                 typed="someday\n2026-06-24\nseveral\n2026-06-22\n")  # fmt: skip
    assert answer.exit_code == 0, answer.output
    assert "Write it as 2026-06-11" in answer.stderr
    (find,) = open_book(weathered).journal().sightings
    assert (find.seen_on, find.clean_on, find.sure) == (
        dt.date(2026, 6, 24), dt.date(2026, 6, 22), True,
    )  # fmt: skip


def test_setup_never_writes_over_a_book_and_changes_one_line(book: Path) -> None:
    before = (book / "book.toml").read_text(encoding="utf-8").splitlines()
    answer = run("setup", "--sensor-spot", "open-shade")
    assert answer.stdout == "Changed in larkhollow-patch/book.toml: sensor_spot = open-shade.\n"
    after = (book / "book.toml").read_text(encoding="utf-8").splitlines()
    changed = [new for old, new in zip(before, after, strict=True) if old != new]
    assert len(changed) == 1
    assert changed[0].startswith('sensor_spot = "open-shade"')
    refused(run("setup", "--no-input"), "there is a season book in it", "book.toml")


def test_setup_keeps_the_hour_of_reading_and_warns_of_an_afternoon(book: Path) -> None:
    """Before noon a maximum is yesterday's: DeGaetano & Knapp (1993); Karl et al. (1986)."""
    morning = run("setup", "--reading-hour", "7")
    assert "reading_hour = 7, day_ends = morning-reading." in morning.stdout
    assert morning.stderr == ""
    assert open_book(book).settings.weather.reading_hour == 7
    afternoon = run("setup", "--reading-hour", "17")
    assert "a hot day counts twice" in afternoon.stderr
    weather = open_book(book).settings.weather
    assert (weather.reading_hour, weather.day_ends) == (17, "midnight")


def test_a_place_in_the_south_begins_in_july_and_a_lost_sign_is_noticed(here: Path) -> None:
    south = run("setup", "--name", "South", "--at", "-38,145", "--timezone",
                "Australia/Melbourne", "--show", "C", "--no-input")  # fmt: skip
    assert "Seasons begin on 1 July here" in south.stdout
    assert open_book(here / "south").place.season_begins == (7, 1)
    lost = run("setup", "--name", "Lost", "--at", "41.2,89.4", "--timezone",
               "America/Chicago", "--show", "F", "--no-input")  # fmt: skip
    assert "was a sign lost" in lost.stderr
    wrong = run("setup", "--name", "W", "--timezone", "America/Chcago", "--show", "F", "--no-input")
    refused(wrong, "nobody knows it", 'Did you mean "America/Chicago"?')


# --- which book ---------------------------------------------------------------------------------


def test_a_book_is_found_by_flag_by_folder_or_as_the_only_one(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert run("saw", "none", "--on", "2026-06-11").exit_code == 0
    monkeypatch.chdir(book)
    assert run("saw", "none", "--on", "2026-06-12").exit_code == 0
    monkeypatch.chdir("/")
    refused(run("saw", "none"), "there is no season book in it", "gddcast setup")
    assert run("saw", "none", "--book", str(book), "--on", "2026-06-13").exit_code == 0
    monkeypatch.setenv("GDDCAST_BOOK", str(book))
    assert run("saw", "none", "--on", "2026-06-14").exit_code == 0
    assert len(open_book(book).entries()) == 4
    monkeypatch.delenv("GDDCAST_BOOK")
    monkeypatch.chdir(book.parent)
    run("setup", "--name", "Other", "--timezone", "UTC", "--show", "C", "--no-input")
    refused(run("saw", "none"), "2 season books stand in it", "larkhollow-patch", "other")


# --- weather ------------------------------------------------------------------------------------


def test_weather_add_says_what_it_understood(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    words = ("weather", "add", str(SAMPLES / "larkhollow_2014_2026_f.csv"), "--on", "2026-06-11")
    answer = run(*words)
    assert answer.exit_code == 0
    for line in (
        "Read 4,544 days, 1 January 2014 to 10 June 2026.",
        "Hottest 108 °F on 14 June 2018, coldest −2 °F on 18 January 2025: does that sound right?",
        "Brought 4,544 new days.  [entry 2026-001]",
        "Past seasons that can be used: 12 (2014–2025)",
        "Weather record: SOUND",
        "  Set it:  gddcast setup --sensor-spot open-shade",
    ):
        assert line in answer.stdout
    again = run(*words)
    assert "nothing was written" in again.stdout
    assert len(open_book(book).entries()) == 1
    monkeypatch.chdir(SAMPLES)
    elsewhere = run(*words, "--book", str(book)).stdout
    assert f"Set it:  gddcast setup --book {book} --sensor-spot open-shade" in elsewhere


def test_revised_days_are_counted_and_named(weathered: Path) -> None:
    """Pitfall D14: dates that jump because the data did."""
    file = weathered / "garden.csv"
    text = file.read_text(encoding="utf-8").splitlines()
    for place in range(-12, 0):
        day, *rest = text[place].split(",")
        text[place] = ",".join([day, *(str(int(float(each)) + 2) for each in rest)])
    file.write_text("\n".join(text) + "\n", encoding="utf-8")
    answer = run("weather", "add", str(file), "--on", "2026-06-25")
    assert "12 past days changed (13–24 June)" in answer.stdout
    assert run("weather", "add", str(file), "--on", "2026-06-25", "--strict").exit_code == 0


def test_future_rows_are_a_forecast(book: Path) -> None:
    """Pitfall D12."""
    file = SAMPLES / "25_future_rows.csv"
    answer = run("weather", "add", str(file), "--on", "2026-06-11")
    assert answer.exit_code == 0
    assert "9 days of forecast, issued Thu 11 June: kept as issued" in answer.stdout
    series = open_book(book).series(dt.date(2026, 6, 11))
    ahead = series.dates > np.datetime64("2026-06-11")
    assert set(series.origin[ahead].tolist()) == {4}
    # A month later nothing of it is left.
    assert open_book(book).series(dt.date(2026, 8, 1)).last == dt.date(2026, 6, 11)


def test_a_note_of_a_thermometer_on_a_wall(weathered: Path) -> None:
    answer = run("weather", "note", "--high", "84", "--low", "61", "--on", "2026-06-25")
    assert "Noted for Thu 25 June 2026: high 84.0 °F, low 61.0 °F." in answer.stdout
    series = open_book(weathered).series()
    assert (series.last, round(series.tmax[-1], 6)) == (dt.date(2026, 6, 25), 28.888889)
    same = run("weather", "note", "--high", "84", "--low", "61", "--on", "2026-06-25")
    assert "nothing was written" in same.stdout
    celsius = run("weather", "note", "--high", "30", "--low", "15", "--unit", "C", "--done",
                  "2026-06-24", "--on", "2026-06-25")  # fmt: skip
    assert "1 had another reading" in celsius.stdout
    for words, found in (
        (("--high", "61", "--low", "84"), "the high lies below the low"),
        (("--high", "184", "--low", "61"), "no thermometer in the shade has shown that"),
        (("--high", "84", "--done", "2026-06-26"), "it is in the future"),
        ((), "it holds no reading"),
    ):
        refused(run("weather", "note", *words, "--on", "2026-06-25"), found)


def test_a_morning_reader_has_the_maximum_put_to_the_day_before(book: Path) -> None:
    """Pitfall T2."""
    file = book / "book.toml"
    text = file.read_text(encoding="utf-8").replace('"midnight" ', '"morning-reading" ')
    file.write_text(text, encoding="utf-8")
    for day, high, low in (("2026-06-10", "80", "55"), ("2026-06-11", "90", "60")):
        run("weather", "note", "--high", high, "--low", low, "--on", day)
    series = open_book(book).series()
    known = {
        series.date(int(place)): (
            round(series.tmin[place] * 1.8 + 32),
            round(series.tmax[place] * 1.8 + 32),
        )
        for place in np.flatnonzero(series.known)
    }
    assert known == {dt.date(2026, 6, 10): (55, 90)}


# --- saw, heard, undo ---------------------------------------------------------------------------


def test_a_second_find_is_kept_beside_the_first(weathered: Path) -> None:
    """Pitfall B10."""
    for seen in ("2026-06-20", "2026-06-24"):
        answer = run("saw", BORER, "moths", "--seen", seen, "--on", "2026-06-25")
    assert "The clock keeps running from Sat 20 June (entry 2026-002)" in answer.stdout
    assert "gddcast saw squash-vine-borer second-moths" in answer.stdout
    assert "Clock restarts" not in answer.stdout
    assert len(open_book(weathered).journal().sightings) == 2


def test_a_single_insect_starts_no_clock(weathered: Path) -> None:
    """Pitfall B3."""
    one = run("saw", BORER, "moths", "--one", "--on", "2026-06-25")
    assert "One alone may be a stray" in one.stdout
    assert "Clock restarts" not in one.stdout
    more = run("saw", BORER, "moths", "--count", "4", "--where", "row 2", "--on", "2026-06-25")
    assert "Clock restarts for EGGS HATCHING" in more.stdout


def test_finds_that_cannot_be_are_refused_and_not_written(weathered: Path) -> None:
    run("did", "sown", "summer-squash", "--done", "2026-05-20", "--on", "2026-06-25")
    before = len(open_book(weathered).entries())
    for words, found in (
        ((BORER, "moths", "--seen", "2027-06-24"), "it is in the future"),
        ((BORER, "moths", "--seen", "2026-05-01"), "its first summer squash was sown after it"),
        ((BORER, "moths", "--seen", "2026-06-20", "--clean", "2026-06-21"), "it is not before"),
        ((BORER, "bug"), "its card has no such stage"),
        ((BORER,), "it names no stage"),
        (("squash-bugg", "eggs"), "no card has that name"),
        (("none", "--clean", "2026-06-20"), "it is clean itself"),
    ):
        refused(run("saw", *words, "--on", "2026-06-25"), found)
    assert len(open_book(weathered).entries()) == before
    trap = run("saw", BORER, "moths", "--seen", "2026-05-01", "--elsewhere", "--yes", "--on",
               "2026-06-25")  # fmt: skip
    assert trap.exit_code == 0


def test_a_peak_and_an_end_are_no_finds_and_are_not_offered(weathered: Path) -> None:
    """Nobody sees a peak on a day: it is counted. One that a sum is counted from can be logged."""
    before = len(open_book(weathered).entries())
    for words, found in (
        (("cabbage-maggot", "peak"), "a peak can’t be seen on one day"),
        (("cabbage-maggot", "flight-ends"), "an end can’t be seen on one day"),
        (("cabbage-maggot",), "it names no stage"),
        (("cabbage-maggot", "peaks"), "its card has no such stage"),
    ):
        answer = run("saw", *words, "--on", "2026-06-25")
        refused(answer, found, "second-adults")
        told = answer.stderr.partition(found)[2]
        assert "peak" not in told
        assert "ends" not in told
    assert len(open_book(weathered).entries()) == before
    moth = run("saw", "oriental-fruit-moth", "peak", "--seen", "2026-05-10", "--on", "2026-06-25")
    said = " ".join(moth.stdout.split())
    assert "Clock restarts for FIRST EGGS OF THE SECOND BROOD" in said, said


def test_a_stage_nearly_right_is_suggested_and_not_logged(weathered: Path) -> None:
    before = len(open_book(weathered).entries())
    for near, meant in (("moth", "moths"), ("egg hatching", "egg-hatch"), ("pupa", "pupae")):
        words = ("saw", BORER, near, "--on", "2026-06-25")
        refused(run(*words), "its card has no such stage", f"Did you mean {meant}?")
    assert len(open_book(weathered).entries()) == before


def test_the_same_find_twice_is_asked_about(weathered: Path) -> None:
    words = ("saw", BORER, "moths", "--seen", "2026-06-24", "--on", "2026-06-25")
    run(*words)
    refused(run(*words), "the same is on record already", "Entry 2026-002", "--yes")
    assert run(*words, "--again").exit_code == 0
    assert len(open_book(weathered).journal().sightings) == 2


def test_clean_looks_are_as_easy_as_finds(book: Path) -> None:
    """Pitfall H2."""
    answer = run("saw", "none", "--plants", "0/10", "--on", "2026-06-11")
    assert answer.stdout.startswith(
        "Logged: a clean look for everything you watch, 10 plants, Thu 11 June 2026.  "
        "[entry 2026-001]\n"
        "1 clean look this season."
    )
    one = run("saw", "none", "squash bug", "--on", "2026-06-13")
    assert "a clean look for squash bug, Sat 13 June 2026" in one.stdout
    assert "2 clean looks this season" in one.stdout
    assert run("saw", "none", "--plants", "12/10", "--on", "2026-06-14").exit_code == 2


def test_hearsay_starts_no_clock(weathered: Path) -> None:
    """Pitfall H3."""
    answer = run("heard", BORER, "moths", "--seen", "2026-06-20", "--on", "2026-06-25")
    assert "it starts no clock" in answer.stdout
    journal = open_book(weathered).journal()
    assert journal.sightings[0].kind == "heard"
    assert journal.bracket(BORER, ["moths"], dt.date(2026, 1, 1), dt.date(2026, 12, 31)) is None


def test_a_find_before_there_is_weather_is_kept(book: Path) -> None:
    answer = run("saw", BORER, "moths", "--on", "2026-06-25")
    assert answer.exit_code == 0
    assert "No weather yet, so no date can follow" in answer.stdout


def test_the_day_of_seeing_is_not_the_day_of_writing(weathered: Path) -> None:
    """Pitfall B11."""
    run("saw", BORER, "moths", "--seen", "2026-06-20", "--on", "2026-06-25")
    entry = open_book(weathered).entries()[-1]
    assert entry.item is not None
    assert entry.item.seen_on == dt.date(2026, 6, 20)  # type: ignore[union-attr]
    assert entry.entered_at.date() >= dt.date(2025, 1, 1)


# --- did ----------------------------------------------------------------------------------------


def test_a_sowing_and_its_life(book: Path) -> None:
    sown = run("did", "sown", "cucumber", "--bed", "row 4", "--done", "2026-05-20", "--on",
               "2026-07-20")  # fmt: skip
    assert "Logged: cucumber 2026-1 sown Wed 20 May 2026, row 4.  [entry 2026-001]" in sown.stdout
    run("did", "first-flower", "--done", "2026-06-28", "--on", "2026-07-20")
    dusted = run("did", "dusted", "row 4", "--done", "2026-06-30", "--on", "2026-07-20")
    assert "In flower: nothing on flowers" in dusted.stdout
    picked = run("did", "first-pick", "cucumber", "--done", "2026-07-06", "--on", "2026-07-20")
    # Two weeks, and two to three weeks: book.toml's own rules.
    assert "side-dress Mon 20 July; sow the next 20–27 July" in picked.stdout
    for words, found in (
        (("first-pick",), "it is on record already"),
        (("up", "--done", "2026-05-01"), "it is before the sowing"),
        (("up", "beans"), "no sowing fits"),
        (("frist-pick",), "there is no such job"),
        (("rained", "row 4"), "it is of the whole place"),
        (("sown",), "it names no crop"),
        (("sown", "cucumbre"), "Did you mean cucumber?"),
        (("sown", "okra", "--name", "cucumber 2026-1"), "another sowing has it"),
        (("sown", "okra", "--done", "2027-05-01"), "it is in the future"),
    ):
        refused(run("did", *words, "--on", "2026-07-20"), found)
    assert len(open_book(book).entries()) == 4


def test_a_crop_without_a_card_is_sown_all_the_same(book: Path) -> None:
    answer = run("did", "sown", "luffa", "--on", "2026-05-20")
    assert answer.exit_code == 0
    assert "No card for luffa" in answer.stderr
    assert open_book(book).journal().sowings[0].crop == "luffa"


def test_a_crop_covered_is_its_sowings_covered(book: Path) -> None:
    """Said of a crop, a job of beds is done to every standing sowing of it, one entry each."""
    on = ("--on", "2026-06-20")
    first = run("did", "sown", "zucchini", "--done", "2026-05-20", "--bed", "row 2", *on)
    assert "summer-squash 2026-1 (zucchini) sown" in first.stdout
    run("did", "sown", "summer-squash", "--done", "2026-06-12", "--bed", "row 3", *on)
    covered = run("did", "covered", "zucchini", *on)
    assert "summer-squash 2026-1 and summer-squash 2026-2 covered" in covered.stdout
    assert "[entries 2026-003, 2026-004]" in covered.stdout
    jobs = open_book(book).journal().jobs
    assert [(each.sowing, each.bed) for each in jobs] == [
        ("summer-squash 2026-1", "row 2"), ("summer-squash 2026-2", "row 3"),
    ]  # fmt: skip
    refused(run("did", "dusted", "cucumber", *on), "no cucumber of this season stands")
    refused(run("did", "covered", "rwo 2", *on), "'row 2' is near")
    assert "rwo 2 watered" in run("did", "watered", "--bed", "rwo 2", *on).stdout


def test_planted_out_is_a_sowing_of_its_own(book: Path) -> None:
    run("did", "planted-out", "tomato", "--on", "2026-05-20")
    (plant,) = open_book(book).journal().sowings
    assert (plant.crop, plant.planted_out, plant.name) == ("tomato", True, "tomato 2026-1")


def test_a_second_brood_is_told_by_heat_and_by_the_card(weathered: Path) -> None:
    """245 + 660 + 745 to 300 + 660 + 745 °F-days, printed on one page by one method."""
    assert weathered.is_dir()
    on = ("--on", "2026-06-25")
    seen = ("--seen", "2026-06-24", "--clean", "2026-06-22", "--no-input")
    assert "brood" not in run("saw", BORER, "moths", *seen, *on).stdout
    text = " ".join(run("why", BORER, *on).stdout.split())
    said = re.search(
        r"Second brood: heat alone \((.*?)\) allows moths of a second brood by 30 September "
        r"with the weather of (\d+) of 12 past years; your card says: one flight", text,
    )  # fmt: skip
    assert said is not None
    assert said[1] == "1,650–1,705 °F-days more"
    assert 8 <= int(said[2]) <= 12
    assert "expect a second flight only where one has been seen before" in text


# --- close ----------------------------------------------------------------------------------------


def test_a_closed_stage_leaves_the_walk_and_the_calendar(weathered: Path, here: Path) -> None:
    on = ("--on", "2026-06-11")
    out = str(here / "a.ics")
    assert "1 reminder" in run("calendar", "--watch", BORER, "-o", out, *on).stdout
    answer = run("close", BORER, "moths", "--note", "no squash this year", *on)
    assert "Closed: squash vine borer, first moths, for the season 2026." in answer.stdout
    assert "1 cancelled" in run("calendar", "--watch", BORER, "-o", out, *on).stdout
    ahead = json.loads(run("ahead", "--watch", BORER, "--json", *on).stdout)
    (moths,) = [each for each in ahead["items"] if each["stage"] == "moths" and each["number"]]
    assert (moths["status"], moths["closed"]) == ("closed", "2026-06-11")
    refused(run("close", BORER, "larks", *on), "its card has no such stage")
    assert run("export", "copy", "--book", str(weathered)).exit_code == 0
    assert run("import", "copy", "--book", "again").exit_code == 0
    assert open_book(here / "again").journal() == open_book(weathered).journal()
    undone = run("undo", "--book", str(weathered), *on)
    assert "squash vine borer moths closed, Thu 11 June 2026" in undone.stdout
    assert open_book(weathered).journal().closings == ()


# --- export, import, faults ---------------------------------------------------------------------


def test_export_and_import(weathered: Path, here: Path) -> None:
    run("saw", "none", "--on", "2026-06-25")
    answer = run("export", "copy")
    assert "Bring it back with:  gddcast import copy --book NEW_FOLDER" in answer.stdout
    back = run("import", "copy", "--book", "again")
    assert "Made the book again of Larkhollow Patch: 2 entries, 0 of them withdrawn." in back.stdout
    assert open_book(here / "again").entries() == open_book(weathered).entries()
    refused(run("import", "copy", "--book", "again"), "there is a season book in it")
    shared = run("export", "shared", "--share", "--book", str(weathered))
    assert "look through it before you share it" in shared.stdout


def test_settings_with_faults_stop_every_command_with_lines_and_cures(book: Path) -> None:
    file = book / "book.toml"
    file.write_text(file.read_text(encoding="utf-8").replace("lead_days", "led_days"))
    refused(run("saw", "none"), "it has 1 fault", "Did you mean lead_days?", "line ")


def watch(book: Path, *lines: str) -> int:
    """A watch list over several lines; the line it begins on."""
    file = book / "book.toml"
    written = file.read_text(encoding="utf-8").splitlines()
    at = next(at for at, line in enumerate(written) if line.lstrip("# ").startswith("watch = "))
    written[at] = "watch = [" + "\n".join(lines) + "]"
    file.write_text("\n".join(written), encoding="utf-8")
    return at + 1


#: Everything that reads the watch list.
WATCHING = (
    ("walk",), ("ahead",), ("sheet", "-o", "sheet.html"), ("report", "-o", "report.html"),
    ("calendar", "-o", "reminders.ics"), ("seasons",), ("sow", "plan", "--crop", "cucumber"),
    ("did", "pulled", "cucumber"),
)  # fmt: skip


@pytest.mark.parametrize("words", WATCHING, ids=lambda each: each[0])
def test_a_watch_list_takes_the_names_people_use(weathered: Path, words: tuple[str, ...]) -> None:
    """By key, common or Latin name, in any case, or by words that one card alone has."""
    watch(weathered, '"Squash Bug", "Melittia cucurbitae",', '"striped cucumber", "squash-bug"')
    assert run("did", "sown", "cucumber", "--done", "2026-05-20").exit_code == 0
    answer = run(*words, "--on", "2026-06-25")
    assert answer.exit_code == 0, answer.output + answer.stderr
    from gddcast.readers.card_files import load_cards

    keys = ("squash-bug", "squash-vine-borer", "striped-cucumber-beetle")
    assert open_book(weathered).practice(load_cards()).watch == keys


@pytest.mark.parametrize("words", WATCHING, ids=lambda each: each[0])
def test_a_watched_name_nobody_knows_is_refused_with_its_line(
    weathered: Path, words: tuple[str, ...]
) -> None:
    """On every surface the same three parts, and all such names at once."""
    assert run("did", "sown", "cucumber", "--done", "2026-05-20").exit_code == 0
    line = watch(weathered, '"squash bug",', '"squash-vine-boer",', '"cucumber beetle"')
    refused(
        run(*words, "--on", "2026-06-25"), "book.toml: it has 2 faults",
        f'line {line + 1}, looking, watch\n      found "squash-vine-boer"',
        "Did you mean squash-vine-borer",
        f'line {line + 2}, looking, watch\n      found "cucumber beetle"',
        "striped-cucumber-beetle",
    )  # fmt: skip
    assert open_book(weathered).journal().jobs == ()


def test_a_damaged_record_is_refused_by_every_command_and_left_alone(book: Path) -> None:
    (book / "book.sqlite").write_bytes(b"not a book")
    for words in (("saw", "none"), ("undo",), ("export", "copy"), ("did", "rained")):
        refused(
            run(*words, "--book", str(book)), "it is no SQLite file", "nothing in it was changed"
        )
    assert (book / "book.sqlite").read_bytes() == b"not a book"


def test_the_group_says_what_it_can(here: Path) -> None:
    answer = run("--help")
    for name in ("setup", "saw", "heard", "did", "undo", "export", "import", "weather"):
        assert f"  {name} " in answer.stdout
        words = run(name, "--help")
        assert words.exit_code == 0
        if name != "weather":
            assert f"gddcast {name}" in words.stdout


def test_the_cures_of_a_damaged_entry_do_what_they_say(book: Path, here: Path) -> None:
    """The command it prints withdraws the entry; or the record is written as it now reads."""
    run("did", "rained", "--note", "soaked", "--done", "2026-06-24", "--on", "2026-06-25")
    file = book / "book.sqlite"
    whole = file.read_bytes()
    assert whole.count(b"soaked") == 1
    file.write_bytes(whole.replace(b"soaked", b"soakee"))
    told = run("walk", "--on", "2026-06-25")
    assert told.exit_code == 3
    assert "entry 2026-001 is not as it was written" in told.stderr
    (undo,) = re.findall(r"gddcast (undo \S+ --book \S+)", told.stderr)
    saved = run("export", str(here / "copy"))
    assert "written as it now reads" in saved.stderr
    assert "soakee" in (here / "copy" / "job.csv").read_text(encoding="utf-8")
    assert run(*undo.split()).exit_code == 0
    assert run("did", "watered", "--on", "2026-06-25").exit_code == 0


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (("saw", "squash-bug", "eggs", "--count", str(10**23)), "0<=x<=1000000"),
        (("saw", "none", "squash-bug", "--plants", f"0/{10**23}"), "with/looked, as 3/10"),
        (("saw", "none", "squash-bug", "--plants", f"0/{'9' * 5_000}"), "Write 3 of 10 as 3/10"),
        (("setup", "--timezone", "America"), "such as \"America/Chicago\""),
        (("setup", "--timezone", "."), "such as \"America/Chicago\""),
    ],
    ids=["count", "plants", "digits", "folder", "dot"],
)  # fmt: skip
def test_what_is_typed_too_large_is_the_persons_and_not_our_fault(
    book: Path, words: tuple[str, ...], expected: str
) -> None:
    before = (book / "book.toml").read_text(encoding="utf-8")
    answer = run(
        *words, "--book", str(book), *(("--on", "2026-06-25") if words[0] == "saw" else ())
    )
    assert answer.exit_code in (2, 3)
    assert expected in " ".join(answer.stderr.split())
    assert (book / "book.toml").read_text(encoding="utf-8") == before
    assert open_book(book).entries() == []
