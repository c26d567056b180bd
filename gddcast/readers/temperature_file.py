"""The one way in for temperature files: any thermometer's file becomes a Reading or a Refusal.

The way of a file, and the room of each step:

=================  ==============================================================
decoding, excel    bytes to text
tables, columns    text to named columns of cells; quoted_remarks, uneven_rows,
                   spaced_rows, cut_ends where lines lack something
roles, sites       which column is what, date_columns which say when; one thermometer of several
doubtful_columns   columns that may hold no air temperature of the day
origin_column      rows that the file itself calls forecast
dates, date_cells  cells to days, one format for the whole file, date_orders in which order
values             cells to numbers; cell_units where cells name a scale, split_decimals
settling, scale    the scale settled, numbers in °C
scale_change       a file whose scale changes on some day
days               rows to consecutive days
log_days           readings of a log to days, in standard_time
sweeping           the quick way through a large clean table
ghcn               the world's daily archive, which needs no asking
=================  ==============================================================
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from gddcast.errors import Refusal
from gddcast.readers import decoding, ghcn, table_reading
from gddcast.readers.file_bytes import NO_FILE_OF_READINGS, bytes_of
from gddcast.readers.packaged import data_folder
from gddcast.readers.questions import OpenQuestion, all_open
from gddcast.readers.reading import DateOrder, FileUnit, Options, Reading, StampsFollow
from gddcast.weather.series import Place


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
    if name.casefold().endswith((".xlsx", ".xlsm")) and decoding.is_workbook(raw):
        from gddcast.readers.excel import text_of_workbook

        decoded = text_of_workbook(raw, name, options.sheet)
    elif options.sheet is not None:
        raise Refusal(
            name, f"it has no sheet '{options.sheet}': it is no workbook",
            "Sheets are named for files that end in .xlsx.", "Leave --sheet out.", slug="no-sheet",
        )  # fmt: skip
    else:
        decoded = decoding.decoded(raw, name)
    if ghcn.is_station_file(decoded.text):
        return ghcn.read_station(decoded.text, name, options)
    return table_reading.read_table(decoded, name, options)


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
            found, cure = f"it can't be opened ({error.strerror or error})", "Check the name."
        else:
            found = str(error.strerror)
            cure = "Save the readings as a file, in pieces if there are that many, and name that."
    except ValueError as error:
        found, cure = f"it can't be opened ({error})", "Check the name."
    raise Refusal(str(file), found, "A file of temperatures is expected.", cure, slug="no-file")
