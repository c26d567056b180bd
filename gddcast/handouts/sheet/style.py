"""How the scouting sheet looks: black on white, one side of A4 or Letter, or big print.

Measures that decide what fits on a side stand here, once for the rules of style and for the
reckoning of room.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from gddcast.handouts.paper import Paper, in_style

#: Paper inside its margins of 12 mm: width and height. [mm]
INSIDE: dict[Paper, tuple[float, float]] = {"a4": (186.0, 273.0), "letter": (191.9, 255.4)}


@dataclass(frozen=True, slots=True)
class Print:
    """Sizes of one print: words in points, the rest in millimetres."""

    words: float
    head: float  # what is read while standing
    box: float
    write: float  # from one line to write on to the next
    drawing: float
    share: float  # of the width that the rows take
    large: bool = False


ORDINARY = Print(words=10.0, head=12.0, box=5.0, write=8.0, drawing=18.0, share=0.67)
LARGE = Print(words=16.0, head=21.0, box=9.0, write=13.0, drawing=56.0, share=1.0, large=True)
#: Prints from the roomiest to the closest: letters after which words are cut, and sizes.
CLOSER: dict[Print, tuple[tuple[int | None, Print], ...]] = {
    ORDINARY: ((None, ORDINARY), (72, ORDINARY), (48, replace(ORDINARY, drawing=16.0))),
    LARGE: ((None, LARGE), (72, LARGE), (48, replace(LARGE, drawing=44.0))),
}
#: Between the rows and the strip, beside a drawing, and between the boxes of a row. [mm]
GAP, BESIDE, BETWEEN_BOXES = 4.0, 2.0, 0.8
#: Boxes side by side, parted in the middle.
ACROSS = 10


def boxes_across(size: Print) -> float:
    """Width of a full line of boxes. [mm]"""
    return round(ACROSS * size.box + (ACROSS - 1) * BETWEEN_BOXES + 1.4, 1)


_RULES = """
@page { size: %(size)s; margin: 12mm; @bottom-left { font: 10pt sans-serif;
  content: "page " counter(page) " of " counter(pages) " · %(foot)s"; } }
html { font: %(words)gpt/1.18 "Liberation Sans", Arial, Helvetica, "DejaVu Sans", sans-serif; }
body { max-width: %(width)gmm; padding: 0; overflow-wrap: break-word; }
@media screen { body { padding: 6mm; max-width: %(screen)gmm; } }
h1, h2, p, figure, table, footer { margin: 0; line-height: inherit; }
h1, .item h2 { font-size: %(head)gpt; }
h2 { font-size: %(words)gpt; }
svg { font-family: inherit; }
.top { border-bottom: 0.5mm solid #000; padding-bottom: 1mm; margin-bottom: 2mm; }
.top > div { display: flex; justify-content: space-between; gap: 4mm; align-items: flex-end; }
.fill.scout { height: auto; flex: 0 0 44mm; }
.week { font-size: %(head)gpt; font-weight: bold; white-space: nowrap; }
.line { border-bottom: 0.3mm solid #000; flex: 0 0 auto; height: 1px; margin-bottom: 0.7mm; }
.grow { flex: 1 1 8mm; }
.box { flex: 0 0 auto; width: %(box)gmm; height: %(box)gmm; border: 0.35mm solid #000; }
.walk { display: grid; grid-template-columns: %(left)gmm minmax(0, 1fr); column-gap: %(gap)gmm; }
.item { break-inside: avoid; border-bottom: 0.3mm solid #666; padding-bottom: 1mm;
  margin-bottom: 1mm; }
.item > svg { float: left; width: %(drawing)gmm; height: %(drawing)gmm;
  margin: 0 %(beside)gmm 0.5mm 0; }
.shape { display: inline-block; width: 0.8em; height: 0.8em; margin-right: 1mm; }
.fill { clear: both; display: flex; align-items: flex-end; gap: 1.2mm; height: %(write)gmm;
  line-height: 1; white-space: nowrap; }
.pair { display: inline-flex; align-items: flex-end; gap: 1.2mm; }
.tick { height: auto; padding-top: 1.2mm; }
.boxes { display: flex; flex-wrap: wrap; gap: %(between)gmm; width: %(across)gmm; }
.boxes .box:nth-child(10n+5):not(:last-child) { margin-right: 1.2mm; }
.ahead figure { break-inside: avoid; margin-bottom: 2mm; }
.ahead figcaption { font-weight: normal; margin: 0; }
.ahead svg { width: %(strip)gmm; max-width: 100%%; height: auto; }
.moved, .legend { margin-bottom: 2mm; }
table { table-layout: fixed; line-height: 1.1; }
th, td { padding: 0 1mm; text-align: left; font-weight: normal; }
td .box { margin: 0 auto; }
tbody tr { height: %(write)gmm; }
.my, .chores { margin-top: 2mm; }
.chores { break-inside: avoid; }
footer { border-top: 0.3mm solid #000; margin-top: 2mm; padding-top: 1mm; break-inside: avoid; }
@media screen and (max-width: %(narrow)gmm) {
  body { padding: 4mm; }
  .walk { display: block; }
  .top > div, .fill { flex-wrap: wrap; }
  .fill { height: auto; min-height: %(write)gmm; white-space: normal; }
  .boxes { width: auto; }
  .week { white-space: normal; }
  .plants { min-width: 150mm; }
}
"""

#: Big print: two items a page, everything else after them.
_LARGE = """
.top > div { flex-wrap: wrap; }
.week { white-space: normal; }
.walk { display: block; }
.item:nth-of-type(2n) { break-after: page; border-bottom: 0; }
.ahead, .my { break-before: page; }
.plants { font-size: 12pt; }
.fill { flex-wrap: wrap; height: auto; min-height: %(write)gmm; }
"""


def sheet_style(paper: Paper, size: Print, foot: str) -> str:
    """The rules for one paper and print, with a line of plain words at the foot of each sheet."""
    wide, _ = INSIDE[paper]
    left = round(wide * size.share, 1)
    measures = {
        "size": "A4" if paper == "a4" else "letter",
        "foot": in_style(foot),
        # Paper is whole dots of a screen wide: a line on its very edge would be cut off.
        "width": round(wide - 0.4, 1),
        "screen": wide + 12,
        "narrow": wide + 16,
        "words": size.words,
        "head": size.head,
        "box": size.box,
        "write": size.write,
        "beside": BESIDE,
        "drawing": size.drawing,
        "left": left,
        "strip": round(wide - left - GAP, 1) if left < wide else wide,
        "gap": GAP,
        "across": boxes_across(size),
        "between": BETWEEN_BOXES,
    }
    return _RULES % measures + (_LARGE % measures if size.large else "")
