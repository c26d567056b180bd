"""A lesson of 40 minutes: what happens when, what to print, and the mistakes to expect."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Step:
    """Some minutes of the lesson."""

    minutes: int
    what: str
    advice: str


@dataclass(frozen=True, slots=True)
class Mistake:
    """A slip that classes make, how it shows, and what helps."""

    name: str
    shows: str
    helps: str


#: 40 minutes.
STEPS = (
    Step(5, "One day on the board", "High 72, low 46 °F. How warm was it, and for how long? Let "
         "them guess the heat above 50 °F before anyone counts."),
    Step(8, "The same day by three methods", "11.0, 9.7, 9.0. Nobody erred: each assumes how the "
         "day ran. Draw the curve; shade what lies above the line."),
    Step(17, "The sheet", "Each student has a week of their own, so nobody can copy a total. A and "
         "B first; C for those who are quick."),
    Step(5, "Who has most, who least?", "A is never less than C, C never less than B. Why? On "
         "which days do all three agree?"),
    Step(5, "The number on the leaflet", "1,000 °F-days, found by B. What happens to a grower who "
         "counts by A? A number goes with its method."),
)  # fmt: skip
#: The commonest first.
MISTAKES = (
    Mistake("A cold day takes heat away", "the total is too low by a few degrees",
            "Below zero is zero: nothing grows backwards."),
    Mistake("32 taken off a heat sum", "45 becomes 13", "A sum is a difference times days: times "
            "5/9, no 32."),
    Mistake("Rounded on the way", "the total is out by some tenths", "Round once, at the end."),
    Mistake("Methods mixed", "A and B are equal", "Say which rule each column has, aloud."),
    Mistake("High and low swapped", "C comes out far too low", "Point at the columns first."),
    Mistake("Threshold in the other scale", "a total of several hundred", "10 °C is 50 °F; on the "
            "sheet stands one of them."),
)  # fmt: skip
#: Order of a term, a lesson each.
ORDER = (
    ("day --high 72 --low 46 --lower 50 --unit F", "one day by hand; -o draws it"),
    ("worksheet --seed 1", "a week; then cold days, an upper threshold, a date, a find in a trap"),
    ("methods YOURFILE.csv", "a file of hours as the truth"),
    ("errors --seed 1", "seven faults planted in a season’s file"),
    ("season --seed 1 --methods", "one year by six methods"),
    ("jars --seed 1", "where thresholds come from"),
    ("worksheet --seed 1 --form card", "what published numbers leave unsaid"),
    ("notebooks NOTEBOOKS", "the same questions with real records, for those who program"),
)
#: Commands in the order of use, with what each is for.
PRINT = (
    ("gddcast lesson class --students names.csv -o class.html",
     "a sheet a student, their key, a table to type answers into"),
    ("gddcast lesson quiz day -o quiz.html", "five questions for the last minutes or for home"),
    ("gddcast lesson mark class-key.csv class-answers.csv",
     "marks, and the likely slip behind each wrong answer"),
    ("gddcast page --class", "the day with sliders, on every device of the room"),
)  # fmt: skip
#: Words of the lesson, in plain ones.
TERMS = (
    ("degree-day", "one degree above a line for one day"),
    ("heat sum", "degree-days added up, day after day"),
    ("line, lower threshold", "the temperature below which nothing counts"),
    ("upper threshold", "the temperature above which no more counts"),
    ("method", "how two readings a day are taken for a whole day"),
    ("g(y)", "the part of the half range that a day adds when it crosses the line"),
    ("goal", "the heat sum at which something is due"),
    ("clock", "the first day counted: a date, or a find in a trap (biofix)"),
    ("key", "the right answers"),
    ("seed", "the number a sheet is drawn from: the same number, the same sheet"),
)
