"""A lesson's plan and its quiz, for a terminal."""

from __future__ import annotations

from collections.abc import Iterator

from gddcast.lessons.quizzes import LETTERS, Quiz
from gddcast.lessons.teaching import MISTAKES, ORDER, PRINT, STEPS, TERMS
from gddcast.text.terminal import Line, Terminal, under


def plan_text(terminal: Terminal) -> str:
    """The teacher's page."""
    return terminal.show(_plan_lines())


def _plan_lines() -> Iterator[Line]:
    yield Line(f"A lesson on degree-days in {sum(step.minutes for step in STEPS)} minutes",
               weight="bold")  # fmt: skip
    for step in STEPS:
        yield Line(f"{step.what}. {step.advice}", f"{step.minutes:>4} min  ")
    yield Line("What to print", weight="bold")
    for command, gives in PRINT:
        yield under(command)
        yield under(gives, 2)
    yield Line("Mistakes to expect", weight="bold")
    for each in MISTAKES:
        yield under(f"{each.name}: {each.shows}. {each.helps}")
    yield Line("The order of a term", weight="bold")
    yield from (under(f"gddcast lesson {name}: {about}") for name, about in ORDER)
    yield Line("Words", weight="bold")
    yield from (under(f"{word}: {means}") for word, means in TERMS)


def quiz_text(quiz: Quiz, terminal: Terminal, *, answers: bool) -> str:
    """Five questions, or their answers with the reasons."""
    return terminal.show(_quiz_lines(quiz, answers))


def _quiz_lines(quiz: Quiz, answers: bool) -> Iterator[Line]:
    yield Line(quiz.title, weight="bold")
    for number, each in enumerate(quiz.questions, start=1):
        yield Line(each.ask, f"{number}. ")
        for letter, choice in zip(LETTERS, each.choices, strict=True):
            if not answers or letter == each.right:
                yield Line(choice, f"   {letter}. ")
        if answers:
            yield under(each.why, 3)
    if not answers:
        yield Line("The answers:  --answers")
