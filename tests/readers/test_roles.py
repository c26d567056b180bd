"""Columns that hold no air temperatures of the day: read past, or asked about, never believed."""

import numpy as np
import pytest

from gddcast.errors import Refusal
from gddcast.readers.columns import meaning
from tests.readers.known_days import (
    ABOVE,
    BELOW,
    DAYS,
    HIGH,
    LOW,
    assert_asked,
    assert_true_days,
    fahrenheit,
    half_hours,
    outcome,
    rows,
)

#: Names under which other quantities stand in files: none may be taken for the air's temperature.
OTHERS = """
Humidity|RH|Luftfeuchte|humidité|humedad|umidità|vochtigheid|Wind|gust|Böe|rafale|CO2|CO₂|light|
PAR|lux|Licht|soil moisture|VWC|EC|%|rain|pressure hPa|battery mV|dew|dewpt|Taupunkt °C|
heat index °C|feels like °C|gefühlte Temperatur °C|température ressentie °C|sensación térmica °C|
gevoelstemperatuur °C|wet bulb °C|GDD|growing degree days|departure °C|anomaly °C|Abweichung °C|
écart °C|record °C|normal °C|water °C|pool °C|leaf °C|canopy °C|surface °C|alarm °C|error °C|std °C
""".replace("\n", "").split("|")


@pytest.mark.parametrize("other", OTHERS)
def test_other_quantities_beside_the_air_are_read_past(other: str) -> None:
    header = f"date,{other} max,{other} min,max °C,min °C"
    assert_true_days(outcome([header, *rows(ABOVE, BELOW, HIGH, LOW)]))


@pytest.mark.parametrize("other", OTHERS)
@pytest.mark.parametrize("unit", [None, "C"])
def test_other_quantities_alone_are_refused(other: str, unit: str | None) -> None:
    refusal = assert_asked(
        outcome([f"date,{other} max,{other} min", *rows(ABOVE, BELOW)], unit=unit)
    )
    assert refusal.slug in ("header-missing", "column-unclear")


@pytest.mark.parametrize("other", ["vlaga", "km/h", "Süd", "set", "wilgotność", "kitchen", "pH"])
def test_a_word_nobody_knows_is_asked_about_and_the_cure_reads(other: str) -> None:
    lines = [f"date,{other} max °C,{other} min °C", *rows(HIGH, LOW)]
    refusal = assert_asked(
        outcome(lines),
        "--max-column", f"{other} max °C", "--min-column", f"{other} min °C",
    )  # fmt: skip

    assert "is a word I don’t know" in refusal.expected
    named = {"max_column": f"{other} max °C", "min_column": f"{other} min °C"}
    assert_true_days(outcome(lines, **named))


@pytest.mark.parametrize(
    "other",
    ["Forecast", "predicted", "Vorhersage", "prévision", "pronóstico", "Average", "30-yr mean",
     "last year", "estimated", "yesterday"],
)  # fmt: skip
def test_what_nobody_measured_is_asked_about_alone_and_read_past_beside_measurements(
    other: str,
) -> None:
    high, low = f"{other} high °C", f"{other} low °C"
    refusal = assert_asked(
        outcome([f"date,{high},{low}", *rows(ABOVE, BELOW)]),
        "--max-column", high, "--min-column", low,
    )  # fmt: skip
    assert "nobody measured" in refusal.problem
    beside = [f"date,{high},{low},High °C,Low °C", *rows(ABOVE, BELOW, HIGH, LOW)]
    assert_true_days(outcome(beside))


@pytest.mark.parametrize("height", ["5cm", "(5 cm)", "at 5 cm"])
def test_a_minimum_near_the_ground_is_asked_about(height: str) -> None:
    assert_asked(
        outcome([f"date,max C,min {height} C", *rows(HIGH, BELOW)]),
        "--max-column", "max C", "--min-column", f"min {height} C",
    )  # fmt: skip


def test_the_soil_is_asked_about() -> None:
    lines = ["date,Soil max C,Soil min C", *rows(HIGH, LOW)]
    refusal = assert_asked(
        outcome(lines), "--max-column", "Soil max C", "--min-column", "Soil min C"
    )

    assert "is the soil’s" in refusal.problem
    assert_true_days(outcome(lines, max_column="Soil max C", min_column="Soil min C"))


@pytest.mark.parametrize("one", ["Max C", "Outdoor max C"])
@pytest.mark.parametrize("other", ["Soil min C", "Indoor min C", "Greenhouse min C"])
def test_extremes_of_two_thermometers_are_asked_about(one: str, other: str) -> None:
    refusal = assert_asked(
        outcome([f"date,{one},{other}", *rows(HIGH, BELOW)]),
        "--max-column", one, "--min-column", other,
    )  # fmt: skip
    assert "two thermometers" in refusal.problem


@pytest.mark.parametrize(
    "header",
    [
        "date,Daily maximum air temperature (°C),Daily minimum air temperature (°C)",
        "Datum,Maxtemperatur °C,Mintemperatur °C",
        "Date,Température maximale sous abri °C,Température minimale sous abri °C",
        "Fecha,Temperatura máxima del aire (°C),Temperatura mínima del aire (°C)",
        "date,Bed 3 max °C,Bed 3 min °C",
        "date,observed high °C,observed low °C",
        'date,"Max temp, °C (S/N 20114)","Min temp, °C (S/N 20114)"',
        "date,HI °C,LO °C",
    ],
)
def test_ordinary_names_are_no_cause_to_ask(header: str) -> None:
    assert_true_days(outcome([header, *rows(HIGH, LOW)]))


