"""A whole picture: its takeaway on top, its note below, the drawing between, as bytes of a file.

The same drawing gives the same bytes: nobody's own settings, no date, no version, one font.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import dataclass
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from gddcast.draw.house_style import CHART_STYLE, POINTS
from gddcast.errors import Refusal
from gddcast.text.hidden_characters import visible

if TYPE_CHECKING:
    from matplotlib.figure import Figure

Format = Literal["svg", "png", "pdf"]
#: Endings a picture's file may have.
FORMATS: tuple[Format, ...] = ("svg", "png", "pdf")

_MM = 1 / 25.4
_INSET = 5.0  # from the edge to the words [points]
# Of a file besides: the same bytes each time, letters that can be searched and read aloud.
_STYLE = {
    **CHART_STYLE,
    "axes.titlelocation": "center",
    "figure.constrained_layout.use": False,  # each figure says its own layout
    "figure.dpi": 72.0,
    "pdf.fonttype": 42,
    "svg.fonttype": "none",
    "svg.hashsalt": "gddcast",
}


@dataclass(frozen=True, slots=True)
class Words:
    """What a picture says besides its labels.

    Parameters
    ----------
    title : str
        What it is, for those who don't see it.
    takeaway : str
        What it shows, in a sentence, on top of it.
    note : str
        How it was counted and what its marks mean, below it.
    """

    title: str
    takeaway: str
    note: str

    def __post_init__(self) -> None:
        for each in ("title", "takeaway", "note"):  # a name with a control character is no XML
            object.__setattr__(self, each, visible(getattr(self, each)))


def format_of(path: Path) -> Format:
    """The format a file's ending asks for, once it is clear that it can be drawn.

    Raises
    ------
    Refusal
        If the ending is none of `FORMATS`, or Matplotlib is not installed.
    """
    ending = path.suffix.lower().removeprefix(".")
    if ending not in FORMATS:
        raise Refusal(
            str(path),
            f"'{path.suffix}' is no kind of picture we write" if ending else "it has no ending",
            "The ending says what is written: .svg for a page or the web, .png for a message, "
            ".pdf for print.",
            f"Name it, for example, {path.stem or 'picture'}.svg.",
            slug="picture-format",
        )
    try:
        import matplotlib  # noqa: F401
    except ImportError as error:
        raise Refusal(
            str(path),
            "what draws pictures is not installed",
            "Charts are an extra, because Matplotlib is large.",
            "Run  pip install 'gddcast[charts]'",
            slug="charts-missing",
        ) from error
    return ending


def picture(
    draw: Callable[[Figure], object], caption: Words, form: Format, *, width: float, height: float
) -> bytes:
    """Draw, and give the bytes of the file.

    Parameters
    ----------
    draw : callable
        Draws on the empty figure it is given, whose layout is settled afterwards.
    caption : Words
    form : {"svg", "png", "pdf"}
    width, height : float
        Of the drawing; takeaway and note add their lines to the height. [mm]

    Returns
    -------
    bytes
        The same for the same drawing.
    """
    from matplotlib import style
    from matplotlib.figure import Figure

    with style.context(["default", _STYLE]):
        fig = Figure(figsize=(width * _MM, height * _MM), layout="constrained")
        takeaway = wrapped(fig, caption.takeaway, bold=True)
        note = wrapped(fig, caption.note)
        lines = takeaway.count("\n") + note.count("\n") + 2
        fig.set_figheight(height * _MM + lines * POINTS * 1.25 / 72)
        left = _INSET / (72 * fig.get_figwidth())
        fig.suptitle(takeaway, x=left, ha="left", size=POINTS, weight="bold", linespacing=1.2)
        fig.supxlabel(note, x=left, ha="left", size=POINTS, linespacing=1.2)
        draw(fig)
        file = io.BytesIO()
        fig.savefig(file, format=form, dpi=200, metadata=_metadata(caption, form))
    return _accessible(file.getvalue(), caption) if form == "svg" else file.getvalue()


def wrapped(fig: Figure, text: str, *, bold: bool = False) -> str:
    """A text broken into lines as wide as the figure."""
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import text_to_path

    font = FontProperties(size=POINTS, weight="bold" if bold else "normal")
    # Letters set to whole dots of a picture run a little wider than their outlines.
    room = 0.985 * (fig.get_figwidth() * 72 - 2 * _INSET)
    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        wide, _, _ = text_to_path.get_text_width_height_descent(longer, font, ismath=False)
        if lines[-1] and wide > room:
            lines.append(word)
        else:
            lines[-1] = longer
    return "\n".join(lines)


def _metadata(caption: Words, form: Format) -> dict[str, str | None]:
    """Title and description; nothing of when or by which version."""
    if form == "png":
        return {"Title": caption.title, "Description": _described(caption), "Software": None}
    if form == "pdf":
        made = {"CreationDate": None, "Producer": None, "Creator": "gddcast"}
        return {"Title": caption.title, "Subject": _described(caption), **made}
    return {"Date": None, "Creator": None, "Title": caption.title}


def _described(caption: Words) -> str:
    return f"{caption.takeaway} {caption.note}".strip()


def _accessible(svg: bytes, caption: Words) -> bytes:
    """Give the drawing a role, a name and a description that screen readers say."""
    text = svg.decode("utf-8")
    title = f"<title>{escape(caption.title, quote=False)}</title>"
    named = (
        f'<title id="chart-title">{escape(caption.title)}</title>\n'
        f' <desc id="chart-desc">{escape(_described(caption))}</desc>'
    )
    text = text.replace(title, named, 1)
    text = text.replace(
        "<svg ", '<svg role="img" aria-labelledby="chart-title chart-desc" lang="en" ', 1
    )
    # Where that font is not at hand, one as wide keeps labels from running into one another.
    text = text.replace("'DejaVu Sans'", "'DejaVu Sans', Verdana, sans-serif")
    return text.encode("utf-8")
