"""``gddcast lesson plan``, ``quiz`` and ``notebooks``: what a teacher brings along."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import click

from gddcast.cli import lesson_options, options
from gddcast.cli.lesson_options import refuse_other_endings, write
from gddcast.errors import Refusal, shell

_LESSONS = ("day", "worksheet", "methods", "errors", "season", "jars")


@click.command()
@lesson_options.output
@lesson_options.paper
@lesson_options.force
def plan(output: Path | None, paper: Literal["a4", "letter"], force: bool) -> None:
    r"""Show the teacher’s page: a lesson of 40 minutes, what to print, mistakes to expect.

    \b
    gddcast lesson plan -o plan.html
    """
    from gddcast.cli import screen
    from gddcast.pages.lessons.class_pages import plan_page
    from gddcast.text.lessons.teaching import plan_text

    if output is None:
        screen.show(plan_text(screen.terminal()))
        return
    refuse_other_endings(output, "html")
    write(output, plan_page(size=paper), force, "the teacher’s page")


@click.command()
@click.argument("lesson", type=click.Choice(_LESSONS))
@lesson_options.answers
@lesson_options.output
@lesson_options.paper
@lesson_options.force
def quiz(
    lesson: str, answers: bool, output: Path | None, paper: Literal["a4", "letter"], force: bool
) -> None:  # fmt: skip
    r"""Ask five questions about a LESSON and, with --answers, explain the answers.

    \b
    gddcast lesson quiz day
    gddcast lesson quiz day --answers -o answers.html
    """
    from gddcast.cli import screen
    from gddcast.pages.lessons.class_pages import quiz_page
    from gddcast.readers.quiz_file import load_quizzes
    from gddcast.text.lessons.teaching import quiz_text

    asked = load_quizzes()[lesson]
    if output is None:
        screen.show(quiz_text(asked, screen.terminal(), answers=answers))
        return
    refuse_other_endings(output, "html")
    made = quiz_page(asked, answers=answers, size=paper)
    write(output, made, force, "the answers" if answers else "five questions")


@click.command()
@click.argument("destination", type=options.READABLE, metavar="FOLDER")
@lesson_options.force
def notebooks(destination: Path, force: bool) -> None:
    r"""Copy the notebooks and the records they read into FOLDER, to open in Jupyter.

    \b
    gddcast lesson notebooks teaching
    """
    from gddcast import words
    from gddcast.output_file import refuse_existing, write_bytes
    from gddcast.readers.teaching_files import teaching_files

    files = {destination / name: content for name, content in teaching_files().items()}
    for folder in sorted({path.parent for path in files}):
        _make(folder)
    for path in files:
        refuse_existing(path, force=force)
    for path, content in files.items():
        write_bytes(path, content, force=force)
    count = words.count(sum(path.suffix == ".ipynb" for path in files), "notebook")
    click.echo(f"Wrote {count} and their records into {destination}.", err=True)
    click.echo(f"  {shell('jupyter', 'lab', destination / 'notebooks')}", err=True)


def _make(folder: Path) -> None:
    try:
        folder.mkdir(exist_ok=True, parents=True)
    except OSError as error:
        raise Refusal(
            str(folder), (error.strerror or "it can’t be made").lower(), "A folder is made there.",
            "Name one that is not there yet, where you may write.", slug="unwritable",
        ) from error  # fmt: skip
