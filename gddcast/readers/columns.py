"""What a column holds, told from the words of its name in ten languages.

English, German, French, Spanish, Portuguese, Italian, Dutch, Swedish, Danish, Norwegian, without
accents. Climatology's short names: TX, TN, TG; tasmax, tasmin, tas.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from gddcast.readers.reading import FileUnit


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


MAX = _words(
    "max maximum maksimum maxi maximal maximale maxima maxim high highs hi highest tmax tx tasmax "
    "mx hoch hochst hochste hochstwert hochsttemperatur maximaltemperatur maximumtemperatur "
    "haute maxtemperatur massima massimo hoogste hogsta hojeste hoyeste temperaturemax tempmax "
    "maxtemp"
)
MIN = _words(
    "min minimum mini minimal minimale minima minim low lows lo lowest tmin tn tasmin mn "
    "tief tiefst tiefste tiefstwert tiefsttemperatur minimaltemperatur minimumtemperatur "
    "basse mintemperatur minimo laagste lagsta laveste temperaturemin tempmin mintemp"
)
MEAN = _words(
    "mean avg average tmean tavg tg tas mittel mittelwert mitteltemperatur durchschnitt "
    "moyenne moy media promedio gemiddelde medel middel tagesmittel"
)
TEMPERATURE = _words(
    "temp temps temperature temperatures temperatur temperatura temperaturen lufttemperatur "
    "luchttemperatuur temperatuur t t2m tair airtemp airtemperature "
    "thermometer lufttemp"
)
STAMP = _words(
    "date dates datum datetime timestamp stamp fecha data dato jour tag dag dia giorno "
    "datetimes messzeitpunkt zeitpunkt zeitstempel horodatage valid read"
)
CLOCK = _words("time times hour hours hr hrs zeit uhrzeit heure heures hora ora tid tijd std hhmm")
YEAR = _words("year yr yyyy jahr annee ano anno jaar ar")
MONTH = _words(
    "month months mon mo mm mth mnth monthno monat mois mes mese maand manad maned maaned miesiac "
    "mesic kuukausi honap mjesec"
)
DAY = _words("day dd dy tag jour dia giorno dag")
DAY_NUMBER = _words("yday doy jday dayofyear julian yearday daynumber jahrestag tagesnummer")
SITE = _words(
    "site station stations stn sites location standort ort lieu plot bed field sensor logger "
    "probe farm garden name serial serialnumber seriennummer sn device deviceid devicename dev "
    "deveui mac node nodeid sensorid loggerid channel transmitter id stationname stationid origin "
    "lugar estacion localita messstelle"
)

# A name with one of these speaks of something else, whatever else it says.
NOT_AIR = _words(
    # how warm it feels, and how damp the air is
    "dew dewp dewpt dewpoint tdew td dwpt taupunkt tau rosee rocio rugiada orvalho dauwpunt "
    "daggpunkt wet bulb feels felt apparent chill windchill windchilled index heatindex hitzeindex "
    "humidex wbgt utci thw thsw gefuhlt gefuhlte ressenti ressentie sensacion sensacao percepita "
    "gevoelstemperatuur opplevd foles humidity hum humi rh hr relhum feuchte luftfeuchte "
    "luftfeuchtigkeit feuchtigkeit humidite humedad umidita umidade vochtigheid fuktighet "
    "luftfuktighet moisture vwc vmc swc vp vpd "
    # rain, wind, air pressure, light, gases
    "rain rainfall prcp precip precipitation regen niederschlag pluie lluvia snow snwd wind "
    "windspeed gust gusts boe boen rafale rafales racha rachas raffica vindstot wspd wdir speed "
    "vind vent viento vento mph kmh kph kt kts knots knoten press pressure baro barometer "
    "luftdruck pression hpa kpa mbar mb inhg solar rad radiation strahlung sun sunshine srad par "
    "ppfd dli light licht luz luce lumiere ljus lys lux klux lumen illuminance brightness uv uvi "
    "co2 co ppm ppb voc pm25 pm10 aqi ozone o3 no2 "
    "et eto et0 evapotranspiration evaporation leaf wetness cloud clouds ec ph salinity "
    "conductivity percent pct prozent "
    # the sensor's own affairs, and numbers about numbers
    "battery batt volt voltage mv rssi snr signal flag flags attribute attributes qc quality qflag "
    "mflag sflag measurement error errors err fehler accuracy uncertainty std stdev sd sigma "
    "variance percentile range amplitude spread diff difference delta change rate count obs trend "
    "target setpoint alarm limit threshold "
    # sums of heat
    "cdd hdd gdd gdds dd degreedays growing cooling heating "
    # other days than this one
    "record records rekord normal normals norm norms climatology departure anomaly anom anomalie "
    "abweichung ecart desvio scarto avvik afwijking "
    # other things than air
    "water wasser eau agua acqua vatten vand vann sea sst grass pool pond tank river lake leaf "
    "surface oberflache canopy crop fruit bark compost root roots skin roof panel road asphalt "
    "traffic volume holiday lat latitude lon longitude elevation altitude"
)
#: What nobody measured on the day: forecasts, and long-term means.
NOT_MEASURED = _words(
    "forecast forecasts forecasted fcst predicted prediction predictions expected outlook "
    "vorhersage prognose prognos prevision previsions previsione previsioni previsao prevista "
    "previsto pronostico verwachting model modelled modeled simulated estimated "
    "last previous prev prior yesterday tomorrow climate climatological"
)
SOIL = _words("soil boden erdboden sol suelo bodem jord ground subsoil")
INDOORS = _words("in indoor indoors inside innen interieur interior console house room")
COVER = _words("tunnel greenhouse polytunnel glasshouse hoop cover gewachshaus serre kas")
OUTDOORS = _words("out outdoor outdoors outside aussen draussen exterieur exterior buiten air")
#: Words that leave a maximum, a minimum or a temperature what it is.
PLAIN = _words(
    "c f k o s n degc degf deg degs degree degrees grad grados gradi graus celsius celcius "
    "centigrade fahrenheit kelvin tenths tenth zehntel dixiemes decimas tienden tiondelar 10ths "
    "x x10 10x of the a an de la le du des del di da do der die das den in at per "
    "daily tages day date jour dia giorno dag tag journaliere quotidienne diaria giornaliera "
    "dagelijkse h hr hours hour 24h 24hr value values reading readings wert werte valeur valor "
    "observed measured actual recorded ambient current local shade shaded screen shelter abri sous "
    "luft lucht lufttemperatur aire ar aria l m ft 2m m2 t2m dry "
    "no nr number serial sn lgr sen lbl label channel ch id device node "
    "tunnel high low"
)
#: Quantities that, in the lines above a header that names none, speak of all its columns.
QUANTITIES = _words(
    "humidity rh feuchte luftfeuchte luftfeuchtigkeit humidite humedad umidita umidade moisture "
    "wind gust rain rainfall snow niederschlag precipitation pressure co2 light lux par soil boden "
    "dew dewpoint taupunkt water"
)
#: Rows called so are no days.
NO_DAYS = _words("normal normals average climatology climate mean record total sum")
#: Names of the day on which somebody looked, and of later ones: typed in, sent, changed, in UTC.
OBSERVED = _words("observed observation obs measured measurement local")
LATER_THAN_OBSERVED = _words(
    "entry entered created uploaded upload modified updated imported import received sent issued "
    "printed export exported processed posted submitted submission saved synced edited utc gmt "
    "zulu eingabe erfasst"
)

#: Names of columns in which people write what they like.
FREE_WORDS = _words(
    "note notes comment comments remark remarks event events button end bemerkung bemerkungen "
    "notiz notizen kommentar observaciones remarques"
)


#: What a column can hold, as far as we care.
Kind = Literal[
    "stamp", "clock", "year", "month", "day", "day-number",
    "max", "min", "mean", "temperature", "site", "other",
]  # fmt: skip

#: Kinds whose cells are temperatures.
TEMPERATURES: tuple[Kind, ...] = ("max", "min", "mean", "temperature")

#: Where the thermometer of a column hangs.
Spot = Literal["", "outdoors", "indoors", "under cover", "soil"]


_UNIT_IN_NAME = re.compile(
    r"(?:°|º|˚|\ufffd|deg(?:ree)?s?[ _.]*)\s*([fck])(?![a-z])|(?<![a-z])(fahrenheit|celsius|celcius"
    r"|centigrade|kelvin)(?![a-z])|[\[(]\s*([fck])\s*[\])]|[ _,./-]([fck])$"
    r"|(?:max|min|mean|avg|temp)([fck])$",
    re.IGNORECASE,
)
_TENTHS_IN_NAME = re.compile(
    r"tenths?(?![a-z])|\b10ths|(?:^|\D)0[.,]1[\s_]*°?[\s_]*(?:deg(?:ree)?s?)?[\s_]*c"
    r"|1/10[\s_]*°?[\s_]*c|[x×*][\s_]*10\b|\b10[\s_]*[x×*]|/\s*10\b|zehntel|dixi[eè]me"
    r"|d[eé]cima|tienden|tiondel",
    re.IGNORECASE,
)
_IN_A_UNIT = re.compile(r"\bin\s*(?:°|\d|deg|[fck]\b)", re.IGNORECASE)
_GLUED = re.compile(
    r"^(air|t|temp|temperature|daily)?(max|min|mean|avg)(temp|temperature)?([fck])?$"
)


#: Words that give a column of temperatures no other meaning.
_KNOWN = frozenset.union(
    MAX, MIN, MEAN, TEMPERATURE,
    SITE, INDOORS, COVER, OUTDOORS,
    PLAIN,
)  # fmt: skip

# Letters that do not come apart into a plain one and an accent.
_LETTERS = str.maketrans({"ø": "o", "Ø": "O", "æ": "ae", "Æ": "AE", "ß": "ss", "œ": "oe"})


@dataclass(frozen=True, slots=True)
class Meaning:
    """What one column name says.

    ``doubt`` is the word for which a column of temperatures may hold others than the day's air
    temperatures; ``measured`` is false where it holds forecasts or long-term means.
    """

    name: str
    kind: Kind
    unit: FileUnit | None = None
    spot: Spot = ""
    doubt: str = ""
    measured: bool = True


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
    words = words_of(name) if len(name) <= 200 else ()
    kind = "other" if "%" in name else _kind(frozenset(words))
    if kind not in ("max", "min", "mean", "temperature"):
        return Meaning(name, kind)
    spot = _spot(frozenset(words) - ({"in"} if _IN_A_UNIT.search(name) else set()))
    unmeasured = [word for word in words if _is_unmeasured(word, kind)]
    unknown = [word for word in words if not word.isdigit() and word not in _KNOWN]
    soil = [word for word in words if word in SOIL]
    # Tenths of °F or of kelvin are no scale that is read.
    tenths = ["tenths"] if _TENTHS_IN_NAME.search(name) and unit_in(name) is None else []
    doubt = next(iter((*unmeasured, *soil, *unknown, *tenths)), "")
    return Meaning(name, kind, unit_in(name), spot, doubt, not unmeasured)


def _is_unmeasured(word: str, kind: Kind) -> bool:
    """Whether a word says that nobody measured this on the day, as in "average high"."""
    return word in NOT_MEASURED or (
        kind in ("max", "min") and word in MEAN and word not in ("tg", "tas")
    )


def speaks_of_tenths(text: str) -> bool:
    """Whether a legend says that temperatures are in tenths of °C.

    Examples
    --------
    >>> speaks_of_tenths("TX: maximum temperature (in 0.1 degrees Celsius); RH: sum (in 0.1 mm)")
    True
    """
    return any(
        _TENTHS_IN_NAME.search(line) and TEMPERATURE & set(words_of(line))
        for line in text.splitlines()
    )


def unit_in(name: str) -> FileUnit | None:
    """Scale a name or heading states, or None.

    Examples
    --------
    >>> unit_in("max_f"), unit_in("Temp, °C"), unit_in("max")
    ('F', 'C', None)
    """
    if _TENTHS_IN_NAME.search(name):
        other = {"f", "k", "degf", "fahrenheit", "kelvin"} & {*words_of(name)}
        return None if other else "tenths-C"
    found = _UNIT_IN_NAME.search(name)
    if found is None:
        return None
    letter = next(part for part in found.groups() if part)[0].upper()
    return "F" if letter == "F" else "K" if letter == "K" else "C"


def _kind(words: frozenset[str]) -> Kind:
    if not words or words & NOT_AIR:
        return "other"
    about_time = words & (CLOCK | {"date", "datetime", "timestamp"})
    if words & (MAX | MIN | MEAN | TEMPERATURE) and not about_time:
        return _temperature_kind(words)
    if words & DAY_NUMBER or (words & DAY and words & (YEAR | {"number", "no", "nr"})):
        return "day-number"
    if words & (MAX | MIN) and about_time:  # the time at which the maximum was reached
        return "other"
    # "day" alone may be a date or a day of the month: the other columns tell.
    for kind, names in (("day", DAY), ("stamp", STAMP), ("year", YEAR), ("month", MONTH)):
        if words & names and not (kind == "day" and len(words) > 1):
            return kind  # type: ignore[return-value]
    if words & CLOCK:
        return "clock"
    return "site" if words & SITE else "other"


def _temperature_kind(words: frozenset[str]) -> Kind:
    highest, lowest = bool(words & MAX), bool(words & MIN)
    if highest and lowest:
        return "other"
    if highest:
        return "max"
    if lowest:
        return "min"
    return "mean" if words & MEAN else "temperature"


def _spot(words: frozenset[str]) -> Spot:
    if words & SOIL:
        return "soil"
    if words & COVER:
        return "under cover"
    if words & INDOORS:
        return "indoors"
    return "outdoors" if words & OUTDOORS else ""
