"""Invent the demo place's weather; run as ``python data/demo/invent.py``. No station is like it.

A yearly wave, warm and cold years, spells that last some days, cloudy days with a small range,
readings in whole °F as a grower writes them, and the faults of a real notebook: a week-end not
read, a fortnight's holiday.
"""

import datetime as dt
from pathlib import Path

import numpy as np

FIRST, LAST = dt.date(2014, 1, 1), dt.date(2026, 6, 10)
NOT_READ = [
    (dt.date(2019, 6, 3), dt.date(2019, 6, 20)),  # away; that year can't lend its weather
    (dt.date(2026, 4, 18), dt.date(2026, 4, 19)),  # a week-end: short enough to patch
]


def invent() -> str:
    """The file, as text."""
    rng = np.random.default_rng(20140101)
    count = (LAST - FIRST).days + 1
    days = [FIRST + dt.timedelta(days=step) for step in range(count)]
    phase = np.array([(day - dt.date(day.year, 1, 1)).days for day in days]) / 365.25 * 2 * np.pi
    years = np.array([day.year - FIRST.year for day in days])

    usual = 11.9 - 13.2 * np.cos(phase - 0.42) - 0.8 * np.cos(2 * phase)
    of_the_year = rng.normal(0.0, 0.7, years.max() + 1)[years] + 0.03 * years
    spell = np.zeros(count)
    shock = rng.normal(0.0, 1.0, count)
    spread = 2.6 + 1.2 * np.cos(phase - 0.3)  # winters swing more than summers
    for step in range(1, count):
        spell[step] = 0.74 * spell[step - 1] + shock[step]
    mean = usual + of_the_year + spell * spread
    half = np.clip(5.9 - 1.3 * np.cos(phase) + rng.normal(0.0, 1.7, count), 1.2, None)

    lines = ["date,max_f,min_f"]
    for day, middle, swing in zip(days, mean, half, strict=True):
        if any(first <= day <= last for first, last in NOT_READ):
            continue
        high, low = (round(value * 1.8 + 32.0) for value in (middle + swing, middle - swing))
        lines.append(f"{day},{high},{low}")
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    Path(__file__).with_name("weather.csv").write_text(invent(), encoding="utf-8")
