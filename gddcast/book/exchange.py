"""A whole book as text, and back: nothing is lost on the way, so an export is a copy to keep.

A shareable copy has the place rounded to a tenth of a degree and every name and note taken out.
"""

from __future__ import annotations

import codecs
import contextlib
import datetime as dt
import tempfile
import tomllib
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from gddcast.book import faults, schema, store
from gddcast.book.founding import create_book, folder_for, settle
from gddcast.book.leftovers import sweep
from gddcast.book.opening import RECORDS, SETTINGS, Book, open_book
from gddcast.book.setting_text import settings_text
from gddcast.book.settings import read_settings
from gddcast.book.sheets import ExportSheet, sheets
from gddcast.commits import commit
from gddcast.errors import Refusal

#: Format of the folder, written into it.
FORMAT = 1
_ABOUT = "export.toml"
#: Free words that may name a person or a spot, and what stands in for them.
_DISGUISED = {
    "where": "spot",
    "bed": "bed",
    "name": "sowing",
    "sowing": "sowing",
    "source": "source",
    "by": "person",
}
#: Where a file stood on somebody's disk, and what they called its columns and sites.
_LEFT_OUT = (("weather_source", "file"), ("weather_source", "options"))


class ImportRefusal(Refusal):
    """Sheets that cannot become a book; ``faults`` lists what is wrong with them."""

    def __init__(self, folder: Path, faults: list[str]) -> None:
        shown = faults[:20]
        if more := len(faults) - len(shown):
            shown.append(f"and {more} more")
        super().__init__(
            str(folder),
            f"its sheets have {len(faults)} faults" if len(faults) > 1 else "a sheet has a fault",
            "\n  ".join(shown),
            "Mend them in the sheets, then import again; no book was made.",
            slug="import-faults",
        )
        self.faults = tuple(faults)


def export_book(
    book: Book, folder: str | Path, now: dt.datetime, *, shareable: bool = False
) -> int:
    """Write everything the book holds into a new folder, whole or not at all.

    Parameters
    ----------
    book : Book
    folder : str or Path
        A folder that is not there yet, or is empty.
    now : datetime.datetime
    shareable : bool
        Round the place, and take out names and notes.

    Returns
    -------
    int
        Rows written.
    """
    folder = Path(folder)
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise Refusal(
            f"the folder {folder}",
            "there is something in it",
            "The export would be mixed with it.",
            "Name a folder that is not there yet.", slug="folder-not-empty",
        )  # fmt: skip
    disguise = _Disguise() if shareable else None
    pages = dict(_pages(book, now, disguise))
    with faults.explained(folder / _ABOUT, store.WAIT):
        folder.parent.mkdir(parents=True, exist_ok=True)
        sweep(folder.parent)
        with tempfile.TemporaryDirectory(dir=folder.parent, prefix=".export-") as half:
            made = Path(half) / "export"
            made.mkdir()
            for name, text in pages.items():
                (made / name).write_text(text, encoding="utf-8", newline="")
            if folder.exists():
                folder.rmdir()
            made.rename(folder)
            commit(folder)
    return sum(tomllib.loads(pages[_ABOUT])["rows"].values())


def import_book(source: str | Path, folder: str | Path) -> Book:
    """Make a new book from an export; one that was killed at it is finished.

    Raises
    ------
    ImportRefusal
        With every fault of the sheets, its file and its line. No book is made then.
    Refusal
        If it is no export, or a book is there already.
    """
    source, folder = Path(source), Path(folder)
    about = _about(source)
    settings = read_settings(source / SETTINGS)
    if store.holds_a_book(folder):
        raise faults.book_exists(folder)
    with folder_for(folder):
        with (
            faults.explained(folder / RECORDS, store.WAIT),
            tempfile.TemporaryDirectory(dir=folder, prefix=".import-") as half,
        ):
            book = create_book(Path(half) / "book", settings)
            _fill(book.records, source, about.get("rows", {}))
            if not _is_same_record(book.records, folder / RECORDS):
                store.put_beside(book.records, folder / RECORDS)
        settle(folder, (source / SETTINGS).read_text(encoding="utf-8-sig"))
    return open_book(folder)


def record_of(source: Path, file: Path) -> Path:
    """Make a record of an export's sheets, to be held against a damaged one.

    Raises
    ------
    ImportRefusal
        With every fault of the sheets.
    Refusal
        If it is no export, or one without its names and notes.
    """
    about = _about(source)
    if about.get("shareable"):
        raise Refusal(
            f"the folder {source}", "it is a copy to share, without names and notes",
            "Only a full export holds entries as they were written.",
            "Name a folder that  gddcast export DIR  wrote without  --share.", slug="not-an-export",
        )  # fmt: skip
    store.create(file)
    _fill(file, source, about.get("rows", {}))
    return file


def _is_same_record(imported: Path, records: Path) -> bool:
    """Whether an import that was killed before its last step had come to this very record."""
    if not records.exists():
        return False
    with store.reading(imported) as one, store.reading(records) as other:
        if any(list(sheet.rows(one)) != list(sheet.rows(other)) for sheet in sheets(one)):
            raise faults.book_exists(records.parent)
    return True


