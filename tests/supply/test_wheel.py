"""The wheel is the same bytes whoever builds it, wherever and whenever."""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

from tests.supply.dependencies import ROOT

_PARTS = ("gddcast", "data", "notebooks", "pyproject.toml", "README.md", "LICENSE")
_BUILD = "from hatchling.build import build_wheel; print(build_wheel('dist'))"


def built(folder: Path, mask: int, stamp: float) -> Path:
    """A wheel of a copy of the tree, whose files were made at another time by another person."""
    for part in _PARTS:
        source = ROOT / part
        if source.is_dir():
            leave = shutil.ignore_patterns("__pycache__")
            shutil.copytree(source, folder / part, ignore=leave, copy_function=shutil.copyfile)
        else:
            shutil.copyfile(source, folder / part)
    for each in folder.rglob("*"):
        each.chmod(0o777 & ~mask if each.is_dir() else 0o666 & ~mask)
        os.utime(each, (stamp, stamp))
    (folder / "dist").mkdir()
    when = {**os.environ, "SOURCE_DATE_EPOCH": "1780000000", "PYTHONPATH": ""}
    subprocess.run([sys.executable, "-c", _BUILD], cwd=folder, env=when, check=True,
                   capture_output=True, text=True)  # fmt: skip
    (wheel,) = (folder / "dist").glob("*.whl")
    return wheel


def test_a_wheel_is_the_same_bytes_twice(tmp_path: Path) -> None:
    first, second = tmp_path / "one", tmp_path / "another folder"
    first.mkdir()
    second.mkdir()
    wheels = built(first, 0o022, 1_700_000_000), built(second, 0o002, 1_750_000_000)
    one, other = (hashlib.sha256(each.read_bytes()).hexdigest() for each in wheels)
    with zipfile.ZipFile(wheels[0]) as archive:
        names = archive.namelist()
    assert one == other
    assert any(name.startswith("gddcast/data/pests/") for name in names)
    assert not any("tests/" in name or name.endswith(".pyc") for name in names)
