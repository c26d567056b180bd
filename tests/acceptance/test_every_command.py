"""Help, wrong words, the network, and where a command writes: the same rules for every command."""

from __future__ import annotations

import ast
import itertools
import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from gddcast.cli import __file__ as cli_file
from gddcast.cli import main, options
from tests.acceptance import every_command
from tests.acceptance.every_command import NETWORK, SERVES, WORKS
from tests.apostrophes import straight

LEAVES = dict(every_command.leaves())


@pytest.fixture(scope="module")
def inputs(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with what the commands are given."""
    folder = tmp_path_factory.mktemp("inputs")
    every_command.prepare(folder)
    return folder


def test_every_command_is_tried_here() -> None:
    """A new command needs words that work, or none of this is asked of it."""
    assert set(LEAVES) == {*WORKS, *NETWORK, *SERVES}


@pytest.mark.parametrize("path", LEAVES, ids=" ".join)
def test_help_shows_how_it_is_called_first_and_says_every_flag(path: tuple[str, ...]) -> None:
    for flag in ("--help", "-h"):
        answer = CliRunner().invoke(main, [*path, flag])
        assert answer.exit_code == 0, answer.output
        assert answer.stderr == ""
        assert straight(answer.stdout) == []
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
            assert lines[0].startswith("Can’t use "), said
            assert len(lines) >= 3, said
            assert all(line.startswith("  ") for line in lines[1:]), said
        else:
            assert lines[0].startswith("Usage: "), said
            assert "Error: " in answer.stderr, said
        assert "Traceback" not in answer.stderr, said
        assert "a fault of gddcast" not in answer.stderr, said
    assert tree(inputs) == before
    assert tried or path in (("undo",), ("pests", "new"), ("crops", "new"))


#: What no answer may ever be written onto, whatever is forced, and what is said of it.
PRECIOUS = {
    "patch/book.sqlite": "belongs to a season book",
    "patch/book.toml": "belongs to a season book",
    "patch/BOOK.SQLITE-wal": "belongs to a season book",
    "patch/book-before-version-4.sqlite": "belongs to a season book",
    "patch/book-copy-2026-06-11.sqlite": "belongs to a season book",
    "patch/book-replaced-2026-06-11.sqlite": "belongs to a season book",
    "copied.html": "it is a database",
    "link.html": "it is a link to patch/book.sqlite",
    "nowhere.html": "it is a link to gone.html",
    "pipe": "it is no plain file",
    "folder": "it is a folder",
    "/dev/null": "it is no plain file",
}
#: These write into a folder; tests/farms and tests/lessons try what stands in their way.
WRITE_FOLDERS = {("farms", "setup"), ("lesson", "notebooks")}
WRITERS = [
    (path, each.opts[0])
    for path, command in LEAVES.items()
    for each in command.params
    if isinstance(each.type, options.HandOut)
]


@pytest.mark.skipif(os.name != "posix", reason="links and pipes are those of POSIX")
@pytest.mark.parametrize(("path", "flag"), WRITERS, ids=" ".join)
def test_no_answer_is_written_onto_a_book_a_link_or_a_pipe(
    path: tuple[str, ...], flag: str, inputs: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(inputs)
    shutil.copy("patch/book.sqlite", "copied.html")
    for name, target in (("link.html", "patch/book.sqlite"), ("nowhere.html", "gone.html")):
        if not Path(name).is_symlink():
            Path(name).symlink_to(target)
    if not Path("pipe").exists():
        os.mkfifo("pipe")
    before = tree(inputs)
    forced = ["--force"] if any("--force" in each.opts for each in LEAVES[path].params) else []
    for name, found in PRECIOUS.items():
        words = [*path, *{**WORKS, **NETWORK, **SERVES}[path], *forced, flag, name]
        answer = CliRunner().invoke(main, words)
        assert answer.exit_code == 3, (words, answer.output)
        assert answer.stderr.startswith(
            f"Can’t use {name}: {found}"
            if found[0] == "i"
            else f"Can’t use {name}: a file of that name {found}"
        )
        assert answer.stdout == ""
    assert tree(inputs) == before
    assert Path("link.html").is_symlink()


def test_whatever_can_be_written_is_known_as_such() -> None:
    """An output by another type, or a face that writes by itself, would pass the one gate by."""
    assert len(WRITERS) > 20
    for path, command in LEAVES.items():
        for each in command.params:
            asks = {"-o", "--output", "--picture", "--force"} & set(each.opts)
            assert not asks or path in dict(WRITERS) or path in WRITE_FOLDERS, path
            if asks - {"--force"}:
                assert isinstance(each.type, options.HandOut), path
    for file in Path(cli_file).parent.glob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
                by_path = node.func.attr in ("write_text", "write_bytes")
                helped = file.name == "__init__.py"  # click's own, of a help
                assert not by_path or helped, f"{file.name}, line {node.lineno}"


#: Runs one command after another, none of which may open a connection; tells where each ended.
_LONE = """
import json, socket, sys
def closed(*_, **__):
    raise AssertionError("the network was asked")
socket.socket.connect = socket.create_connection = socket.getaddrinfo = closed
from click.testing import CliRunner
from gddcast.cli import __file__ as cli_file
from gddcast.cli import main, options
ended = []
for words in json.load(sys.stdin):
    answer = CliRunner().invoke(main, words)
    ended.append([words, answer.exit_code, answer.stderr[-500:], answer.stdout])
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
    ended = json.loads(done.stdout)
    assert [each[:3] for each in ended if each[1] != 0] == []
    assert {
        " ".join(words): found
        for words, *said in ended
        if (found := straight(f"{said[1]}\n{said[2]}"))
    } == {}
    assert list(home.rglob("*")) == []
    assert list(temporary.rglob("*")) == []
    asked_for = {
        word for words in WORKS.values() for flag, word in itertools.pairwise(words) if flag == "-o"
    }
    after = tree(here)
    by_name = ("out", "again", "saved/", "teaching/", "class-", "farms/", "patch/book-replaced-")
    new = {name for name in set(after) - set(before) if not name.startswith(by_name)}
    assert new == asked_for
    pages = {name: after[name].decode() for name in new if name.endswith((".html", ".svg", ".ics"))}
    assert {name: found for name, page in pages.items() if (found := straight(page))} == {}
    changed = {name for name in before if before[name] != after[name]}
    assert changed == {"farms/patch/book.sqlite", "patch/book.sqlite", "patch/book.toml"}


def tree(folder: Path) -> dict[str, bytes]:
    """Every file but those SQLite keeps beside a book while it is open."""
    return {
        file.relative_to(folder).as_posix(): file.read_bytes()
        for file in folder.rglob("*")
        if file.is_file() and not file.name.endswith(("-wal", "-shm"))
    }
