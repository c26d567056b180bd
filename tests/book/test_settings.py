"""``book.toml``: every fault at once with its line, and a text people can edit."""

from __future__ import annotations

import os
import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gddcast.book.setting_text import settings_text, with_value, write_settings
from gddcast.book.settings import (
    CUTOFFS,
    SENSOR_SPOTS,
    SHAPES,
    Settings,
    SettingsRefusal,
    Succession,
    WeatherHabits,
    crop_keys,
    read_settings,
    settings_in,
)
from gddcast.errors import Refusal
from gddcast.heat.shapes import SHAPES as KNOWN_SHAPES
from gddcast.readers.card_files import load_cards
from gddcast.scouting.windows import Habits
from gddcast.weather.series import Place

WHOLE = """\
[place]
name = "Larkhollow Patch"
latitude = 41.2
longitude = -89.4
timezone = "America/Chicago"
[looking]
watch = ["squash-bug"]
lead_days = 4
"""


def test_what_is_left_out_has_its_default() -> None:
    read = settings_in(WHOLE)
    assert read.place == Place("Larkhollow Patch", 41.2, -89.4, None, "America/Chicago")
    assert read.watch == ("squash-bug",)
    assert read.habits == Habits(lead_days=4)
    assert (read.show, read.weather, read.succession) == ("F", WeatherHabits(), Succession())
    assert settings_in('[place]\nname = "x"\n[looking]\nwatch = []\n').watch is None


def test_south_of_the_equator_seasons_begin_in_july() -> None:
    south = WHOLE.replace("41.2", "-38")
    assert settings_in(south).place.season_begins == (7, 1)
    assert settings_in(south + '[season]\nbegins = "01-01"\n').place.season_begins == (1, 1)


@pytest.mark.parametrize("latitude", ["0.0", "0.5", None])
def test_on_the_equator_and_where_nobody_says_where_they_begin_in_january(
    latitude: str | None,
) -> None:
    where = WHOLE.replace("latitude = 41.2\nlongitude = -89.4\n", "")
    assert where != WHOLE
    if latitude:
        where = WHOLE.replace("41.2", latitude)
    assert settings_in(where).place.season_begins == (1, 1)


FAULTY = """\
[place]
latitude = "41.2"
longitude = -289.4
timezone = "America/Chcago"

[loking]
lead_days = 3
[show]
temperature = "f"
[looking]
every_day = 2
plants_all_below = true
[season]
begins = "1 July"
[succession]
first_pick_days = [50, 45]
[method]
shape = "single-sin"
"""


def test_every_fault_is_told_at_once_with_its_line_and_cure() -> None:
    with pytest.raises(SettingsRefusal, match="it has 11 faults") as caught:
        settings_in(FAULTY, "garden/book.toml")
    told = [(fault.line, fault.place) for fault in caught.value.faults]
    assert told == [
        (1, "place, name"),
        (2, "place, latitude"),
        (3, "place, longitude"),
        (4, "place, timezone"),
        (6, "loking"),
        (9, "show, temperature"),
        (11, "looking, every_day"),
        (12, "looking, plants_all_below"),
        (14, "season, begins"),
        (16, "succession, first_pick_days"),
        (18, "method, shape"),
    ]
    words = str(caught.value)
    for cure in ("America/Chicago", "Did you mean looking?", "Did you mean every_days?", '"F"?'):
        assert cure in words
    assert words.startswith("Can’t use garden/book.toml: ")


@pytest.mark.parametrize(
    ("text", "line", "word"),
    [
        ("[place\nname = 1\n", 1, "line of TOML"),
        ('[place]\nname = "x"\nname = "y"\n', 3, "line of TOML"),
        ('name = "x"\n', 1, "a table nobody knows"),
        ("[place]\nname = 3\n", 2, "some words in quotes"),
        ("[place]\nname = " + "[" * 5_000 + "\n[show]\n", 2, "stand in one another too deep"),
        (
            "[place]\nlatitude = " + "9" * 5_000 + '\nname = "x"\n',
            2,
            "a number of thousands of digits",
        ),
        ('[place]\nname = "x"\nlatitude = ' + "9" * 400, 3, "a number from -90 to 90"),
        ('[place]\nname = "x"\ntimezone = "America"', 3, "an IANA time zone"),
        ('[place]\nname = "x"\ntimezone = "America/"', 3, "an IANA time zone"),
        ('[place]\nname = "x"\ntimezone = "."', 3, "an IANA time zone"),
    ],
)
def test_text_that_is_no_settings(text: str, line: int, word: str) -> None:
    with pytest.raises(SettingsRefusal, match=word) as caught:
        settings_in(text)
    assert line in [fault.line for fault in caught.value.faults]


