"""Names that people give: as part of a file's name, and compared with one another."""

from __future__ import annotations

import re
import unicodedata


def file_word(name: str) -> str:
    """A place's name as part of a file's or a folder's.

    Examples
    --------
    >>> file_word("Larkhollow Patch"), file_word("Aux")
    ('larkhollow-patch', 'aux-book')
    """
    word = re.sub(r"[^\w]+", "-", unicodedata.normalize("NFC", name).lower())[:60].strip("-")
    # Windows keeps these names for its devices, in any case and with any ending.
    kept = re.fullmatch(r"con|prn|aux|nul|(com|lpt)\d", word)
    return f"{word}-book" if kept else word or "season-book"


def alike(name: str) -> str:
    """A name as it is compared with others: without its case, its accents as one letter.

    Some disks part letters from their accents.

    Examples
    --------
    >>> alike("\u00d6stra") == alike("o\u0308stra")
    True
    """
    return unicodedata.normalize("NFC", name.strip()).casefold()
