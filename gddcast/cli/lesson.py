"""``gddcast lesson``: everything for a class; each command in a room of its own."""

from __future__ import annotations

import click

from gddcast.cli.rooms import Rooms

#: Room of each command, and its line of help: nothing loads before it is called.
_COMMANDS = {
    "plan": ("lesson_teach:plan", "the teacher’s page: 40 minutes, what to print, mistakes"),
    "day": ("lesson_day:day", "one day by hand, by every method, with its picture"),
    "worksheet": ("lesson_sheets:worksheet", "a worksheet, in six forms, and its key"),
    "class": ("lesson_sheets:class_", "a sheet of their own for every student, and the key"),
    "mark": ("lesson_mark:mark", "mark a class’s answers, and name the likely slips"),
    "quiz": ("lesson_teach:quiz", "five questions to a lesson, and their answers"),
    "methods": ("lesson_methods:methods", "the same days of a file by every method and the hour"),
    "errors": ("lesson_records:errors", "a class file with planted faults, and its key"),
    "season": ("lesson_records:season", "an invented year: its story, its six methods"),
    "jars": ("lesson_records:jars", "invented rearing jars, and their key"),
    "notebooks": ("lesson_teach:notebooks", "the notebooks and their records, into a folder"),
}


class _Lessons(Rooms):
    commands_by_name = _COMMANDS


@click.group(
    cls=_Lessons,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
def lesson() -> None:
    r"""Lessons for a class: all of them work without a file of your own.

    \b
    gddcast lesson plan
    gddcast lesson class --students names.csv -o class.html
    gddcast lesson mark class-key.csv class-answers.csv
    """
