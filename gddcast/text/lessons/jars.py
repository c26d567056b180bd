"""Invented rearing jars as a file for the class, and their key."""

from __future__ import annotations

from collections.abc import Iterator

from gddcast import words
from gddcast.lessons.jars import InventedJars
from gddcast.units import from_celsius, from_celsius_days


def jars_csv(jars: InventedJars) -> str:
    """The jars as ``gddcast thresholds`` reads them."""
    lines = [f"temperature_{jars.unit},days,n"]
    lines += [f"{temperature:g},{days:g},{count}" for temperature, days, count in jars.rows]
    return "\n".join(lines) + "\n"


def jars_key_text(jars: InventedJars) -> str:
    """What the class should find, and what the jars were drawn about."""
    return "\n".join(_key(jars))


def _key(jars: InventedJars) -> Iterator[str]:
    line, unit = jars.line, jars.unit
    lower, low, high = (
        f"{from_celsius(each, unit):.1f}"
        for each in (line.lower.value, line.lower.low, line.lower.high)
    )
    heat = float(from_celsius_days(line.heat.value, unit))
    warm = [f"{from_celsius(jar.temperature, unit):.1f} °{unit}" for jar in line.left_out]
    drawn = jars.drawn_about
    yield f"Key to jars {jars.seed}: {words.count(len(jars.rows), 'jar')}"
    yield f"  Not on the line: {words.listed(warm)}, too warm: slower than the jar before it."
    yield (
        f"  The line gives a lower threshold of {lower} °{unit} and a heat sum of "
        f"{heat:.0f} °{unit}-days."
    )
    yield (
        f"  By {words.count(line.jars, 'jar')} the threshold is known to lie between {low} and "
        f"{high} °{unit} (95 %)."
    )
    yield f"  The jars were drawn about {drawn[0]:.1f} °{unit} and {drawn[1]:.0f} °{unit}-days."
    yield (
        "  By hand: plot 1/days against the temperature and lay a ruler through the jars on the "
        "line."
    )
    yield "  It meets zero at the threshold; one over its slope is the heat sum."
    yield "  With the file:  gddcast thresholds jars.csv"
