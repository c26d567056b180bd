"""Rearing jars as a page: the rates, the line to its zero, the rate curve, the numbers beside."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from gddcast.handouts import paper
from gddcast.handouts.drawings import svg
from gddcast.rearing.curves import NoCurve, RateCurve
from gddcast.rearing.fit import Rearing, ThresholdLine, split_at_optimum
from gddcast.rearing.orthogonal import SecondOpinion

_WIDTH, _HEIGHT, _LEFT, _RIGHT, _TOP, _FLOOR = 640, 380, 64, 610, 20, 318


def takeaway(line: ThresholdLine) -> str:
    """What the drawing shows, in one sentence."""
    return (
        f"The line through the development rates meets zero at {line.lower.value:.1f} °C, the "
        f"lower threshold; its slope gives a heat sum of {line.heat.value:.0f} °C-days."
    )


def rate_picture(
    rearing: Rearing, line: ThresholdLine, curve: RateCurve | NoCurve, up_to: float | None = None
) -> str:
    """Rates against temperature: jars on the line filled, jars left out hollow."""
    description = takeaway(line) + f" Hollow: {len(line.left_out)} jars left out."
    strokes = _strokes(rearing, line, curve, up_to)
    return svg.picture(_WIDTH, _HEIGHT, "Development rate and temperature", description, strokes)


def _strokes(
    rearing: Rearing, line: ThresholdLine, curve: RateCurve | NoCurve, up_to: float | None
) -> Iterator[str]:
    low = min(float(rearing.temperature.min()), line.lower.value) - 2.0
    high = float(rearing.temperature.max()) + 3.0
    top = 1.15 * float(rearing.rate.max())

    def at(temperature: float, rate: float) -> svg.Point:
        across = _LEFT + (temperature - low) / (high - low) * (_RIGHT - _LEFT)
        return across, _FLOOR - rate / top * (_FLOOR - _TOP)

    yield svg.line([(_LEFT, _TOP), (_LEFT, _FLOOR), (_RIGHT, _FLOOR)], width=1)
    for tick in range(int(np.ceil(low / 5) * 5), int(high) + 1, 5):
        yield svg.line([at(tick, 0), (at(tick, 0)[0], _FLOOR + 5)], width=1)
        yield svg.words(at(tick, 0)[0], _FLOOR + 21, f"{tick}", anchor="middle")
    step = 10.0 ** np.floor(np.log10(top))
    step = step / 2 if top / step < 3 else step
    for tick in np.arange(0.0, top, step).tolist():
        yield svg.words(_LEFT - 7, at(low, tick)[1] + 5, f"{tick:g}", anchor="end")
    yield svg.words((_LEFT + _RIGHT) / 2, _FLOOR + 46, "temperature, °C", anchor="middle")
    yield svg.words(_LEFT + 6, _TOP + 8, "development a day, 1/days")
    if isinstance(curve, RateCurve):
        warm = np.linspace(low, high, 160)
        points = zip(warm.tolist(), curve.rate_at(warm).tolist(), strict=True)
        yield svg.line([at(*point) for point in points], dash="6 4", width=1.6)
    kept, _ = split_at_optimum(rearing, up_to=up_to)
    last = float(kept.temperature.max())
    ends = [(line.lower.value, 0.0), (last, float(line.rate_at(last)))]
    yield svg.line([at(*end) for end in ends], colour=svg.BLUE, width=2.4)
    used = np.isin(rearing.temperature, kept.temperature) & np.isfinite(rearing.days)
    for temperature, rate, on_line in zip(rearing.temperature, rearing.rate, used, strict=True):
        yield svg.dot(*at(float(temperature), float(rate)), hollow=not on_line)
    x, y = at(line.lower.value, 0.0)
    said = f"{line.lower.value:.1f} °C"
    yield svg.words(x + 26, y - 6, said, colour=svg.BLUE, bold=True)


def rate_page(
    rearing: Rearing, line: ThresholdLine, opinion: SecondOpinion, curve: RateCurve | NoCurve,
    *, up_to: float | None = None, size: paper.Paper = "a4",
) -> str:  # fmt: skip
    """A self-contained page."""

    def body() -> Iterator[str]:
        yield paper.heading("Lower threshold and heat sum from rearing jars", 1)
        yield paper.paragraph(f"From {rearing.source}.")
        yield paper.figure(takeaway(line), rate_picture(rearing, line, curve, up_to))
        headings = ("how found", "lower threshold, °C", "heat sum, °C-days")
        yield paper.wide(paper.table(headings, _numbers(line, opinion)), "Threshold and heat sum")
        yield paper.heading("The jars")
        jars = paper.table(("temperature, °C", "days", "rate", "used"), _jars(rearing, line))
        yield paper.wide(jars, "The jars")
        yield paper.listed([*curve_words(curve), *line.notes])

    return paper.page(f"Thresholds from {rearing.source}", body(), paper=size)


def _numbers(line: ThresholdLine, opinion: SecondOpinion) -> list[tuple[str, str, str]]:
    lower, heat = line.lower, line.heat
    return [
        ("x-intercept", f"{lower.value:.2f}", f"{heat.value:.1f}"),
        ("standard error", f"{lower.error:.2f}", f"{heat.error:.1f}"),
        (
            "95 % interval, delta method",
            f"{lower.low:.1f} to {lower.high:.1f}",
            f"{heat.low:.0f} to {heat.high:.0f}",
        ),
        (
            "95 % interval, bootstrap",
            f"{lower.boot_low:.1f} to {lower.boot_high:.1f}",
            f"{heat.boot_low:.0f} to {heat.boot_high:.0f}",
        ),
        (
            "second opinion, orthogonal line",
            f"{opinion.lower:.2f} ± {opinion.lower_error:.2f}",
            f"{opinion.heat:.1f} ± {opinion.heat_error:.1f}",
        ),
    ]


def _jars(rearing: Rearing, line: ThresholdLine) -> Iterator[tuple[str, str, str, str]]:
    reasons = {(jar.temperature, jar.days): jar.reason for jar in line.left_out}
    for temperature, days in zip(
        rearing.temperature.tolist(), rearing.days.tolist(), strict=True
    ):  # fmt: skip
        took = f"{days:.1f}" if np.isfinite(days) else "–"
        used = reasons.get((temperature, days), "on the line")
        yield f"{temperature:.1f}", took, f"{1 / days:.4f}", used


def curve_words(curve: RateCurve | NoCurve) -> list[str]:
    """Optimum and upper limit, or why they can't be had."""
    if isinstance(curve, NoCurve):
        return [f"Optimum and upper limit can't be said: {curve.reason}."]
    upper = f"{curve.upper:.1f} ± {curve.upper_error:.1f} °C"
    return [f"Fastest near {curve.optimum:.1f} °C, none above {upper} ({curve.name})."]
