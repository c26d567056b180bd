"""What we say when we cannot go on: where, what was found, what was expected, what cures it."""

from __future__ import annotations

import shlex
from collections.abc import Callable


class Refusal(Exception):
    """Something given to us cannot be used; what it speaks of was not written.

    Parameters
    ----------
    where : str
        The file, line, key or argument at fault.
    problem : str
        What was found there, as the rest of a sentence.
    expected : str
        What was expected, or the evidence for what was found.
    cure : str
        What the person can do about it.
    flag : str, optional
        Words to add to the command just given; a face prints the whole command with them.
    slug : str, optional
        Short stable name of the reason, for programs.

    Examples
    --------
    >>> print(Refusal("bed3.csv", "it has no dates", "a column of dates", "Add one."))
    Can’t use bed3.csv: it has no dates.
      a column of dates
      Add one.
    """

    #: Exit code of a command that ends in this refusal.
    exit_code = 3

    def __init__(
        self,
        where: str,
        problem: str,
        expected: str,
        cure: str,
        *,
        flag: str | None = None,
        slug: str = "refused",
    ) -> None:
        super().__init__(where, problem, expected, cure)
        self.where = where
        self.problem = problem
        self.expected = expected
        self.cure = cure
        self.flag = flag
        self.slug = slug

    def __str__(self) -> str:
        """Three parts: what can't be used and why, the evidence, the cure."""
        return self.message(self.flag)

    def message(self, cure_by: str | None) -> str:
        """The three parts, the cure ending in the words that bring it about."""
        cure = f"{self.cure}  {cure_by}" if cure_by else self.cure
        return f"Can’t use {self.where}: {self.problem}.\n  {self.expected}\n  {cure}"


def shell(*words: object) -> str:
    """Words as a shell takes them: whoever copies a cure runs nothing that a file's cell says.

    Every printed flag or command with a word that is not ours goes through it.

    Examples
    --------
    >>> shell("--site", "bed 3; $(reboot)")
    "--site 'bed 3; $(reboot)'"
    """
    return shlex.join(str(word) for word in words)


#: How a hint writes a command: a book that is not found by itself adds its ``--book``.
Command = Callable[..., str]


def command(*words: object) -> str:
    """A command of ours as a hint prints it, where no book has to be named.

    Examples
    --------
    >>> command("saw", "squash-bug", "eggs")
    'gddcast saw squash-bug eggs'
    """
    return shell("gddcast", *words)


class ArgumentRefusal(Refusal, ValueError):
    """An argument of a calculation that can have no sensible answer."""
