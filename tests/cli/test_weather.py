"""``gddcast weather check``, ``compare`` and ``patch`` as a person types them."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import jsonschema
import numpy as np
import pytest
from click.testing import CliRunner, Result

from gddcast.cli import main
from gddcast.readers.opening import data_folder
from gddcast.readers.temperature_file import read_temperatures
from gddcast.weather.series import Origin

SAMPLES = Path(__file__).parents[1] / "samples"


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with the samples in it, to write in."""
    for sample in SAMPLES.glob("*_f.csv"):
        shutil.copy(sample, tmp_path)
    for name in ("09_max_min_swapped", "11_gap_14_days", "12_stuck_maximum", "13_sensor_in_sun",
                 "16_units_change_midfile", "24_one_impossible_spike",
                 "28_max_written_next_morning"):  # fmt: skip
        shutil.copy(SAMPLES / f"{name}.csv", tmp_path)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def run(*words: str) -> Result:
    """What a command answers."""
    return CliRunner().invoke(main, ["weather", *words], env={"COLUMNS": "200"})


def test_a_sound_record_reads_as_promised() -> None:
    answer = run("check", "larkhollow_2014_2026_f.csv")
    assert answer.exit_code == 0
    for line in (
        "Read 4,544 days, 1 January 2014 to 10 June 2026. Columns date, max_f, min_f.",
        "Unit      °F (column names say so)",
        "Missing   none        Duplicates none        Max below min none",
        "Hottest   108 °F on 14 June 2018      Coldest  −2 °F on 18 January 2025",
        "Past seasons that can be used: 12 (2014–2025)",
        "Weather record: SOUND",
        "Not known: where the thermometer hangs.",
    ):
        assert line in answer.stdout


def test_a_stuck_thermometer_is_shaky_and_its_cure_works() -> None:
    answer = run("check", "farm_two_ponds_stuck_f.csv")
    assert answer.exit_code == 0
    assert "Weather record: SHAKY" in answer.stdout
    assert "20–29 May 2026: the maximum is 88 °F on 10 days running" in answer.stdout
    assert "1 day early" in answer.stdout
    assert run("check", "farm_two_ponds_stuck_f.csv", "--strict").exit_code == 4
    cure = "--blank-max 2026-05-20 2026-05-29"
    assert cure in answer.stdout
    mended = run("patch", "farm_two_ponds_stuck_f.csv", *cure.split(), "-o", "mended.csv")
    assert mended.exit_code == 0
    assert "10 days patched and marked: 20–29 May 2026." in mended.stdout
    again = run("check", "mended.csv", "--strict")
    assert "Weather record: PATCHED" in again.stdout
    assert again.exit_code == 0


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("09_max_min_swapped.csv", "columns look swapped"),
        ("16_units_change_midfile.csv", "20 May 2026"),
    ],
)
def test_what_cannot_be_settled_is_refused(name: str, words: str) -> None:
    answer = run("check", name)
    assert answer.exit_code == 3
    assert words in answer.stderr
    assert answer.stdout == ""


def test_a_spike_is_left_out_and_listed() -> None:
    answer = run("check", "24_one_impossible_spike.csv")
    assert "18 May 2026: maximum 155 °F" in answer.stdout
    assert "Hottest   91 °F" in answer.stdout


def test_programs_get_every_finding(folder: Path) -> None:
    answer = run("check", "farm_two_ponds_stuck_f.csv", "--json")
    found = json.loads(answer.stdout)
    assert found["schema"] == "gddcast/weather-check/1"
    assert found["weather"]["trust"] == "shaky"
    assert found["weather"]["days"] == 4544
    assert found["weather"]["hottest"] == {"day": "2018-06-14", "value": 110.0, "unit": "degF"}
    (stuck,) = found["items"]
    assert (stuck["rule"], stuck["first_day"], stuck["last_day"]) == (
        "streak", "2026-05-20", "2026-05-29",
    )  # fmt: skip
    assert stuck["values"] == [{"value": 88.0, "unit": "degF"}]
    assert stuck["effect"]["days"] < 0


def test_shown_in_celsius() -> None:
    answer = run("check", "larkhollow_2014_2026_f.csv", "--show", "C")
    assert "Hottest   42 °C on 14 June 2018" in answer.stdout


def test_the_sensor_in_the_sun_beside_another() -> None:
    answer = run("compare", "13_sensor_in_sun.csv", "larkhollow_2014_2026_f.csv")
    assert answer.exit_code == 0
    assert "41 days in common" in answer.stdout
    assert "The sign of sun on the thermometer of 13_sensor_in_sun.csv" in answer.stdout
    assert "days earlier" in " ".join(answer.stdout.split())
    assert "--add-max" not in answer.stdout, "nobody should move a good record into the sun"
    programs = run("compare", "13_sensor_in_sun.csv", "larkhollow_2014_2026_f.csv", "--json")
    assert json.loads(programs.stdout)["sun_on"] == "first"


def test_a_warmer_farm_and_the_offset_that_is_only_offered() -> None:
    """Two Ponds runs 4 °F warmer than Ashby Ridge, by its making."""
    answer = run("compare", "farm_two_ponds_f.csv", "farm_ashby_ridge_f.csv")
    assert "By day     4.0 °F warmer" in answer.stdout
    told = " ".join(answer.stdout.split())
    assert "patch farm_ashby_ridge_f.csv --add-max +4.0F --add-min +4.0F" in told
    moved = run("patch", "farm_ashby_ridge_f.csv", "--add-max", "+4.0F", "--add-min", "+4.0F",
                "-o", "moved.csv")  # fmt: skip
    assert moved.exit_code == 0
    after = run("compare", "farm_two_ponds_f.csv", "moved.csv")
    assert "Every day is the same" in after.stdout


