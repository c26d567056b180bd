"""Disks that fill up or take no writing, made for a test where this machine lets us."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest


@contextmanager
def small_disk(folder: Path, size: str = "4m") -> Iterator[None]:
    """A few megabytes of memory as a disk of their own; only root of Linux may do so."""
    folder.mkdir()
    done = None
    if sys.platform == "linux" and os.getuid() == 0:
        words = ["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(folder)]
        done = subprocess.run(words, capture_output=True, check=False)
    if done is None or done.returncode:
        pytest.skip("no disk can be mounted here: that needs root of Linux, not in every container")
    try:
        yield
    finally:
        subprocess.run(["umount", str(folder)], check=True)


def fill(folder: Path) -> Path:
    """A file that takes all the room there is."""
    file = folder / "fill"
    with file.open("wb", buffering=0) as full:
        try:
            while True:
                full.write(bytes(4096))
        except OSError:
            return file


@contextmanager
def takes_no_writing(folder: Path) -> Iterator[None]:
    """No file in it can be written: by its mode, or mounted for reading where we are root."""
    if os.name != "posix":
        pytest.skip("file modes are those of POSIX")
    if os.getuid() == 0:
        subprocess.run(["mount", "-o", "remount,ro", str(folder)], check=True)
        yield
        return
    there = [folder, *folder.rglob("*")]
    modes = {each: each.stat().st_mode for each in there}
    try:
        for each in there:
            each.chmod(0o555 if each.is_dir() else 0o444)
        yield
    finally:
        for each, mode in modes.items():
            each.chmod(mode)
