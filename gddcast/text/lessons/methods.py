"""Every method over the same days, the hourly truth first where there is one."""

from __future__ import annotations

from collections.abc import Iterator

from gddcast import words
from gddcast.lessons.comparison import MethodComparison
from gddcast.lessons.rounding import DIGITS
from gddcast.text.terminal import table
from gddcast.units import Unit, from_celsius_days, rounded


def comparison_text(comparison: MethodComparison, unit: Unit) -> str:
    """Every method over the same days, the hourly truth first where there is one."""
    return "\n".join(_comparison_lines(comparison, unit))


def _comparison_lines(comparison: MethodComparison, unit: Unit) -> Iterator[str]:
    left = f", {words.count(comparison.left_out, 'day')} left out" if comparison.left_out else ""
    span = words.span(comparison.first, comparison.last)
    yield f"{span}: {words.count(comparison.days, 'day')} compared{left}."
    heading = ["", f"°{unit}-days"]
    if comparison.truth is not None:
        heading += ["against hourly", "a day’s miss", "half the heat"]
    rows = [heading]
    if comparison.truth is not None:
        rows.append(["hourly readings", _heat(comparison.truth, unit), "", "", ""])
    for row in comparison.rows:
        cells = [row.method, _heat(row.total, unit)]
        if row.against_truth is not None and row.typical_miss is not None:
            cells += [
                _signed(row.against_truth, unit),
                _heat(row.typical_miss, unit),
                _lateness(row.days_late),
            ]
        rows.append(cells)
    yield from table(rows, indent="  ")
    if comparison.truth is None:
        yield "The file has no hourly readings, so none of these can be called the true one."


def _heat(value: float, unit: Unit) -> str:
    digits = DIGITS[unit]
    return f"{rounded(from_celsius_days(value, unit), digits):,.{digits}f}"


def _signed(value: float, unit: Unit) -> str:
    digits = DIGITS[unit]
    return f"{rounded(from_celsius_days(value, unit), digits):+,.{digits}f}".replace("-", "−")


def _lateness(days: float | None) -> str:
    if days is None:
        return "–"
    if abs(days) < 0.05:
        return "same time"
    return f"{abs(days):.1f} d {'late' if days > 0 else 'early'}"
