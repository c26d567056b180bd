"""``gddcast thresholds`` from a file of jars to a card."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from gddcast.cli import main
from gddcast.readers.card_files import check_card_file

# Honěk et al. (2003), as in tests/published/rearing_jars.csv.
JARS = "temperature_C,days\n18,28.2\n21.5,21.6\n25,16.1\n28,15.0\n"


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a file of jars."""
    (tmp_path / "jars.csv").write_text(JARS, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def run(*words: str) -> Result:
    """What the command answers."""
    return CliRunner().invoke(main, ["thresholds", *words])


def test_the_published_pair_with_its_doubt() -> None:
    """Threshold and sum as printed by their authors, each with error and intervals."""
    answer = run("jars.csv")
    assert answer.exit_code == 0
    assert "7.10 ± 1.89 °C" in answer.stdout
    assert "304.6 ± 35.1 °C-days" in answer.stdout
    assert "Second opinion" in answer.stdout
    assert "it needs five temperatures; these are 4" in answer.stdout


def test_the_card_passes_the_card_reader(folder: Path) -> None:
    """The card it writes is read back with the pair it printed, and nothing filled in."""
    words = ("--card", "dock-beetle.toml", "--name", 'dock "leaf" beetle', "--stage", "eggs:adults")
    answer = run("jars.csv", *words)
    assert answer.exit_code == 0, answer.output

    card = check_card_file(folder / "dock-beetle.toml", group="pest")
    event = card.event("adults")
    assert event is not None
    assert event.default is not None
    assert (event.default.lower, event.default.goal) == (7.1, (304.6, 304.6))
    assert event.default.upper is None
    assert event.default.kind == "laboratory"
    assert card.name == 'dock "leaf" beetle'


def test_the_page_draws_used_and_unused_jars(folder: Path) -> None:
    """Jars on the line are filled, those left out hollow and explained in the table."""
    (folder / "jars.csv").write_text(JARS + "33,17.2\n", encoding="utf-8")
    answer = run("jars.csv", "-o", "jars.html")
    page = (folder / "jars.html").read_text(encoding="utf-8")
    assert "Left out: 33.0 °C, 17.2 days: above the optimum" in answer.stdout
    assert page[page.index("<svg") :].count('fill="#FFFFFF"') == 1
    assert "above the optimum: slower than the jars near 28 °C" in page
    assert 'role="img"' in page


def test_a_missing_scale_is_refused(folder: Path) -> None:
    """A bare temperature column is never guessed, and a flag settles it."""
    (folder / "jars.csv").write_text(JARS.replace("_C", ""), encoding="utf-8")
    answer = run("jars.csv")
    assert answer.exit_code == 3
    assert "doesn’t say whether its temperatures are °F or °C" in answer.stderr
    assert run("jars.csv", "--unit", "C").exit_code == 0


def test_a_limit_of_your_own() -> None:
    """Jars warmer than the limit you set are left out for that reason."""
    answer = run("jars.csv", "--up-to", "26C")
    assert "Left out: 28.0 °C, 15.0 days: warmer than the 26 °C you set." in answer.stdout
