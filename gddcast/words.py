"""The catalogue of words: how days, spans, heat, counts and statuses are said, in one place."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from enum import Enum

from gddcast.units import Unit, from_celsius, from_celsius_days, rounded

_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip

#: Hours at which a thermometer that is read and reset counts a hot day twice, and what is said
#: of it: measured on six hourly records read at 17 h. [h]
AFTERNOON = range(12, 21)
COUNTED_TWICE = (
    "Read and reset in the afternoon, a hot day counts twice: the next day starts at its warmth. "
    "Dates come out 1 to 11 days early. Read after dark or in the morning."
)


def shown(key: str) -> str:
    """A key of answers for programs as people read it.

    Examples
    --------
    >>> shown("can't say")
    'can’t say'
    """
    return key.replace("'", "’")


class Status(Enum):
    """Where a stage stands today; each word has an exact rule in ``gddcast.scouting.windows``."""

    LOOK_NOW = ("look now", "●", "#")
    OVERDUE = ("overdue", "▲", "!")
    COMING_UP = ("coming up", "◑", "*")
    BUILDING = ("building", "◔", ":")
    SEEN = ("seen", "✓", "v")
    UNDER_WAY = ("under way", "▸", ">")
    QUIET = ("quiet", "○", ".")
    CANT_SAY = ("can't say", "?", "?")
    NOT_THIS_SEASON = ("not this season", "∅", "0")
    CLOSED = ("closed", "—", "-")

    def __init__(self, key: str, shape: str, ascii_shape: str) -> None:
        self.key = key
        self.word = shown(key)
        self.shape = shape
        self.ascii_shape = ascii_shape


def month(number: int) -> str:
    """Name of a month."""
    return _MONTHS[number - 1]


def weekday(date: dt.date) -> str:
    """A weekday, short.

    Examples
    --------
    >>> weekday(dt.date(2026, 6, 18))
    'Thu'
    """
    return _WEEKDAYS[date.weekday()]


def day(date: dt.date, *, weekday: bool = True, year: bool = False) -> str:
    """A day as people say it, the month always as a word.

    Examples
    --------
    >>> day(dt.date(2026, 6, 18))
    'Thu 18 June'
    """
    text = f"{date.day} {month(date.month)}"
    if weekday:
        text = f"{_WEEKDAYS[date.weekday()]} {text}"
    return f"{text} {date.year}" if year else text


def short_day(date: dt.date) -> str:
    """A day where there is little room.

    Examples
    --------
    >>> short_day(dt.date(2026, 9, 1))
    '1 Sep'
    """
    return f"{date.day} {month(date.month)[:3]}"


def span(first: dt.date, last: dt.date, *, weekday: bool = False) -> str:
    """Two days and all between, both included.

    Examples
    --------
    >>> span(dt.date(2026, 6, 18), dt.date(2026, 6, 26))
    '18–26 June'
    >>> span(dt.date(2026, 6, 25), dt.date(2026, 7, 2))
    '25 June – 2 July'
    """
    if first == last:
        return day(first, weekday=weekday)
    if (first.year, first.month) != (last.year, last.month):
        both_years = first.year != last.year
        begin = day(first, weekday=weekday, year=both_years)
        return f"{begin} – {day(last, weekday=weekday, year=both_years)}"
    if weekday:
        return f"{_WEEKDAYS[first.weekday()]} {first.day} – {day(last)}"
    return f"{first.day}–{last.day} {month(first.month)}"


def any_day(first: dt.date, last: dt.date | None) -> str:
    """A span on one day of which something may begin: it is doubtful by days, not days long.

    Without an end where it may not begin at all.

    Examples
    --------
    >>> any_day(dt.date(2026, 6, 18), dt.date(2026, 6, 26))
    'any day 18–26 June'
    >>> any_day(dt.date(2026, 6, 18), dt.date(2026, 6, 18))
    '18 June'
    >>> any_day(dt.date(2026, 6, 18), None)
    'any day from 18 June on'
    """
    if last is None:
        return f"any day from {day(first, weekday=False)} on"
    return day(first, weekday=False) if first == last else f"any day {span(first, last)}"


def reached(first: dt.date, last: dt.date, *, weekday: bool = False) -> str:
    """When a sum was reached; of a range or a bracket first perhaps, then surely.

    Examples
    --------
    >>> reached(dt.date(2026, 6, 18), dt.date(2026, 6, 18))
    'reached on 18 June'
    >>> reached(dt.date(2026, 6, 18), dt.date(2026, 6, 26))
    'reached: first possible 18 June, surely by 26 June'
    """
    said = [day(each, weekday=weekday) for each in (first, last)]
    if first == last:
        return f"reached on {said[0]}"
    return f"reached: first possible {said[0]}, surely by {said[1]}"


def temperature(celsius: float, show: Unit, digits: int = 0) -> str:
    """A temperature in the reader's scale.

    Examples
    --------
    >>> temperature(10.0, "F")
    '50 °F'
    """
    value = rounded(from_celsius(celsius, show), digits)
    return f"{value:,.{digits}f} °{show}".replace("-", "−")


def threshold(celsius: float, show: Unit) -> str:
    """A threshold in the reader's scale, whole where it is whole.

    Examples
    --------
    >>> threshold(10.0, "F"), threshold(3.9, "F")
    ('50 °F', '39 °F')
    """
    value = from_celsius(celsius, show)
    return temperature(celsius, show, 0 if abs(value - round(value)) < 0.05 else 1)


def heat(celsius_days: float, show: Unit, *, unit: bool = True) -> str:
    """A heat sum in the reader's scale, in whole units.

    Examples
    --------
    >>> heat(555.6, "F")
    '1,000 °F-days'
    """
    value = f"{rounded(from_celsius_days(celsius_days, show)):,.0f}"
    return f"{value} °{show}-days" if unit else value


def heat_rate(celsius_days: float, show: Unit) -> str:
    """Heat of one day, to a tenth.

    Examples
    --------
    >>> heat_rate(11.9, "F")
    '21.4 °F-days'
    """
    return f"{rounded(from_celsius_days(celsius_days, show), 1):,.1f} °{show}-days"


def heat_both(celsius_days: float, show: Unit) -> str:
    """A heat sum that will be quoted to others: the reader's scale first, then the other.

    Examples
    --------
    >>> heat_both(420.4, "F")
    '757 °F-days (420 °C-days)'
    """
    other: Unit = "C" if show == "F" else "F"
    return f"{heat(celsius_days, show)} ({heat(celsius_days, other)})"


def count(number: int, thing: str, plural: str | None = None) -> str:
    """A number and its noun.

    Examples
    --------
    >>> count(1, "day"), count(3, "day")
    ('1 day', '3 days')
    """
    return f"{number:,} {thing if number == 1 else plural or thing + 's'}"


_NUMBERS = (
    "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve",
)  # fmt: skip


def spelled(number: int, thing: str) -> str:
    """A number and its noun in a sentence: small numbers as words.

    Examples
    --------
    >>> spelled(1, "bed"), spelled(3, "bed"), spelled(20, "bed")
    ('one bed', 'three beds', '20 beds')
    """
    return f"{in_words(number)} {thing if number == 1 else thing + 's'}"


def in_words(number: int) -> str:
    """A number in a sentence: small ones as words.

    Examples
    --------
    >>> in_words(3), in_words(20)
    ('three', '20')
    """
    return _NUMBERS[number] if number < len(_NUMBERS) else f"{number:,}"


def listed(words: Sequence[str], last: str = "and") -> str:
    """Words in a row, as in a sentence.

    Examples
    --------
    >>> listed(["start", "upper threshold", "method"])
    'start, upper threshold and method'
    """
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def capital(words: str) -> str:
    """Words that begin a line or a sentence.

    Examples
    --------
    >>> capital("squash bug")
    'Squash bug'
    """
    return f"{words[:1].upper()}{words[1:]}"


def sentence(words: str) -> str:
    """Words as a sentence: the first letter raised, a full stop behind where no question is.

    Examples
    --------
    >>> sentence("no past year is complete")
    'No past year is complete.'
    """
    return f"{capital(words)}{'' if words.endswith(('.', '?')) else '.'}"


def of_past_years(number: int, total: int) -> str:
    """How many past years, always with the total.

    Examples
    --------
    >>> of_past_years(10, 12)
    '10 of 12 past years'
    """
    return f"{number} of {total} past years"


def with_weather_of(number: int, total: int) -> str:
    """How many past years' weather, continuing this season, makes something so.

    Not "in 10 of 12 past years": they themselves went otherwise.

    Examples
    --------
    >>> with_weather_of(10, 12)
    'with the weather of 10 of 12 past years'
    """
    return f"with the weather of {of_past_years(number, total)}"


#: A spreadsheet runs a cell that begins so; an apostrophe before it makes it words again (OWASP,
#: "CSV injection", read from memory).
FORMULA = ("=", "+", "-", "@", "\t", "\r", "'")


def as_cell(text: str) -> str:
    """Words for a cell of a table that a spreadsheet opens.

    Examples
    --------
    >>> as_cell("=1+1"), as_cell("north bed")
    ("'=1+1", 'north bed')
    """
    return f"'{text}" if text.startswith(FORMULA) else text


def out_of_cell(cell: str) -> str:
    """The words that `as_cell` put into a cell.

    Examples
    --------
    >>> out_of_cell("'=1+1"), out_of_cell("'tis")
    ('=1+1', "'tis")
    """
    return cell[1:] if cell.startswith("'") and cell[1:].startswith(FORMULA) else cell


def phrase(text: str, most: int) -> str:
    """Whole phrases of a text, up to a comma or semicolon, as far as they are short; else nothing.

    Examples
    --------
    >>> phrase("by day; midges fly at dawn and dusk in still air", 30)
    'by day'
    >>> phrase("the first four rows beside grass or ragweed", 30)
    ''
    """
    ends = [at for at, letter in enumerate(text) if letter in ",;" and at <= most]
    return text if len(text) <= most else text[: max(ends, default=0)]


def shortened(text: str, most: int) -> str:
    """A text in at most so many letters; where it was cut it says so.

    Examples
    --------
    >>> shortened("Old Valley Orchard", 11), shortened("Two Ponds", 11)
    ('Old Valley…', 'Two Ponds')
    """
    return text if len(text) <= most else f"{text[: most - 1].rstrip(' ,')}…"


#: Standing sentence under every outlook of dates.
WEATHER_ONLY = (
    "These spans cover the weather only. How well a published number fits your garden is a "
    "separate question."
)
#: The same where every line counts.
WEATHER_BRIEFLY = "These spans cover the weather only."
#: Shown beside a number used away from where it was found, or where nobody said where we are.
AWAY_FROM_HOME = (
    "Used away from where they were found, published numbers miss by a further 5–7 days "
    "until your own finds say otherwise."
)
#: The same where every line counts.
AWAY_BRIEFLY = "Away from home a printed number misses by 5–7 days more; your finds mend that."
#: Standing cautions of everything that leads a person to a pest.
CAUTIONS = (
    "This plans looking, not spraying. If you treat at all: the label is the law, nothing on open "
    "bloom, keep the pre-harvest and re-entry intervals, and ask your local extension service."
)


def per_cent(share: float) -> str:
    """A share in whole per cent; nothing of nothing, and never all for less."""
    return f"{min(max(share, 0.01), 0.99):.0%}".replace("%", " %") if share else ""
