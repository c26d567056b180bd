"""Five questions to a lesson, each with three answers and the reason for the right one."""

from __future__ import annotations

from dataclasses import dataclass

#: Letters of the answers to a question.
LETTERS = ("a", "b", "c")


@dataclass(frozen=True, slots=True)
class QuizQuestion:
    """One question.

    Parameters
    ----------
    ask : str
    choices : tuple of str
        Three answers, a, b and c.
    right : str
        The letter of the right one.
    why : str
        What makes it right, and the others wrong.
    """

    ask: str
    choices: tuple[str, ...]
    right: str
    why: str


@dataclass(frozen=True, slots=True)
class Quiz:
    """Five questions of one lesson.

    Parameters
    ----------
    lesson : str
        Words that call the lesson: ``day`` for ``gddcast lesson day``.
    title : str
    questions : tuple of QuizQuestion
    """

    lesson: str
    title: str
    questions: tuple[QuizQuestion, ...]
