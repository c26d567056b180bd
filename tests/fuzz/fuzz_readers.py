"""Read made-up files whose truth is known: right, refused or flagged, never wrong.

File number N is always the same file, so a long run can be cut and resumed:

    python -m tests.fuzz.fuzz_readers --files 100000 --from 0
    python -m tests.fuzz.fuzz_readers --files 1 --from 4711 --keep FOLDER   writes that file there

A part runs in every test run: tests/fuzz/test_fuzz_readers.py. Bytes damaged without regard to
meaning are the business of tests/fuzz/damaged_samples.py.
"""

from __future__ import annotations

import argparse
import collections
import random
import sys
import time
import traceback
import warnings
from dataclasses import dataclass, field
from pathlib import Path
from unittest import mock

from gddcast.errors import Refusal
from gddcast.readers import sweeping
from gddcast.readers.reading import Options
from gddcast.readers.temperature_file import temperatures_in
from tests.fuzz import corpus
from tests.fuzz.archives import ARCHIVES
from tests.fuzz.date_forms import settle_dates
from tests.fuzz.dialects import TABLES
from tests.fuzz.fuzz_doors import MOST, memory_held
from tests.fuzz.logs import log
from tests.fuzz.mutations import MILD, MUTATIONS
from tests.fuzz.oracle import FLAGGED, REFUSED, RIGHT, WRONG, judged
from tests.fuzz.sheets import Sheet, Truth

#: No file may take longer. [s]
PATIENCE = 20.0
CLASSES = (RIGHT, REFUSED, FLAGGED, WRONG)


def sheet_of(number: int) -> Sheet:
    """File of a number: a dialect, and up to three mutations of it."""
    chance = random.Random(f"temperatures {number}")
    kinds = ARCHIVES if chance.random() < 0.08 else (*TABLES, log, log)
    sheet = chance.choice(kinds)(chance)
    wanted = chance.sample(range(len(MUTATIONS)), chance.choice((0, 0, 1, 1, 1, 2, 3)))
    for at in sorted(wanted):
        if MUTATIONS[at](sheet, chance):
            sheet.mutations.append(MUTATIONS[at].__name__)
    settle_dates(sheet)
    try:
        sheet.text().encode(sheet.encoding)
    except UnicodeEncodeError:
        sheet.encoding = "utf-8"
    return sheet


def outcome(raw: bytes, name: str, truth: Truth, *, sweep: bool) -> tuple[str, str]:
    """Worst class over everything that is said of a file, and why."""
    worst = RIGHT, ""
    for told, must_ask in truth.sayings():
        verdict = _once(raw, name, truth, told, must_ask, sweep)
        if CLASSES.index(verdict[0]) > CLASSES.index(worst[0]) and not (
            must_ask and verdict[0] == REFUSED and truth.unsettled and not truth.hopeless
        ):
            worst = verdict
    if truth.hopeless and not truth.doubtful and worst[0] == RIGHT:
        worst = REFUSED, ""
    return worst


def _once(
    raw: bytes, name: str, truth: Truth, told: Options, must_ask: bool, sweep: bool
) -> tuple[str, str]:
    begin = time.perf_counter()
    try:
        # Either way of a large clean table, however small this one is.
        worth = mock.patch.object(sweeping, "WORTH_SWEEPING", 0 if sweep else 30_000)
        with worth, warnings.catch_warnings():
            warnings.simplefilter("error")
            reading = temperatures_in(raw, name, told)
        if must_ask:
            why = truth.hopeless or f"nobody said its {' or '.join(truth.unsettled)}"
            verdict = WRONG, f"read, though {why}"
        else:
            verdict = judged(truth, reading)
    except Refusal as refusal:
        verdict = REFUSED, f"{refusal.slug}: {refusal.problem}"
        if not all((refusal.where, refusal.problem, refusal.expected, refusal.cure)):
            verdict = WRONG, f"a refusal lacks a part: {refusal}"
    except Exception:
        verdict = WRONG, traceback.format_exc()
    took = time.perf_counter() - begin
    return verdict if took < PATIENCE else (WRONG, f"took {took:.1f} s")


@dataclass
class Figures:
    """What came of a run: classes of all files, by mutation and by kind, and every failure."""

    classes: collections.Counter[str] = field(default_factory=collections.Counter)
    by: dict[str, collections.Counter[str]] = field(default_factory=dict)
    failures: list[str] = field(default_factory=list)

    def count(self, sheet: Sheet, verdict: str) -> None:
        """Book one file."""
        self.classes[verdict] += 1
        changes = sheet.mutations or ["(unchanged)"]
        for group in (f"kind {sheet.kind}", *changes):
            self.by.setdefault(group, collections.Counter())[verdict] += 1

    def __str__(self) -> str:
        head = f"{'':24}{'files':>8}" + "".join(f"{each:>9}" for each in CLASSES)
        rows = [("all", self.classes), *sorted(self.by.items())]
        return "\n".join(
            [head]
            + [
                f"{name:24}{sum(row.values()):8,}" + "".join(f"{row[c]:9,}" for c in CLASSES)
                for name, row in rows
            ]
        )


def must_be_read(sheet: Sheet) -> bool:
    """Whether refusing a file is an escape: it says all about itself, and little befell it."""
    mild = {each.__name__ for each in MILD}
    read = any(low == low and high == high for low, high in sheet.truth.days.values())
    says_all = sheet.truth.plain and not sheet.truth.hopeless
    return read and says_all and set(sheet.mutations) <= mild


def run(files: int, first: int = 0, keep: Path | None = None) -> Figures:
    """Read so many files from a number on."""
    figures = Figures()
    for number in range(first, first + files):
        sheet = sheet_of(number)
        raw = sheet.raw()
        verdict, why = outcome(raw, sheet.name, sheet.truth, sweep=number % 2 == 0)
        if verdict == REFUSED and must_be_read(sheet):
            verdict, why = WRONG, f"refused, though it says all: {why}"
        figures.count(sheet, verdict)
        if verdict == WRONG:
            figures.failures.append(
                f"{number} {sheet.kind} [{sheet.dates}] {sheet.mutations}: {why}"
            )
        if keep and (verdict == WRONG or files == 1):
            sheet.truth.plain = must_be_read(sheet)
            corpus.save(keep, f"{number}-{sheet.name}", raw, sheet.truth)
    return figures


def main() -> int:
    """Run the fuzz and print its figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--files", type=int, default=100_000)
    parser.add_argument("--from", type=int, default=0, dest="first")
    parser.add_argument("--keep", type=Path, help="folder for the files read wrong")
    parser.add_argument("--show", type=int, default=20, help="failures to print")
    asked = parser.parse_args()
    step, whole = 1000, Figures()
    begin = time.perf_counter()
    for first in range(asked.first, asked.first + asked.files, step):
        part = run(min(step, asked.first + asked.files - first), first, asked.keep)
        whole.classes += part.classes
        for group, row in part.by.items():
            whole.by.setdefault(group, collections.Counter()).update(row)
        for failure in part.failures[: max(asked.show - len(whole.failures), 0)]:
            print(failure, flush=True)
        whole.failures += part.failures
        if asked.files > 10 * step:
            done = first + step - asked.first
            print(f"{done:,} files, {len(whole.failures)} failures; resume: --from {first + step}")
    print(whole)
    print(f"{len(whole.failures)} failures in {time.perf_counter() - begin:.0f} s; "
          f"most memory {memory_held() / 1e6:.0f} MB")  # fmt: skip
    return bool(whole.failures) or memory_held() > MOST


if __name__ == "__main__":
    sys.exit(main())
