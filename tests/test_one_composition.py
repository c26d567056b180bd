"""One composition: no face makes a record ready, and no two surfaces disagree on one day."""

from __future__ import annotations

import ast
import datetime as dt
import json
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from gddcast.crops.succession import Rules
from gddcast.heat.counting import Overrule
from gddcast.heat.shapes import single_triangle
from gddcast.journal.entries import Sighting
from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import demo_temperatures
from gddcast.today.practice import Practice
from gddcast.today.record import Record
from gddcast.today.today import Today
from tests.acceptance.terminal import (
    BORER,
    SAMPLES,
    flat,
    in_own_process,
    programs,
    refused,
    run,
    setting,
)

PACKAGE = Path(__file__).parents[1] / "gddcast"
ON = ("--on", "2026-06-11")
#: What makes a record ready, or a plan without it.
RECIPE = {"judge", "patch_short", "season_plan", "plan_of", "climate_of", "errors_on"}
#: The wings that know how, and the commands whose subject is the record as it came.
MAY = ("today/", "quality/", "weather/", "lessons/", "outlook/", "skill/", "__init__.py")
RAW = {"cli/weather_check.py": {"judge"}, "cli/weather_add.py": {"judge"}}


def _calls(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call):
            called = node.func
            yield called.id if isinstance(called, ast.Name) else getattr(called, "attr", "")


def test_no_second_recipe_for_making_a_record_ready() -> None:
    """Faces, pages and doors take it from Today."""
    found = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        name = path.relative_to(PACKAGE).as_posix()
        if not name.startswith(MAY):
            found[name] = RECIPE & set(_calls(path))
    assert {name: calls for name, calls in found.items() if calls} == RAW


def test_only_the_record_judges_inside_the_composition() -> None:
    """Not one of its parts prepares a record of its own."""
    rooms = {path.stem: RECIPE & set(_calls(path)) for path in (PACKAGE / "today").glob("*.py")}
    assert {room: calls for room, calls in rooms.items() if calls} == {
        "record": {"judge", "patch_short", "climate_of", "errors_on"},
        "plan": {"plan_of"},
        "today": {"plan_of"},
        "changes": {"errors_on"},
    }


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder, and we are in it."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


def _lines() -> list[list[str]]:
    text = (SAMPLES / "larkhollow_2014_2026_f.csv").read_text(encoding="utf-8")
    return [line.split(",") for line in text.splitlines()]


def _write(name: str, lines: list[list[str]]) -> str:
    Path(name).write_text("\n".join(",".join(line) for line in lines) + "\n", encoding="utf-8")
    return name


SPIKED = tuple(f"{year}-05-20" for year in range(2018, 2022))


def _with_maxima(value: str) -> list[list[str]]:
    assert _lines()[0] == ["date", "max_f", "min_f"]
    return [[day, value if day in SPIKED else high, low] for day, high, low in _lines()]


def test_impossible_maxima_are_left_out_by_every_surface(here: Path) -> None:
    """148 °F on four 20 Mays: each surface answers as it does where they were never read."""
    spiked, blank = _write("a.csv", _with_maxima("148")), _write("b.csv", _with_maxima(""))
    assert len({line[1] for line in _with_maxima("148") if line[0] in SPIKED}) == 1
    check = flat(run("weather", "check", spiked, *ON).stdout)
    for year in range(2018, 2022):
        assert f"20 May {year}" in check
    commands: tuple[tuple[str, ...], ...] = (
        ("why", "FILE", BORER, "moths"),
        ("ahead", "FILE", "--watch", BORER),
        ("backtest", "FILE", "--pests", BORER),
        ("backtest", "FILE", "--pests", BORER, "--leave-one-out"),
        ("seasons", "FILE", "--pest", BORER),
        ("sow", "first", "FILE"),
        ("sow", "last", "FILE", "--crop", "cucumber", "--heat", "1003F"),
        ("sow", "plan", "FILE", "--crop", "cucumber", "--heat", "1003F", "--sown", "2026-05-20"),
        ("heat", "FILE", "--lower", "50F", "--from", "2021-01-01", "--to", "2021-06-30"),
    )
    for words in commands:
        one, other = (
            programs(*(file if word == "FILE" else word for word in words), *ON)
            for file in (spiked, blank)
        )
        assert _figures(one) == _figures(other), words
    titles = [
        flat(run("chart", "season", file, "--pest", BORER, "-o", f"{file}.svg", *ON).stderr)
        for file in (spiked, blank)
    ]
    assert titles[0].split(": ", 1)[1].split("The same in")[0] in titles[1]


