"""An empty folder to stand in, and Larkhollow's book in it."""

from __future__ import annotations

import shutil
from pathlib import Path

import pandas as pd
import pytest

from tests.acceptance import second_opinion
from tests.acceptance.terminal import SAMPLES, WHOLE, run, setting


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder, and we are in it."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("GDDCAST_BOOK", raising=False)
    return tmp_path


@pytest.fixture(scope="session")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Larkhollow Patch with its weather to 31 August 2026, made once."""
    folder = tmp_path_factory.mktemp("made") / "larkhollow-patch"
    run("setup", "--book", str(folder), "--name", "Larkhollow Patch", "--at", "41.2,-89.4",
        "--timezone", "America/Chicago", "--show", "F", "--no-input")  # fmt: skip
    run("weather", "add", str(WHOLE), "--book", str(folder), "--on", "2026-09-01")
    return folder


@pytest.fixture
def book(here: Path, made: Path) -> Path:
    """The book, the only one in this folder, the borer on its watch list."""
    folder = here / "larkhollow-patch"
    shutil.copytree(made, folder)
    setting(folder, "watch = []", 'watch = ["squash-vine-borer"]')
    return folder


@pytest.fixture(scope="session")
def days() -> pd.DataFrame:
    """Larkhollow's days, read apart from the program. [°F]"""
    return second_opinion.read(WHOLE)


@pytest.fixture
def samples() -> Path:
    """Folder of the sample files."""
    return SAMPLES
