"""What weather services answer: local days of a model, windows of a forecast, a station's table."""

from __future__ import annotations

import datetime as dt
import json
import random
from collections import Counter
from collections.abc import Callable, Hashable, Iterator
from pathlib import Path
from typing import Any

from gddcast.online import climate_data, open_meteo, weather_service
from gddcast.online.modelled import Daily
from gddcast.online.trouble import Trouble
from gddcast.weather.series import Place
from tests.fuzz.doors.known_file import KnownFile, damaged

Facts = tuple[Hashable, ...]
_ZONE = "America/Chicago"
_HERE = Place("Larkhollow Patch", 41.2, -89.4, 190.0, _ZONE)
_FIRST = dt.date(2026, 6, 11)


def _days(chance: random.Random, least: int = 3) -> list[tuple[dt.date, float, float]]:
    count = chance.randint(least, 20)
    found = []
    for at in range(count):
        low = chance.randint(-100, 200)
        day = _FIRST + dt.timedelta(days=at)
        found.append((day, low / 10, (low + chance.randint(10, 150)) / 10))
    return found


def _of_daily(found: Daily) -> Iterator[Facts]:
    for at, (low, high) in enumerate(zip(found.low.tolist(), found.high.tolist(), strict=True)):
        if low == low and high == high:
            yield found.first + dt.timedelta(days=at), round(low, 4), round(high, 4)


def model(chance: random.Random) -> KnownFile:
    """Local days of a weather model, in JSON."""
    days = _days(chance)
    answer: dict[str, Any] = {
        "latitude": 41.2, "longitude": -89.4, "elevation": 190.0, "timezone": _ZONE,
        "daily_units": {"temperature_2m_max": "°C", "temperature_2m_min": "°C"},
        "daily": {
            "time": [str(day) for day, _, _ in days],
            "temperature_2m_max": [high for _, _, high in days],
            "temperature_2m_min": [low for _, low, _ in days],
        },
    }  # fmt: skip
    known = KnownFile("model answer", "a.json", b"", Counter(days), _model_read, "read")
    daily, at = answer["daily"], chance.randrange(len(days))
    name = chance.choice(("temperature_2m_max", "temperature_2m_min"))

    def blank() -> str:
        daily[name][at] = None
        del known.facts[days[at]]
        return ""

    def fahrenheit() -> str:
        for each in ("temperature_2m_max", "temperature_2m_min"):
            daily[each] = [round(value * 9 / 5 + 32, 6) for value in daily[each]]
            answer["daily_units"][each] = "°F"
        return ""

    def no_scale() -> str:
        answer["daily_units"][name] = chance.choice(("K", "", None, "degrees"))
        return "refuse"

    def elsewhere() -> str:
        place, by = chance.choice((("latitude", 5.0), ("longitude", -60.0), ("elevation", 900.0)))
        answer[place] += by
        return "refuse"

    def zone() -> str:
        answer["timezone"] = chance.choice(("Europe/Berlin", "", None, "GMT", "Mars/Olympus"))
        return "refuse"

    def skipped() -> str:
        del daily["time"][at]
        return "refuse"

    def word() -> str:
        daily[name][at] = chance.choice(("warm", [], {}))
        return "refuse"

    _befallen(known, (blank, fahrenheit, no_scale, elsewhere, zone, skipped, word), chance)
    known.raw = json.dumps(answer).encode()
    return _perhaps_damaged(known, chance)


def _model_read(path: Path) -> Iterator[Facts]:
    return _of_daily(_asked(open_meteo.reader(_HERE, "its forecast"), path))


