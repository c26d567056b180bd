"""Characters that nobody sees, or that move what is seen, shown as their escapes."""

from __future__ import annotations

import re

# Control characters but the tab and the end of a line; what turns, joins or hides letters
# (Unicode's general categories Cc, Cf, Zl, Zp and Cs, where they are in use).
_HIDDEN = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\xad\u061c\u115f\u1160\u180e\u200b-\u200f\u2028-\u202e"
    "\u2060-\u206f\u3164\ufeff\uffa0\ufff9-\ufffb\U000e0000-\U000e007f\ud800-\udfff]"
)


def visible(text: str) -> str:
    r"""A text whose hidden characters are printed as their escapes.

    Examples
    --------
    >>> visible("bed \x1b[31m3")
    'bed \\u001b[31m3'
    """
    return _HIDDEN.sub(lambda found: escaped(found[0]), text)


def escaped(characters: str) -> str:
    """As JSON has it: one past U+FFFF is two."""
    pairs = characters.encode("utf-16-be", "surrogatepass").hex()
    return "".join(f"\\u{pairs[at : at + 4]}" for at in range(0, len(pairs), 4))


#: Bold, dim and back: all that is written to make a screen show words otherwise.
BOLD, DIM, AS_BEFORE = "\x1b[1m", "\x1b[2m", "\x1b[0m"
_EMPHASIS = re.compile(r"(\x1b\[[012]m)")


def visible_but_emphasis(text: str) -> str:
    r"""The same, but for the three sequences of bold and dim.

    Only for what a `terminal.Terminal` laid out: it has made every word visible before it wrote
    one of them.

    Examples
    --------
    >>> visible_but_emphasis("\x1b[1mmoths\x1b[0m \x1b[2J")
    '\x1b[1mmoths\x1b[0m \\u001b[2J'
    """
    parts = _EMPHASIS.split(text)
    return "".join(part if at % 2 else visible(part) for at, part in enumerate(parts))
