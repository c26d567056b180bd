"""The README cannot lie: its commands are run here, in order, and must print what it shows."""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from gddcast.cards.library import evidence_counts
from gddcast.cli import _ROOMS, main
from gddcast.readers.card_files import load_cards
from tests.real_records import SAMPLES

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"```console\n\$ gddcast (.*)\n([\s\S]*?)```", README)


def _shown(said: str, shown: str) -> bool:
    """Whether the lines shown stand in what was said, in order; … stands for lines left out."""
    expected, lines = shown.splitlines(), [line.rstrip() for line in said.splitlines()]
    if expected and expected[-1] == "…":
        expected = expected[:-1]
        return lines[: len(expected)] == expected
    return lines == expected


def test_every_block_prints_what_it_shows(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """One garden, one book, every command in the order of the page."""
    shutil.copy(SAMPLES / "larkhollow_2014_2026_f.csv", tmp_path / "garden.csv")
    monkeypatch.chdir(tmp_path)
    assert len(BLOCKS) >= 15
    for command, shown in BLOCKS:
        result = CliRunner(env={"COLUMNS": None}).invoke(main, shlex.split(command))
        assert result.exit_code == 0, f"gddcast {command}: {result.output}"
        assert _shown(result.stdout, shown), f"gddcast {command} now prints:\n{result.stdout}"


def test_every_command_is_named() -> None:
    """A new command is shown here, or the page is not finished."""
    for name in _ROOMS:
        assert f"gddcast {name}" in README, name


def test_counts_of_evidence_are_the_library_s() -> None:
    """None claims more than was seen."""
    cards = load_cards().values()
    counts = evidence_counts(cards)
    sentence = (
        f"Of {sum(counts.values())} published numbers, {counts['seen']} were read in the source, "
        f"{counts['compiled']} stand in a compilation that may have refitted them, "
        f"{counts['from memory']} are from memory and "
        f"{counts['common practice']} are common practice"
    )
    assert sentence in README
    pests = sum(card.group == "pest" for card in cards)
    assert f"{len(cards)} cards of published thresholds, {pests} of pests" in README


def test_the_judge_runs_the_readme_s_test_command() -> None:
    """What a reader is told to run is what is run, and last of all."""
    judge = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    shown = re.search(r"\.venv/bin/python (-m pytest .*)", README)
    assert shown is not None
    assert judge.splitlines()[-1] == f'"$env/python" {shown[1]} -p no:cacheprovider'
    assert "--no-deps aquacrop spotpy greykite" in README
    assert "--no-deps aquacrop spotpy greykite" in judge
