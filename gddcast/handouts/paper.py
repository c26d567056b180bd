"""One self-contained page that prints on A4 and on Letter: black on white, nothing fetched."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape
from typing import Literal

Paper = Literal["a4", "letter"]

_STYLE = """
@page { size: %(paper)s; margin: 12mm; }
* { box-sizing: border-box; }
html { color: #000; background: #fff; font: 10.5pt/1.35 "DejaVu Sans", "Liberation Sans",
  Arial, sans-serif; }
body { margin: 0 auto; max-width: 190mm; padding: 4mm; }
@media print { body { padding: 0; max-width: none; } }
h1 { font-size: 15pt; margin: 0 0 2mm; line-height: 1.2; }
h2 { font-size: 12pt; margin: 4mm 0 1.5mm; break-after: avoid; }
h3 { font-size: 10.5pt; margin: 3mm 0 1mm; break-after: avoid; }
p { margin: 1.5mm 0; }
figure { margin: 2mm 0; }
figcaption { font-weight: bold; margin-bottom: 1mm; }
figcaption span { display: block; font-weight: normal; }
svg { display: block; width: 100%%; height: auto; }
table { border-collapse: collapse; width: 100%%; font-variant-numeric: tabular-nums; }
caption { text-align: left; font-weight: bold; padding-bottom: 1mm; }
thead { display: table-header-group; }
tr { break-inside: avoid; }
th, td { border: 0.3mm solid #666; padding: 0.8mm 1.5mm; text-align: right;
  vertical-align: middle; }
th { font-weight: bold; }
th:first-child, td:first-child, .words th, .words td { text-align: left; }
.write tbody td, .write tfoot td { height: 8.6mm; }
.wide { overflow-x: auto; max-width: 100%%; }
.wide:focus-visible { outline: 0.8mm solid #0072B2; }
summary { font-weight: bold; padding: 2mm 0; min-height: 24px; cursor: pointer; }
summary:focus-visible { outline: 0.8mm solid #0072B2; }
@media screen { details:not([open]) + .fold { display: none; } }
@media print { .wide { overflow: visible; } summary { list-style: none; } }
.band { display: flex; justify-content: space-between; gap: 6mm; flex-wrap: wrap;
  border-bottom: 0.4mm solid #000; padding-bottom: 1mm; margin-bottom: 2mm; }
.side { display: flex; gap: 6mm; align-items: flex-start; flex-wrap: wrap; }
.side > * { flex: 1 1 70mm; min-width: 0; }
ol, ul { margin: 1mm 0; padding-left: 6mm; }
footer { border-top: 0.3mm solid #666; margin-top: 3mm; padding-top: 1mm; }
"""


def page(title: str, body: Iterable[str], *, paper: Paper = "a4", style: str = "") -> str:
    """A whole HTML document.

    Parameters
    ----------
    title : str
        Plain words; escaped here.
    body : iterable of str
        HTML, its words already escaped.
    paper : {"a4", "letter"}, default: "a4"
        Sheet the page is laid out for.
    style : str, optional
        Rules only this page needs.
    """
    rules = _STYLE % {"paper": "A4" if paper == "a4" else "letter"} + style
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(title)}</title>\n<style>{rules}</style>\n</head>\n<body>\n<main>\n"
        + "\n".join(body)
        + "\n</main>\n</body>\n</html>\n"
    )


def table(
    headings: Sequence[str], rows: Iterable[Sequence[str]], *, caption: str = "",
    css: str = "", foot: Sequence[str] = (),
) -> str:  # fmt: skip
    """A table of plain words; all of them are escaped here. The first cell heads its row."""
    said = f"<caption>{escape(caption)}</caption>" if caption else ""
    head = "".join(f'<th scope="col">{escape(each)}</th>' for each in headings)
    body = "\n".join(_row(row) for row in rows)
    end = f"<tfoot>{_row(foot)}</tfoot>" if foot else ""
    kind = f' class="{css}"' if css else ""
    return (
        f"<table{kind}>{said}<thead><tr>{head}</tr></thead>\n<tbody>\n{body}\n</tbody>{end}</table>"
    )


def wide(table: str, name: str) -> str:
    """A table in a box of its own, which scrolls by finger and by key; no two alike in name."""
    return f'<div class="wide" role="region" tabindex="0" aria-label="{escape(name)}">{table}</div>'


def _row(cells: Sequence[str]) -> str:
    first, *others = (escape(cell) for cell in cells)
    return f'<tr><th scope="row">{first}</th>' + "".join(f"<td>{c}</td>" for c in others) + "</tr>"


def fold(line: str, body: str, *, opened: bool = False) -> str:
    """Something behind a line that opens and shuts it without a script; paper shows it open.

    It stands beside the ``details``, not in it: what is in a shut one stays away from paper.
    """
    return (
        f"<details{' open' if opened else ''}><summary>{escape(line)}</summary></details>\n"
        f'<div class="fold">{body}</div>'
    )


def paragraph(text: str) -> str:
    """Plain words as a paragraph."""
    return f"<p>{escape(text)}</p>"


def heading(text: str, level: int = 2) -> str:
    """Plain words as a heading."""
    return f"<h{level}>{escape(text)}</h{level}>"


def listed(items: Iterable[str], *, numbered: bool = False, css: str = "") -> str:
    """Plain words as a list."""
    tag = "ol" if numbered else "ul"
    kind = f' class="{css}"' if css else ""
    return f"<{tag}{kind}>" + "".join(f"<li>{escape(item)}</li>" for item in items) + f"</{tag}>"


def figure(takeaway: str, drawing: str, *, name: str = "") -> str:
    """A drawing under the sentence that says what it shows, and under its name if it has one."""
    said = f"{escape(name)}<span>{escape(takeaway)}</span>" if name else escape(takeaway)
    return f"<figure><figcaption>{said}</figcaption>\n{drawing}\n</figure>"


def in_style(text: str) -> str:
    """Words inside a style rule: all but letters, digits and spaces by their number."""
    # The space behind a number ends it and is not shown.
    return "".join(c if c.isalnum() or c == " " else f"\\{ord(c):06x} " for c in text)
