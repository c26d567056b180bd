"""Whole commands against ``python -c "import numpy"``, as processes; ratios of one run."""

from __future__ import annotations

import statistics
import subprocess
import sys
import time

import pytest


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
