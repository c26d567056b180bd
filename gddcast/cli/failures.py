"""What a face says when something cannot go on: three parts, an exit code, never a traceback."""

from __future__ import annotations

import errno
import json
import os
import shlex
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import NoReturn

import click

from gddcast.errors import Refusal

#: Exit codes, few on purpose.
DONE, OUR_BUG, NOT_UNDERSTOOD, CANNOT_USE, NEEDS_YOUR_EYE, INTERRUPTED = 0, 1, 2, 3, 4, 130

_NO_ROOM = Refusal(
    "what the answer is written to",
    "the disk is full",
    "The answer is cut off; the season book is as it was before, or holds the whole entry.",
    "Make some room, then run the same command again.",
    slug="disk-full",
)


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
        had_enough()
    except Exception as fault:
        if isinstance(fault, OSError) and fault.errno == errno.ENOSPC:
            _say(_NO_ROOM, [])
            had_enough(_NO_ROOM.exit_code)
        if os.environ.get("GDDCAST_DEBUG"):
            raise
        click.echo(
            f"This is a fault of gddcast, not of yours: {type(fault).__name__}: {fault}\n"
            "  Nothing was written.\n"
            "  To see where, set GDDCAST_DEBUG=1 and run the same command again.",
            err=True,
        )
        sys.exit(OUR_BUG)


def interrupted() -> NoReturn:
    """Ctrl-C: what is written is whole, the rest is not there."""
    click.echo("Interrupted; nothing half-written.", err=True)
    sys.exit(INTERRUPTED)


def had_enough(code: int = DONE) -> NoReturn:
    """Whoever read our answer takes no more of it; Python must not complain of that at exit."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    sys.exit(code)


def _say(refusal: Refusal, arguments: list[str]) -> None:
    command = shlex.join(["gddcast", *arguments])
    text = refusal.told(f"{command} {refusal.flag}" if refusal.flag else None)
    if "--json" in arguments:
        answer = {
            "schema": "gddcast/refusal/1",
            "refusal": {
                "slug": refusal.slug,
                "where": refusal.where,
                "found": refusal.found,
                "expected": refusal.expected,
                "cure": refusal.cure,
                "flag": refusal.flag,
            },
        }
        click.echo(json.dumps(answer, indent=2, ensure_ascii=False))
    click.echo(text, err=True)
