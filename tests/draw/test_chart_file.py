"""A picture file: named, the same every time, with words that fit, or refused."""

from __future__ import annotations

import io
import sys
from pathlib import Path

import pytest

pytest.importorskip("matplotlib", reason="figures need the extra [charts]")

import matplotlib as mpl
from matplotlib.figure import Figure
from PIL import Image

from gddcast.draw.chart_file import FORMATS, Words, format_of, picture
from gddcast.errors import Refusal
from tests.draw.looks import laid_out, named, words_of

SAID = Words("A line <&>", "It rises & falls by 3 °F in 10 of 12 past years.", "A note: ○ – ∅.")


def line(fig: Figure) -> None:
    fig.add_subplot().plot([0, 1, 2], [0, 3, 1], label="a line")


@pytest.mark.parametrize("form", FORMATS)
def test_the_same_bytes_whatever_a_person_s_own_settings(form: str) -> None:
    """Nobody's style, no date and no version gets into a file."""
    plain = picture(line, SAID, form, width=120, height=60)  # type: ignore[arg-type]
    with mpl.rc_context({"font.size": 30, "lines.linewidth": 9, "svg.hashsalt": None}):
        assert picture(line, SAID, form, width=120, height=60) == plain  # type: ignore[arg-type]
        assert mpl.rcParams["font.size"] == 30
    for stamp in (b"Matplotlib v", mpl.__version__.encode(), b"CreationDate", b"dc:date"):
        assert stamp not in plain


def test_an_svg_says_itself_and_keeps_its_words_as_words() -> None:
    svg = picture(line, SAID, "svg", width=120, height=60)
    role, name, description = named(svg)
    assert role == "img"
    assert name == SAID.title
    assert description == f"{SAID.takeaway} {SAID.note}"
    assert "It rises &amp; falls by 3 °F" in svg.decode()
    assert b"sans-serif" in svg


def test_a_png_is_as_wide_as_asked_and_carries_its_words() -> None:
    with Image.open(io.BytesIO(picture(line, SAID, "png", width=127, height=60))) as png:
        assert png.width == 1000  # 5 inches at 200 dots an inch
        assert png.info["Title"] == SAID.title
        assert png.info["Description"].startswith(SAID.takeaway)


@pytest.mark.parametrize("width", [80, 180, 400])
def test_words_are_broken_to_the_width(width: int) -> None:
    """No word of takeaway or note is lost, and no line leaves the picture."""
    said = Words("long", " ".join(["Squash vine borer, first moths"] * 9), "and a note " * 12)
    fig = laid_out(line, width, said=said)
    shown = {text.replace("\n", " "): box for text, box in words_of(fig)}
    for text in (said.takeaway, said.note.strip()):
        margin = shown[text].x0
        assert margin > 0
        assert shown[text].x1 <= fig.bbox.width - margin / 2


@pytest.mark.parametrize("name", ["picture.gif", "picture", "picture.svgz", ".svg"])
def test_an_unknown_ending_is_refused(name: str) -> None:
    with pytest.raises(Refusal, match=r"\.svg for a page or the web") as caught:
        format_of(Path(name))
    assert caught.value.slug == "picture-format"


def test_endings_are_read_in_capitals_too() -> None:
    assert [format_of(Path(f"a.{ending}")) for ending in ("SVG", "png", "Pdf")] == list(FORMATS)


def test_without_matplotlib_it_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "matplotlib", None)
    with pytest.raises(Refusal, match=r"pip install 'gddcast\[charts\]'") as caught:
        format_of(Path("season.svg"))
    assert str(caught.value).count("\n") == 2  # three parts
