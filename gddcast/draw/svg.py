"""The few strokes the drawings are made of; every word is escaped, every number rounded."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from gddcast.draw import BLUE, INK, PALE_BLUE
from gddcast.text.hidden_characters import visible

Point = tuple[float, float]


class Svg(str):
    """A drawing whose words are escaped: a page takes it as it is."""

    __slots__ = ()

    def __html__(self) -> str:
        return self


def picture(
    width: float, height: float, title: str, description: str, strokes: Iterable[str]
) -> Svg:
    """A drawing that says itself to those who don't see it."""
    name = identity(title)
    return Svg(
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}" role="img" '
        f'aria-labelledby="{name}-title {name}-desc" font-family="sans-serif" font-size="14">\n'
        f'<title id="{name}-title">{word(title)}</title>\n'
        f'<desc id="{name}-desc">{word(description)}</desc>\n' + "\n".join(strokes) + "\n</svg>"
    )


def word(text: str) -> str:
    r"""A text as XML has it; what hides or turns letters, or is no character of XML, as its escape.

    Examples
    --------
    >>> word("bed <2>\x1b")
    'bed &lt;2&gt;\\u001b'
    """
    return escape(visible(text))


def identity(title: str) -> str:
    """An id from a drawing's own title, so that two drawings of a page never share one.

    Examples
    --------
    >>> identity('Sowings of "pea", <2>')
    'sowings-of-pea-2'
    """
    return "-".join("".join(c if c.isalnum() else " " for c in title.lower()).split())


def line(points: Iterable[Point], *, colour: str = INK, width: float = 1.5, dash: str = "") -> str:
    """An open line through points."""
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<polyline points="{_listed(points)}" fill="none" stroke="{colour}" '
        f'stroke-width="{width:g}"{dashes}/>'
    )


def area(points: Iterable[Point], *, fill: str = PALE_BLUE, outline: str = BLUE) -> str:
    """A filled, outlined area."""
    return (
        f'<polygon points="{_listed(points)}" fill="{fill}" stroke="{outline}" stroke-width="1"/>'
    )


def box(
    x: float, y: float, width: float, height: float, *, fill: str = "#FFFFFF", outline: str = INK
) -> str:
    """A bar: a length of time, never a doubt."""
    return (
        f'<rect x="{x:.1f}" y="{y:.1f}" width="{width:.1f}" height="{height:.1f}" fill="{fill}" '
        f'stroke="{outline}"/>'
    )


def rimmed(strokes: str) -> str:
    """Words with a white rim, legible over whatever runs under them."""
    return f'<g stroke="#FFFFFF" stroke-width="3" paint-order="stroke">{strokes}</g>'


def words(x: float, y: float, text: str, *, anchor: str = "start", colour: str = INK,
          size: int = 14, bold: bool = False) -> str:  # fmt: skip
    """Text at a place."""
    weight = ' font-weight="bold"' if bold else ""
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" fill="{colour}" '
        f'font-size="{size}"{weight}>{word(text)}</text>'
    )


def dot(x: float, y: float, *, hollow: bool = False, radius: float = 4.5) -> str:
    """A data point; hollow where it does not count."""
    fill = "#FFFFFF" if hollow else INK
    return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius:g}" fill="{fill}" stroke="{INK}"/>'


def hatching(name: str, *, colour: str = INK, width: float = 1.6) -> str:
    """A pattern of slanted strokes to fill an area with, for print without colour."""
    return (
        f'<defs><pattern id="{name}" width="7" height="7" patternUnits="userSpaceOnUse" '
        'patternTransform="rotate(45)"><path d="M0 0h7v7h-7z" fill="#FFFFFF"/>'
        f'<path d="M0 0v7" stroke="{colour}" stroke-width="{width:g}"/></pattern></defs>'
    )


def _listed(points: Iterable[Point]) -> str:
    return " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
