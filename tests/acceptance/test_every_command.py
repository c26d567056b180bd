"""Help, wrong words, the network, and where a command writes: the same rules for every command."""

from __future__ import annotations

import itertools
import json
import os
import subprocess
import sys
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from gddcast.cli import main
from tests.acceptance import every_command
from tests.acceptance.every_command import NETWORK, WORKS

LEAVES = dict(every_command.leaves())


@pytest.fixture(scope="module")
def inputs(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with what the commands are given."""
    folder = tmp_path_factory.mktemp("inputs")
    every_command.prepare(folder)
    return folder


def test_every_command_is_tried_here() -> None:
    """A new command needs words that work, or none of this is asked of it."""
    assert set(LEAVES) == set(WORKS) | set(NETWORK)


@pytest.mark.parametrize("path", LEAVES, ids=" ".join)
def test_help_shows_how_it_is_called_first_and_says_every_flag(path: tuple[str, ...]) -> None:
    for flag in ("--help", "-h"):
        answer = CliRunner().invoke(main, [*path, flag])
        assert answer.exit_code == 0, answer.output
        assert answer.stderr == ""
        usage, options = answer.stdout.partition("Options:")[::2]
        assert usage.startswith("Usage: ")
        assert "gddcast " in usage.split("\n", 1)[1], "no example"
    for parameter in LEAVES[path].params:
        if isinstance(parameter, click.Option) and not parameter.hidden:
            assert parameter.opts[0] in options
            assert parameter.help, f"{parameter.opts[0]} says nothing of itself"


@pytest.mark.parametrize("path", LEAVES, ids=" ".join)
def test_a_wrong_word_is_answered_in_three_parts_and_writes_nothing(
    path: tuple[str, ...], inputs: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(inputs)
    monkeypatch.delenv("GDDCAST_BOOK", raising=False)
    before = tree(inputs)
    tried = list(every_command.wrong(path, LEAVES[path]))
    for words in tried:
        answer = CliRunner().invoke(main, list(words))
        said = f"gddcast {' '.join(words)}\n{answer.output}"
        assert answer.exit_code in (2, 3), said
        assert answer.stdout == "", said
        lines = answer.stderr.rstrip("\n").split("\n")
        if answer.exit_code == 3:
            assert lines[0].startswith("Can't use "), said
            assert len(lines) >= 3, said
            assert all(line.startswith("  ") for line in lines[1:]), said
        else:
            assert lines[0].startswith("Usage: "), said
            assert "Error: " in answer.stderr, said
        assert "Traceback" not in answer.stderr, said
        assert "a fault of gddcast" not in answer.stderr, said
    assert tree(inputs) == before
    assert tried or path in (("undo",), ("pests", "new"), ("crops", "new"))


#: Runs one command after another, none of which may open a connection; tells where each ended.
_LONE = """
import json, socket, sys
def closed(*_, **__):
    raise AssertionError("the network was asked")
socket.socket.connect = socket.create_connection = socket.getaddrinfo = closed
from click.testing import CliRunner
from gddcast.cli import main
ended = []
for words in json.load(sys.stdin):
    answer = CliRunner().invoke(main, words)
    ended.append([words, answer.exit_code, answer.stderr[-500:]])
print(json.dumps(ended))
"""


def test_no_network_and_nothing_written_but_what_was_asked_for(tmp_path: Path) -> None:
    """An empty home, an empty temporary folder: both stay so.

    The drawing library keeps its own list of this machine's fonts; that folder is not looked at.
    """
    home, temporary, here, fonts = (tmp_path / name for name in ("home", "tmp", "here", "fonts"))
    for folder in (home, temporary, here, fonts):
        folder.mkdir()
    every_command.prepare(here)
    before = tree(here)
    places = {
        name: str(home)
        for name in ("HOME", "XDG_CACHE_HOME", "XDG_CONFIG_HOME", "XDG_DATA_HOME", "USERPROFILE")
    }
    commands = [[*path, *words] for path, words in WORKS.items()]
    done = subprocess.run(
        [sys.executable, "-B", "-c", _LONE], input=json.dumps(commands),
        env={**os.environ, **places, "TMPDIR": str(temporary), "MPLCONFIGDIR": str(fonts)},
        cwd=here, capture_output=True, text=True, check=False, timeout=300,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert [each for each in json.loads(done.stdout) if each[1] != 0] == []
    assert list(home.rglob("*")) == []
    assert list(temporary.rglob("*")) == []
    asked_for = {
        word for words in WORKS.values() for flag, word in itertools.pairwise(words) if flag == "-o"
    }
    after = tree(here)
    new = {name for name in set(after) - set(before) if not name.startswith(("out", "again"))}
    assert new == asked_for
    changed = {name for name in before if before[name] != after[name]}
    assert changed == {"patch/book.sqlite", "patch/book.toml"}


def tree(folder: Path) -> dict[str, bytes]:
    """Every file but those SQLite keeps beside a book while it is open."""
    return {
        file.relative_to(folder).as_posix(): file.read_bytes()
        for file in folder.rglob("*")
        if file.is_file() and not file.name.endswith(("-wal", "-shm"))
    }
