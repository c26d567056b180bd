"""A table of temperatures before it becomes bytes, and beside it what is true of it."""

from __future__ import annotations

import datetime as dt
import math
import random
from dataclasses import dataclass, field

from gddcast.readers.reading import FileUnit, Options
from tests.fuzz import workbooks

NAN = math.nan
LOW, HIGH = 0, 1


def in_celsius(number: float, unit: FileUnit) -> float:
    """The meaning of a printed number. [°C]"""
    if unit == "F":
        return (number - 32.0) * 5.0 / 9.0
    return number - 273.15 if unit == "K" else number / 10.0 if unit == "tenths-C" else number


@dataclass
class Truth:
    """What the days of a file are, and what nobody can know from the file alone.

    Parameters
    ----------
    days : dict of date to [low, high]
        NaN where the file holds no reading that could be known. [°C]
    free : set of (date, half)
        Readings the file itself falsifies beyond finding out: anything may be read.
    stray : int
        Days that a damaged date may invent.
    forecast : set of date
        Days that must not be called measured.
    unsettled : dict
        What the file does not say (keyword of `Options`) and the true answer: it must ask.
    hopeless : str
        Why the file must be refused whatever is said; empty where it need not.
    told : dict
        What is said of the file in any case, such as a time zone.
    plain : bool
        Whether a file that says all this must be read, not refused.
    doubtful : bool
        Whether a reader may settle by its wits what is unsettled: right is as good as refused.
    tolerance : float
        Distance that counts as equal. [°C]
    """

    days: dict[dt.date, list[float]] = field(default_factory=dict)
    free: set[tuple[dt.date, int]] = field(default_factory=set)
    stray: int = 0
    forecast: set[dt.date] = field(default_factory=set)
    unsettled: dict[str, object] = field(default_factory=dict)
    hopeless: str = ""
    told: dict[str, object] = field(default_factory=dict)
    plain: bool = True
    doubtful: bool = False
    tolerance: float = 1e-6

    def sayings(self) -> list[tuple[Options, bool]]:
        """What is said of the file at each reading of it, and whether it must be refused."""
        bare = Options(**self.told)  # type: ignore[arg-type]
        if self.hopeless:
            return [(bare, not self.doubtful)]
        if not self.unsettled:
            return [(bare, False)]
        settled = Options(**{**self.told, **self.unsettled, "sure": True})  # type: ignore[arg-type]
        return [(bare, not self.doubtful), (settled, False)]


@dataclass
class Column:
    """One column: what it holds and its name."""

    holds: str
    name: str


@dataclass(eq=False)
class Row:
    """Cells of one line; ``day`` is None where it is no day's."""

    cells: list[str]
    day: dt.date | None = None


@dataclass
class Sheet:
    """A table, the way it is written, and its truth."""

    kind: str
    columns: list[Column]
    rows: list[Row]
    truth: Truth
    unit: FileUnit = "C"
    decimals: int = 1
    delimiter: str = ","
    comma: bool = False
    quoted: bool = False
    flush_right: bool = False
    minus: str = "-"
    header: bool = True
    above: list[str] = field(default_factory=list)
    below: list[str] = field(default_factory=list)
    newline: str = "\n"
    last_newline: bool = True
    encoding: str = "utf-8"
    dates: str = ""
    mark: str = ""
    unit_row: str = ""
    cut: int = 0
    damage: tuple[int, float, int] | None = None
    name: str = "bed3.csv"
    other_sheets: list[tuple[str, str, list[list[object]]]] = field(default_factory=list)
    sheet_a_year: bool = False
    mutations: list[str] = field(default_factory=list)

    def at(self, holds: str) -> int | None:
        """Position of the first column that holds something."""
        return next((i for i, each in enumerate(self.columns) if each.holds == holds), None)

    def number(self, value: float) -> str:
        """A number as this file writes it."""
        text = f"{value:.{self.decimals}f}"
        text = text.replace("-", self.minus)
        return text.replace(".", ",") if self.comma else text

    def printed(self, celsius: float) -> tuple[str, float]:
        """A temperature as this file writes it, and what the print means. [°C]"""
        raw = {
            "F": celsius * 1.8 + 32,
            "K": celsius + 273.15,
            "tenths-C": celsius * 10,
            "C": celsius,
        }[self.unit]
        value = round(raw, self.decimals)
        return self.number(value + 0.0) + self.mark, in_celsius(value, self.unit)

    def day_rows(self) -> list[Row]:
        """Rows that are days."""
        return [row for row in self.rows if row.day is not None]

    def text(self) -> str:
        """The file's text."""
        lines = list(self.above)
        table = ([Row([each.name for each in self.columns])] if self.header else []) + self.rows
        if self.delimiter == "  ":
            wide = max((len(c) for row in table for c in row.cells), default=1) + 2
            pad = str.rjust if self.flush_right else str.ljust
            lines += [
                "".join(pad(c, wide) for c in row.cells).rstrip() if len(row.cells) > 1
                else row.cells[0] for row in table
            ]  # fmt: skip
        else:
            lines += map(self._line, table)
        text = self.newline.join(lines + self.below)
        text += self.newline if self.last_newline else ""
        return text[: len(text) - self.cut]

    def _line(self, row: Row) -> str:
        whole = row.day is not None or len(row.cells) > 1
        return self.delimiter.join(map(self._cell, row.cells) if whole else row.cells)

    def _cell(self, text: str) -> str:
        if self.quoted or (self.delimiter in text and self.delimiter not in "\t "):
            return '"' + text.replace('"', '""') + '"'
        return text

    def raw(self) -> bytes:
        """The file's bytes."""
        if self.name.endswith(".xlsx"):
            return workbooks.raw(self)
        raw = self.text().encode(self.encoding, errors="replace")
        if self.damage is None:
            return raw
        row, share, byte = self.damage
        lines = raw.splitlines(keepends=True)
        at = len(self.above) + self.header + row
        begin = sum(map(len, lines[:at]))
        spot = begin + int(share * len(lines[at]))
        return raw[:spot] + bytes([byte]) + raw[spot + 1 :]


def some(rows: list[Row], chance: random.Random, most: int = 3) -> list[Row]:
    """A few rows that are days."""
    days = [row for row in rows if row.day is not None]
    return chance.sample(days, min(len(days), chance.randint(1, most)))
