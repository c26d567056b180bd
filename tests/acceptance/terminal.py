"""The command as a person types it: in this process, in its own, or on a terminal."""

from __future__ import annotations

import datetime as dt
import json
import os
import select
import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from click.testing import CliRunner, Result

from gddcast.cli import main

SAMPLES = Path(__file__).parents[1] / "samples"
TO_JUNE = SAMPLES / "larkhollow_2014_2026_f.csv"
WHOLE = SAMPLES / "larkhollow_2014_to_31aug2026_f.csv"
BORER = "squash-vine-borer"


def run(*words: str, code: int = 0) -> Result:
    """What a command answers; the exit code is looked at always."""
    answer = CliRunner().invoke(main, [str(word) for word in words], env={"COLUMNS": "100"})
    assert answer.exit_code == code, f"{answer.exit_code}: {answer.output}{answer.exception!r}"
    return answer


def refused(*words: str) -> str:
    """The refusal of a command: exit 3, nothing on stdout, three parts on stderr."""
    answer = run(*words, code=3)
    assert answer.stdout == ""
    first, *rest = answer.stderr.rstrip("\n").split("\n")
    assert first.startswith("Can’t use "), answer.stderr
    assert first.endswith("."), answer.stderr
    assert len(rest) >= 2, answer.stderr
    assert all(line.startswith("  ") for line in rest), answer.stderr
    return answer.stderr


def programs(*words: str) -> Any:
    """The answer of a command for programs."""
    return json.loads(run(*words, "--json").stdout)


def stage_of(answer: Any, stage: str) -> Any:
    """The one item of an answer that tells a stage by a heat sum."""
    (item,) = (each for each in answer["items"] if each["stage"] == stage and each["number"])
    return item


def year_dots(item: Any, end: str = "high_end") -> dict[int, dt.date | None]:
    """Year dots by the year their season began in."""
    return {
        int(dot["season"][:4]): dt.date.fromisoformat(dot["day"]) if dot["day"] else None
        for dot in item["sum_reached"][end]["year_dots"]
    }


def setting(folder: Path, before: str, after: str) -> None:
    """One line of ``book.toml`` as somebody edits it."""
    file = folder / "book.toml"
    text = file.read_text(encoding="utf-8")
    assert text.count(before) == 1, before
    file.write_text(text.replace(before, after), encoding="utf-8")


def flat(text: str) -> str:
    """Without line breaks."""
    return " ".join(text.split())


def in_own_process(
    words: Sequence[str], folder: Path, env: Mapping[str, str] | None = None
) -> subprocess.CompletedProcess[bytes]:
    """The command in a process of its own, its streams two pipes."""
    return subprocess.run(
        [sys.executable, "-m", "gddcast", *words],
        cwd=folder, env={**os.environ, **(env or {})}, capture_output=True, check=False, timeout=60,
    )  # fmt: skip


def at_a_terminal(
    words: Sequence[str], answers: Sequence[str], folder: Path, **env: str
) -> tuple[int, str, int]:
    """Sit at a terminal of its own, answering each question; exit code, screen, questions."""
    import pty

    ours, theirs = pty.openpty()
    process = subprocess.Popen(
        [sys.executable, "-m", "gddcast", *words],
        cwd=folder, env={**os.environ, "TERM": "xterm", **env},
        stdin=theirs, stdout=theirs, stderr=theirs, start_new_session=True,
    )  # fmt: skip
    os.close(theirs)
    screen, waiting, asked = b"", list(answers), 0
    try:
        while seen := _read(ours):
            screen += seen
            if _is_a_question(ours, screen):
                asked += 1
                assert waiting, f"one question more: {screen.decode()}"
                os.write(ours, waiting.pop(0).encode() + b"\n")
        code = process.wait(timeout=60)
    finally:
        process.kill()
        process.wait()
        os.close(ours)
    return code, screen.decode().replace("\r\n", "\n"), asked


def _read(terminal: int) -> bytes:
    try:
        return os.read(terminal, 4096)
    except OSError:  # what Linux says where the other end is gone
        return b""


def _is_a_question(terminal: int, screen: bytes) -> bool:
    """The line is left open after a question, and nothing more comes."""
    if not screen.endswith((b"? ", b"] ", b") ")):
        return False
    return not select.select([terminal], [], [], 0.3)[0]
