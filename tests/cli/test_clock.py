"""What this machine says of its own zone, where it says it rightly."""

from __future__ import annotations

import pytest

from gddcast.cli.clock import machine_timezone


def test_a_zone_is_taken_from_the_environment(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TZ", ":America/Chicago")
    assert machine_timezone() == "America/Chicago"


@pytest.mark.parametrize(
    "folder", ["America/Indiana", "Europe/", "America/../America", "Mars/Dune"]
)
def test_what_is_no_zone_is_not_taken_for_one(monkeypatch: pytest.MonkeyPatch, folder: str) -> None:
    """A folder of zones stands where zones stand; opened as one it is a fault of the system's."""
    monkeypatch.setenv("TZ", folder)
    assert machine_timezone() != folder
