"""Farms ranked in one process, against one farm and against ``import numpy``; CPU time."""

from __future__ import annotations

import resource
import subprocess
import sys
from pathlib import Path

import pytest

from tests.farms.twelve import ON, many

_FEW, _MORE = 4, 24


def _cpu(*arguments: str) -> float:
    """CPU seconds of one process."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([sys.executable, *arguments], check=True, capture_output=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def test_a_farm_more_costs_little_beside_a_process_of_its_own(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Twelve years each: a process a farm imports everything anew."""
    numpy = min(_cpu("-c", "import numpy") for _ in range(3))
    few, more = (
        _cpu("-m", "gddcast", "farms", "ahead", str(many(tmp_path / str(number), number)), *ON)
        for number in (_FEW, _MORE)
    )
    each = (more - few) / (_MORE - _FEW)
    with capsys.disabled():
        print(
            f"\nfarms ahead: {few / numpy:.1f} × import numpy for {_FEW}, {more / numpy:.1f} for "
            f"{_MORE}: {each / numpy:.2f} a farm more"
        )
    assert each < numpy