@pytest.mark.parametrize("log_column", ["temp °C", "Air temperature °C", "Logger temp °C"])
def test_a_log_of_hours_and_minutes_is_one_of_temperatures(log_column: str) -> None:
    lines = [
        f"{stamp[:10]},{int(stamp[11:13])},{int(stamp[14:])},{warmth:.2f}"
        for stamp, warmth in half_hours()
    ]
    assert_true_days(outcome([f"date,hour,min,{log_column}", *lines]))
    reading = outcome([f"date,hour,min,{log_column}", *lines])
    assert getattr(reading, "hourly").step == 30  # noqa: B009


def test_minutes_are_no_minima() -> None:
    lines = [f"{day},12,0,{high}" for day, high in zip(DAYS, HIGH, strict=True)]
    refusal = assert_asked(outcome(["date,hour,min,max C", *lines]), "--min-column", "NAME")

    assert "none of its minimum" in refusal.problem


def test_a_minimum_behind_an_hour_stays_one() -> None:
    """Whole degrees between 0 and 59 behind a column of hours: minutes, unless named a minimum."""
    lines = [f"{day},7,{low},{high}" for day, low, high in zip(DAYS, LOW, HIGH, strict=True)]
    assert_true_days(outcome(["date,hour,min temp C,max temp C", *lines]))


@pytest.mark.parametrize(
    ("above", "below"),
    [
        (",Humidity,,Temperature °C,", None),
        (",Humidity,,Temperature °C", None),
        (",Humidity,Humidity,Temperature °C,Temperature °C", None),
        (",Humidity,Humidity,Air,Air", ",%,%,°C,°C"),
        ("Day,Soil temperature,,Air temperature,", "yyyy-mm-dd,degC,degC,degC,degC"),
    ],
)
def test_a_second_header_row_tells_columns_of_one_name_apart(above: str, below: str | None) -> None:
    header = [above, "date,Max,Min,Max,Min", *([below] if below else [])]
    answer = outcome([*header, *rows(ABOVE, BELOW, HIGH, LOW)])
    if "Soil" in above:
        assert_asked(answer, "--max-column", "4")
        answer = outcome([*header, *rows(ABOVE, BELOW, HIGH, LOW)], max_column="4", min_column="5")
    assert_true_days(answer)


def test_two_columns_of_one_name_are_asked_for_by_number() -> None:
    lines = ["date,Max,Min,Max,Min", *rows(ABOVE, BELOW, HIGH, LOW)]
    assert_asked(outcome(lines, unit="C"), "--max-column", "2")
    refusal = assert_asked(outcome(lines, unit="C", max_column="Max", min_column="Min"))

    assert "2 of its columns are called 'Max'" in refusal.problem
    assert_true_days(outcome(lines, unit="C", max_column="4", min_column="5"))


@pytest.mark.parametrize(
    ("unit_row", "written"),
    [
        (",°F,°F", fahrenheit),
        ("-,(F),(F)", fahrenheit),
        ("yyyy-mm-dd,degC,degC", lambda each: each),
    ],
)
def test_units_in_a_row_of_their_own_are_the_units(unit_row: str, written) -> None:  # type: ignore[no-untyped-def]
    assert_true_days(outcome(["date,max,min", unit_row, *rows(written(HIGH), written(LOW))]))


def test_a_title_that_speaks_of_humidity_is_asked_about() -> None:
    lines = ["Relative humidity in percent, Larkhollow", "date,Max,Min", *rows(ABOVE, BELOW)]
    refusal = assert_asked(outcome(lines, unit="F"), "--max-column", "Max", "--min-column", "Min")

    assert "speak of 'humidity'" in refusal.problem
    spoken = ["Temperature and humidity in Larkhollow", "date,Max,Min", *rows(HIGH, LOW)]
    assert_true_days(outcome(spoken, unit="C"))


def test_the_word_that_raised_the_doubt_is_named() -> None:
    assert (meaning("Max Larkhollow").doubt, meaning("max_c").doubt) == ("larkhollow", "")
    assert not meaning("Forecast high").measured


@pytest.mark.parametrize("warm_first", [True, False])
def test_a_day_as_warm_as_cold_leaves_the_likely_pair_likely(*, warm_first: bool) -> None:
    """Maximum and minimum of one day may be the same number."""
    low = [LOW[0], HIGH[1], *LOW[2:]]
    high_at, low_at = ("2", "3") if warm_first else ("3", "2")
    refusal = assert_asked(
        outcome(rows(*((HIGH, low) if warm_first else (low, HIGH))), unit="C"),
        "--max-column", high_at, "--min-column", low_at,
    )  # fmt: skip
    assert f"Column {high_at} is never below column {low_at}" in refusal.expected


def test_columns_that_cross_or_never_change_are_no_likely_pair() -> None:
    """A constant is passed over, then a pair that crosses, then words."""
    crossing = [*LOW[:10], *HIGH[10:]]
    lines = rows(np.full(DAYS.size, 30), crossing, ["fair", "rain"] * 10, HIGH, LOW)
    refusal = assert_asked(outcome(lines, unit="C"), "--max-column", "5", "--min-column", "6")
    assert "Column 5 is never below column 6" in refusal.expected

    beside = [*HIGH[:10], *LOW[10:]]
    unlike = outcome(rows(crossing, beside), unit="C")
    assert isinstance(unlike, Refusal)
    assert (unlike.slug, unlike.flag) == ("header-missing", None)
    assert "never below" not in unlike.expected