def _figures(answer: Any) -> Any:
    """An answer for programs without what names its file, its moment and its record's faults."""
    if isinstance(answer, list):
        return [_figures(each) for each in answer]
    if not isinstance(answer, dict):
        return answer
    named = {"made", "place", "source", "findings", "reasons", "name", "record", "weather"}
    return {key: _figures(value) for key, value in answer.items() if key not in named}


def test_no_library_warning_reaches_the_screen(here: Path) -> None:
    """Struck readings and gaps too long to patch leave NaN behind; NumPy would complain of it."""
    holed = [
        line for line in _with_maxima("148")
        if not (line[0][5:] >= "05-01" and line[0][5:] <= "05-20" and line[0][:4] < "2026")
    ]  # fmt: skip
    files = _write("a.csv", _with_maxima("148")), _write("holed.csv", holed)
    for file, code in zip(files, (0, 3), strict=True):
        done = in_own_process(("backtest", file, "--pests", BORER, *ON), here)
        assert done.returncode == code, done.stderr
        assert b"Warning" not in done.stderr


def _july_book() -> str:
    lines = [line for line in _lines() if not "-07-10" <= line[0][4:] <= "-07-13"]
    _write("july.csv", lines)
    run("setup", "--book", "patch", "--name", "Patch", "--at", "41.2,-89.4",
        "--timezone", "America/Chicago", "--show", "F", "--no-input")  # fmt: skip
    run("weather", "add", "july.csv", "--book", "patch", *ON)
    return "patch"


def test_a_book_that_fills_no_gaps_is_obeyed_by_every_surface(here: Path) -> None:
    """Four days of every past July are unknown, and the book patches none."""
    book = _july_book()
    last = ("sow", "last", "--book", book, "--crop", "cucumber", "--heat", "1003F", *ON)
    assert "of 12" in run(*last).stdout
    setting(Path(book), "patch_up_to_days = 5 ", "patch_up_to_days = 0 ")
    assert "no whole past season" in flat(refused(*last))
    plan = ("sow", "plan", "--book", book, "--crop", "cucumber", "--sown", "2026-06-01", *ON)
    assert "no past year is known whole" in flat(run(*plan, "--heat", "1003F").stdout)
    table = programs("seasons", "--book", book, "--lower", "50F", *ON)
    assert [row["season"] for row in table["seasons"]] == ["2026"]
    assert table["seasons"][0]["rank"] == 4  # as the line of the season says, of what is known
    assert "number 4 of 13" in run("seasons", "--book", book, "--lower", "50F", *ON).stdout


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> str:
    folder = tmp_path_factory.mktemp("demo") / "patch"
    run("demo", "--copy", str(folder))
    return str(folder)


def test_surfaces_agree_on_the_dates_of_a_day(demo: str, here: Path) -> None:
    """Span of the moths: walk, ahead, why, report, sheet, calendar and their JSON."""
    book = ("--book", demo)
    ahead = programs("ahead", *book, *ON)
    for other in (programs("walk", *book, *ON), programs("why", *book, BORER, "moths", *ON)):
        for item in other["items"]:
            if item["number"] is None:
                continue
            same = [each for each in ahead["items"] if _which(each) == _which(item)]
            assert same, _which(item)
            assert same[0]["sum_reached"] == item["sum_reached"]
        assert other.get("season", ahead["season"]) == ahead["season"]
    (moths,) = (
        each for each in ahead["items"]
        if (each["organism"], each["stage"]) == (BORER, "moths") and each["number"]
    )  # fmt: skip
    dots = moths["sum_reached"]["high_end"]["year_dots"]
    assert (dots[0]["day"], dots[-1]["day"]) == ("2026-06-23", "2026-06-27")
    run("report", *book, "-o", "r.html", *ON)
    run("sheet", *book, "-o", "s.html", "--week", "2026-06-22", "--watch", BORER, *ON)
    run("calendar", *book, "-o", "c.ics", *ON)
    calendar = Path("c.ics").read_text(encoding="utf-8").replace("\r\n ", "")
    said = [
        run("ahead", *book, *ON).stdout,
        run("why", *book, BORER, "moths", *ON).stdout,
        run("seasons", *book, *ON).stdout,
        run("chart", "compare", *book, "-o", "c.svg", *ON).stderr,
        re.sub("<[^>]+>", " ", Path("r.html").read_text(encoding="utf-8")),
        re.sub("<[^>]+>", " ", Path("s.html").read_text(encoding="utf-8")),
        calendar,
    ]
    for text in said:
        assert re.search(r"18\s?–\s?29\s+June|23\s?–\s?27\s+June", flat(text)), text[:300]


