"""A mended record as CSV: each day with its origin, and above them what was done to it."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator

from gddcast import words
from gddcast.quality.findings import of_days
from gddcast.quality.mending import Mended
from gddcast.units import Unit, from_celsius, from_celsius_days
from gddcast.weather.series import DailySeries, Origin


def record_csv(mended: Mended, source: str, lender: str | None, made: dt.date) -> str:
    """Text of the file; our own reader reads it back, origins included.

    Parameters
    ----------
    mended : Mended
    source, lender : str
        Names of the files it was made from.
    made : datetime.date
    """
    series = mended.series
    unit = series.unit
    said = _provenance(mended, source, lender, made)
    lines = [" ".join(f"# {key}: {value}".split()) for key, value in said]
    lines.append(f"date,max_{unit.lower()},min_{unit.lower()},origin")
    lines += _days(series, unit)
    return "\n".join(lines) + "\n"


def _provenance(
    mended: Mended, source: str, lender: str | None, made: dt.date
) -> Iterator[tuple[str, str]]:
    unit, wishes = mended.series.unit, mended.wishes
    yield "made by", f"gddcast weather patch, {made.isoformat()}"
    yield "from", source
    for finding in mended.verdict.findings:
        if finding.removed:
            yield "left out as impossible", finding.words
    for what, spans in (
        ("blanked", wishes.blank),
        ("maxima blanked", wishes.blank_max),
        ("minima blanked", wishes.blank_min),
        ("maxima moved to the day before", wishes.mornings),
    ):
        for span in spans:
            yield what, of_days(*span)
    if wishes.add_max or wishes.add_min:
        yield (
            "added",
            f"{signed(wishes.add_max, unit)} to maxima, {signed(wishes.add_min, unit)} to minima",
        )
    if mended.loan is not None:
        loan = mended.loan
        yield "lent by", f"{lender}, {words.count(loan.lent, 'day')}"
        moved = (
            f"{signed(loan.offset_max, unit)} (maxima), {signed(loan.offset_min, unit)} (minima)"
        )
        yield "lent readings moved by", f"{moved}, from {loan.in_common:,} days in common"
    yield "patched", words.count(mended.days_patched, "day")
    yield "still unknown", words.count(mended.days_left, "day")


def signed(difference: float, unit: Unit) -> str:
    """A difference of temperatures with its sign.

    Examples
    --------
    >>> signed(-1.0, "F")
    '−1.8 °F'
    """
    value = round(from_celsius_days(difference, unit), 1) + 0.0
    return f"{value:+.1f} °{unit}".replace("-", "−").replace("+0.0", "0.0")


def _days(series: DailySeries, unit: Unit) -> Iterator[str]:
    high, low = (from_celsius(each, unit).tolist() for each in (series.tmax, series.tmin))
    origins = [Origin(code).name.lower() for code in range(len(Origin))]
    for day, most, least, code in zip(
        series.dates.astype(str).tolist(), high, low, series.origin.tolist(), strict=True
    ):
        yield f"{day},{_cell(most)},{_cell(least)},{origins[code]}"


def _cell(value: float) -> str:
    """As many digits as the reading has, two at most."""
    return "" if math.isnan(value) else f"{round(value, 2) + 0.0:g}"
