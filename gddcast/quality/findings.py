"""What the checks found, in words a grower can act on: days, readings, why, what to do."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from gddcast.quality import breaks, shifts
from gddcast.quality.afternoon_readings import afternoon_stretches
from gddcast.quality.checks import Check, in_order
from gddcast.units import Unit, from_celsius_days
from gddcast.weather.gaps import LONG, SHORT, gaps_of
from gddcast.weather.series import DailySeries, runs, season_of
from gddcast.words import count, listed, sentence, span, temperature

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]
Level = Literal["finding", "note"]

#: Equal readings in a row that chance does not bring: in a hot month of a humid place one reading
#: in six repeats the last, and seven alike turn up less than once in a century.
SURELY_STUCK = 7
#: Share of days with equal minimum and maximum worth a note.
_FLAT = 0.02
#: Share of readings at a multiple of five worth a note; a fifth would be chance.
_FIVES = 0.5
_READING = ("minimum", "maximum")


@dataclass(frozen=True, slots=True)
class Finding:
    """One fault, or one thing worth knowing, found in a record.

    Parameters
    ----------
    rule : str
        Short stable name of the check, such as ``streak``.
    first, last : datetime.date
        Days it spans, both included.
    words : str
        What was found, for people, without the full stop of its `sentence`.
    cure : str
        What the person can do about it.
    level : {"finding", "note"}
        A finding wants a decision; a note is said once.
    days : int
        Days touched, at most those from ``first`` to ``last``.
    values : tuple of float
        Readings at fault, oldest first; at most a handful. [°C]
    removed : bool
        The readings are impossible: the judged copy holds NaN instead.
    effect_days : float, optional
        What leaving it as it is does to the next event: positive is later. [d]
    event : str
        The event ``effect_days`` speaks of.
    """

    rule: str
    first: dt.date
    last: dt.date
    words: str
    cure: str
    level: Level = "finding"
    days: int = 1
    values: tuple[float, ...] = ()
    removed: bool = False
    effect_days: float | None = None
    event: str = ""

    @property
    def sentence(self) -> str:
        """What was found, as a sentence."""
        return sentence(self.words)


def of_days(first: dt.date, last: dt.date) -> str:
    """Days of a fault with their year: ``20–29 May 2026``."""
    words = span(first, last)
    return words if str(last.year) in words else f"{words} {last.year}"


def effect_words(finding: Finding) -> str:
    """What the fault does to the next event, or would have done; empty where it is not known.

    Examples
    --------
    >>> day = dt.date(2026, 5, 12)
    >>> fault = Finding("missing", day, day, "", "", effect_days=7.4, event="the day of moths")
    >>> effect_words(fault)
    'Counted as nothing, it would bring the day of moths 7 days late.'
    """
    if finding.effect_days is None:
        return ""
    days = abs(finding.effect_days)
    size = "less than half a day" if days < 0.5 else count(round(days), "day")
    side = "late" if finding.effect_days > 0 else "early"
    start = {
        "missing": "Counted as nothing",
        "morning-readings": "On average",
        "afternoon-readings": "On average",
    }.get(finding.rule, "Counted" if finding.removed else "Left as it is")
    return f"{start}, it would bring {finding.event} {size} {side}."


def impossible(series: DailySeries, readings: Array) -> list[Finding]:
    """Run every check of single readings, one after another, and strike what fails.

    Parameters
    ----------
    series : DailySeries
        The record as it came.
    readings : ndarray, shape (2, days)
        Its minima and maxima; readings that fail are set to NaN **in place**. [°C]
    """
    findings: list[Finding] = []
    kept, dates = np.zeros(readings.shape, dtype=bool), series.dates
    for check in in_order(series.unit):
        failed = check.find(readings, dates) & ~kept
        if check.explained is not None and failed.any():
            unusual = check.explained(readings, dates, failed)
            kept |= unusual
            failed &= ~unusual
        if failed.any():
            findings += [
                _struck(series, readings, check, failed, begin, end)
                for begin, end in runs(failed[0] | failed[1])
            ]
            readings[failed] = np.nan
    return [*findings, *_unusual(series, readings, kept)]


def _unusual(series: DailySeries, readings: Array, unusual: Mask) -> list[Finding]:
    """Readings that are far from the usual and that weather explains: said, and counted."""
    return [
        Finding(
            "unusual", series.date(day), series.date(day),
            f"{of_days(series.date(day), series.date(day))}: {_READING[row]} "
            f"{temperature(float(readings[row, day]), series.unit)}: unusual at that time of the "
            "year, not impossible",
            "It counts. Look it up if you can.",
            "note", values=(float(readings[row, day]),),
        )
        for row, day in zip(*np.nonzero(unusual), strict=True)
    ]  # fmt: skip


def _struck(
    series: DailySeries, readings: Array, check: Check, failed: Mask, begin: int, end: int
) -> Finding:
    rows = [row for row in (0, 1) if failed[row, begin:end].any()]
    values = tuple(float(each) for row in rows for each in readings[row, begin:end][:3])
    limit = f"{from_celsius_days(check.limit, series.unit):.0f} °{series.unit}"
    said = [
        f"{_READING[row]} {temperature(float(readings[row, begin]), series.unit)}" for row in rows
    ]
    more = f" and the {count(end - begin - 1, 'day')} after it" if end - begin > 1 else ""
    first, last = series.date(begin), series.date(end - 1)
    return Finding(
        check.rule,
        first,
        last,
        f"{of_days(first, last)}: {listed(said)}{more}: {check.reason.format(limit=limit)}",
        "Left out as unknown. If you have the true reading, put it into the file.",
        days=end - begin,
        values=values,
        removed=True,
    )


def missing_days(series: DailySeries) -> list[Finding]:
    """Runs of days the record itself does not know."""
    findings = []
    for begin, end in gaps_of(series):
        first, last, days = series.date(begin), series.date(end - 1), end - begin
        if days <= SHORT:
            cure = "Filled by a straight line and marked as patched."
        elif days <= LONG:
            cure = "Fill it:  gddcast weather patch FILE -o PATCHED.csv"
        else:
            cure = (
                "Too long to fill from itself. With a record near by:  "
                "gddcast weather patch FILE --from NEIGHBOUR.csv -o PATCHED.csv"
            )
        level: Level = "note" if days <= SHORT else "finding"
        words = f"{of_days(first, last)} ({count(days, 'day')}) missing"
        findings.append(Finding("missing", first, last, words, cure, level, days))
    return findings


def stuck(series: DailySeries, readings: Array) -> list[Finding]:
    """Runs of equal readings."""
    findings = []
    for run in breaks.streaks(readings):
        first, last = series.date(run.begin), series.date(run.end - 1)
        value = float(readings[run.row, run.begin])
        surely = run.days >= SURELY_STUCK
        words = (
            f"{of_days(first, last)}: the {_READING[run.row]} is "
            f"{temperature(value, series.unit)} on {run.days} days running"
        )
        words += ": stuck, or not reset?" if surely else ": chance, or stuck?"
        findings.append(
            Finding(
                "streak", first, last, words,
                "If the thermometer was stuck:  gddcast weather patch FILE "
                f"--blank-{'min' if run.row == 0 else 'max'} {first} {last} -o PATCHED.csv",
                days=run.days, values=(value,), level="finding" if surely else "note",
            )
        )  # fmt: skip
    return findings


def copies(series: DailySeries, readings: Array) -> list[Finding]:
    """Months or years that hold another's readings."""
    years = breaks.repeated_years(readings, series.dates)
    of_copied_years = {later for _, later in years}
    findings = []
    for rule, unit, pairs in (
        ("repeated-year", "Y", years),
        ("repeated-month", "M", breaks.repeated_months(readings, series.dates)),
    ):
        for earlier, later in pairs:
            begins = series.dates[later].astype(f"datetime64[{unit}]")
            if rule == "repeated-month" and any(
                begins.astype("datetime64[Y]") == series.dates[each].astype("datetime64[Y]")
                for each in of_copied_years
            ):
                continue
            after = int(((begins + 1).astype("datetime64[D]") - series.dates[0]).astype(int))
            first, last = series.date(later), series.date(min(after, len(series)) - 1)
            findings.append(
                Finding(
                    rule, first, last,
                    f"{of_days(first, last)} holds the same readings as the {unit_word(unit)} "
                    f"from {series.date(earlier):%Y-%m-%d}: pasted twice?",
                    "Put the right readings into the file, or take these out.",
                    days=(last - first).days + 1,
                )
            )  # fmt: skip
    return findings


