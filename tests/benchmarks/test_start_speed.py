"""Whole commands against ``python -c "import numpy"``, as processes; ratios of one run."""

from __future__ import annotations

import json
import statistics
import subprocess
import sys
import time
from pathlib import Path

import pytest

SAMPLES = Path(__file__).parents[1] / "samples"
#: Five pests of a vegetable garden, with 29 stages between them.
WATCHED = ("squash-vine-borer", "squash-bug", "cabbage-maggot", "european-corn-borer",
           "seedcorn-maggot")  # fmt: skip


def seconds(*arguments: str) -> float:
    """Middle of three starts of one process."""
    taken = []
    for _ in range(3):
        begin = time.perf_counter()
        subprocess.run([sys.executable, *arguments], check=True, capture_output=True)
        taken.append(time.perf_counter() - begin)
    return statistics.median(taken)


def test_commands_in_units_of_importing_numpy(capsys: pytest.CaptureFixture[str]) -> None:
    """--help aims at 0.6, the demo at a few imports of NumPy."""
    numpy = seconds("-c", "import numpy")
    ratios = {
        name: seconds("-m", "gddcast", *arguments) / numpy
        for name, arguments, most in (("--help", ["--help"], 1.5), ("demo", ["demo"], 20.0))
        if most
    }
    with capsys.disabled():
        print(
            "\n" + "; ".join(f"{name} {ratio:.1f} × import numpy" for name, ratio in ratios.items())
        )
    assert ratios["--help"] < 1.5
    assert ratios["demo"] < 20.0


def test_a_walk_in_units_of_importing_numpy(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Twelve years of weather: a watch list of more than twenty stages, then every card.

    The book was walked a week before: what has moved each date since is worked out as well.
    """
    book, on = str(tmp_path / "patch"), ("--on", "2026-06-11")
    for words in (
        ("setup", "--book", book, "--name", "Patch", "--at", "41.2,-89.4", "--timezone", "UTC",
         "--show", "F", "--no-input"),
        ("weather", "add", str(SAMPLES / "larkhollow_2014_2026_f.csv"), "--book", book, *on),
        ("did", "sown", "summer-squash", "--done", "2026-05-20", "--book", book, *on),
        ("did", "sown", "sweet-corn", "--done", "2026-05-20", "--book", book, *on),
    ):  # fmt: skip
        subprocess.run([sys.executable, "-m", "gddcast", *words], check=True, capture_output=True)
    walk = ("-m", "gddcast", "walk", "--book", book, *on)
    subprocess.run([sys.executable, *walk[:-1], "2026-06-04"], check=True, capture_output=True)
    said = subprocess.run([sys.executable, *walk, "--full"], check=True, capture_output=True).stdout
    assert b"Told on Thu 4 June" in said
    numpy, every = seconds("-c", "import numpy"), seconds(*walk)
    settings = tmp_path / "patch" / "book.toml"
    text = settings.read_text(encoding="utf-8")
    settings.write_text(text.replace("watch = []", f"watch = {json.dumps(WATCHED)}"), "utf-8")
    some = seconds(*walk)
    with capsys.disabled():
        print(f"\nwalk of {len(WATCHED)} pests {some / numpy:.1f} × import numpy; "
              f"of every card {every / numpy:.1f}")  # fmt: skip
    assert max(some, every) < 25.0 * numpy
