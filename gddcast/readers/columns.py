"""What a column holds, told from its name in several languages."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from gddcast.readers.reading import FileUnit

#: What a column can hold, as far as we care.
Kind = Literal[
    "stamp", "clock", "year", "month", "day", "day-number",
    "max", "min", "mean", "temperature", "site", "other",
]  # fmt: skip

#: Where the thermometer of a column hangs.
Spot = Literal["", "outdoors", "indoors", "under cover", "soil"]


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


# English, German, French, Spanish, Portuguese, Italian, Dutch, Swedish, Danish, Norwegian,
# without accents. Climatology's short names: TX, TN, TG; tasmax, tasmin, tas.
_MAX = _words(
    "max maximum maxi maximal maximale maxima maxim high highs hi highest tmax tx tasmax mx "
    "hoch hochst hochste hochstwert hochsttemperatur maximaltemperatur maximumtemperatur "
    "haute massima massimo hoogste hogsta hojeste hoyeste temperaturemax tempmax maxtemp"
)
_MIN = _words(
    "min minimum mini minimal minimale minima minim low lows lo lowest tmin tn tasmin mn "
    "tief tiefst tiefste tiefstwert tiefsttemperatur minimaltemperatur minimumtemperatur "
    "basse minimo laagste lagsta laveste temperaturemin tempmin mintemp"
)
_MEAN = _words(
    "mean avg average tmean tavg tg tas mittel mittelwert mitteltemperatur durchschnitt "
    "moyenne moy media promedio gemiddelde medel middel tagesmittel"
)
_TEMPERATURE = _words(
    "temp temps temperature temperatures temperatur temperatura temperaturen lufttemperatur "
    "luchttemperatuur temperatuur t t2m tair airtemp airtemperature thermometer lufttemp"
)
_STAMP = _words(
    "date dates datum datetime timestamp stamp fecha data dato jour tag dag dia giorno "
    "datetimes messzeitpunkt zeitpunkt zeitstempel horodatage valid read"
)
_CLOCK = _words("time times hour hours hr hrs zeit uhrzeit heure heures hora ora tid tijd std hhmm")
_YEAR = _words("year yr yyyy jahr annee ano anno jaar ar")
_MONTH = _words("month mon mo mm monat mois mes mese maand manad maned")
_DAY = _words("day dd dy tag jour dia giorno dag")
_DAY_NUMBER = _words("yday doy jday dayofyear julian yearday daynumber jahrestag tagesnummer")
_SITE = _words(
    "site station stations stn sites location standort ort lieu plot bed field sensor logger "
    "probe farm garden name stationname stationid origin lugar estacion localita messstelle"
)

# A name with one of these speaks of something else, whatever else it says.
_NOT_AIR = _words(
    "dew dewp dewpoint taupunkt tau rosee rocio wet bulb feels felt apparent chill windchill "
    "windchilled index humidex humidity hum rh relhum feuchte humidite humedad rain rainfall "
    "prcp precip precipitation regen niederschlag pluie lluvia snow snwd wind gust wspd wdir "
    "speed vind vent viento pressure press baro barometer luftdruck pression solar rad radiation "
    "strahlung sun sunshine srad vp vpd et eto et0 evapotranspiration battery batt volt voltage "
    "rssi signal flag flags attribute attributes qc quality qflag mflag sflag measurement record "
    "normal normals departure anomaly range diff difference change rate water wasser sea sst "
    "leaf wetness grass cloud clouds cdd hdd gdd degreedays cooling heating count obs "
    "traffic volume holiday uv lat latitude lon longitude elevation altitude"
)
_SOIL = _words("soil boden erdboden sol suelo bodem jord ground subsoil")
_INDOORS = _words("in indoor indoors inside innen interieur interior console house room")
_COVER = _words("tunnel greenhouse polytunnel glasshouse hoop cover gewachshaus serre kas")
_OUTDOORS = _words("out outdoor outdoors outside aussen draussen exterieur exterior buiten air")

_UNIT_IN_NAME = re.compile(
    r"(?:°|º|˚|\ufffd|deg(?:ree)?s?[ _.]*)\s*([fck])(?![a-z])|\b(fahrenheit|celsius|celcius"
    r"|centigrade|kelvin)\b|[\[(]\s*([fck])\s*[\])]|[ _,./-]([fck])$"
    r"|(?:max|min|mean|avg|temp)([fck])$",
    re.IGNORECASE,
)
_TENTHS_IN_NAME = re.compile(
    r"tenths|(?:^|\D)0[.,]1\s*°?\s*(?:deg)?\s*c|1/10\s*°?\s*c", re.IGNORECASE
)
_IN_A_UNIT = re.compile(r"\bin\s*(?:°|deg|[fck]\b)", re.IGNORECASE)
_GLUED = re.compile(
    r"^(air|t|temp|temperature|daily)?(max|min|mean|avg)(temp|temperature)?([fck])?$"
)


# Letters that do not come apart into a plain one and an accent.
_LETTERS = str.maketrans({"ø": "o", "Ø": "O", "æ": "ae", "Æ": "AE", "ß": "ss", "œ": "oe"})


@dataclass(frozen=True, slots=True)
class Meaning:
    """What one column name says."""

    name: str
    kind: Kind
    unit: FileUnit | None = None
    spot: Spot = ""


def words_of(name: str) -> tuple[str, ...]:
    """A column name as lower-case words without accents.

    Examples
    --------
    >>> words_of("T-Max (°C)"), words_of("HöchstTemp")
    (('t', 'max', 'c'), ('hochst', 'temp'))
    """
    plain = unicodedata.normalize("NFKD", name).translate(_LETTERS)
    plain = "".join(letter for letter in plain if not unicodedata.combining(letter))
    plain = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", plain)
    found = []
    for word in re.findall(r"[a-z0-9]+", plain.casefold()):
        word = word.removeprefix("tages")
        glued = _GLUED.match(word)
        found += [part for part in glued.groups() if part] if glued else [word]
    return tuple(found)


@lru_cache(maxsize=4096)
def meaning(name: str) -> Meaning:
    """What a column of this name holds.

    Examples
    --------
    >>> meaning("Tmax °C").kind, meaning("Tmax °C").unit
    ('max', 'C')
    >>> meaning("Dew point").kind
    'other'
    """
    words = frozenset(words_of(name)) if len(name) <= 200 else frozenset()
    kind = _kind(words)
    if kind in ("max", "min", "mean", "temperature"):
        spot = _spot(words - {"in"} if _IN_A_UNIT.search(name) else words)
        return Meaning(name, kind, unit_in(name), spot)
    return Meaning(name, kind)


def unit_in(name: str) -> FileUnit | None:
    """Scale a name or heading states, or None.

    Examples
    --------
    >>> unit_in("max_f"), unit_in("Temp, °C"), unit_in("max")
    ('F', 'C', None)
    """
    if _TENTHS_IN_NAME.search(name):
        return "tenths-C"
    found = _UNIT_IN_NAME.search(name)
    if found is None:
        return None
    letter = next(part for part in found.groups() if part)[0].upper()
    return "F" if letter == "F" else "K" if letter == "K" else "C"


def _kind(words: frozenset[str]) -> Kind:
    if not words or words & _NOT_AIR:
        return "other"
    about_time = words & (_CLOCK | {"date", "datetime", "timestamp"})
    if words & (_MAX | _MIN | _MEAN | _TEMPERATURE) and not about_time:
        return _temperature_kind(words)
    if words & _DAY_NUMBER or (words & _DAY and words & (_YEAR | {"number", "no", "nr"})):
        return "day-number"
    if words & (_MAX | _MIN) and about_time:  # the time at which the maximum was reached
        return "other"
    # "day" alone may be a date or a day of the month: the other columns tell.
    for kind, names in (("day", _DAY), ("stamp", _STAMP), ("year", _YEAR), ("month", _MONTH)):
        if words & names and not (kind == "day" and len(words) > 1):
            return kind  # type: ignore[return-value]
    if words & _CLOCK:
        return "clock"
    return "site" if words & _SITE else "other"


def _temperature_kind(words: frozenset[str]) -> Kind:
    highest, lowest = bool(words & _MAX), bool(words & _MIN)
    if highest and lowest:
        return "other"
    if highest:
        return "max"
    if lowest:
        return "min"
    return "mean" if words & _MEAN else "temperature"


def _spot(words: frozenset[str]) -> Spot:
    if words & _SOIL:
        return "soil"
    if words & _COVER:
        return "under cover"
    if words & _INDOORS:
        return "indoors"
    return "outdoors" if words & _OUTDOORS else ""
