"""A page filled from its template: self-contained, for A4 and for Letter, every word escaped."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Literal

from gddcast.draw.svg import Svg
from gddcast.text.hidden_characters import visible

if TYPE_CHECKING:
    from jinja2 import Environment

Paper = Literal["a4", "letter"]


@dataclass(frozen=True, slots=True)
class PageTable:
    """A table of plain words; the first cell heads its row.

    Parameters
    ----------
    name : str
        For those who do not see it; no two of a page alike.
    headings, foot : sequence of str
    rows : sequence of sequence of str
    caption, css : str, optional
    """

    name: str
    headings: Sequence[str]
    rows: Sequence[Sequence[str]]
    caption: str = ""
    css: str = ""
    foot: Sequence[str] = ()


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawing under the sentence of what it shows, and under its name if it has one."""

    takeaway: str
    drawing: Svg
    name: str = ""


def fill(template: str, page: object, *, paper: Paper = "a4") -> str:
    """A whole HTML document.

    Parameters
    ----------
    template : str
        A file of the folder ``templates``.
    page : object
        The context the template names ``page``.
    paper : {"a4", "letter"}, default: "a4"
        Sheet the page is laid out for.
    """
    return templates().get_template(template).render(page=page, paper=paper)


@cache
def templates() -> Environment:
    """All of them; a word they ask for and nobody gave is an error."""
    from jinja2 import Environment, PackageLoader, StrictUndefined

    environment = Environment(
        loader=PackageLoader("gddcast.pages"), autoescape=True, undefined=StrictUndefined,
        trim_blocks=True, lstrip_blocks=True, keep_trailing_newline=True, finalize=_visible,
    )  # fmt: skip
    environment.filters["css"] = css_string
    return environment


def _visible(word: object) -> object:
    """A word with nothing in it that hides, turns or is no character of a page; see `visible`."""
    return visible(word) if type(word) is str else word


def css_string(text: str) -> str:
    r"""Words between the quotes of a style rule: all but letters, digits, spaces by their number.

    Examples
    --------
    >>> print(css_string('1" rain'))
    1\000022  rain
    """
    # The space behind a number ends it and is not shown.
    return "".join(c if c.isalnum() or c == " " else f"\\{ord(c):06x} " for c in text)