def _which(item: Any) -> tuple[Any, ...]:
    return item["organism"], item["stage"], json.dumps(item["number"], sort_keys=True)


@pytest.mark.parametrize("of", ["book", "file", "watched"])
def test_one_sum_of_the_season_and_its_method(of: str, demo: str, here: Path) -> None:
    """Sum, rank and days ahead are one on every surface, and none stands without its method."""
    _write("garden.csv", _lines())
    which = {"book": ("--book", demo), "file": ("garden.csv",), "watched": ("garden.csv",)}[of]
    watch = ("--watch", BORER) if of == "watched" else ()
    season = programs("ahead", *which, *watch, *ON)["season"]
    pest = ("--pest", BORER) if watch else ()
    table = programs("seasons", *which, *pest, *ON)
    (now,) = (each for each in table["seasons"] if each["season"] == "2026")
    assert round(now["through"], 1) == round(season["heat"]["value"], 1)
    assert now["rank"] == season["rank"]
    method = table["method"]
    assert (method["shape"], method["cutoff"], method["starts"]) == (
        season["shape"], season["cutoff"], season["starts"],
    )  # fmt: skip
    assert method["lower"] == season["above"]
    line = flat(run("ahead", *which, *watch, *ON).stdout)
    shown, other = (int(each + 0.5) for each in (now["through"], now["through"] / 1.8))
    how = f"{shown} °F-days ({other} °C-days) above 50 °F, "
    assert f"The season: {how}{season['shape']}, from 1 January: " in line
    assert f"{season['days_ahead']} days ahead of" in line
    told = flat(run("seasons", *which, *pest, *ON).stdout)
    assert f"{season['days_ahead']} days ahead of the middle past season" in told
    run("report", *which, *watch, "-o", "r.html", *ON)
    assert f"The season: {how}{season['shape']}" in Path("r.html").read_text(encoding="utf-8")


def test_what_a_crop_takes_is_counted_by_what_the_book_puts_in_the_card_s_place() -> None:
    """By its day shape, with its own rules of thumb."""
    import datetime as dt

    cards = load_cards()
    card = next(
        card for card in cards.values()
        if card.group == "crop"
        and any(n.shape not in (None, "single triangle") and n.of == "air" and n.goal
                and n.starts_from and n.starts_from.crop == "sowing"
                for event in card.events if event.key == "first-pick" for n in event.numbers)
    )  # fmt: skip
    record = Record(demo_temperatures().series, dt.date(2026, 6, 11))
    as_published = Today(record, cards)
    overruled = replace(
        as_published,
        practice=Practice(overrule=Overrule(shape=single_triangle), rules=Rules(picking_days=5)),
    )
    one, other = (each.last_sowing(card).need.counting for each in (as_published, overruled))
    assert one is not None
    assert other is not None
    assert (one.lower, other.shape.name) == (other.lower, "single triangle")
    assert one.shape.name != "single triangle"
    assert overruled.last_sowing(card).picking_days == 5


def test_a_find_is_counted_back_by_what_the_book_puts_in_the_card_s_place(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Larger larvae counted back to eggs: by a book's own method each day's heat is another."""
    cards = load_cards()
    record = Record(demo_temperatures().series, dt.date(2026, 6, 11))
    asked: list[str] = []
    counting = Overrule.counting
    monkeypatch.setattr(
        Overrule,
        "counting",
        lambda self, number: asked.append(self.shape.name) or counting(self, number),  # type: ignore[func-returns-value]
    )
    today = Today(record, cards, practice=Practice(overrule=Overrule(shape=single_triangle)))
    card, event = next(
        (card, event) for card in cards.values() for event in card.events
        if event.default and event.default.of == "air" and event.default.goal
        and event.default.lower is not None
        and event.default.starts_from and event.default.starts_from.event
    )  # fmt: skip
    today.way_back(card, Sighting(card.key, event.key, dt.date(2026, 6, 10)))
    assert asked == ["single triangle"]
