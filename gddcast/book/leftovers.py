"""Folders that a killed setup, import or export left: known by name and content, and removed."""

from __future__ import annotations

import contextlib
import re
import shutil
import time
from pathlib import Path

#: How `tempfile` names them.
_NAME = re.compile(r"\.(new-book|import|export)-[a-z0-9_]{8}")
#: What may stand in them; with anything else in it a folder is somebody's own.
_OURS = re.compile(r"(book/|export/)?(\.?book\.(toml|sqlite)[\w.-]*|[a-z_]+\.csv|export\.toml)")
#: Nothing is still being made after this. [s]
ABANDONED = 600.0


def sweep(folder: Path) -> None:
    """Remove what was left in a folder; what is being made at this moment is younger."""
    for left in folder.glob(".*-????????"):
        if not _NAME.fullmatch(left.name) or left.is_symlink() or not left.is_dir():
            continue
        with contextlib.suppress(OSError):
            inside = list(left.rglob("*"))
            files = [each for each in inside if not each.is_dir() or each.is_symlink()]
            ours = all(_OURS.fullmatch(each.relative_to(left).as_posix()) for each in files)
            last = max(each.stat().st_mtime for each in (left, *inside))
            if ours and time.time() - last > ABANDONED:
                shutil.rmtree(left)
