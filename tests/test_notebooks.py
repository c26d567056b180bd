"""Notebooks run from top to bottom with the network cut, and stand in the repository stripped."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

NOTEBOOKS = sorted((Path(__file__).parents[1] / "notebooks").glob("*.ipynb"))
ids = [path.stem for path in NOTEBOOKS]
# Whoever asks for the network is sent to a port nobody listens on.
DEAD = dict.fromkeys(("HTTP_PROXY", "HTTPS_PROXY", "ALL_PROXY"), "http://127.0.0.1:9")
DEAD |= {name.lower(): value for name, value in DEAD.items()} | {"NO_PROXY": "", "no_proxy": ""}

_RUN = """
import sys, nbformat
from nbclient import NotebookClient
notebook = nbformat.read(sys.argv[1], as_version=4)
NotebookClient(notebook, timeout=120, kernel_name="python3").execute()
noise = [out for cell in notebook.cells for out in cell.get("outputs", ())
         if out.output_type == "stream" and out.name == "stderr"]
sys.exit(f"it warns: {noise}" if noise else 0)
"""


def _namespace() -> list[str]:
    """Words that start a program without any network but its own loopback, where they work."""
    if shutil.which("unshare") is None or shutil.which("ip") is None:
        return []
    words = ["unshare", "-rn", "sh", "-c", 'ip link set lo up && exec "$@"', "sh"]
    works = subprocess.run([*words, "true"], capture_output=True, check=False).returncode == 0
    return words if works else []


def test_there_are_notebooks() -> None:
    """An empty folder would make every other test here pass."""
    assert len(NOTEBOOKS) >= 8


@pytest.mark.parametrize("path", NOTEBOOKS, ids=ids)
def test_runs_with_the_network_cut(path: Path) -> None:
    """Every cell runs, in order, offline, and nothing warns."""
    run = subprocess.run(
        [*_namespace(), sys.executable, "-c", _RUN, str(path)],
        cwd=path.parent, env={**os.environ, **DEAD}, capture_output=True, text=True, timeout=240,
        check=False,
    )  # fmt: skip
    assert run.returncode == 0, run.stderr[-3000:]


@pytest.mark.parametrize("path", NOTEBOOKS, ids=ids)
def test_is_light_and_whole(path: Path) -> None:
    """Outputs are stripped; it opens with its question and ends with exercises and answers."""
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    assert not any(cell.get("outputs") or cell.get("execution_count") for cell in cells)
    assert path.stat().st_size < 20_000

    text = ["".join(cell["source"]) for cell in cells]
    assert text[0].startswith("# ")
    assert "?**" in text[0]
    headings = [line for each in text for line in each.splitlines() if line.startswith("## ")]
    assert headings[-2:] == ["## Exercises", "## Answers"]
