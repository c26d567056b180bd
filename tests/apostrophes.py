"""Straight apostrophes in words that people read: none, wherever they are read."""

from __future__ import annotations

import re

#: Between letters, or after a plural before its next word. A name quoted for a shell has neither.
_STRAIGHT = re.compile(r"\w*[A-Za-z]'[a-z]\w*|\w+s' [a-z]\w*")
_CODE = re.compile(r"<(script|style)\b.*?</\1>", re.DOTALL)


def straight(text: str) -> list[str]:
    r"""Each word with one, of plain text or of a page without its scripts.

    Examples
    --------
    >>> straight("the moths' eggs, the week's sheet, can’t; --where 'row 2' now")
    ["moths' eggs", "week's"]
    >>> straight("<script>let x = 'it\'s'</script><p>it’s</p>")
    []
    """
    return [
        found.group() for found in _STRAIGHT.finditer(_CODE.sub("", text).replace("&#39;", "'"))
    ]
