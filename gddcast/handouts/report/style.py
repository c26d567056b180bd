"""How the season report looks: on a phone, on a wide screen, on A4 and on Letter."""

from __future__ import annotations

from gddcast.handouts.paper import in_style

#: Rules on top of those every page of ours has.
_RULES = """
@page { size: auto; margin: 12mm 12mm 16mm;
  @bottom-left { content: "%(foot)s"; font: 9pt sans-serif; }
  @bottom-right { content: "page " counter(page) " of " counter(pages); font: 9pt sans-serif;
    white-space: nowrap; } }
body { max-width: 74rem; padding: 4mm; overflow-wrap: break-word; }
h2 { margin-top: 7mm; border-top: 0.4mm solid #000; padding-top: 2mm; }
#week { border: 0; margin-top: 2mm; padding: 0; }
.skip { position: absolute; left: -999rem; }
.skip:focus { position: static; }
a { color: #0072B2; }
a:focus-visible { outline: 0.8mm solid #0072B2; }
nav ul { list-style: none; padding: 0; display: flex; flex-wrap: wrap; gap: 0 5mm; }
nav a { display: inline-block; padding: 1.5mm 0; }
p, .due, ul { max-width: 52rem; }
.due { list-style: none; padding: 0; margin: 0; }
.due li { margin: 0 0 3mm; break-inside: avoid; }
.tally { margin: 0 0 2mm; }
.due b { font-size: 11.5pt; }
.beside { margin-top: 1mm; }
.strips { display: grid; grid-template-columns: repeat(auto-fill, minmax(min(100%%, 20rem), 1fr));
  gap: 4mm 8mm; margin-top: 4mm; }
figure { break-inside: avoid; }
.strips figure { margin: 0; }
.wide { margin: 2mm 0; }
svg { max-width: 30rem; }
.wide table:not(.words) td { white-space: nowrap; }
.words td { min-width: 5rem; }
.wide th, .wide caption { white-space: normal; }
.wide th[scope=row] { min-width: 9rem; }
@media (min-width: 60rem) { .wide th[scope=row]:not(:only-child) { min-width: 11rem; } }
.side > figure { flex: 0 1 26rem; }
.side > .wide { flex: 1 1 24rem; }
ul, ol { padding-left: 5mm; }
.marked { list-style: none; padding-left: 0; }
li { margin-bottom: 1mm; }
@media print {
  nav, .skip { display: none; }
  details { break-after: avoid; break-inside: avoid; }
  /* A grid does not keep with the line before it: the line asks for the room of a first row. */
  details:has(+ .fold > .strips) { padding-bottom: 62mm; margin-bottom: -62mm; }
  .fold, .fold > .strips { break-before: avoid; }
  tbody tr:first-child { break-after: avoid; }
  tbody tr:last-child { break-before: avoid; }
  .side { display: grid; grid-template-columns: 72mm 1fr; gap: 4mm; }
  .side table, .wide table { font-size: 10pt; }
  .wide table:not(.words) td { white-space: normal; }
  .wide th, .wide td { padding: 0.6mm 1mm; }
  .wide th[scope=row] { min-width: 0; }
  .strips { grid-template-columns: 1fr 1fr; }
  .strips svg { max-width: 82mm; }
  a { color: #000; text-decoration: none; }
}
"""


def report_style(foot: str) -> str:
    """The rules, with a line of plain words at the foot of each sheet."""
    return _RULES % {"foot": in_style(foot)}
