"""Several farms: twelve, five of them broken in five ways, and every command on them."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from gddcast.cli.farms.opening import Farms
from gddcast.farms.farm import Farm
from gddcast.today.today import Today
from tests.acceptance.terminal import BORER, SAMPLES, flat, programs, refused, run, stage_of
from tests.farms.twelve import ON, SEVEN, as_csv, farm, twelve

SCHEMAS = Path(__file__).parents[2] / "data" / "schemas"
BROKEN = ("Hazel Gap", "Ivy Copy", "Juniper Late", "Kestrel", "Larch Page")


@pytest.fixture(scope="module")
def once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The twelve; read only."""
    return twelve(tmp_path_factory.mktemp("farms") / "twelve")


@pytest.fixture
def folder(once: Path, tmp_path: Path) -> Path:
    """The same, to write in."""
    return Path(shutil.copytree(once, tmp_path / "twelve"))


def _keeps_to(name: str, answer: Any) -> None:
    schema = json.loads((SCHEMAS / f"{name}.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(answer, schema)


def test_seven_are_ranked_and_each_of_five_faults_has_its_words(
    once: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On one screen of 24 lines."""
    monkeypatch.chdir(once.parent)
    said = run("farms", "ahead", once.name, *ON).stdout
    lines = said.splitlines()
    assert lines[0] == "12 farms · 7 dated · 3 need your eye · 2 can’t be read"
    assert len(lines) <= 24
    assert tuple(re.findall(r"^ \d  (\w+ \w+) ", said, re.MULTILINE)) == SEVEN
    eye, _, cannot = said.partition("NEEDS YOUR EYE")[2].partition("CAN’T BE READ")
    eye, cannot = flat(eye), flat(cannot)
    assert "Ivy Copy: 358 days of the last year read exactly as at Ashby Ridge: a copy?" in eye
    assert "Juniper Late: Its weather ends 19 May, 22 days behind. Not ranked: any day" in eye
    assert "Hazel Gap: 10–23 May 2026 unknown" in eye
    assert f"gddcast farms patch {once.name} 'Hazel Gap'" in eye
    assert "Kestrel (Kestrel.csv): It doesn’t say whether it is °F or °C." in cannot
    assert 'farms.toml under [farm."Kestrel"]: unit = "C"' in cannot
    assert "Larch Page (Larch Page.csv): It is a web page, not a table." in cannot


def test_programs_get_items_as_of_ahead_and_refusals_as_of_refusal(once: Path) -> None:
    answer = programs("farms", "ahead", str(once), *ON)
    _keeps_to("farms", answer)
    counts = {"farms": 12, "dated": 7, "eye": 3, "refused": 2, "not_asked": 0}
    assert answer["counts"] == counts
    rows = {each["name"]: each for each in answer["farms"]}
    assert [rows[name]["rank"] for name in SEVEN] == [*range(1, 8)]
    assert {rows[name]["rank"] for name in BROKEN} == {None}
    whole = json.loads((SCHEMAS / "ahead.json").read_text(encoding="utf-8"))
    of_items = {**whole["properties"]["items"], "$defs": whole["$defs"]}
    items = rows["Ashby Ridge"]["items"]
    assert items
    jsonschema.validate(items, of_items)
    file = str(once / "Ashby Ridge.csv")
    alone = programs("ahead", file, "--watch", BORER, "--at", "41.2,-89.4", *ON)
    same = stage_of(alone, items[0]["stage"])
    assert same == {key: value for key, value in items[0].items() if key != "look_next"}
    refusal = {"schema": "gddcast/refusal/1", "refusal": rows["Kestrel"]["refusal"]}
    _keeps_to("refusal", refusal)


def test_exit_codes_say_whether_any_answered_and_with_strict_whether_all_did(
    once: Path, tmp_path: Path
) -> None:
    run("farms", "ahead", str(once), *ON, code=0)
    run("farms", "ahead", str(once), "--strict", *ON, code=4)
    broken = tmp_path / "broken"
    broken.mkdir()
    shutil.copy(once / "Larch Page.csv", broken)
    said = run("farms", "ahead", str(broken), *ON, code=3).stdout
    assert said.startswith("1 farm · 0 dated · 1 can’t be read")
    whole = tmp_path / "whole"
    whole.mkdir()
    shutil.copy(once / "Ashby Ridge.csv", whole)
    run("farms", "ahead", str(whole), "--pest", BORER, "--strict", *ON, code=0)


def test_a_farm_that_raises_anything_at_all_is_reported_and_survived(
    once: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("GDDCAST_CACHE", str(tmp_path))
    opened = Farms.today

    def fails(self: Farms, farm: Farm) -> Today:
        if farm.name == "Cold Spring":
            raise RuntimeError("the tractor")
        return opened(self, farm)

    monkeypatch.setattr(Farms, "today", fails)
    said = run("farms", "ahead", str(once), *ON).stdout
    assert said.startswith("12 farms · 6 dated · 3 need your eye · 3 can’t be read")
    assert "A fault of gddcast: RuntimeError, the tractor." in flat(said)
    for name in ("check", "compare"):
        pest = ("--pest", BORER) if name == "compare" else ()
        said = flat(run("farms", name, str(once), *pest, *ON).stdout)
        assert "RuntimeError, the tractor" in said
        assert "Gull Point" in said


def test_ctrl_c_keeps_what_is_done(
    once: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Those done are ranked, the others counted; and the next run need not work them out again."""
    monkeypatch.setenv("GDDCAST_CACHE", str(tmp_path / "cache"))
    opened, asked, stopped = Farms.today, [], ["Elder Flats"]

    def stops(self: Farms, farm: Farm) -> Today:
        asked.append(farm.name)
        if farm.name in stopped:
            raise KeyboardInterrupt
        return opened(self, farm)

    monkeypatch.setattr(Farms, "today", stops)
    answer = run("farms", "ahead", str(once), *ON, code=130)
    done = asked[:-1]
    assert asked[-1] == "Elder Flats"
    left = f"{12 - len(done)} not looked at"
    assert answer.stdout.startswith(f"12 farms · {len(done)} dated · {left}\n")
    assert answer.stderr == f"Interrupted: {12 - len(done)} farms not looked at.\n"
    letter = tmp_path / "letter.html"
    run("farms", "letter", str(once), "-o", str(letter), *ON, code=130)
    assert not letter.exists()
    counts = json.loads(run("farms", "ahead", str(once), "--json", *ON, code=130).stdout)["counts"]
    assert counts == {"farms": 12, "dated": len(done), "eye": 0, "refused": 0, "not_asked": 8}
    asked.clear()
    stopped.clear()
    assert run("farms", "ahead", str(once), *ON).stdout.startswith("12 farms · 7 dated")
    assert len(asked) == 12 - len(done)


def test_a_terminal_shows_how_far_it_is_and_a_pipe_does_not(
    once: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert run("farms", "check", str(once), *ON).stderr == ""
    monkeypatch.setattr("gddcast.cli.progress.can_draw", lambda: True)
    shown: list[tuple[int, int]] = []
    tried = Farms.tried

    def told(self: Farms, work: Any, progress: Any) -> Any:
        def tells(done: int, of: int) -> None:
            shown.append((done, of))
            progress(done, of)

        return tried(self, work, tells)

    monkeypatch.setattr(Farms, "tried", told)
    run("farms", "check", str(once), *ON)
    assert shown == [(done, 12) for done in range(13)]


def test_a_note_of_the_reader_that_may_move_a_day_is_said(once: Path, tmp_path: Path) -> None:
    """Daily means only: on the board where, in the check what; of a file twice asked, too."""
    low, high = farm(4).tmin, farm(4).tmax
    days = zip(farm(4).dates, (low + high) / 2, strict=True)
    text = "".join(f"{day},{mean * 1.8 + 32:.1f}\n" for day, mean in days if mean == mean)
    (tmp_path / "Means.csv").write_text(f"date,mean_f\n{text}", encoding="utf-8")
    shutil.copy(once / "Ashby Ridge.csv", tmp_path)
    for _ in range(2):
        said = run("farms", "ahead", str(tmp_path), "--pest", BORER, *ON).stdout
        where = f"How the file was read may move the day at Means: gddcast farms check {tmp_path}"
        assert where in flat(said)
        assert "It has only daily means" in flat(run("farms", "check", str(tmp_path), *ON).stdout)
    answer = programs("farms", "ahead", str(tmp_path), "--pest", BORER, *ON)
    notes = {each["name"]: each["notes"] for each in answer["farms"]}
    assert notes["Ashby Ridge"] == []
    assert notes["Means"][0].startswith("It has only daily means")


def test_of_two_copies_both_say_so(once: Path) -> None:
    said = run("farms", "ahead", str(once), *ON).stdout
    (ashby,) = (line for line in said.splitlines() if line.startswith(" 1  Ashby Ridge"))
    assert ashby.endswith("· reads as Ivy Copy")
    assert said.count("reads as") == 1


def test_a_range_is_counted_by_its_low_end_and_says_so(once: Path) -> None:
    compare = ("farms", "compare", str(once), "--pest")
    said = flat(run(*compare, "apple-maggot", *ON).stdout)
    assert (
        "Day on which 900 °F-days, the low end of a range that goes to 1,000 °F-days, were" in said
    )
    method = programs(*compare, "apple-maggot", *ON)["method"]
    assert [method["reached_is_of"]["value"], method["goals"][1]["value"]] == [900.0, 1000.0]
    said = flat(run(*compare, BORER, *ON).stdout)
    assert "Day on which 1,000 °F-days were reached" in said


def test_three_farms_and_a_stuck_one_that_is_never_ranked_above_a_sound_one(
    tmp_path: Path,
) -> None:
    """In the scout's unit, though one is in °C."""
    names = ("farm_two_ponds_f", "farm_ashby_ridge_f", "farm_cold_spring_flats_c")
    for name in (*names, "farm_two_ponds_stuck_f"):
        shutil.copy(SAMPLES / f"{name}.csv", tmp_path)
    answer = programs("farms", "ahead", str(tmp_path), "--pest", BORER, *ON)
    ranks = {each["name"]: each["rank"] for each in answer["farms"]}
    assert [ranks[name] for name in names] == [1, 2, 3]
    assert ranks["farm_two_ponds_stuck_f"] is None
    said = flat(run("farms", "ahead", str(tmp_path), "--pest", BORER, *ON).stdout)
    assert "farm_two_ponds_stuck_f: 20–29 May 2026: the maximum is 88 °F on 10 days" in said
    (tmp_path / "farm_two_ponds_f.csv").unlink()
    answer = programs("farms", "ahead", str(tmp_path), "--pest", BORER, *ON)
    assert [answer["counts"][each] for each in ("farms", "dated", "eye")] == [3, 2, 1]


def test_ahead_of_a_folder_points_to_farms_ahead(once: Path) -> None:
    assert f"gddcast farms ahead {once}" in refused("ahead", str(once))


def test_check_has_a_row_a_farm_and_the_best_neighbour(once: Path) -> None:
    said = run("farms", "check", str(once), *ON).stdout
    assert said.startswith("12 farms · 6 as they should be")
    (row,) = (line for line in said.splitlines() if line.startswith("Hazel Gap "))
    assert "14 days  Gull Point: 344 days" in row
    answer = programs("farms", "check", str(once), *ON)
    _keeps_to("farms-check", answer)
    late = next(each for each in answer["farms"] if each["name"] == "Juniper Late")
    assert (late["days_behind"], late["last_day"]) == (22, "2026-05-19")
    run("farms", "check", str(once), "--strict", *ON, code=4)


def test_compare_holds_seasons_beside_each_other_as_seasons_of_one_farm_has_them(
    once: Path,
) -> None:
    answer = programs("farms", "compare", str(once), "--pest", BORER, *ON)
    _keeps_to("farms-compare", answer)
    (ashby,) = (each for each in answer["farms"] if each["name"] == "Ashby Ridge")
    alone = programs("seasons", str(once / "Ashby Ridge.csv"), "--pest", BORER, *ON)
    days = {each["season"]: each["reached"][0] for each in alone["seasons"]}
    assert {each["season"]: each["day"] for each in ashby["reached"]} == days
    said = run("farms", "compare", str(once), "--pest", BORER, *ON).stdout
    assert "every farm by this one method" in flat(said)
    assert "Hazel Gap (shaky)" in said
    # A record that ends in May has less heat than its neighbours for that reason alone.
    assert re.search(r"Juniper Late +\d+ by 19 May ", said)
    assert not re.search(r"Ashby Ridge +\d+ by", said)


def test_several_sums_in_one_table_and_a_map_by_another_ending_are_refused(
    once: Path, tmp_path: Path
) -> None:
    two = ("--pest", f"{BORER},squash-bug")
    assert "name one --pest" in run("farms", "compare", str(once), *two, *ON, code=2).stderr
    assert "a map is a page or a drawing" in refused(
        "farms", "map", str(once), "-o", str(tmp_path / "map.png"), *ON
    )
    assert not list(tmp_path.iterdir())


def test_nothing_is_patched_unless_it_is_said_twice(folder: Path) -> None:
    """And then the file as it came is kept, and the farm is ranked."""
    file = folder / "Hazel Gap.csv"
    before = file.read_bytes()
    said = flat(run("farms", "patch", str(folder), "hazel gap", *ON).stdout)
    assert "Gull Point lends 14 days to Hazel Gap" in said
    assert re.search(r"Of these, \d+ days are filled by a straight line or what is usual", said)
    assert "--from 'Gull Point' --yes" in said
    assert file.read_bytes() == before
    assert programs("farms", "patch", str(folder), "hazel gap", *ON)["wrote"] is None
    assert file.read_bytes() == before
    run("farms", "patch", str(folder), "hazel gap", "--from", "fox hollow", "--yes", *ON)
    (kept,) = (folder / "as-they-came").iterdir()
    assert kept.read_bytes() == before
    answer = programs("farms", "ahead", str(folder), *ON)
    (hazel,) = (each for each in answer["farms"] if each["name"] == "Hazel Gap")
    assert hazel["status"] == "dated"
    assert hazel["weather"]["patched_days"] == 16  # two of them as of every farm
    assert answer["counts"]["farms"] == 12


def test_a_folder_of_weather_that_is_not_there_is_refused_once(folder: Path) -> None:
    said = refused("farms", "add", str(folder), "--weather", str(folder / "nowhere"), *ON)
    assert "it is no folder that is there" in said


def test_a_listed_farm_that_was_given_a_book_is_one_farm_still(folder: Path) -> None:
    """As the refusal of its first entry tells how."""
    said = flat(refused("farms", "saw", str(folder), "Cold Spring", BORER))
    assert f"gddcast setup --book {folder}/cold --name 'Cold Spring'" in said
    run("setup", "--book", str(folder / "cold"), "--name", "Cold Spring", "--show", "F",
        "--at", "41.4,-89.4", "--timezone", "America/Chicago", "--no-input")  # fmt: skip
    run("weather", "add", str(folder / "cold.csv"), "--book", str(folder / "cold"), *ON)
    run("farms", "saw", str(folder), "Cold Spring", "none", BORER, "--seen", "2026-06-08", *ON)
    answer = programs("farms", "ahead", str(folder), *ON)
    assert answer["counts"]["farms"] == 12
    (cold,) = (each for each in answer["farms"] if each["name"] == "Cold Spring")
    assert (cold["file"], cold["status"]) == ("cold", "dated")
    assert cold["last_look"]["day"] == "2026-06-08"


def test_weather_comes_to_each_by_its_name_and_loses_no_day(folder: Path, tmp_path: Path) -> None:
    source = tmp_path / "new"
    source.mkdir()
    (source / "juniper late.csv").write_text(as_csv(farm(9)), encoding="utf-8")
    (source / "Gull Point.csv").write_text(as_csv(farm(6)).rpartition("2026-06-0")[0])
    (source / "cold.csv").write_text(as_csv(farm(3), unit="C"), encoding="utf-8")
    said = run("farms", "add", str(folder), "--weather", str(source), *ON).stdout
    assert "Juniper Late: 22 days new, to 10 June 2026" in said
    assert "Gull Point: not brought in, it lacks" in said
    assert "Cold Spring: not brought in," in said
    assert "days read otherwise than in cold.csv" in said
    assert "No file there is called as: Dry Creek, Ashby Ridge, Birch Bottom," in said
    assert (folder / "cold.csv").read_text() == as_csv(farm(2), unit="C")
    again = run("farms", "add", str(folder), "--weather", str(source), "--yes", *ON).stdout
    assert "Juniper Late: nothing new in juniper late.csv" in again
    assert "Cold Spring: 0 days new, 4,5" in again
    answer = programs("farms", "ahead", str(folder), *ON)
    assert next(each for each in answer["farms"] if each["name"] == "Juniper Late")["rank"] == 7


def test_a_farm_s_book_takes_finds_jobs_and_weather_and_shows_its_last_look(
    folder: Path,
) -> None:
    no_book = refused("farms", "saw", str(folder), "Fox Hollow", BORER)
    assert "keeps no season book" in no_book
    for known in ("--show F", "--at 4", "--timezone America/Chicago"):
        assert known in no_book
    book = folder / "Fox Hollow"
    run("setup", "--book", str(book), "--name", "Fox Hollow", "--at", "41.2,-89.4",
        "--timezone", "America/Chicago", "--show", "F", "--no-input")  # fmt: skip
    run("weather", "add", f"{book}.csv", "--book", str(book), *ON)
    at = ("farms", "saw", str(folder), "Fox Hollow", "none", BORER)
    run(*at, "--by", "JK", "--seen", "2026-06-08", *ON)
    run("farms", "did", str(folder), "fox hollow", "sown", "cucumber", "--done", "2026-05-20", *ON)
    said = run("farms", "ahead", str(folder), *ON).stdout
    assert said.startswith("12 farms · 7 dated")
    assert "Last look: Fox Hollow 8 June (3 days); no look logged at six others." in flat(said)
    rows = {each["name"]: each for each in programs("farms", "ahead", str(folder), *ON)["farms"]}
    assert rows["Fox Hollow"]["last_look"] == {"day": "2026-06-08", "days_since": 3, "by": "JK"}
    for flag in ("--help", "-h"):  # to the command itself, and afterwards to one book's
        assert "Usage: " in run("farms", "did", str(folder), "Fox Hollow", flag).stdout
        assert "Usage: " in run("did", flag).stdout
    again = run("farms", "add", str(folder), *ON).stdout
    assert "Fox Hollow: nothing new in Fox Hollow.csv" in again
    assert "Gull Point: goes by Gull Point.csv as it is" in again


def test_a_list_is_made_from_a_table(once: Path, tmp_path: Path) -> None:
    folder = tmp_path / "made"
    folder.mkdir()
    shutil.copy(once / "Ashby Ridge.csv", folder / "a.csv")
    shutil.copy(once / "Kestrel.csv", folder)
    table = folder / "list.csv"
    table.write_text("name,file,latitude,longitude,unit,watch\n"
                     "Ashby,a.csv,41.3,-89.4,,squash vine borer;squash-bug\n"
                     "Kestrel,,41.2,-89.1,C,\nMill,m.csv,,,,\n")  # fmt: skip
    words = ("farms", "setup", str(folder), "--from", str(table), "--watch", BORER, "--show", "F")
    said = run(*words).stdout
    assert "3 farms" in said
    assert "No file yet: Mill." in said
    assert "there is a file of that name" in refused(*words)
    answer = programs("farms", "ahead", str(folder), *ON)
    states = {each["name"]: each["status"] for each in answer["farms"]}
    assert states == {"Ashby": "dated", "Kestrel": "dated", "Mill": "refused"}
    assert answer["farms"][0]["place"]["latitude"] == 41.3
    table.write_text("name,watch\nAshby,squash-vine-boror\n")
    assert "squash-vine-borer" in refused(*words, "--force")


def test_one_file_of_several_sites_is_ranked_site_by_site(tmp_path: Path) -> None:
    rows = ["site,date,max_f,min_f"]
    for number, site in ((3, "North"), (0, "South")):
        rows += [f"{site},{line}" for line in as_csv(farm(number)).splitlines()[1:]]
    (tmp_path / "all.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    words = ("farms", "ahead", str(tmp_path / "all.csv"), "--pest", BORER, *ON)
    answer = programs(*words)
    assert [(each["rank"], each["name"]) for each in answer["farms"]] == [
        (1, "South"),
        (2, "North"),
    ]


def test_a_unit_that_the_numbers_contradict_is_asked_about(once: Path, tmp_path: Path) -> None:
    shutil.copy(once / "Kestrel.csv", tmp_path)
    for unit, state in (("F", "refused"), ("C", "dated")):
        (tmp_path / "farms.toml").write_text(f'[farm.Kestrel]\nunit = "{unit}"\n')
        words = ("farms", "check", str(tmp_path), *ON)
        answer = json.loads(run(*words, "--json", code=3 if unit == "F" else 0).stdout)
        assert (answer["farms"][0]["refusal"] is None) == (state == "dated")


def test_what_nobody_watches_is_not_ranked(once: Path, tmp_path: Path) -> None:
    shutil.copy(once / "Ashby Ridge.csv", tmp_path)
    said = flat(run("farms", "ahead", str(tmp_path), *ON, code=3).stdout)
    assert "Nobody said what is watched there." in said
    assert "--pest NAME" in said


def test_a_day_s_answer_is_the_answer_of_that_day(once: Path) -> None:
    """Later days on file are not known yet."""
    answer = programs("farms", "ahead", str(once), "--on", "2026-06-01")
    rows = {each["name"]: each for each in answer["farms"]}
    assert rows["Ashby Ridge"]["weather"]["last_day"] == "2026-05-31"
    assert rows["Ashby Ridge"]["today"] == "2026-06-01"
