"""Files that would fill the memory or never end: a refusal, within 500 MB, and nobody waits."""

from __future__ import annotations

import io
import os
import subprocess
import sys
import threading
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from gddcast.errors import Refusal
from gddcast.readers import opening
from gddcast.readers.card_files import check_card_file
from gddcast.readers.forecast_file import read_forecasts
from gddcast.readers.opening import bytes_of, decoded
from gddcast.readers.rearing_file import read_rearing
from gddcast.readers.temperature_file import read_temperatures

posix = pytest.mark.skipif(
    os.name != "posix", reason="limits, pipes and devices are those of POSIX"
)
HEADER = b"date,max_c,min_c\n"
#: Memory and seconds of the processor that one command may take.
MEMORY, PROCESSOR = 500_000_000, 20


def limited(*words: str) -> str:
    """What a command with so much memory and no more says in refusal."""
    import resource

    def limits() -> None:
        resource.setrlimit(resource.RLIMIT_DATA, (MEMORY, MEMORY))
        resource.setrlimit(resource.RLIMIT_CPU, (PROCESSOR, PROCESSOR))

    done = subprocess.run(
        [sys.executable, "-m", "gddcast", *words], capture_output=True, text=True, check=False,
        preexec_fn=limits, env={**os.environ, "OPENBLAS_NUM_THREADS": "1"},
    )  # fmt: skip
    assert done.returncode == 3, done.stderr[-500:]
    assert len(done.stderr.strip().splitlines()) == 3
    return done.stderr


def workbook(part: str, piece: bytes, times: int) -> bytes:
    """A workbook of one part that packs a thousandfold."""
    packed = io.BytesIO()
    with (
        zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive,
        archive.open(part, "w", force_zip64=True) as page,
    ):
        for _ in range(times):
            page.write(piece)
    return packed.getvalue()


HOSTILE: dict[str, tuple[str, Callable[[], bytes], str]] = {
    "lines": ("a.csv", lambda: HEADER + b"\n" * 49_000_000, "it has 49,000,001 lines"),
    "one line": ("a.csv", lambda: HEADER + b"," * 49_000_000, "line 2: it is 49,000,000 letters"),
    "one cell": (
        "a.csv", lambda: HEADER + b'2026-05-01,"' + b"9" * 200_000 + b'",3\n',
        "line 2: it is 200,015 letters long",
    ),
    "columns": (
        "a.csv", lambda: HEADER + (b"2026-05-01," + b"," * 5_000 + b"\n") * 9_500,
        "it has more than 2,000,000 cells",
    ),
    "cells": (
        "a.csv", lambda: HEADER + b"ab,cd,ef,gh,ij,kl,mn,op,qr\n" * 1_050_000,
        "it has more than 2,000,000 cells",
    ),
    "wide letters": (
        "a.csv", lambda: HEADER + "2026-05-01,20,10,🌱\n".encode() * 1_050_000, "MB of memory",
    ),
    "size": ("a.csv", lambda: HEADER + b"2026-05-01,20,10\n" * 3_000_000, "it is 51 megabytes"),
    "a sheet": (
        "a.xlsx", lambda: workbook("xl/worksheets/sheet1.xml", b"<row/>" * 100_000, 500),
        "it unpacks to 300 MB",
    ),
    "words of a workbook": (
        "a.xlsx", lambda: workbook("xl/sharedStrings.xml", b"<si><t/></si>" * 10_000, 600),
        "it unpacks to 78 MB",
    ),
}  # fmt: skip


@posix
@pytest.mark.parametrize("kind", HOSTILE)
def test_what_fills_the_memory_is_refused_before_it_does(tmp_path: Path, kind: str) -> None:
    name, content, found = HOSTILE[kind]
    (tmp_path / name).write_bytes(content())
    assert found in limited("weather", "check", str(tmp_path / name))


@posix
@pytest.mark.parametrize(
    "words",
    [("weather", "check"), ("ahead",), ("heat", "--lower", "50F"), ("thresholds", "--unit", "C"),
     ("pests", "check")],
    ids=" ".join,
)  # fmt: skip
def test_a_device_without_end_is_refused(words: tuple[str, ...]) -> None:
    assert "it is a device, not a file" in limited(*words, "/dev/zero")


