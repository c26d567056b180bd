"""Rearing jars as a page: the rates, the line to its zero, the rate curve, the numbers beside."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from gddcast.draw.rates import rate_picture, takeaway
from gddcast.pages.paper import Figure, PageTable, Paper, fill
from gddcast.rearing.curves import NoCurve, RateCurve
from gddcast.rearing.fit import Rearing, ThresholdLine
from gddcast.rearing.orthogonal import SecondOpinion
from gddcast.text.rearing import curve_words, ends, with_error


@dataclass(frozen=True, slots=True)
class Jars:
    """What ``rearing.html`` shows."""

    title: str
    source: str
    figure: Figure
    threshold: PageTable
    jars: PageTable
    notes: Sequence[str]


def rate_page(
    rearing: Rearing, line: ThresholdLine, opinion: SecondOpinion, curve: RateCurve | NoCurve,
    *, size: Paper = "a4",
) -> str:  # fmt: skip
    """Rearing jars: the rates, the line to its zero, the rate curve, the numbers beside."""
    headings = ("how found", "lower threshold, °C", "heat sum, °C-days")
    page = Jars(
        f"Thresholds from {rearing.source}",
        rearing.source,
        Figure(takeaway(line), rate_picture(rearing, line, curve)),
        PageTable("Threshold and heat sum", headings, _threshold(line, opinion)),
        PageTable("The jars", ("temperature", "days", "rate", "used"), _jars(rearing, line)),
        (*curve_words(curve), *line.notes),
    )
    return fill("rearing.html", page, paper=size)


def _threshold(line: ThresholdLine, opinion: SecondOpinion) -> list[tuple[str, str, str]]:
    lower, heat = line.lower, line.heat
    return [
        ("x-intercept", f"{lower.value:.2f}", f"{heat.value:.1f}"),
        ("standard error", f"{lower.error:.2f}", f"{heat.error:.1f}"),
        (
            "95 % interval, delta method",
            ends(lower.low, lower.high, 1),
            ends(heat.low, heat.high, 0),
        ),
        (
            "95 % interval, bootstrap",
            ends(lower.boot_low, lower.boot_high, 1),
            ends(heat.boot_low, heat.boot_high, 0),
        ),
        (
            "second opinion, orthogonal line",
            with_error(opinion.lower, opinion.lower_error, 2),
            with_error(opinion.heat, opinion.heat_error, 1),
        ),
    ]


def _jars(rearing: Rearing, line: ThresholdLine) -> list[tuple[str, str, str, str]]:
    reasons = {(jar.temperature, jar.days): jar.reason for jar in line.left_out}
    jars = zip(rearing.temperature.tolist(), rearing.days.tolist(), strict=True)
    return [
        (
            f"{temperature:.1f} °C",
            f"{days:.1f}" if np.isfinite(days) else "–",
            f"{1 / days:.4f}",
            reasons.get((temperature, days), "on the line"),
        )
        for temperature, days in jars
    ]
