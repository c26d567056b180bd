"""The words that column names are made of, in several languages, sorted by what they speak of.

English, German, French, Spanish, Portuguese, Italian, Dutch, Swedish, Danish, Norwegian, without
accents. Climatology's short names: TX, TN, TG; tasmax, tasmin, tas.
"""

from __future__ import annotations


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
