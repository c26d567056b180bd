"""What a face says when something cannot go on: three parts, an exit code, never a traceback."""

from __future__ import annotations

import errno
import json
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import NoReturn

import click

from gddcast.cli.screen import AnswerLost
from gddcast.commits import commits
from gddcast.errors import Refusal, shell

#: Exit codes, few on purpose.
DONE, OUR_BUG, NOT_UNDERSTOOD, CANNOT_USE, NEEDS_YOUR_EYE, INTERRUPTED = 0, 1, 2, 3, 4, 130


@contextmanager
def answer_failures(arguments: list[str]) -> Iterator[None]:
    """Answer a refusal, an interruption or a fault of ours; everything else passes."""
    try:
        yield
    except Refusal as refusal:
        _say(refusal, arguments)
        sys.exit(refusal.exit_code)
    except (KeyboardInterrupt, click.Abort):
        interrupted()
    except BrokenPipeError:
        sys.exit(DONE)  # whoever read our answer takes no more of it
    except AnswerLost as lost:
        _say(_lost(lost), [])
        sys.exit(CANNOT_USE)
    except Exception as fault:
        if isinstance(fault, UnicodeEncodeError) and any(map(_is_no_text, arguments)):
            _say(_no_text(next(filter(_is_no_text, arguments))), arguments)
            sys.exit(CANNOT_USE)
        if os.environ.get("GDDCAST_DEBUG"):
            raise
        _tell(
            f"This is a fault of gddcast, not of yours: {type(fault).__name__}: {fault}\n"
            f"{_written() or '  Nothing was written.'}\n"
            "  To see where, set GDDCAST_DEBUG=1 and run the same command again."
        )
        sys.exit(OUR_BUG)


def interrupted() -> NoReturn:
    """Ctrl-C: what is written is whole, the rest is not there."""
    _tell("\n".join(filter(None, ("Interrupted; nothing half-written.", _written()))))
    sys.exit(INTERRUPTED)


def _is_no_text(word: str) -> bool:
    """Whether bytes were typed that this machine's encoding has no letters for."""
    return any("\ud800" <= letter <= "\udfff" for letter in word)


def _no_text(word: str) -> Refusal:
    return Refusal(
        "a word of this command", f"it holds bytes that are no text here: {word!a}",
        "Words are kept as Unicode; the terminal sent another encoding than the machine’s.",
        "Set the terminal to UTF-8, or write the word without these letters.",
        slug="no-text",
    )  # fmt: skip


def _lost(lost: AnswerLost) -> Refusal:
    """The answer is cut off; what it speaks of is done all the same."""
    full = lost.errno == errno.ENOSPC
    return Refusal(
        "what the answer is written to",
        "the disk is full" if full else str(lost).lower(),
        "The answer is cut off; do not give the command again, it has done its work."
        if _written()
        else "The answer is cut off; nothing was written.",
        "Make some room." if full else "Let it lead somewhere that takes it.",
        slug="disk-full" if full else "answer-lost",
    )


def _written() -> str:
    """What stands on the disk by this command, as a line; what was cleaned away is not counted."""
    there = [each for each in commits() if Path(each).exists()]
    return f"  Written before that, and whole: {', '.join(there)}." if there else ""


def _tell(text: str) -> None:
    """Say it to a person, if anybody hears."""
    with suppress(AnswerLost, BrokenPipeError):
        click.echo(text, err=True)


def _say(refusal: Refusal, arguments: list[str]) -> None:
    command = shell("gddcast", *arguments)
    text = refusal.message(f"{command} {refusal.flag}" if refusal.flag else None)
    text = "\n".join(filter(None, (text, _written())))
    if "--json" in arguments:
        from gddcast.text.answer import refusal_json

        answer = {"schema": "gddcast/refusal/1", "refusal": refusal_json(refusal)}
        with suppress(AnswerLost, BrokenPipeError):
            click.echo(json.dumps(answer, indent=2, ensure_ascii=False))
    _tell(text)