@posix
def test_a_pipe_that_does_not_end_is_refused() -> None:
    """Everything a program can write, through /dev/stdin."""
    with subprocess.Popen(["yes", "2026-05-01,20,10"], stdout=subprocess.PIPE) as endless:
        done = subprocess.run(
            [sys.executable, "-m", "gddcast", "weather", "check", "/dev/stdin"],
            stdin=endless.stdout, capture_output=True, text=True, check=False,
        )  # fmt: skip
        endless.kill()
    assert done.returncode == 3
    assert "it does not end before 50 megabytes" in done.stderr or "did not end in" in done.stderr


@posix
def test_a_pipe_that_nobody_writes_into_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(opening, "PATIENCE", 0.05)
    pipe = tmp_path / "log.csv"
    os.mkfifo(pipe)
    with pytest.raises(Refusal, match=r"it is a pipe that did not end in 0\.05 seconds"):
        read_temperatures(pipe)


@posix
def test_a_drip_is_no_reason_to_wait_for_ever(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(opening, "PATIENCE", 0.3)
    pipe, enough = tmp_path / "log.csv", threading.Event()
    os.mkfifo(pipe)

    def drip() -> None:
        with pipe.open("wb", buffering=0) as out:
            while not enough.wait(0.02):
                try:
                    out.write(b"2026-05-01,20,10\n")
                except BrokenPipeError:
                    return

    writer = threading.Thread(target=drip, daemon=True)
    writer.start()
    with pytest.raises(OSError, match="did not end"):
        bytes_of(pipe)
    enough.set()
    writer.join()


@posix
def test_a_pipe_that_ends_is_read(tmp_path: Path) -> None:
    pipe = tmp_path / "log.csv"
    os.mkfifo(pipe)
    body = HEADER + b"2026-05-01,20,10\n" * 50_000
    writer = threading.Thread(target=pipe.write_bytes, args=(body,))
    writer.start()
    assert bytes_of(pipe) == body
    writer.join()


def test_a_file_is_read_whole_to_its_last_byte(tmp_path: Path) -> None:
    file = tmp_path / "log.csv"
    file.write_bytes(b"\r\n\x1a" * 300)
    assert bytes_of(file, 900) == b"\r\n\x1a" * 300
    with pytest.raises(OSError, match="it is 1 kilobytes large; 1 kilobytes is most"):
        bytes_of(file, 899)


LONG = "9" * 200_000


def test_a_cell_without_end_is_named_with_its_line(tmp_path: Path) -> None:
    """131,072 letters is where Python's own reader of CSV gives up."""
    file = tmp_path / "jars.csv"
    file.write_text(f'temperature_c,days\n20,"{LONG}"\n', encoding="utf-8")
    with pytest.raises(Refusal, match=r"jars\.csv, line 2: a cell there does not end"):
        read_rearing(file)
    file = tmp_path / "past.csv"
    file.write_text(f'issued,date,max_c,min_c\n2026-05-01,2026-05-02,"{LONG}",3\n', "utf-8")
    with pytest.raises(Refusal, match=r"past\.csv, line 2: it is 200,"):
        read_forecasts(file)


DEEP = 'name = "moth"\nhosts = ' + "[" * 5_000 + "]" * 5_000 + "\n"


@pytest.mark.parametrize(
    ("line", "found"),
    [
        (DEEP, "stand in one another too deep"),
        ("name = " + "9" * 5_000, "a number of thousands of digits"),
    ],
)
def test_a_card_that_toml_itself_gives_up_on(tmp_path: Path, line: str, found: str) -> None:
    (tmp_path / "moth.toml").write_text(line, encoding="utf-8")
    with pytest.raises(Refusal, match=found):
        check_card_file(tmp_path / "moth.toml")


def test_a_text_takes_half_as_much_again_and_no_more(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(opening, "LARGEST", 10_000)
    raw = ("date,max_f,min_f,€\n" + "2026-05-01,70,40\n" * 300).encode()
    assert decoded(raw, "a.csv").text.count("\n") == 301  # two bytes a letter: 10,3 kB
    with pytest.raises(Refusal, match="its text takes"):
        decoded(raw + "\U0001f331".encode(), "a.csv")  # four
