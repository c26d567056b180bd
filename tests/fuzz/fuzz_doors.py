"""Read made-up files of every reader but that of temperatures: right or refused, never wrong.

File number N is always the same file, so a long run can be cut and resumed:

    python -m tests.fuzz.fuzz_doors --files 50000 --from 0
    python -m tests.fuzz.fuzz_doors --files 1 --from 4711 --keep FOLDER   writes that file there

Temperature files have a fuzz of their own, `tests.fuzz.fuzz_readers`. No file may take longer than
20 s or let the process grow beyond 1 GB. What befalls a file, and what may then be said of it,
stands in `tests/fuzz/doors/`.
"""

from __future__ import annotations

import argparse
import collections
import random
import signal
import sys
import tempfile
import time
import traceback
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from gddcast.errors import Refusal
from tests.fuzz.doors import (
    answers,
    class_tables,
    exports,
    farm_lists,
    rows,
    sheets_of_excel,
    toml_files,
)
from tests.fuzz.doors.known_file import KnownFile, fault_of
from tests.fuzz.oracle import REFUSED, RIGHT, WRONG

#: No file may take longer [s], or more memory. [bytes]
PATIENCE, MOST = 20.0, 1_000_000_000
#: Every kind of file; an export takes a hundred times as long as the others, and comes less often.
DOORS = {
    **rows.TABLES, **toml_files.TABLES, **answers.TABLES, **sheets_of_excel.TABLES,
    **farm_lists.TABLES, **class_tables.TABLES, **exports.TABLES,
}  # fmt: skip
_RARE = "export"


class TooLong(BaseException):
    """No reader catches it."""


def file_of(number: int, kind: str | None = None) -> KnownFile:
    """File of a number."""
    chance = random.Random(f"door {number}")
    kinds = [each for each in DOORS if each != _RARE]
    drawn = _RARE if number % 50 == 49 else kinds[number % len(kinds)]
    return DOORS[kind or drawn](chance)


def outcome(known: KnownFile) -> tuple[str, str]:
    """Class of a reading, and why."""
    begin, held = time.perf_counter(), memory_held()
    try:
        with tempfile.TemporaryDirectory() as folder, _in_time(), warnings.catch_warnings():
            warnings.simplefilter("error")
            file = Path(folder) / known.name
            file.write_bytes(known.raw)
            fault = fault_of(known, known.read(file))
        verdict = (WRONG, fault) if fault else (RIGHT, "")
    except Refusal as refusal:
        verdict = REFUSED, f"{refusal.slug}: {refusal.problem}"
        if not all((refusal.where, refusal.problem, refusal.expected, refusal.cure)):
            verdict = WRONG, f"a refusal lacks a part: {refusal}"
        elif known.must == "read":
            verdict = WRONG, f"refused, though nothing is wrong with it: {refusal}"
    except TooLong:
        verdict = WRONG, f"took longer than {time.perf_counter() - begin:.0f} s"
    except Exception:
        verdict = WRONG, traceback.format_exc()
    grown = memory_held() - held
    return verdict if grown < MOST else (WRONG, f"memory grew by {grown / 1e6:.0f} MB")


@contextmanager
def _in_time() -> Iterator[None]:
    """End a reading that does not end."""
    if not hasattr(signal, "setitimer"):  # Windows
        yield
        return

    def late(*_: object) -> None:
        raise TooLong

    before = signal.signal(signal.SIGALRM, late)
    signal.setitimer(signal.ITIMER_REAL, PATIENCE)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)


def memory_held() -> int:
    """The most memory this process has had so far; 0 where nobody can say. [bytes]"""
    try:
        import resource
    except ImportError:  # Windows
        return 0
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024


@dataclass
class Figures:
    """What came of a run, by kind of file, and every failure."""

    by: dict[str, collections.Counter[str]] = field(default_factory=dict)
    failures: list[str] = field(default_factory=list)

    def __str__(self) -> str:
        classes = (RIGHT, REFUSED, WRONG)
        lines = [f"{'':16}{'files':>8}" + "".join(f"{each:>9}" for each in classes)]
        whole: collections.Counter[str] = sum(self.by.values(), collections.Counter())
        for name, row in (("all", whole), *sorted(self.by.items())):
            lines.append(f"{name:16}{sum(row.values()):8,}"
                         + "".join(f"{row[each]:9,}" for each in classes))  # fmt: skip
        return "\n".join(lines)


def run(files: int, first: int = 0, keep: Path | None = None, kind: str | None = None) -> Figures:
    """Read so many files from a number on."""
    figures = Figures()
    for number in range(first, first + files):
        known = file_of(number, kind)
        verdict, why = outcome(known)
        figures.by.setdefault(known.kind, collections.Counter())[verdict] += 1
        if verdict == WRONG:
            figures.failures.append(f"{number} {known.kind} {known.changes}: {why}")
        if keep and (verdict == WRONG or files == 1):
            keep.mkdir(parents=True, exist_ok=True)
            (keep / f"{number}-{known.name}").write_bytes(known.raw)
    return figures


def main() -> int:
    """Run the fuzz and print its figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--files", type=int, default=50_000)
    parser.add_argument("--from", type=int, default=0, dest="first")
    parser.add_argument("--kind", choices=DOORS, help="one kind of file only")
    parser.add_argument("--keep", type=Path, help="folder for the files read wrong")
    asked = parser.parse_args()
    step, whole, begin = 500, Figures(), time.perf_counter()
    last = asked.first + asked.files
    for first in range(asked.first, last, step):
        part = run(min(step, last - first), first, asked.keep, asked.kind)
        for kind, row in part.by.items():
            whole.by.setdefault(kind, collections.Counter()).update(row)
        whole.failures += part.failures
        for failure in part.failures:
            print(failure, flush=True)
        if asked.files > 10 * step:
            print(f"{len(whole.failures)} failures; resume: --from {first + step}", flush=True)
    print(whole)
    print(f"{len(whole.failures)} failures in {time.perf_counter() - begin:.0f} s; "
          f"most memory {memory_held() / 1e6:.0f} MB")  # fmt: skip
    return bool(whole.failures)


if __name__ == "__main__":
    sys.exit(main())
