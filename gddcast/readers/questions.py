"""Facts that a file leaves open: each is a question with an answer, and all are asked together."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from gddcast.errors import Refusal, shell
from gddcast.readers.reading import Options
from gddcast.words import count

#: What stands in a flag for an answer that cannot be guessed.
_STAND_INS = {"timezone": "AREA/CITY"}
#: By which a file is read on, to see what else it leaves open.
_ASSUMED = {"timezone": "UTC"}


class OpenQuestion(Refusal):
    """One fact that a file leaves open.

    Parameters
    ----------
    where, found, expected, cure, slug : str
        As of every `Refusal`.
    option : str
        The field of `Options` that answers it.
    answer : str, optional
        The likeliest answer; None where only its owner knows.
    choices : sequence of str
        What can be answered; empty where it is a word of their own.
    conflict : bool
        Whether what was said speaks against what the file holds: nothing is assumed then.
    """

    def __init__(
        self,
        where: str,
        found: str,
        expected: str,
        cure: str,
        *,
        option: str,
        answer: str | None = None,
        choices: Sequence[str] = (),
        conflict: bool = False,
        slug: str,
    ) -> None:
        word = _STAND_INS[option] if answer is None else shell(answer)
        super().__init__(where, found, expected, cure, flag=f"--{option} {word}", slug=slug)
        self.option = option
        self.answer = answer
        self.choices = tuple(choices)
        self.conflict = conflict
        self.questions: tuple[OpenQuestion, ...] = (self,)


class OpenQuestions(Refusal):
    """Several facts that a file leaves open, in the order in which they are needed."""

    def __init__(self, questions: Sequence[OpenQuestion]) -> None:
        lines = (f"{each.found[:1].upper()}{each.found[1:]}. {each.expected}" for each in questions)
        super().__init__(
            questions[0].where,
            f"it leaves {count(len(questions), 'fact')} open",
            "\n  ".join(lines),
            "Say all of them:",
            flag=" ".join(each.flag or "" for each in questions),
            slug="facts-missing",
        )
        self.questions = tuple(questions)


def all_open(
    first: OpenQuestion, options: Options, read: Callable[[Options], object]
) -> OpenQuestion | OpenQuestions:
    """The question that stopped a reading, with those that would have stopped it next.

    Parameters
    ----------
    first : OpenQuestion
    options : Options
        With which the file was read.
    read : callable
        Reads it by other options.
    """
    questions = [first]
    while not questions[-1].conflict:
        last = questions[-1]
        assumed = {last.option: last.answer or _ASSUMED[last.option]}
        options = replace(options, **assumed)  # type: ignore[arg-type]
        try:
            read(options)
        except OpenQuestion as question:
            if question.conflict or question.option in {each.option for each in questions}:
                break
            questions.append(question)
        except Refusal:
            break
        else:
            break
    return first if len(questions) == 1 else OpenQuestions(questions)