def unit_word(period: str) -> str:
    """Month or year."""
    return "year" if period == "Y" else "month"


def change_of_unit(series: DailySeries, readings: Array) -> list[Finding]:
    """The day on which the file changes from one scale to the other."""
    unit_break = breaks.unit_break(readings, series.unit, series.dates)
    if unit_break is None:
        return []
    day, last = series.date(unit_break.day), series.last
    side = "from then on" if unit_break.later_is != series.unit else "before it"
    other: Unit = "C" if series.unit == "F" else "F"
    return [
        Finding(
            "unit-break", day, last,
            f"{of_days(day, day)}: both readings jump by "
            f"{abs(from_celsius_days(unit_break.jump, series.unit)):.0f} °{series.unit}; "
            f"{side} the numbers look like °{other}",
            "Convert that part, or read the two parts as two files, each with its own --unit.",
            days=(last - day).days + 1,
        )
    ]  # fmt: skip


def sun_on_the_sensor(series: DailySeries, readings: Array) -> list[Finding]:
    """Maxima of the latest season that left their minima behind."""
    season = season_of(series.last, series.place.season_begins)
    wide = breaks.wide_range(readings, series.dates, max(series.index(season.first), 0))
    if wide is None:
        return []
    first, last = series.date(wide.begin), series.date(wide.end - 1)
    excess = f"{from_celsius_days(wide.excess, series.unit):.0f} °{series.unit}"
    return [
        Finding(
            "wide-range", first, last,
            f"{of_days(first, last)}: the days are {excess} wider than usual, more than in any "
            "earlier year on file: sun on the thermometer, or a long dry spell?",
            "Compare it with a record near by:  gddcast weather compare FILE NEIGHBOUR.csv",
            days=wide.end - wide.begin, values=(wide.excess,),
        )
    ]  # fmt: skip


