"""A fetched file is whole, on the disk before it has its name, and private where that is wanted."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from gddcast.online.mirror import put
from tests.syncing import order_of


@pytest.mark.skipif(os.name != "posix", reason="folders are synced on POSIX")
def test_it_is_on_the_disk_before_it_has_its_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    order = order_of(monkeypatch, lambda: put(tmp_path / "year" / "a.csv.gz", b"days"))
    assert order == ["file synced", "renamed", "folder synced"]
    assert order_of(monkeypatch, lambda: put(tmp_path / "year" / "a.csv.gz", b"days")) == []
    assert [each.name for each in (tmp_path / "year").iterdir()] == ["a.csv.gz"]


@pytest.mark.skipif(os.name != "posix", reason="file modes as POSIX has them")
@pytest.mark.parametrize(("mask", "mode"), [(0o022, 0o644), (0o077, 0o600), (0o027, 0o640)])
def test_it_is_as_private_as_its_owner_wants(tmp_path: Path, mask: int, mode: int) -> None:
    before = os.umask(mask)
    try:
        put(tmp_path / "a.csv.gz", b"days")
    finally:
        os.umask(before)
    assert (tmp_path / "a.csv.gz").stat().st_mode & 0o777 == mode


def test_what_fails_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    put(tmp_path / "a.csv.gz", b"old")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space left"):
        put(tmp_path / "a.csv.gz", b"new")
    assert (tmp_path / "a.csv.gz").read_bytes() == b"old"
    assert len(list(tmp_path.iterdir())) == 1