def _pages(book: Book, now: dt.datetime, disguise: _Disguise | None) -> Iterator[tuple[str, str]]:
    counts = {}
    with store.reading(book.records, book.wait) as connection:
        for sheet in sheets(connection):
            rows = list(sheet.rows(connection))
            if disguise:
                rows = list(disguise.rows(sheet, rows))
            counts[sheet.table] = len(rows)
            yield sheet.file, sheet.text(rows)
    if disguise:
        settings = book.settings
        yield SETTINGS, settings_text(replace(settings, place=disguise.place(settings.place)))
    else:
        yield SETTINGS, (book.folder / SETTINGS).read_text(encoding="utf-8-sig")
    made = now.date() if disguise else now.isoformat()
    yield (
        _ABOUT,
        "# A season book as text. To bring it back:  gddcast import THIS_FOLDER --book NEW_FOLDER\n"
        f'format = {FORMAT}\nmade = "{made}"\n'
        f"shareable = {str(disguise is not None).lower()}\n\n[rows]\n"
        + "".join(f"{table} = {count}\n" for table, count in counts.items()),
    )


def _about(source: Path) -> dict[str, Any]:
    about: dict[str, Any] = {}
    with contextlib.suppress(OSError, ValueError, RecursionError):
        about = tomllib.loads(_decoded((source / _ABOUT).read_bytes()))
    if about.get("format") != FORMAT:
        found = about.get("format")
        raise Refusal(
            f"the folder {source}",
            "it holds no export of a season book" if found is None else f"its format is {found}",
            f"An export has {_ABOUT} with  format = {FORMAT}  in it.",
            "Name a folder that  gddcast export DIR  wrote.",
            slug="not-an-export",
        )
    return about


def _fill(records: Path, source: Path, promised: dict[str, int]) -> None:
    """Every sheet into a fresh record, in one transaction."""
    found: list[str] = []
    with store.writing(records) as connection:
        for sheet in sheets(connection):
            file = source / sheet.file

            def fault(line: int, saw: str, expected: str, name: str = sheet.file) -> None:
                found.append(f"{name}, line {line}: found {saw}; expected {expected}")

            if not file.is_file():
                if promised.get(sheet.table):
                    found.append(f"{sheet.file}: it is missing; {_ABOUT} says it has rows")
                continue
            text = _text(file, fault)
            count = 0 if text is None else sheet.add(connection, text, fault)
            if sheet.table in promised and count != promised[sheet.table] and not found:
                found.append(
                    f"{sheet.file}: found {count} rows; {_ABOUT} says {promised[sheet.table]}"
                )
        if found:
            raise ImportRefusal(source, found)
        if not (source / "forecast_day.csv").exists():  # of a book that laid them among readings
            connection.execute(schema.FORECASTS_OF_OLD)


def _text(file: Path, fault: Callable[[int, str, str], None]) -> str | None:
    """Text of a sheet, also of one that a spreadsheet saved again as UTF-16.

    Another alphabet does not say which it is: guessed, it would change names in silence.
    """
    raw = file.read_bytes()
    try:
        return _decoded(raw)
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        fault(
            line,
            f"letters that are not {error.encoding.upper()}",
            "UTF-8: in the spreadsheet, save it as “CSV UTF-8”",
        )
        return None


def _decoded(raw: bytes) -> str:
    marked = raw.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))
    return raw.decode("utf-16" if marked else "utf-8-sig")


@dataclass(slots=True)
class _Disguise:
    """Takes names and notes out; the same word always gets the same stand-in."""

    words: dict[tuple[str, str], str] = field(default_factory=dict)

    def rows(
        self, sheet: ExportSheet, rows: Iterable[tuple[Any, ...]]
    ) -> Iterator[tuple[Any, ...]]:
        """Rows without what could name somebody."""
        for row in rows:
            yield tuple(
                self._cell(sheet.table, column.name, value)
                for column, value in zip(sheet.columns, row, strict=True)
            )

    def _cell(self, table: str, column: str, value: Any) -> Any:
        if value is None or column == "note" or (table, column) in _LEFT_OUT:
            return None
        if column.endswith("_at"):  # the hour people write at is theirs
            return dt.datetime.fromisoformat(value).strftime("%Y-%m-%dT00:00:00+00:00")
        if column in _DISGUISED and (table, column) != ("entry", "name"):
            kind = _DISGUISED[column]
            count = sum(each == kind for each, _ in self.words) + 1
            return self.words.setdefault((kind, value), f"{kind} {count}")
        return value

    def place(self, place: Any) -> Any:
        """The place to a tenth of a degree, without its name."""
        high = place.elevation
        return replace(
            place,
            name="A shared place",
            latitude=place.latitude and round(place.latitude, 1),
            longitude=place.longitude and round(place.longitude, 1),
            elevation=high and round(high, -1),
        )
