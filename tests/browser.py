"""Debian's chromium, or a plain word on how to get it; its absence fails where ``CI`` is set."""

from __future__ import annotations

import os
import shutil

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