def windows(chance: random.Random) -> KnownFile:
    """Day and night windows of a forecast, in GeoJSON."""
    days = _days(chance)
    high = [{"validTime": f"{day}T13:00:00+00:00/PT13H", "value": warm} for day, _, warm in days]
    low = [{"validTime": f"{day}T01:00:00+00:00/PT13H", "value": cold} for day, cold, _ in days]
    layers: dict[str, Any] = {
        "maxTemperature": {"uom": "wmoUnit:degC", "values": high},
        "minTemperature": {"uom": "wmoUnit:degC", "values": low},
    }
    # The middle of the night window, 07:30 UTC, is half past two by that day's clock.
    known = KnownFile("windows", "w.json", b"", Counter(days), _windows_read, "read")
    at, name = chance.randrange(len(days)), chance.choice(tuple(layers))

    def blank() -> str:
        layers[name]["values"][at]["value"] = None
        del known.facts[days[at]]
        return ""

    def gone() -> str:
        del layers[name]["values"][at]
        del known.facts[days[at]]
        return ""

    def shuffled() -> str:
        chance.shuffle(layers[name]["values"])
        return ""

    def no_scale() -> str:
        layers[name]["uom"] = chance.choice(("wmoUnit:K", None, ""))
        return "refuse"

    def no_length() -> str:
        layers[name]["values"][at]["validTime"] = chance.choice((f"{_FIRST}", "P/P", "", "x/PT1H"))
        return "refuse"

    _befallen(known, (blank, gone, shuffled, no_scale, no_length), chance)
    update = {"updateTime": "2026-06-11T09:30:00+00:00"}
    known.raw = json.dumps({"properties": {**update, **layers}}).encode()
    return _perhaps_damaged(known, chance)


def _windows_read(path: Path) -> Iterator[Facts]:
    return _of_daily(_asked(lambda body: weather_service.windows_in(body, _ZONE), path))


def station(chance: random.Random) -> KnownFile:
    """Days of a station, in CSV."""
    days = _days(chance, 12)
    rows = [["STATION", "DATE", "TMAX", "TMIN"]]
    rows += [["USC00381770", str(day), f"{high:8.1f}", f"{low:8.1f}"] for day, low, high in days]
    known = KnownFile("station answer", "s.csv", b"", Counter(days), _station_read, "read")
    at = chance.randrange(len(days))

    def blank() -> str:
        rows[at + 1][chance.choice((2, 3))] = ""
        del known.facts[days[at]]
        return ""

    def gone() -> str:
        del rows[at + 1], known.facts[days[at]]
        return ""

    def order() -> str:
        for row in rows:
            row[2], row[3] = row[3], row[2]
        return ""

    def swapped() -> str:
        rows[0][2], rows[0][3] = rows[0][3], rows[0][2]
        return "refuse"

    def fahrenheit() -> str:
        for row in rows[1:]:
            row[2:] = [f"{float(each) * 9 / 5 + 100:.1f}" for each in row[2:]]
        return "refuse"

    def word() -> str:
        rows[at + 1][2] = chance.choice(("warm", "2O.5", "--"))
        return "refuse"

    def header() -> str:
        rows[0][chance.choice((1, 2, 3))] = "TAVG"
        return "refuse"

    _befallen(known, (blank, gone, order, swapped, fahrenheit, word, header), chance)
    text = "\n".join(",".join(f'"{cell}"' for cell in row) for row in rows)
    known.raw = text.encode()
    return _perhaps_damaged(known, chance)


def _station_read(path: Path) -> Iterator[Facts]:
    for day, (low, high) in _asked(climate_data.days_in, path).items():
        if low == low and high == high:
            yield day, round(low, 4), round(high, 4)


def _asked(read: Callable[[bytes], Any], path: Path) -> Any:
    """An answer as a face sees it: trouble is told as a refusal."""
    try:
        return read(path.read_bytes())
    except Trouble as trouble:
        raise trouble.refusal("the service") from trouble


def _befallen(
    known: KnownFile, accidents: tuple[Callable[[], str], ...], chance: random.Random
) -> None:
    if chance.random() < 0.6:
        accident = chance.choice(accidents)
        known.changes = [accident.__name__]
        known.must = accident()


def _perhaps_damaged(known: KnownFile, chance: random.Random) -> KnownFile:
    if chance.random() < 0.25:
        known.raw, known.must = damaged(known.raw, chance), "damage"
        known.changes.append("damage")
    return known


TABLES = {"model answer": model, "windows": windows, "station answer": station}
