"""A printed cure is copied into a shell: none may run what a file, a cell or a name says."""

from __future__ import annotations

import ast
import os
import re
import shlex
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

import gddcast
from gddcast.cli import main
from gddcast.errors import shell

PACKAGE = Path(gddcast.__file__).parent
#: What only we write, besides the keys of stages, which are checked when a card is read:
#: days, numbers, words of a choice, and commands that were quoted when they were made.
OURS = {
    "book/faults.py": "version", "crops/chores.py": "near[0]", "cli/ahead.py": "since",
    "cli/cards.py": "group", "cli/chart_day.py": "day.high day.low day.lower day.next_low day.unit "
    "day.upper following upper record.as_read.last", "cli/did.py": "job.job kind",
    "cli/setup.py": "'|'.join(choices)or'TEXT'", "cli/sheet.py": "week.first",
    "cli/tune.py": "card.group",
    "cli/weather_add.py": "'C'iftyped=='F'else'F'", "today/emergence_ahead.py": "key",
    "quality/findings.py": "first last 'min'ifrun.row==0else'max'",
    "text/logged.py": "report.event _UNDO",
    "lessons/worksheet.py": "len(sheet.days) numbers sheet.form sheet.line sheet.seed sheet.unit "
    "sheet.upper thresholds upper",
    "pages/lessons/class_pages.py": "name", "text/lessons/teaching.py": "name",
    "pages/sheet/page.py": "stage", "text/cards/card_json.py": "day",
    "online/station_list.py": "lat lon _distance(there[0])", "readers/date_orders.py": "best",
    "readers/settling.py": "hour",
    "readers/roles.py": "high low",
    "readers/row_readings.py": "other unit", "readers/scale.py": "likely other",
}  # fmt: skip


def commands_with_words() -> Iterator[tuple[str, str]]:
    """Each value that a text of ours puts into a command or behind a flag."""
    for file in sorted(PACKAGE.rglob("*.py")):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.JoinedStr):
                continue
            before = ""
            for part in node.values:
                if isinstance(part, ast.Constant):
                    before += str(part.value)
                    continue
                assert isinstance(part, ast.FormattedValue)
                if re.search(r"(gddcast [a-z]|(^|\s)--[a-z])((?!  |\n|[.:;,)]\s).)*$", before):
                    yield file.relative_to(PACKAGE).as_posix(), ast.unparse(part.value)
                before += "x"


def test_every_word_of_a_printed_command_is_ours_or_quoted() -> None:
    found = [
        (file, value)
        for file, value in commands_with_words()
        if not value.startswith("shell(") and not value.endswith(("event.key", "later.key"))
    ]
    assert len(found) > 30
    raw = [
        (file, value)
        for file, value in found
        if value.replace(" ", "") not in OURS.get(file, "").split()
    ]
    assert not raw, raw


def test_a_card_of_ones_own_is_named_as_a_shell_takes_it(tmp_path: Path) -> None:
    """Its key is the name of its file; keys of its stages are checked when it is read."""
    card = (PACKAGE.parent / "data" / "pests" / "squash-bug.toml").read_text(encoding="utf-8")
    own = tmp_path / "$(touch X).toml"
    own.write_text(card, encoding="utf-8")
    answer = CliRunner().invoke(main, ["pests", "$(touch X)", "--cards", str(tmp_path)])
    assert "gddcast pests '$(touch X)' --all" in answer.stdout
    own.write_text(card.replace('key = "eggs"', 'key = "$(touch X)"'), encoding="utf-8")
    answer = CliRunner().invoke(main, ["pests", "--cards", str(tmp_path)])
    assert answer.exit_code == 3
    assert "small letters, digits and hyphens" in answer.stderr


@given(st.lists(st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"))))
def test_a_shell_gets_back_the_words_it_was_given(words: list[str]) -> None:
    assert shlex.split(shell("--site", *words)) == ["--site", *words]


@pytest.mark.skipif(os.name != "posix", reason="a POSIX shell")
@pytest.mark.parametrize("cell", ["$(touch X)", "`touch X`", "a'; touch X; '", 'a"; touch X; "b',
                                  "a\\", "--force", "& touch X", "a b"])  # fmt: skip
def test_the_cure_for_two_sites_runs_nothing_and_picks_the_site(
    cell: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The cure is given to a real shell, in which the program's name prints its words."""
    monkeypatch.chdir(tmp_path)
    quoted = '"' + cell.replace('"', '""') + '"'
    rows = [f"2026-05-{day:02d},70,50,{site}" for day in range(1, 11) for site in (quoted, "b")]
    Path("two.csv").write_text("date,max_f,min_f,site\n" + "\n".join(rows) + "\n")
    answer = CliRunner().invoke(main, ["weather", "check", "two.csv"])
    assert answer.exit_code == 3
    cure = answer.stderr.partition("Say which one:")[2].strip()
    script = 'gddcast() { for word in "$@"; do printf "%s\\n" "$word"; done; }\n' + cure
    done = subprocess.run(["/bin/sh", "-c", script], capture_output=True, text=True, check=True)
    words = done.stdout.splitlines()
    assert words == ["weather", "check", "two.csv", "--site", cell]
    assert not Path("X").exists()
    assert CliRunner().invoke(main, words).exit_code == 0


@pytest.mark.skipif(os.name != "posix", reason="names as POSIX has them")
def test_a_file_name_in_the_next_step_is_quoted(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    answer = CliRunner().invoke(main, ["pests", "new", "-o", "$(touch X).toml"])
    assert answer.stdout.strip().endswith("gddcast pests check '$(touch X).toml'")
