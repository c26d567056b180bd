"""In which order a file is written out and gets its name: what is left after a loss of power."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable
from pathlib import Path

import pytest


def order_of(monkeypatch: pytest.MonkeyPatch, write: Callable[[], object]) -> list[str]:
    """What ``write`` asks of the disk, in order."""
    order: list[str] = []
    sync, rename, rename_folder = os.fsync, Path.replace, Path.rename

    def synced(handle: int) -> None:
        is_folder = stat.S_ISDIR(os.fstat(handle).st_mode)
        order.append("folder synced" if is_folder else "file synced")
        sync(handle)

    def renamed(path: Path, target: Path) -> Path:
        order.append("renamed")
        return rename(path, target)

    def folder_renamed(path: Path, target: Path) -> Path:
        order.append("folder renamed")
        return rename_folder(path, target)

    with monkeypatch.context() as watched:
        watched.setattr(os, "fsync", synced)
        watched.setattr(Path, "replace", renamed)
        watched.setattr(Path, "rename", folder_renamed)
        write()
    return order
