"""Quality flags of NOAA's daily archive: a letter says which check a value failed."""

from __future__ import annotations

from gddcast.readers.reading import Note


def flagged_note(failed: int) -> Note:
    """Say how many readings the archive itself doubts."""
    verb = "reading" if failed == 1 else "readings"
    tail = "is taken" if failed == 1 else "are taken"
    text = (
        f"{failed:,} {verb} failed the archive's own checks (quality flag) and {tail} as missing."
    )
    return Note("archive-flags", text)


def failed_quality(attributes: str) -> bool:
    """Whether an attributes cell of an NCEI table carries a quality flag.

    The cell holds measurement flag, quality flag, source flag and sometimes the hour.

    Examples
    --------
    >>> failed_quality(",I,W,2400"), failed_quality(",,W")
    (True, False)
    """
    flags = attributes.split(",")
    return len(flags) > 1 and bool(flags[1].strip())
