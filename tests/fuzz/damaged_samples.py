"""Mutate every sample file and read it: an answer or a refusal in three parts, nothing else.

Run whole (100,000 mutations, seeded):  python -m tests.fuzz.damaged_samples
Fewer, or another seed:                 python -m tests.fuzz.damaged_samples 5000 --seed 7
A part of it runs in every test run: tests/fuzz/test_damaged_samples.py.
"""

from __future__ import annotations

import argparse
import collections
import datetime as dt
import io
import random
import resource
import sys
import time
import traceback
import warnings
from collections.abc import Callable
from pathlib import Path
from unittest import mock

from gddcast.errors import Refusal
from gddcast.readers import sweeping
from gddcast.readers.reading import Options
from gddcast.readers.temperature_file import temperatures_in

SAMPLES = Path(__file__).parent.parent / "samples"

#: No single file may take longer. [s]
PATIENCE = 5.0

Mutation = Callable[[bytes, random.Random], bytes]


def flip_bytes(raw: bytes, chance: random.Random) -> bytes:
    damaged = bytearray(raw)
    for _ in range(chance.choice((1, 1, 2, 5, 20))):
        if damaged:
            damaged[chance.randrange(len(damaged))] = chance.randrange(256)
    return bytes(damaged)


def cut(raw: bytes, chance: random.Random) -> bytes:
    ends = sorted(chance.randrange(len(raw) + 1) for _ in range(2))
    return raw[ends[0] : ends[1]] if chance.random() < 0.5 else raw[: ends[0]] + raw[ends[1] :]


def shuffle_lines(raw: bytes, chance: random.Random) -> bytes:
    lines = raw.splitlines(keepends=True)
    for _ in range(chance.choice((1, 3, len(lines)))):
        one, other = (chance.randrange(len(lines)) for _ in range(2))
        lines[one], lines[other] = lines[other], lines[one]
    return b"".join(lines)


def drop_or_repeat_lines(raw: bytes, chance: random.Random) -> bytes:
    lines = raw.splitlines(keepends=True)
    rate = chance.choice((0.02, 0.2, 0.9))
    times = chance.choice((0, 2))
    return b"".join(line * (times if chance.random() < rate else 1) for line in lines)


def swap_columns(raw: bytes, chance: random.Random) -> bytes:
    mark = chance.choice((b",", b";", b"\t"))
    rows = [line.split(mark) for line in raw.splitlines()]
    one, other = chance.randrange(6), chance.randrange(6)
    for row in rows:
        if max(one, other) < len(row):
            row[one], row[other] = row[other], row[one]
    return b"\n".join(mark.join(row) for row in rows)


def replace_marks(raw: bytes, chance: random.Random) -> bytes:
    one = chance.choice((b",", b".", b"-", b"2026", b"0", b"\n", b"date", b":", b" "))
    other = chance.choice(
        (b";", b",", b"", b"\t", b"/", b"99999", b"-", b"\r", b'"', b"\x00", b"e")
    )
    return raw.replace(one, other, chance.choice((-1, 1, 10)))


def odd_cells(raw: bytes, chance: random.Random) -> bytes:
    cells = raw.split(b",")
    words = (
        b"", b"-9999", b"M", b"1e309", b"-1e308", b"nan", b"inf", b"1_0", b"\xff", b'"', b"72F",
        b"31/02/2026", b"2026-13-45", b"99999999999999999999", b"0000-00-00", b"9999-12-31",
        "\u0663\u0662".encode(), "²".encode(), b"24:00", b"12:60", b"#", b"46143.5", b"1777777777",
    )  # fmt: skip
    for _ in range(chance.choice((1, 3, 30))):
        cells[chance.randrange(len(cells))] = chance.choice(words)
    return b",".join(cells)


def other_encoding(raw: bytes, chance: random.Random) -> bytes:
    text = raw.decode("utf-8", errors="replace")
    encoding = chance.choice(("utf-16", "utf-16-le", "utf-8-sig", "utf-32", "cp1252", "utf-7"))
    changed = text.encode(encoding, errors="replace")
    return flip_bytes(changed, chance) if chance.random() < 0.5 else changed


def foreign_bytes(raw: bytes, chance: random.Random) -> bytes:
    at = chance.randrange(len(raw) + 1)
    return raw[:at] + chance.randbytes(chance.choice((1, 40, 3000))) + raw[at:]


