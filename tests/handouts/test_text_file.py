"""A hand-out is whole, on the disk before it has its name, and as private as its owner's files."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from gddcast.errors import Refusal
from gddcast.handouts.text_file import write_text
from tests.syncing import order_of

posix = pytest.mark.skipif(os.name != "posix", reason="file modes and folders as POSIX has them")


@posix
def test_it_is_on_the_disk_before_it_has_its_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    order = order_of(monkeypatch, lambda: write_text(tmp_path / "walk.txt", "Look."))
    assert order == ["file synced", "renamed", "folder synced"]
    assert [each.name for each in tmp_path.iterdir()] == ["walk.txt"]


@posix
@pytest.mark.parametrize(("mask", "mode"), [(0o022, 0o644), (0o077, 0o600), (0o027, 0o640)])
def test_a_new_file_is_as_private_as_its_owner_wants(tmp_path: Path, mask: int, mode: int) -> None:
    before = os.umask(mask)
    try:
        write_text(tmp_path / "walk.txt", "Look.")
    finally:
        os.umask(before)
    assert (tmp_path / "walk.txt").stat().st_mode & 0o777 == mode


@posix
def test_one_that_is_replaced_stays_as_private_as_it_was(tmp_path: Path) -> None:
    file = tmp_path / "walk.txt"
    file.write_text("Old.")
    file.chmod(0o600)
    write_text(file, "Look.", force=True)
    assert file.read_text() == "Look."
    assert file.stat().st_mode & 0o777 == 0o600


def test_a_disk_that_fails_at_the_end_leaves_what_was_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "walk.txt"
    file.write_text("Old.")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(Refusal, match="the disk is full"):
        write_text(file, "Look.", force=True)
    assert file.read_text() == "Old."
    assert len(list(tmp_path.iterdir())) == 1
