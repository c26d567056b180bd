"""Twelve invented farms in a folder, five of them broken in five ways; and as many as wanted."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np

from gddcast.readers.temperature_file import demo_temperatures
from gddcast.weather.series import DailySeries

TODAY = dt.date(2026, 6, 11)
ON = ("--on", TODAY.isoformat())
PEST = "squash-vine-borer"
SEVEN = (
    "Ashby Ridge", "Birch Bottom", "Cold Spring", "Dry Creek", "Elder Flats", "Fox Hollow",
    "Gull Point",
)  # fmt: skip
LIST = f"""watch = ["{PEST}"]
show = "F"

[place]
latitude = 41.2
longitude = -89.4
timezone = "America/Chicago"

[farm."Cold Spring"]
file = "cold.csv"
latitude = 41.4

[farm."Dry Creek"]
file = "kommas.csv"
unit = "C"
"""


@cache
def _demo() -> DailySeries:
    return demo_temperatures().series


@cache
def farm(number: int) -> DailySeries:
    """The demo's record, warmer by a third of a degree a farm, each day a little its own way."""
    series = _demo().before(TODAY)
    wobble = np.random.default_rng(number).normal(0.0, 0.8, (2, len(series)))
    low, high = series.tmin + wobble[0], np.maximum(series.tmax + wobble[1], series.tmin + 2.0)
    warmer = 1.2 - number / 3.0
    return replace(series, tmin=np.minimum(low, high - 1.0) + warmer, tmax=high + warmer)


def as_csv(series: DailySeries, *, unit: str = "F", head: bool = True, dates: str = "") -> str:
    """Its text in °F or °C; without a unit in its head, with another order of dates, if asked."""
    mark = f"_{unit.lower()}" if head else ""
    rows = [f"date,max{mark},min{mark}"]
    for day, low, high in zip(series.dates, series.tmin, series.tmax, strict=True):
        if np.isnan(low) or np.isnan(high):
            continue
        date = day.astype(dt.date)
        said = f"{date:{dates}}" if dates else date.isoformat()
        cells = (f"{each * 1.8 + 32 if unit == 'F' else each:.1f}" for each in (high, low))
        rows.append(",".join([said, *cells]))
    return "\n".join(rows) + "\n"


def twelve(folder: Path) -> Path:
    """The folder: seven as they should be, then a gap, a copy, a stale one, no unit, a web page."""

    def write(name: str, text: str) -> None:
        (folder / name).write_text(text, encoding="utf-8")

    folder.mkdir(exist_ok=True)
    write("farms.toml", LIST)
    write("Ashby Ridge.csv", as_csv(farm(0)))
    write("Birch Bottom.csv", as_csv(farm(1), dates="%d/%m/%Y"))
    write("cold.csv", as_csv(farm(2), unit="C"))
    commas = as_csv(farm(3), unit="C").replace(",", ";").replace(".", ",")
    write("kommas.csv", commas)
    for number, name in enumerate(SEVEN[4:], start=4):
        write(f"{name}.csv", as_csv(farm(number)))
    holed = farm(7)
    first = holed.index(dt.date(2026, 5, 10))
    low, high = holed.tmin.copy(), holed.tmax.copy()
    low[first : first + 14] = high[first : first + 14] = np.nan
    write("Hazel Gap.csv", as_csv(replace(holed, tmin=low, tmax=high, origin=None)))  # type: ignore[arg-type]
    write("Ivy Copy.csv", as_csv(farm(0)))
    write("Juniper Late.csv", as_csv(farm(9).before(dt.date(2026, 5, 20))))
    write("Kestrel.csv", as_csv(farm(10), unit="C", head=False))
    write("Larch Page.csv", "<!DOCTYPE html><html><body><table></table></body></html>\n")
    return folder


def laid_out(folder: Path) -> Path:
    """The twelve with places of their own but for three, a hundred kilometres across."""
    names = ("Ashby Ridge", "Birch Bottom", "Elder Flats", "Fox Hollow", "Gull Point",
             "Hazel Gap", "Ivy Copy", "Juniper Late")  # fmt: skip
    chance = np.random.default_rng(3)
    tables = [
        f'\n[farm."{name}"]\nlatitude = {41.2 + north:.3f}\nlongitude = {-89.2 + east:.3f}\n'
        for name, north, east in zip(
            names, chance.uniform(-0.4, 0.4, 8), chance.uniform(-0.6, 0.6, 8), strict=True
        )
    ]
    tables[1] += 'dates = "day-first"\n'
    with (folder / "farms.toml").open("a", encoding="utf-8") as file:
        file.writelines(tables)
    return folder


def many(folder: Path, number: int) -> Path:
    """As many farms that are as they should be."""
    folder.mkdir(exist_ok=True)
    (folder / "farms.toml").write_text(LIST.partition("[farm.")[0], encoding="utf-8")
    for each in range(number):
        (folder / f"farm {each:04}.csv").write_text(as_csv(farm(each % 20)), encoding="utf-8")
    return folder
