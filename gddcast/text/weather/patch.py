"""What a mending did to a record, for people and for programs."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from gddcast import words
from gddcast.errors import shell
from gddcast.quality.findings import of_days
from gddcast.quality.mending import Mended
from gddcast.text import answer
from gddcast.text.terminal import PLAIN, Line, Terminal
from gddcast.text.weather.check import IN_FULL, finding_json
from gddcast.text.weather.record_csv import signed
from gddcast.units import Unit
from gddcast.weather.calendar_day import Span
from gddcast.weather.gaps import LONG, share_patched
from gddcast.weather.series import Origin


def mended_text(
    mended: Mended,
    source: str,
    lender: str | None,
    output: str,
    show: Unit,
    terminal: Terminal = PLAIN,
) -> str:
    """What ``weather patch`` says it did."""
    lines: list[str | Line] = []
    struck = [each for each in mended.verdict.findings if each.removed]
    lines += [Line(finding.sentence, "Left out: ") for finding in struck[:IN_FULL]]
    if len(struck) > IN_FULL:
        lines.append(f"Left out: {len(struck) - IN_FULL} more, listed in the file.")
    if mended.loan is not None:
        loan = mended.loan
        text = (
            f"{lender} lent {words.count(loan.lent, 'day')}, moved by "
            f"{signed(loan.offset_max, show)} (max) and {signed(loan.offset_min, show)} (min) as "
            f"{words.count(loan.in_common, 'day')} in common tell."
        )
        lines.append(Line(text))
    if mended.beyond is not None:
        before, after = (words.count(each, "day") for each in mended.beyond)
        lines.append(
            f"{lender} also knows {before} before this record and {after} after it. To borrow "
            "them, past years among them, add  --extend"
        )
    lines += _spans(mended.patched, mended.days_patched, "patched and marked")
    lines += _spans(mended.left, mended.days_left, "still unknown")
    if any((last - first).days >= LONG for first, last in mended.left):
        lines.append(
            f"Gaps longer than {LONG} days are not filled from the record itself: that would be "
            "invented weather."
        )
    if mended.series.count(Origin.PATCHED):
        share = 100.0 * share_patched(mended.series)
        told = f"{share:.0f} %" if share >= 1.0 else "less than 1 %"
        lines.append(f"Patched days are {told} of the days known.")
    lines += [
        f"Wrote {output} from {source}.",
        f"Next:  {shell('gddcast', 'weather', 'check', output)}",
    ]
    return terminal.show(lines)


def _spans(spans: Sequence[Span], days: int, what: str) -> list[Line]:
    if not spans:
        return []
    shown = [of_days(*span) for span in spans[:5]]
    if len(spans) > len(shown):
        shown.append(f"{len(spans) - len(shown)} more runs")
    return [Line(f"{words.count(days, 'day')} {what}: {words.listed(shown)}.")]


def mended_json(mended: Mended, output: str | None, show: Unit, moment: dt.datetime) -> str:
    """What ``weather patch`` did; without an output what it would do."""
    parts: answer.Json = {"place": answer.where(mended.series.place)}
    loan = mended.loan
    parts |= {
        "wrote": output,
        "patched": _spans_json(mended.patched),
        "patched_days": mended.days_patched,
        "patched_share": round(share_patched(mended.series), 4),
        "left_unknown": _spans_json(mended.left),
        "left_unknown_days": mended.days_left,
        "struck": [finding_json(each, show) for each in mended.verdict.findings if each.removed],
        "loan": loan
        and {"days": loan.lent, "days_in_common": loan.in_common}
        | answer.differences(loan.offset_max, loan.offset_min, show),
    }
    return answer.as_json("weather-patch", moment, parts)


def _spans_json(spans: tuple[tuple[dt.date, dt.date], ...]) -> list[answer.Json]:
    return [{"first_day": first.isoformat(), "last_day": last.isoformat()} for first, last in spans]