MUTATIONS: tuple[Mutation, ...] = (
    flip_bytes, cut, shuffle_lines, drop_or_repeat_lines, swap_columns, replace_marks, odd_cells,
    other_encoding, foreign_bytes,
)  # fmt: skip

WAYS = (
    Options(),
    Options(),
    Options(),
    Options(today=dt.date(2026, 6, 1), timezone="America/Chicago"),
    Options(unit="C"),
    Options(unit="F", dates="day-first"),
    Options(unit="K", timezone="America/Chicago"),
    Options(
        unit="C", dates="month-first", reading_hour=8, stamps="clock", timezone="Europe/Berlin"
    ),
    Options(unit="tenths-C", max_column="2", min_column="3"),
    Options(site="Upper bed", dates="year-first", stamps="utc", timezone="Pacific/Auckland"),
)


def originals() -> list[tuple[str, bytes]]:
    """Every sample; the long ones cut to a few hundred lines, so that many fit into an hour."""
    found = []
    for file in sorted(SAMPLES.iterdir()):
        if file.is_file() and file.stat().st_size:
            found.append((file.name, b"".join(file.read_bytes().splitlines(keepends=True)[:400])))
    month = b"".join(b"%5d  W" % (200 + day) + b" " for day in range(31))
    fixed = b"".join(
        b"XX000000001%d%02d%s%s\n" % (year, month_number, element, month)
        for year in (2024, 2025)
        for month_number in range(1, 13)
        for element in (b"TMAX", b"TMIN", b"PRCP")
    )
    rows = b"".join(
        b"XX000000001,202605%02d,%s,%d,,,W,\n" % (day, element, 100 + day)
        for day in range(1, 32)
        for element in (b"TMAX", b"TMIN")
    )
    return [*found, ("station.dly", fixed), ("station.csv", rows), ("sheet.xlsx", _workbook())]


def _workbook() -> bytes:
    import openpyxl

    book = openpyxl.Workbook()
    sheet = book.active
    sheet.append(["date", "max C", "min C"])
    for day in range(1, 32):
        sheet.append([dt.datetime(2026, 5, day), 20.0 + day % 5, 8])
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def faults(count: int, seed: int = 20260611) -> tuple[list[str], collections.Counter[str], float]:
    """Read ``count`` mutated files.

    Returns
    -------
    faults, answers, slowest : list of str, Counter, float
        What went wrong; how often each kind of answer came; the longest reading. [s]
    """
    chance = random.Random(seed)
    files = originals()
    wrong: list[str] = []
    answers: collections.Counter[str] = collections.Counter()
    slowest = 0.0
    for number in range(count):
        name, raw = chance.choice(files)
        used = [chance.choice(MUTATIONS) for _ in range(chance.choice((1, 1, 1, 2, 3)))]
        for mutation in used:
            raw = mutation(raw, chance) if raw.strip() else raw
        told = chance.choice(WAYS)
        label = f"{number} {name} {[each.__name__ for each in used]} {told}"
        begin = time.perf_counter()
        try:
            # Every other file takes the quick way of large tables, however small it is.
            worth = mock.patch.object(sweeping, "WORTH_SWEEPING", 0 if number % 2 else 30_000)
            with worth, warnings.catch_warnings():
                warnings.simplefilter("error")
                reading = temperatures_in(raw, name, told)
            answers["read"] += 1
            if not len(reading.series) or not reading.understood:
                wrong.append(f"{label}: nothing read and nothing refused")
        except Refusal as refusal:
            answers[refusal.slug] += 1
            if not all((refusal.where, refusal.problem, refusal.expected, refusal.cure)):
                wrong.append(f"{label}: a refusal lacks a part: {refusal}")
        except Exception:
            wrong.append(f"{label}\n{traceback.format_exc()}")
        took = time.perf_counter() - begin
        slowest = max(slowest, took)
        if took > PATIENCE:
            wrong.append(f"{label}: took {took:.1f} s")
    return wrong, answers, slowest


def main() -> int:
    """Run the fuzz and print what came of it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("count", type=int, nargs="?", default=100_000)
    parser.add_argument("--seed", type=int, default=20260611)
    asked = parser.parse_args()
    wrong, answers, slowest = faults(asked.count, asked.seed)
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"{asked.count:,} files, slowest {slowest:.2f} s, most memory {memory:.0f} MB")
    for answer, times in answers.most_common():
        print(f"  {times:7,}  {answer}")
    for fault in wrong[:20]:
        print(fault)
    print(f"{len(wrong)} faults")
    return bool(wrong)


if __name__ == "__main__":
    sys.exit(main())