def change_of_precision(series: DailySeries, readings: Array) -> list[Finding]:
    """Whole degrees that stop, or begin: another thermometer, or other hands."""
    change = breaks.precision_break(readings, series.dates)
    notes = []
    if change is not None:
        at, unit, stops = change
        day = series.date(at)
        words = f"From {day.year} on readings are {'no longer ' if stops else ''}whole °{unit}"
        notes.append(
            Finding(
                "precision", day, series.last, words,
                "Another thermometer? Compare the years before and after with care.",
                "note", (series.last - day).days + 1,
            )
        )  # fmt: skip
    if breaks.share_of_fives(readings, series.unit) > _FIVES:
        words = f"Most readings are multiples of 5 °{series.unit}: read by eye and rounded"
        cure = "Read to the degree: rounding to five moves dates by some days."
        notes.append(
            Finding("rounded-to-five", series.first, series.last, words, cure, "note", len(series))
        )
    return notes


def flat_days(series: DailySeries, readings: Array) -> list[Finding]:
    """Days whose minimum is their maximum, where there are too many of them."""
    flat = readings[0] == readings[1]
    days = int(np.count_nonzero(flat))
    if not series.known.any() or days <= _FLAT * np.count_nonzero(series.known):
        return []
    at = np.flatnonzero(flat)
    first, last = series.date(int(at[0])), series.date(int(at[-1]))
    words = f"Minimum and maximum are equal on {count(days, 'day')}: one reading a day, or a mean?"
    cure = "A sine needs the two extremes; from means alone only floor-the-mean sums are right."
    return [Finding("flat-days", first, last, words, cure, "note", days)]


def morning_readings(series: DailySeries, readings: Array) -> list[Finding]:
    """Stretches whose maxima stand one day late."""
    reading_practices = shifts.practices(series, readings)
    findings = []
    for begin, end in shifts.late_stretches(reading_practices):
        first, last = series.date(begin), series.date(end - 1)
        where = "" if end - begin == len(series) else f"{first.year}–{last.year}: "
        findings.append(
            Finding(
                "morning-readings", first, last,
                f"{where}the maxima look booked a day late, as when a thermometer is read in "
                "the morning",
                f"If so:  gddcast weather patch FILE --mornings {first} {last} -o MOVED.csv  puts "
                "each maximum on the day before.",
                "finding", end - begin,
            )
        )  # fmt: skip
    return findings


def afternoon_readings(series: DailySeries, readings: Array) -> list[Finding]:
    """Stretches in which hot days look counted twice."""
    findings = []
    for begin, end in afternoon_stretches(series, readings):
        first, last = series.date(begin), series.date(end - 1)
        where = "" if end - begin == len(series) else f"{first.year}–{last.year}: "
        findings.append(
            Finding(
                "afternoon-readings", first, last,
                f"{where}hot days look counted twice, as when a thermometer is read and reset in "
                "the afternoon: the maximum of a cooler day is then the evening before",
                "At what hour is it read? Read it after dark or in the morning, and say so:  "
                "gddcast setup --reading-hour HOUR.  What is read already can’t be mended from "
                "itself: a station near by has whole days (gddcast weather fetch).",
                "finding", end - begin,
            )
        )  # fmt: skip
    return findings
