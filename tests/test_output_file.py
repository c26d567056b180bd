"""The one writer of output files: whole or not at all, private, and never onto what is precious."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from gddcast import commits, output_file
from gddcast.book.opening import RECORDS, SETTINGS
from gddcast.errors import Refusal
from tests.book.places import new_book
from tests.syncing import order_of

posix = pytest.mark.skipif(os.name != "posix", reason="links and pipes are those of POSIX")


def test_a_file_is_written_and_replaced_only_when_forced(tmp_path: Path) -> None:
    file = tmp_path / "page.html"
    output_file.write_text(file, "one")
    with pytest.raises(Refusal, match="there is a file of that name"):
        output_file.write_text(file, "two")
    assert file.read_text() == "one"
    output_file.write_text(file, "two", force=True)
    assert file.read_text() == "two"
    assert list(tmp_path.iterdir()) == [file]


@pytest.mark.parametrize("name", [RECORDS, SETTINGS, f"{RECORDS}-wal", "Book.SQLite"])
@pytest.mark.parametrize("force", [False, True])
def test_a_books_files_are_never_written_onto(tmp_path: Path, name: str, force: bool) -> None:
    """By the names the book itself uses, there or not yet there."""
    new_book(tmp_path / "patch")
    file = tmp_path / "patch" / name
    before = file.read_bytes() if file.exists() else None
    with pytest.raises(Refusal, match="belongs to a season book") as caught:
        output_file.write_text(file, "a page", force=force)
    assert caught.value.slug == "book-file"
    assert (file.read_bytes() if file.exists() else None) == before


def test_a_record_under_another_name_is_known_by_its_bytes(tmp_path: Path) -> None:
    records = new_book(tmp_path / "patch").records
    copy = tmp_path / "garden.html"
    copy.write_bytes(records.read_bytes())
    with pytest.raises(Refusal, match="it is a database"):
        output_file.write_bytes(copy, b"a page", force=True)
    assert copy.read_bytes() == records.read_bytes()


@posix
def test_links_folders_and_pipes_are_said_and_left(tmp_path: Path) -> None:
    target, link, pipe = tmp_path / "page.html", tmp_path / "link.html", tmp_path / "pipe"
    target.write_text("mine")
    link.symlink_to("page.html")
    os.mkfifo(pipe)
    for file, found in (
        (link, "it is a link to page.html"), (pipe, "it is no plain file"),
        (tmp_path, "it is a folder"), (Path("/dev/full"), "it is no plain file"),
    ):  # fmt: skip
        with pytest.raises(Refusal, match=found):
            output_file.write_text(file, "a page", force=True)
    assert link.is_symlink()
    assert target.read_text() == "mine"


@posix
def test_the_longest_name_a_folder_takes_is_taken(tmp_path: Path) -> None:
    """The name of the temporary file is not made of it."""
    output_file.write_text(tmp_path / ("x" * 250 + ".html"), "a page")
    with pytest.raises(Refusal, match="file name too long"):
        output_file.write_text(tmp_path / ("x" * 400), "a page")


def test_only_what_stands_counts_as_written(tmp_path: Path) -> None:
    with commits.counted():
        output_file.write_text(tmp_path / "a.html", "a page")
        with pytest.raises(Refusal, match="no such file"):
            output_file.write_text(tmp_path / "none" / "b.html", "a page")
        assert commits.commits() == (str(tmp_path / "a.html"),)


def test_a_name_that_is_no_text_does_not_stop_a_page(tmp_path: Path) -> None:
    """Half a character, as a file name of bytes that are no text gives it."""
    output_file.write_text(tmp_path / "a.html", "of b\udce4d.csv")
    assert (tmp_path / "a.html").read_bytes() == b"of b?d.csv"


@posix
def test_it_is_on_the_disk_before_it_has_its_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    order = order_of(monkeypatch, lambda: output_file.write_text(tmp_path / "walk.txt", "Look."))
    assert order == ["file synced", "renamed", "folder synced"]
    assert [each.name for each in tmp_path.iterdir()] == ["walk.txt"]


@posix
@pytest.mark.parametrize(("mask", "mode"), [(0o022, 0o644), (0o077, 0o600), (0o027, 0o640)])
def test_a_new_file_is_as_private_as_its_owner_wants(tmp_path: Path, mask: int, mode: int) -> None:
    before = os.umask(mask)
    try:
        output_file.write_text(tmp_path / "walk.txt", "Look.")
    finally:
        os.umask(before)
    assert (tmp_path / "walk.txt").stat().st_mode & 0o777 == mode


@posix
def test_one_that_is_replaced_stays_as_private_as_it_was(tmp_path: Path) -> None:
    file = tmp_path / "walk.txt"
    file.write_text("Old.")
    file.chmod(0o600)
    output_file.write_text(file, "Look.", force=True)
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
        output_file.write_text(file, "Look.", force=True)
    assert file.read_text() == "Old."
    assert len(list(tmp_path.iterdir())) == 1


@posix
def test_a_folder_is_written_whole_and_in_nobodys_place(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its files are on the disk before it has its name; what is there is left as it is."""

    def fill(path: Path) -> None:
        path.mkdir()
        (path / "piece").write_text("one")

    store = tmp_path / "grid.zarr"
    with commits.counted():
        order = order_of(monkeypatch, lambda: output_file.write_folder_with(store, fill))
        assert commits.commits() == (str(store),)
    assert order == ["file synced", "folder renamed", "folder synced"]
    assert (store / "piece").read_text() == "one"
    with pytest.raises(Refusal, match="it is a folder"):
        output_file.write_folder_with(store, fill)
    (tmp_path / "file").write_text("mine")
    with pytest.raises(Refusal, match="there is a file of that name"):
        output_file.write_folder_with(tmp_path / "file", fill)
    with pytest.raises(Refusal, match="no such file"):
        output_file.write_folder_with(tmp_path / "none" / "grid.zarr", fill)
    with pytest.raises(Refusal, match="belongs to a season book"):
        output_file.write_folder_with(tmp_path / "book.sqlite", fill)
    assert sorted(each.name for each in tmp_path.iterdir()) == ["file", "grid.zarr"]
