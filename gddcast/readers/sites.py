"""Several thermometers in one file: find the column that names them, keep one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from gddcast.errors import Refusal
from gddcast.readers.columns import meaning
from gddcast.readers.reading import OpenQuestion
from gddcast.readers.tables import Table

#: A column with more different words than this names no thermometers.
MOST_SITES = 200


@dataclass(frozen=True, slots=True)
class OneSite:
    """The rows of one site."""

    table: Table
    site: str | None = None
    sites: tuple[str, ...] = ()
    rows: NDArray[np.bool_] | None = None


def named_site(table: Table, column: int | None, wanted: str | None, name: str) -> OneSite:
    """Keep the rows of one site where a column is headed as a site.

    Raises
    ------
    Refusal
        If the file holds several sites and nobody said which (F9), or not the one wanted.
    """
    if column is None:
        return OneSite(table)
    sites = tuple(dict.fromkeys(row[column].strip() for row in table.rows))
    named = tuple(site for site in sites if site)
    if len(named) <= 1 and wanted is None:
        return OneSite(table, named[0] if named else None, named)
    if len(named) > MOST_SITES or (_are_numbers(named) and 2 * len(named) > len(table.rows)):
        return OneSite(table)  # numbers of rows
    return _of_site(table, column, named, wanted, name)


def stacked_site(
    table: Table, moments: NDArray[np.int64], wanted: str | None, name: str
) -> OneSite:
    """Keep the rows of one site where moments stand twice and an unnamed column tells why.

    Parameters
    ----------
    table : Table
    moments : numpy.ndarray of int
        Day or minute of each row.
    """
    for column in range(len(table.names)):
        words = [row[column].strip() for row in table.rows]
        sites = tuple(dict.fromkeys(words))
        if not 1 < len(sites) <= MOST_SITES or not (
            _are_words(sites, table.names[column])
            or _are_serials(words, sites, table.names[column], moments)
        ):
            continue
        if _parts_moments(words, sites, moments):
            return _of_site(table, column, sites, wanted, name)
    if wanted is not None:
        raise Refusal(
            name,
            f"it has no column that names the site '{wanted}'",
            f"Its columns are {', '.join(table.names)[:200]}.",
            "Leave --site out.",
            slug="several-sites",
        )
    return OneSite(table)


def _are_words(sites: Sequence[str], column: str) -> bool:
    if meaning(column).kind not in ("other", "site"):
        return False
    return all(any(letter.isalpha() for letter in site) for site in sites)


def _are_numbers(sites: Sequence[str]) -> bool:
    return all(site.isascii() and site.isdigit() for site in sites)


def _are_serials(
    words: Sequence[str], sites: Sequence[str], column: str, moments: NDArray[np.int64]
) -> bool:
    """Whether a column holds a few numbers that each stand on a fair share of doubled moments."""
    if meaning(column).kind not in ("other", "site") or not _are_numbers(sites):
        return False
    counts = np.array(list(Counter(words).values()))
    doubled = len(words) - np.unique(moments).size
    return len(sites) <= 20 and bool(counts.min() > 0.3 * counts.max()) and 4 * doubled > len(words)


def _parts_moments(words: Sequence[str], sites: Sequence[str], moments: NDArray[np.int64]) -> bool:
    """Whether no moment stands twice within a word, and the words come in blocks or in turn."""
    code_of = {site: code for code, site in enumerate(sites)}
    codes = np.fromiter(map(code_of.__getitem__, words), np.int64, len(words))
    pairs = np.unique(np.stack([codes, moments]), axis=1)
    if pairs.shape[1] != len(words):
        return False
    blocks = int(np.count_nonzero(np.diff(codes))) + 1
    if blocks <= 2 * len(sites):
        return True
    _, rows = np.unique(moments, return_counts=True)
    return float(np.median(rows)) == len(sites)


def _of_site(
    table: Table, column: int, sites: tuple[str, ...], wanted: str | None, name: str
) -> OneSite:
    chosen = [site for site in sites if wanted and site.casefold() == wanted.strip().casefold()]
    if not chosen:
        listed = ", ".join(sites[:8]) + (f" and {len(sites) - 8} more" if len(sites) > 8 else "")
        raise OpenQuestion(
            name,
            f"it holds {len(sites)} sites" if wanted is None else f"it has no site '{wanted}'",
            f"Column '{table.names[column]}' names {listed}. Two thermometers are never averaged.",
            "Say which one:",
            option="site",
            answer=sites[0],
            choices=sites,
            conflict=wanted is not None,
            slug="several-sites",
        )
    kept = np.array([row[column].strip() == chosen[0] for row in table.rows])
    rows = [row for row, keep in zip(table.rows, kept, strict=True) if keep]
    lines = [line for line, keep in zip(table.lines, kept, strict=True) if keep]
    return OneSite(replace(table, rows=rows, lines=lines), chosen[0], sites, kept)
