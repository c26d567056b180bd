"""What one farm would lend to another, in words."""

from __future__ import annotations

from gddcast import words
from gddcast.farms.farm import Farm
from gddcast.quality.findings import of_days
from gddcast.quality.mending import Mended
from gddcast.text.terminal import PLAIN, Line, Terminal
from gddcast.text.weather.record_csv import signed
from gddcast.units import Unit


def proposed(
    mended: Mended, farm: Farm, other: Farm, show: Unit, *, terminal: Terminal = PLAIN
) -> str:
    """Days, offsets and what they are told by; what is filled from the record itself apart."""
    lines: list[str | Line] = []
    loan = mended.loan
    if loan is not None:
        lines.append(
            Line(
                f"{other.name} lends {words.count(loan.lent, 'day')} to {farm.name}, moved by "
                f"{signed(loan.offset_max, show)} (max) and {signed(loan.offset_min, show)} (min) "
                f"as {words.count(loan.in_common, 'day')} in common tell."
            )
        )
    shown = [of_days(*each) for each in mended.patched[:4]]
    if len(mended.patched) > len(shown):
        shown.append(f"{len(mended.patched) - len(shown)} more runs")
    lines.append(Line(f"Patched and marked: {words.listed(shown)}."))
    if loan is not None and (own := mended.days_patched - loan.lent):
        lines.append(Line(f"Of these, {words.count(own, 'day')} are filled by a straight line or "
                          f"what is usual: {other.name} does not know them either."))  # fmt: skip
    if mended.days_left:
        lines.append(Line(f"Still unknown: {words.count(mended.days_left, 'day')}."))
    return terminal.show(lines)
