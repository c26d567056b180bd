"""For the teacher: the key of a class, its marks, a quiz, the plan of a lesson."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from gddcast.lessons.class_sheets import StudentSheet
from gddcast.lessons.marking import StudentMarks, slips_of
from gddcast.lessons.quizzes import LETTERS, Quiz
from gddcast.lessons.teaching import MISTAKES, ORDER, PRINT, STEPS, TERMS
from gddcast.pages.paper import PageTable, Paper, fill
from gddcast.text.lessons.marks import class_line, mark_words


@dataclass(frozen=True, slots=True)
class TeacherTables:
    """What ``class_tables.html`` shows: a heading, a sentence, tables."""

    title: str
    text: str
    tables: Sequence[PageTable]


@dataclass(frozen=True, slots=True)
class QuizPage:
    """What ``quiz.html`` shows."""

    title: str
    questions: Sequence[tuple[str, Sequence[tuple[str, str]], str, str]]
    answers: bool


@dataclass(frozen=True, slots=True)
class PlanPage:
    """What ``lesson_plan.html`` shows."""

    title: str
    steps: PageTable
    mistakes: PageTable
    order: PageTable
    print_first: PageTable
    terms: PageTable


def class_key_page(sheets: Sequence[StudentSheet], *, size: Paper = "a4") -> str:
    """The key: every student with the answers of every sheet."""
    rows = [
        (each.student, str(each.order.seed), each.order.form, *(one.shown for one in each.items))
        for each in sheets
    ]
    table = PageTable("The answers", ("student", "sheet", "form", "A", "B", "C"), rows)
    said = (
        "The whole way to one sheet: gddcast lesson worksheet --seed NUMBER --answers, with its "
        "--form and what else was said to the class: --unit, --days, --lower, --upper."
    )
    return fill("class_tables.html", TeacherTables("Key to the class", said, [table]), paper=size)


def marks_page(students: Sequence[StudentMarks], *, size: Paper = "a4") -> str:
    """The class marked."""
    rows = [
        (
            each.student, each.sheet, f"{each.right} of {len(each.marks)}",
            "; ".join(mark_words(one) for one in each.marks if one.verdict != "right") or "–",
        )
        for each in students
    ]  # fmt: skip
    headings = ("student", "sheet", "right", "what went wrong")
    tables = [PageTable("Marks", headings, rows, css="words marks")]
    if slips := slips_of(students):
        counted = [(name, str(count)) for name, count in slips]
        tables.append(PageTable("Slips", ("the slip", "how often"), counted))
    page = TeacherTables("The class marked", class_line(students), tables)
    return fill("class_tables.html", page, paper=size)


def quiz_page(quiz: Quiz, *, answers: bool, size: Paper = "a4") -> str:
    """Five questions to tick, or their answers with the reasons."""
    questions = [
        (each.ask, tuple(zip(LETTERS, each.choices, strict=True)), each.right, each.why)
        for each in quiz.questions
    ]
    title = f"{quiz.title}: {'answers' if answers else 'five questions'}"
    return fill("quiz.html", QuizPage(title, questions, answers), paper=size)


def plan_page(*, size: Paper = "a4") -> str:
    """The teacher's page: 40 minutes, what to print, mistakes to expect, the order, the words."""
    minutes = sum(step.minutes for step in STEPS)
    page = PlanPage(
        f"A lesson on degree-days in {minutes} minutes",
        PageTable("The lesson", ("time", "what", "how"),
                  [(f"{each.minutes} minutes", each.what, each.advice) for each in STEPS],
                  css="words"),
        PageTable("Mistakes to expect", ("mistake", "it shows", "what helps"),
                  [(each.name, each.shows, each.helps) for each in MISTAKES], css="words"),
        PageTable("The order of a term", ("lesson", "about"),
                  [(f"gddcast lesson {name}", about) for name, about in ORDER], css="words"),
        PageTable("What to print", ("command", "gives"), PRINT, css="words"),
        PageTable("Words", ("word", "means"), TERMS, css="words"),
    )  # fmt: skip
    return fill("lesson_plan.html", page, paper=size)