def test_one_file_under_two_names_wants_an_eye() -> None:
    answer = run("compare", "farm_two_ponds_f.csv", "farm_two_ponds_f.csv", "--strict")
    assert answer.exit_code == 4
    assert "Every day is the same: one file under two names?" in answer.stdout


def gappy(folder: Path) -> Path:
    """Past years of the invented garden with the sample's fortnight missing this May."""
    whole = (folder / "larkhollow_2014_2026_f.csv").read_text().splitlines()
    kept = [line for line in whole if not "2026-05-12" <= line[:10] <= "2026-05-25"]
    path = folder / "gappy.csv"
    path.write_text("\n".join(kept) + "\n")
    return path


def test_a_fortnight_is_patched_from_the_usual_and_stays_marked(folder: Path) -> None:
    gappy(folder)
    answer = run("patch", "gappy.csv", "-o", "patched.csv")
    assert answer.exit_code == 0
    assert "14 days patched and marked: 12–25 May 2026." in answer.stdout
    text = (folder / "patched.csv").read_text()
    assert "# from: gappy.csv" in text
    assert "# patched: 14 days" in text
    series = read_temperatures(folder / "patched.csv").series
    assert series.count(Origin.PATCHED) == 14
    whole = read_temperatures(folder / "larkhollow_2014_2026_f.csv").series
    measured = series.origin == Origin.MEASURED
    np.testing.assert_allclose(series.tmax[measured], whole.tmax[measured], rtol=0, atol=1e-9)


def test_a_neighbour_lends_and_its_offset_is_told(folder: Path) -> None:
    gappy(folder)
    answer = run("patch", "gappy.csv", "--from", "farm_two_ponds_f.csv", "-o", "patched.csv")
    told = " ".join(answer.stdout.split())
    assert "farm_two_ponds_f.csv lent 14 days, moved by −2.0 °F (max) and −2.0 °F (min)" in told
    series, whole = (
        read_temperatures(folder / name).series
        for name in ("patched.csv", "larkhollow_2014_2026_f.csv")
    )
    np.testing.assert_allclose(series.tmax, whole.tmax, rtol=0, atol=0.6)


def test_a_young_record_needs_a_neighbour() -> None:
    answer = run("patch", "11_gap_14_days.csv", "-o", "patched.csv")
    assert answer.exit_code == 3
    assert "--from NEIGHBOUR.csv" in answer.stderr
    assert not Path("patched.csv").exists()


def test_no_file_is_overwritten_unasked(folder: Path) -> None:
    gappy(folder)
    (folder / "mine.csv").write_text("precious")
    answer = run("patch", "gappy.csv", "-o", "mine.csv")
    assert answer.exit_code == 3
    assert (folder / "mine.csv").read_text() == "precious"
    assert run("patch", "gappy.csv", "-o", "mine.csv", "--force").exit_code == 0
    assert (folder / "mine.csv").read_text().startswith("# made by: gddcast weather patch")


def test_the_group_s_help_names_every_command() -> None:
    answer = run("--help")
    for name in ("check", "compare", "patch"):
        assert name in answer.stdout


@pytest.mark.parametrize(
    ("schema", "words"),
    [
        ("weather-check", ("check", "farm_two_ponds_stuck_f.csv")),
        ("weather-check", ("check", "11_gap_14_days.csv")),
        ("weather-compare", ("compare", "13_sensor_in_sun.csv", "farm_two_ponds_f.csv")),
        ("weather-patch", ("patch", "24_one_impossible_spike.csv", "-o", "new.csv")),
        (
            "weather-patch",
            ("patch", "farm_two_ponds_f.csv", "--from", "farm_ashby_ridge_f.csv", "-o", "new.csv"),
        ),
    ],
    ids=lambda each: each if isinstance(each, str) else " ".join(each),
)
def test_answers_for_programs_keep_their_schema(schema: str, words: tuple[str, ...]) -> None:
    rules = json.loads((data_folder() / "schemas" / f"{schema}.json").read_text("utf-8"))
    jsonschema.Draft202012Validator.check_schema(rules)
    answer = run(*words, "--json")
    assert answer.exit_code == 0
    jsonschema.validate(json.loads(answer.stdout), rules)


def test_a_record_is_extended_by_a_neighbour_when_asked(folder: Path) -> None:
    """Ashby Ridge runs exactly 4 °F cooler than Two Ponds, by its making."""
    lines = (folder / "farm_two_ponds_f.csv").read_text().splitlines()
    (folder / "young.csv").write_text("\n".join([lines[0], *lines[-100:]]) + "\n")
    asked = ("patch", "young.csv", "--from", "farm_ashby_ridge_f.csv", "-o", "long.csv")
    told = run(*asked).stdout
    assert "lent 0 days" in told
    assert "before this record and 0 days after it" in " ".join(told.split())
    answer = run(*asked, "--extend", "--force")
    assert answer.exit_code == 0
    assert "moved by +4.0 °F (max) and +4.0 °F (min)" in " ".join(answer.stdout.split())
    extended = read_temperatures(folder / "long.csv").series
    whole = read_temperatures(folder / "farm_two_ponds_f.csv").series
    ours = whole.between(extended.first, extended.last)
    np.testing.assert_allclose(extended.tmax, ours.tmax, rtol=0, atol=0.1)
    alone = run("patch", "young.csv", "--extend", "-o", "long.csv", "--force")
    assert alone.exit_code == 3
    assert "--from OTHER.csv" in alone.stderr
