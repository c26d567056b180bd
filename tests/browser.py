"""Debian's chromium, or a plain word on how to get it; its absence fails where ``CI`` is set."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from pathlib import Path

import pytest

_HOW = "install it:  apt-get install chromium  (Debian), then run the tests again"


def chromium() -> str:
    """Path of the browser; skips the test where there is none, and fails it in CI."""
    found = shutil.which("chromium")
    if found is not None:
        return found
    if os.environ.get("CI"):
        pytest.fail(f"chromium is not installed, and CI needs it: {_HOW}")
    pytest.skip(f"chromium is not installed; {_HOW}")


def printed_pages(html: str, folder: Path) -> int:
    """Pages the browser prints of an HTML text."""
    (folder / "page.html").write_text(html, encoding="utf-8")
    subprocess.run(
        [chromium(), "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer",
         f"--user-data-dir={folder / 'profile'}", f"--print-to-pdf={folder / 'page.pdf'}",
         f"file://{folder / 'page.html'}"],
        check=True, capture_output=True, timeout=90,
    )  # fmt: skip
    return len(re.findall(rb"/Type\s*/Page\b", (folder / "page.pdf").read_bytes()))
