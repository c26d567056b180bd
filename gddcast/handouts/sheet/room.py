"""How much room words and lines take on paper, so that a sheet can be filled and not run over.

Words are measured by the advance widths of DejaVu Sans, which is wider than the other faces a
browser may put in its place: what fits by this measure fits by theirs.
"""

from __future__ import annotations

from dataclasses import dataclass

#: One typographic point. [mm]
POINT = 25.4 / 72
#: From one line of words to the next, in their own size.
LEADING = 1.18
#: Bold letters are at most so much wider.
_BOLD = 1.18
#: Advance widths in hundredths of the size, rounded up, by letter.
_WIDTHS = {
    letter: width
    for width, letters in {
        28: "'ijl", 30: "IJ", 32: " ,.·’", 34: "/:;\\|", 36: "f-", 40: "()[]t!", 42: "r",
        46: '"', 50: "*_–°", 53: "s“”?z", 56: "cL", 58: "Fk", 60: "Pvxy", 62: "TYaeo",
        64: "Ehnu$0123456789Sbdgpq", 69: "AVKBRXZ", 74: "CU", 79: "HNDGOQ&", 84: "w+<=>→×−",
        87: "M", 98: "m½¼%", 100: "W@—",
    }.items()
    for letter in letters
}  # fmt: skip
#: Letters not listed are taken as wide as these.
_OTHERS = 70


@dataclass(frozen=True, slots=True)
class Block:
    """A piece of a page and the height it takes. [mm]"""

    html: str
    height: float


def width(words: str, points: float, *, bold: bool = False) -> float:
    """Length of words on one line. [mm]"""
    hundredths = sum(_WIDTHS.get(letter, _OTHERS) for letter in words)
    return hundredths / 100 * points * POINT * (_BOLD if bold else 1.0)


def lines(
    words: str,
    room: float,
    points: float,
    *,
    bold: bool = False,
    beside: tuple[int, float] = (0, 0.0),
) -> int:
    """Lines that words take in so much room, broken at spaces as a browser does.

    Parameters
    ----------
    words : str
    room : float
        Width of a line. [mm]
    points : float
    bold : bool, default: False
    beside : (int, float)
        So many first lines stand beside a picture and have that width. [mm]

    Examples
    --------
    >>> lines("one two three four five six", 20.0, 10.0)
    3
    """
    letter = points * POINT  # no line is too narrow for one
    first, narrow = beside[0], max(beside[1], letter)
    room = max(room, letter)
    space = width(" ", points, bold=bold)
    count, used = 1, 0.0
    for word in words.split():
        here = narrow if count <= first else room
        long = width(word, points, bold=bold)
        if used and used + space + long > here:
            count, used = count + 1, long
        else:
            used += (space if used else 0.0) + long
        while used > (here := narrow if count <= first else room):
            count, used = count + 1, used - here  # a word longer than a line is broken
    return count


def line_height(points: float) -> float:
    """From one line of words to the next. [mm]"""
    return points * POINT * LEADING


def height(words: str, room: float, points: float, *, bold: bool = False) -> float:
    """Height of words in so much room. [mm]"""
    return lines(words, room, points, bold=bold) * line_height(points)
