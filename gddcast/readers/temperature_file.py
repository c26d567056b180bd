"""The one way in for temperature files: any thermometer's file becomes a Reading or a Refusal.

The way of a file, and the room of each step:

==================  =============================================================
opening, workbooks  bytes to text
headers, tables     the line that names the columns, and cells below it;
                    uneven_rows where lines lack something
columns, roles      what a name says; which column is what, and which leave it open
date_columns        columns that say when; dates and date_cells make days of them,
                    one format for the whole file, date_orders in which order
sites, flags        one thermometer of several; rows the file itself calls forecast
values              cells to numbers, row_readings those of each row, with what to say
scale               the scale settled or asked for, never guessed
settling            numbers in °C, days of rows, and all of it a Reading
days                rows to consecutive days
log_days            readings of a log to days, in standard_time
sweeping            the quick way through a large clean table
ghcn                the world's daily archive, which needs no asking
==================  =============================================================
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np

from gddcast.errors import Refusal
from gddcast.readers import ghcn, sweeping
from gddcast.readers.date_orders import refuse_swapped_months
from gddcast.readers.dates import Stamps, dated
from gddcast.readers.days import Rows, year_end_notes
from gddcast.readers.flags import origins_in
from gddcast.readers.opening import NO_FILE_OF_READINGS, Decoded, bytes_of, data_folder, is_workbook
from gddcast.readers.opening import decoded as decoded_text
from gddcast.readers.reading import (
    DateOrder,
    FileUnit,
    Note,
    OpenQuestion,
    Options,
    Reading,
    StampsFollow,
    all_open,
)
from gddcast.readers.roles import Roles, roles_of
from gddcast.readers.row_readings import RowReadings, readings_in, refuse_split_decimals
from gddcast.readers.settling import FileAbout, reading_of_rows
from gddcast.readers.sites import OneSite, named_site, stacked_site
from gddcast.readers.tables import Table, tabled
from gddcast.weather.series import Place


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
        origins_in(table, roles.origin),
        stamps.minutes,
        stamps.zone,
    )
    if one.rows is None:
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
        _understood(decoded, table, roles, readings, one, stamps.understood),
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
    one_site = stacked_site(table, moments, options.site, name)
    if one_site.rows is None:
        return one, rows
    return one_site, rows.where(one_site.rows)


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
    if roles.origin is None and any(name.startswith(_MODEL_NAMES) for name in names):
        return (
            Note(
                "model-values",
                f"Columns named like '{names[0]}' come from weather models or grids: the file may "
                "hold values nobody measured.",
            ),
        )
    return ()


def read_temperatures(
    path: str | Path,
    *,
    unit: FileUnit | None = None,
    dates: DateOrder | None = None,
    site: str | None = None,
    max_column: str | None = None,
    min_column: str | None = None,
    today: dt.date | None = None,
    place: Place | None = None,
    reading_hour: int | None = None,
    timezone: str | None = None,
    stamps: StampsFollow | None = None,
    sheet: str | None = None,
    sure: bool = False,
    progress: Callable[[float], None] | None = None,
) -> Reading:
    """Read a file of temperatures: daily, or a log of readings.

    Parameters
    ----------
    path : str or Path
    unit : {"F", "C", "K", "tenths-C"}, optional
        Scale of the file, where the file does not say.
    dates : {"day-first", "month-first", "year-first"}, optional
        Order of numeric dates, where no line proves it.
    site : str, optional
        Which thermometer, where the file holds several.
    max_column, min_column : str, optional
        Names, or numbers from 1, of the columns. For a log give its one column as
        ``max_column``.
    today : datetime.date, optional
        Later days are forecasts, never measurements.
    place : Place, optional
        Where the thermometer hangs; its time zone makes the days of a log.
    reading_hour : int, optional
        Hour at which a maximum-minimum thermometer is read and reset. Before noon the maximum
        belongs to the day before. [h]
    timezone : str, optional
        IANA name; wins over the place's.
    stamps : {"utc", "standard", "clock"}, optional
        What the stamps of a log follow, where they don't say.
    sheet : str, optional
        Which sheet of a workbook, where several hold days.
    sure : bool, default: False
        Whether ``unit`` holds, though the numbers speak for another.
    progress : callable, optional
        Called with the share done, 0 to 1.

    Returns
    -------
    Reading

    Raises
    ------
    Refusal
        If unit, dates or columns cannot be settled, days conflict, or it is no table.
    """
    file = Path(path)
    options = Options(
        unit, dates, site, max_column, min_column, today, place, reading_hour, timezone, stamps,
        sheet, sure,
    )  # fmt: skip
    return temperatures_in(_bytes_of(file), file.name, options, progress)


def demo_temperatures() -> Reading:
    """The record that comes with gddcast: an invented garden's, 2014 to June 2026.

    Examples
    --------
    >>> demo_temperatures().series.first
    datetime.date(2014, 1, 1)
    """
    return read_temperatures(data_folder() / "demo" / "weather.csv")


def temperatures_in(
    raw: bytes, name: str, options: Options, progress: Callable[[float], None] | None = None
) -> Reading:
    r"""Read the bytes of a file that somebody else opened, such as one sent to the page.

    Parameters
    ----------
    raw : bytes
    name : str
        File name: its ending may matter, and people know the file by it.
    options : Options
    progress : callable, optional

    Examples
    --------
    >>> reading = temperatures_in(b"date,max_f,min_f\n2026-05-01,72,46\n", "bed3.csv", Options())
    >>> reading.understood[1]
    'Unit °F (column names say so)'
    """
    progress = progress or _quiet
    progress(0.1)
    try:
        reading = _read(raw, name, options)
    except OpenQuestion as question:
        raise all_open(question, options, lambda other: _read(raw, name, other)) from None
    progress(1.0)
    return replace(reading, options=options)


def _read(raw: bytes, name: str, options: Options) -> Reading:
    if name.casefold().endswith((".xlsx", ".xlsm")) and is_workbook(raw):
        from gddcast.readers.workbooks import text_of_workbook

        decoded = text_of_workbook(raw, name, options.sheet)
    elif options.sheet is not None:
        raise Refusal(
            name, f"it has no sheet '{options.sheet}': it is no workbook",
            "Sheets are named for files that end in .xlsx.", "Leave --sheet out.", slug="no-sheet",
        )  # fmt: skip
    else:
        decoded = decoded_text(raw, name)
    if ghcn.is_station_file(decoded.text):
        return ghcn.read_station(decoded.text, name, options)
    return read_table(decoded, name, options)


def _quiet(_share: float) -> None:
    """Say nothing about how far we are."""


def _bytes_of(file: Path) -> bytes:
    try:
        return bytes_of(file)
    except FileNotFoundError:
        found, cure = "there is no such file", "Check the name and the folder you are in."
    except IsADirectoryError:
        found, cure = "it is a folder", "Name one file in it."
    except PermissionError:
        found, cure = "you may not read it", "Copy it to a folder of your own."
    except OSError as error:
        if error.errno not in NO_FILE_OF_READINGS:
            found, cure = f"it can’t be opened ({error.strerror or error})", "Check the name."
        else:
            found = str(error.strerror)
            cure = "Save the readings as a file, in pieces if there are that many, and name that."
    except ValueError as error:
        found, cure = f"it can’t be opened ({error})", "Check the name."
    raise Refusal(str(file), found, "A file of temperatures is expected.", cure, slug="no-file")
