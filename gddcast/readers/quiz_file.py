"""Door for the questions of the lessons, which stand in ``data/lessons/quizzes.toml``."""

from __future__ import annotations

import tomllib

from gddcast.lessons.quizzes import Quiz, QuizQuestion
from gddcast.readers.opening import data_folder


def load_quizzes() -> dict[str, Quiz]:
    """All quizzes by their lesson, in the order of the file."""
    text = (data_folder() / "lessons" / "quizzes.toml").read_text(encoding="utf-8")
    return {
        quiz["lesson"]: Quiz(
            quiz["lesson"], quiz["title"],
            tuple(QuizQuestion(each["ask"], tuple(each["choices"]), each["right"], each["why"])
                  for each in quiz["question"]),
        )
        for quiz in tomllib.loads(text)["quiz"]
    }  # fmt: skip
