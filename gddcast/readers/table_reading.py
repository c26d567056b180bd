"""From the text of a table to a Reading: each step has a room of its own."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from gddcast.readers import sweeping
from gddcast.readers.date_orders import refuse_swapped_months
from gddcast.readers.dates import Stamps
from gddcast.readers.days import year_end_notes
from gddcast.readers.decoding import Decoded
from gddcast.readers.origin_column import origins_in
from gddcast.readers.reading import Note, Options, Reading
from gddcast.readers.roles import Roles, roles_of
from gddcast.readers.row_dates import dated
from gddcast.readers.row_readings import RowReadings, readings_in
from gddcast.readers.rows import Rows
from gddcast.readers.settling import FileAbout, reading_of_rows
from gddcast.readers.sites import OneSite, named_site, stacked_site
from gddcast.readers.split_decimals import refuse_split_decimals
from gddcast.readers.tables import Table, tabled


def read_table(decoded: Decoded, name: str, options: Options) -> Reading:
    """Read the text of a table.

    A large clean table is swept; every other is read with care, and gives the same answer.

    Raises
    ------
    Refusal
        If unit, dates or columns cannot be settled, days conflict, or it is no table.
    """
    swept = sweeping.sweep(decoded.text, name, options)
    if swept is not None:
        rows = Rows(
            swept.stamps.days,
            swept.numbers[0],
            swept.numbers[-1],
            swept.lines,
            np.zeros(len(swept.lines), np.int8),
            swept.stamps.minutes,
            swept.stamps.zone,
        )
        head = replace(swept.head, lines=swept.lines)
        readings = readings_in(head, swept.roles, name, options.unit)
        about = _about(decoded, head, swept.roles, readings, OneSite(head), swept.stamps, name)
        ordered = bool((np.diff(rows.moments) > 0).all())
        if ordered:
            if options.dates is None:
                refuse_swapped_months(rows.days, rows.lines, name)
            return reading_of_rows(rows, about, options)
    return _carefully(decoded, name, options)


def _carefully(decoded: Decoded, name: str, options: Options) -> Reading:
    """Read a table cell by cell."""
    wanted = tuple(column for column in (options.max_column, options.min_column) if column)
    table = tabled(decoded.text, name, wanted=wanted)
    roles = roles_of(table, name, max_column=options.max_column, min_column=options.min_column)
    if options.max_column is None and options.min_column is None:
        refuse_split_decimals(table, roles, name)
    one = named_site(table, roles.site, options.site, name)
    table, stamps, date_notes = dated(one.table, roles, name, options.dates)
    readings = readings_in(table, roles, name, options.unit)
    rows = Rows(
        stamps.days,
        readings.high,
        readings.low,
        table.lines,
        origins_in(table, roles.how),
        stamps.minutes,
        stamps.zone,
    )
    if one.kept is None:
        one, rows = _one_of_stacked(table, rows, one, options, name)
    about = _about(decoded, table, roles, readings, one, stamps, name)
    return reading_of_rows(rows, replace(about, notes=(*date_notes, *about.notes)), options)


def _about(
    decoded: Decoded,
    table: Table,
    roles: Roles,
    readings: RowReadings,
    one: OneSite,
    stamps: Stamps,
    name: str,
) -> FileAbout:
    """What is known of the file besides its rows."""
    year_ends = year_end_notes(stamps.days) if roles.day_number is not None else ()
    return FileAbout(
        name,
        _columns_used(table, roles),
        _understood(decoded, table, roles, readings, one, stamps.how),
        (*roles.notes, *table.notes, *readings.notes, *_model_note(table, roles), *year_ends),
        readings.stated,
        readings.stated_by,
        means_only=roles.mean is not None,
        single=roles.single is not None,
        site=one.site,
        sites=one.sites,
        provenance=table.provenance,
    )


def _one_of_stacked(
    table: Table, rows: Rows, one: OneSite, options: Options, name: str
) -> tuple[OneSite, Rows]:
    """Look for an unnamed site column where moments stand twice."""
    moments = rows.moments
    in_order = bool((np.diff(moments) > 0).all())
    if options.site is None and (in_order or np.unique(moments).size == moments.size):
        return one, rows
    found = stacked_site(table, moments, options.site, name)
    if found.kept is None:
        return one, rows
    return found, rows.where(found.kept)


def _columns_used(table: Table, roles: Roles) -> tuple[str, ...]:
    dates = (roles.stamp, roles.year, roles.month, roles.day, roles.day_number, roles.clock)
    used = [at for at in dates if at is not None]
    return tuple(table.names[at] for at in (*used, *roles.temperatures)) if used else ()


def _understood(
    decoded: Decoded, table: Table, roles: Roles, readings: RowReadings, one: OneSite, dates: str
) -> tuple[str, ...]:
    """One line each of what the file was taken to mean; the columns come first."""
    lines = [f"Columns {', '.join(_columns_used(table, roles))}", dates]
    if one.site and len(one.sites) > 1:
        lines.append(f"Site {one.site}, one of {len(one.sites)} in the file")
    if table.delimiter != "," or readings.decimal_comma:
        comma = ", decimal comma" if readings.decimal_comma else ""
        lines.append(f"Cells parted by {table.delimiter_name}{comma}")
    if decoded.sheets:
        lines.append(decoded.sheets)
    if decoded.encoding != "UTF-8":
        lines.append(f"Encoding {decoded.encoding}")
    if table.header_line > 1:
        lines.append(f"Header on line {table.header_line}")
    if not table.header_line:
        lines.append("No header: columns counted as you said")
    return tuple(lines)


# Column names of gridded products and reanalyses: no thermometer has them.
_MODEL_NAMES = ("temperature_2m_", "tasmax", "tasmin", "tmax (deg c)", "t2m", "mx2t", "mn2t")


def _model_note(table: Table, roles: Roles) -> tuple[Note, ...]:
    names = [table.names[at].casefold() for at in roles.temperatures]
    if roles.how is None and any(name.startswith(_MODEL_NAMES) for name in names):
        return (
            Note(
                "model-values",
                f"Columns named like '{names[0]}' come from weather models or grids: the file may "
                "hold values nobody measured.",
            ),
        )
    return ()