@pytest.mark.skipif(os.name != "posix", reason="devices and pipes are those of POSIX")
def test_settings_that_do_not_end_are_refused(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "book.toml")
    for file in (tmp_path / "book.toml", Path("/dev/zero")):
        with pytest.raises(Refusal, match="it is no plain file"):
            read_settings(file)
    large = tmp_path / "large.toml"
    large.write_bytes(b"#" * 2_000_000)
    with pytest.raises(Refusal, match="it is 2 megabytes large"):
        read_settings(large)


def test_a_file_that_is_no_text_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "book.toml"
    file.write_bytes(b'[place]\nname = "caf\xe9"\n')
    with pytest.raises(Refusal, match="it is not UTF-8 text"):
        read_settings(file)


def test_names_of_methods_are_those_that_count() -> None:
    """A shape in the file is one the arithmetic has, under the same words."""
    assert {name.replace("-", " ") for name in SHAPES} <= set(KNOWN_SHAPES)
    over = settings_in(WHOLE + '[method]\nshape = "double-sine"\ncutoff = "vertical"\n').overrule()
    assert (over.shape and over.shape.name, over.cutoff and over.cutoff.name) == (
        "double sine",
        "vertical",
    )
    assert settings_in(WHOLE).overrule().shape is None


names = st.text(min_size=1).map(str.strip).filter(bool).filter(lambda s: s.isprintable())
months = st.tuples(st.integers(1, 12), st.integers(1, 28))
spans = st.tuples(st.integers(1, 30), st.integers(1, 30)).map(lambda s: (min(s), max(s)))
any_settings = st.builds(
    Settings,
    place=st.builds(
        Place,
        names,
        st.none() | st.floats(-90, 90),
        st.none() | st.floats(-180, 180),
        st.none() | st.floats(-400, 6000),
        st.none() | st.sampled_from(["Europe/Zurich", "America/Chicago", "UTC"]),
        months,
    ),
    show=st.sampled_from(["F", "C"]),
    dates=st.sampled_from(["words", "iso"]),
    watch=st.none() | st.lists(names, min_size=1, max_size=4).map(tuple),
    habits=st.builds(
        Habits, st.integers(0, 30), st.none() | st.integers(1, 30), st.integers(1, 99)
    ),
    weather=st.builds(
        WeatherHabits,
        st.none() | st.sampled_from(["F", "C"]),
        st.sampled_from(["midnight", "morning-reading", "12utc"]),
        st.none() | st.integers(0, 24),
        st.sampled_from(SENSOR_SPOTS),
        st.integers(0, 5),
    ),
    succession=st.builds(Succession, spans, spans, st.integers(0, 30), st.integers(1, 200)),
    shape=st.sampled_from(["card", *SHAPES]),
    cutoff=st.sampled_from(["card", *CUTOFFS]),
    start=st.none() | months,
)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(any_settings)
def test_what_is_written_reads_back(made: Settings) -> None:
    text = settings_text(made)
    read = settings_in(text)
    assert read == made
    assert text.count("#") > 10


@settings(max_examples=60, deadline=None, derandomize=True)
@given(
    any_settings,
    st.sampled_from(
        [
            ("weather", "sensor_spot", "sun"),
            ("weather", "unit", "C"),
            ("place", "latitude", 12.5),
            ("looking", "every_days", 3),
            ("looking", "watch", ["squash-bug", "leek-moth"]),
        ]
    ),
)
def test_one_setting_changes_and_no_other_line(
    made: Settings, change: tuple[str, str, object]
) -> None:
    before = settings_text(made)
    after = with_value(before, *change)
    _, key, value = change
    for old, new in ((before, after), (before, settings_text(settings_in(after)))):
        gone = [line for line in old.splitlines() if line not in new.splitlines()]
        assert len(gone) <= 1
        assert all(key in line for line in gone)
    shown = str(value) if not isinstance(value, list) else "leek-moth"
    assert shown in next(line for line in after.splitlines() if line.startswith(f"{key} ="))


