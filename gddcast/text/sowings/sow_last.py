"""The last day worth sowing a crop, for people and for programs."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from gddcast import words
from gddcast.crops.last_sowing import CUSHION_DAYS, CalendarCheck, SownBy
from gddcast.crops.needs import Need
from gddcast.text import answer
from gddcast.text.sowings.crop_needs import need_json, takes
from gddcast.text.terminal import PLAIN, Line, Terminal
from gddcast.units import Unit
from gddcast.weather.calendar_day import date_in


def as_text(
    crop: str,
    need: Need,
    rows: Sequence[SownBy],
    check: CalendarCheck | None,
    picking_days: int,
    frost_at: float,
    show: Unit,
    terminal: Terminal = PLAIN,
) -> str:
    """The last day worth it, what the crop takes, one line a sowing day, the calendar beside it."""
    frost = words.temperature(frost_at, show)
    picked = f"{words.count(picking_days, 'day')} of picking"
    done = "planted" if need.start == "transplanting" else "sown"
    lines: list[str | Line] = [
        Line(_worth_it(crop, done, rows, f"{picked} before the first {frost} night"), rest="  "),
        "",
        Line(_opening(crop, need, show), rest="  "),
        f"{f'{done} by':<13} {picked} before the first {frost} night",
    ]
    for index, row in enumerate(rows):
        day = words.day(date_in(2023, row.month, row.day), weekday=False)
        fits = f"{row.fits} of {row.years}"
        total = fits if index else words.of_past_years(row.fits, row.years)
        lines.append(f"{day:<13} {total}")
    if check is not None:
        lines.append(Line(_by_the_calendar(check), rest="  "))
    left_out = sorted({name for row in rows for name in row.left_out})
    if left_out:
        left = words.listed(left_out)
        lines.append(Line(f"Left out where a day is unknown: {left}.", rest="  "))
    frosts = "Autumn frosts only, at the thermometer; leaves are colder on a still clear night."
    lines.append(Line(frosts, rest="  "))
    return terminal.show(lines)


def _worth_it(crop: str, done: str, rows: Sequence[SownBy], wanted: str) -> str:
    """The latest day that fitted in most past years, and the latest one that did in five of six."""
    most = max((row.fits for row in rows), default=0)
    if not most:
        return f"{words.capital(crop)}: no sowing day tried leaves {wanted} in any past year."
    best = [next(row for row in reversed(rows) if row.fits == most)]
    later = [row for row in rows[rows.index(best[0]) + 1 :] if 6 * row.fits >= 5 * row.years]
    said = [
        f"by {words.day(date_in(2023, row.month, row.day), weekday=False)} in "
        + (f"{row.fits}" if at else words.of_past_years(row.fits, row.years))
        for at, row in enumerate([*best, *later[-1:]])
    ]
    return f"{words.capital(crop)} {done} {words.listed(said)} leaves {wanted}."


def _opening(crop: str, need: Need, show: Unit) -> str:
    said = f"{crop}: {takes(need, show)}."
    if need.counting is None:
        said += f" Days are the same in a warm year and a cold one. Using {need.used:.0f} days."
    return said


def _by_the_calendar(check: CalendarCheck) -> str:
    """The seed houses' rule beside it, with the years it would have been in time."""
    total = len(check.by)
    days = dict.fromkeys((total, check.most))
    said = [
        f"{words.day(check.in_time_in(years), weekday=False)} in {years} of {total}"
        for years in days
    ]
    return (
        f"By the calendar, to the first pick alone (common practice of seed houses: "
        f"{check.packet_days} packet days and {CUSHION_DAYS} of cushion before that night): "
        f"{words.listed(said)} past years."
    )


def as_json(
    crop: str,
    need: Need,
    rows: Sequence[SownBy],
    check: CalendarCheck | None,
    picking_days: int,
    frost_at: float,
    show: Unit,
    moment: dt.datetime,
) -> str:
    """The same for programs; the schema stands in ``data/schemas/sow-last.json``."""
    parts = {
        "crop": crop,
        "need": need_json(need, show),
        "picking_days": picking_days,
        "frost_at": answer.temperature(frost_at, show),
        "sown_by": [
            {
                "day": f"{row.month:02d}-{row.day:02d}", "fits": row.fits, "years": row.years,
                "left_out": list(row.left_out),
            }
            for row in rows
        ],
        "by_the_calendar": None
        if check is None
        else {
            "packet_days": check.packet_days,
            "cushion_days": CUSHION_DAYS,
            "years": len(check.by),
            "sow_by": [day.isoformat() for day in check.by],
        },
    }  # fmt: skip
    return answer.as_json("sow-last", moment, parts)
