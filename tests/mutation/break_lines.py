"""Break the code one place at a time and run the nearest tests: a break nobody notices is a hole.

Break number N is always the same one of the same code, so a long run can be cut and resumed:

    python -m tests.mutation.break_lines --breaks 200 --from 0
    python -m tests.mutation.break_lines --show 17       the change, without running a test

The wings take turns; the place in a wing is drawn by chance. Nothing is changed where you work: a
copy of the tree is broken. Those that cannot be noticed stand in `equivalents.toml`, each with its
reason. Figures of the last long run are in data/FAULTS.md.
"""

from __future__ import annotations

import argparse
import collections
import functools
import os
import random
import shutil
import subprocess
import sys
import tempfile
import time
import tomllib
from pathlib import Path

from tests.mutation.breaks import Break, breaks_in
from tests.mutation.nearest import ROOT, WINGS, modules, rounds

#: A break that makes a loop endless is noticed by everybody. [s]
PATIENCE = 600.0
CAUGHT, SURVIVED, EQUIVALENT = "caught", "survived", "equivalent"
_COPIED = ("gddcast", "tests", "data", "notebooks", "pyproject.toml", "README.md",
           "DEVELOPERS.md", "LICENSE")  # fmt: skip
#: Set where the code at hand is a copy, to be broken.
_COPY = "GDDCAST_TO_BE_BROKEN"


def break_of(number: int) -> tuple[Path, Break]:
    """Module and change of a number."""
    chance = random.Random(f"break {number}")
    return chance.choice(_places(WINGS[number % len(WINGS)]))


@functools.cache
def _places(wing: str) -> list[tuple[Path, Break]]:
    return [
        (module, each)
        for module in modules(wing)
        for each in breaks_in((ROOT / module).read_text(encoding="utf-8"))
    ]


def equivalents() -> list[dict[str, str]]:
    """Breaks that change nothing anybody could notice: module, line, change, reason."""
    file = Path(__file__).with_name("equivalents.toml")
    known: list[dict[str, str]] = tomllib.loads(file.read_text(encoding="utf-8"))["equivalent"]
    return known


def is_equivalent(module: Path, change: Break) -> bool:
    """Whether a change stands in that list; lines move, so their text is compared."""
    line = (ROOT / module).read_text(encoding="utf-8").splitlines()[change.line - 1].strip()
    said = str(change).partition(": ")[2]
    return any(
        each["module"] == module.as_posix() and each["line"] == line and each["change"] == said
        for each in equivalents()
    )


def verdict(module: Path, change: Break, *, wing_too: bool = False) -> tuple[str, str]:
    """What the nearest tests say of a break, and which of them noticed."""
    file = ROOT / module
    text = file.read_text(encoding="utf-8")
    file.write_text(change.applied(text), encoding="utf-8")
    try:
        for asked in rounds(module, wing_too=wing_too):
            noticed = _noticed(asked)
            if noticed:
                return CAUGHT, noticed
    finally:
        file.write_text(text, encoding="utf-8")
    return SURVIVED, ""


def _noticed(asked: list[str]) -> str:
    """The first test that fails, or nothing."""
    command = [sys.executable, "-m", "pytest", "-q", "-x", "-p", "no:cacheprovider", "--no-header",
               "-m", "not slow and not browser", "--tb=no", *asked]  # fmt: skip
    try:
        done = subprocess.run(
            command, cwd=ROOT, capture_output=True, text=True, timeout=PATIENCE,
            check=False,
        )  # fmt: skip
    except subprocess.TimeoutExpired:
        return f"no end within {PATIENCE:g} s"
    if done.returncode in (0, 5):  # 5: there was none to run
        return ""
    failed = [line for line in done.stdout.splitlines() if line.startswith(("FAILED", "ERROR"))]
    return failed[0][:160] if failed else (done.stdout + done.stderr).strip()[-160:]


def in_a_copy(words: list[str]) -> int:
    """Run this again in a copy of what the tests need."""
    with tempfile.TemporaryDirectory() as folder:
        for name in _COPIED:
            source, copy = ROOT / name, Path(folder) / name
            if source.is_dir():
                leave = shutil.ignore_patterns("__pycache__", "*.pyc")
                shutil.copytree(source, copy, ignore=leave)
            elif source.exists():
                shutil.copy(source, copy)
        where = {**os.environ, "PYTHONPATH": folder, "PYTHONDONTWRITEBYTECODE": "1", _COPY: "1"}
        again = [sys.executable, "-m", "tests.mutation.break_lines", *words]
        return subprocess.run(again, cwd=folder, env=where, check=False).returncode


def main() -> int:
    """Break as often as asked, and say what nobody noticed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--breaks", type=int, default=200)
    parser.add_argument("--from", type=int, default=0, dest="first")
    parser.add_argument("--show", type=int, help="print one change and run nothing")
    parser.add_argument("--only", type=int, nargs="+", help="these numbers instead")
    parser.add_argument("--wing", action="store_true", help="ask a wing's other tests at last")
    asked = parser.parse_args()
    if asked.show is not None:
        module, change = break_of(asked.show)
        print(f"{module}, {change}")
        return 0
    if _COPY not in os.environ:
        return in_a_copy(sys.argv[1:])
    counts: dict[str, collections.Counter[str]] = {}
    for number in asked.only or range(asked.first, asked.first + asked.breaks):
        begin = time.perf_counter()
        module, change = break_of(number)
        if is_equivalent(module, change):
            what, by = EQUIVALENT, ""
        else:
            what, by = verdict(module, change, wing_too=asked.wing)
        counts.setdefault(module.parts[1], collections.Counter())[what] += 1
        took = time.perf_counter() - begin
        print(f"{number} {what} {module}, {change}  ({took:.0f} s)  {by}", flush=True)
    for wing, row in sorted(counts.items()):
        print(f"{wing:12}" + "".join(f"{row[each]:6} {each}" for each in (CAUGHT, SURVIVED,
                                                                         EQUIVALENT)))  # fmt: skip
    return int(any(row[SURVIVED] for row in counts.values()))


if __name__ == "__main__":
    sys.exit(main())