def test_own_notes_and_missing_tables_survive_a_change() -> None:
    text = '# mine\n[place]\nname = "x"  # the old barn\n'
    after = with_value(text, "weather", "sensor_spot", "sun")
    assert (
        after == '# mine\n[place]\nname = "x"  # the old barn\n\n[weather]\nsensor_spot = "sun"\n'
    )
    after = with_value(after, "place", "name", "y # z")
    assert 'name = "y # z" # the old barn' in after
    assert settings_in(after).place.name == "y # z"


def test_a_setting_that_is_taken_away_becomes_a_note() -> None:
    text = '[place]\nname = "x"\n\n[weather]\nreading_hour = 7  # mine\nsensor_spot = "sun"\n'
    after = with_value(text, "weather", "reading_hour", None)
    assert after == text.replace("reading_hour", "# reading_hour")
    assert settings_in(after).weather.reading_hour is None
    assert with_value(after, "weather", "reading_hour", None) == after
    assert with_value(after, "beds", "order", None) == after
    assert with_value(after, "weather", "reading_hour", 9) == text.replace("7", "9")


def test_a_text_with_faults_is_never_written(tmp_path: Path) -> None:
    file = tmp_path / "book.toml"
    write_settings(file, WHOLE)
    with pytest.raises(SettingsRefusal, match="a number from -90 to 90"):
        write_settings(file, WHOLE.replace("41.2", "412"))
    assert file.read_text(encoding="utf-8") == WHOLE
    assert [each.name for each in tmp_path.iterdir()] == ["book.toml"]


_OVER_LINES = """\
[looking]
watch = [
  "squash-bug",  # saw many last year
  'Melittia cucurbitae', "japanese-beetle",
  # "leek-moth", not yet ]
  "apple-maggot" # the old tree
]  # mine
lead_days = 3
"""


@pytest.mark.parametrize(
    ("names", "block"),
    [
        (
            ["squash-bug", "japanese-beetle", "apple-maggot", "codling-moth"],
            (
                '  "squash-bug",  # saw many last year\n  "japanese-beetle",\n'
                '  # "leek-moth", not yet ]\n  "apple-maggot", # the old tree\n  "codling-moth",\n'
            ),
        ),
        (
            ["japanese-beetle"],
            (
                '  # saw many last year\n  "japanese-beetle",\n  # "leek-moth", not yet ]\n'
                "  # the old tree\n"
            ),
        ),
    ],
)
def test_a_list_over_several_lines_changes_and_its_notes_stay(names: list[str], block: str) -> None:
    after = with_value(_OVER_LINES, "looking", "watch", names)
    assert after == f"[looking]\nwatch = [\n{block}]  # mine\nlead_days = 3\n"
    assert tomllib.loads(after)["looking"]["watch"] == names


def test_a_list_over_several_lines_can_be_emptied_and_filled_again() -> None:
    empty = with_value(_OVER_LINES, "looking", "watch", [])
    assert tomllib.loads(empty)["looking"]["watch"] == []
    for note in ("saw many last year", "the old tree", "# mine", "not yet ]"):
        assert note in empty
    again = with_value(empty, "looking", "watch", ["squash-bug"])
    assert tomllib.loads(again)["looking"] == {"watch": ["squash-bug"], "lead_days": 3}


def test_a_crop_that_is_nearly_one_is_asked_about(tmp_path: Path) -> None:
    """Taken as it stands it would be a crop of one's own, and its pests never looked for."""
    file = tmp_path / "book.toml"
    file.write_text('[looking]\ngrow = ["kale",\n  "cucumbr"]\n', encoding="utf-8")
    cards = load_cards()
    assert crop_keys(["kale", "grandma's bean"], cards, file) == ("kale", "grandma's bean")
    with pytest.raises(SettingsRefusal, match=r"line 3(.|\n)*found \"cucumbr\"(.|\n)*cucumber"):
        crop_keys(["kale", "cucumbr"], cards, file)


def test_settings_that_could_not_be_written_leave_no_half_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "book.toml"
    write_settings(file, WHOLE)

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(Refusal, match="the disk is full"):
        write_settings(file, WHOLE.replace("41.2", "41.3"))
    assert [each.name for each in tmp_path.iterdir()] == ["book.toml"]
    assert file.read_text(encoding="utf-8") == WHOLE
