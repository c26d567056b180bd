"""What the two Open-Meteo services have in common: the question and the shape of the answer."""

from __future__ import annotations

from collections.abc import Callable

from gddcast.online import modelled
from gddcast.online.modelled import Daily
from gddcast.online.session import Answer
from gddcast.online.trouble import Trouble, of_lack
from gddcast.weather.provenance import Provenance
from gddcast.weather.series import Place

SERVICE = "Open-Meteo"
TERMS = (
    "Weather data by Open-Meteo.com, https://open-meteo.com, CC BY 4.0; "
    "free of charge for non-commercial use"
)


def question(place: Place) -> dict[str, str]:
    """Where, what and whose days: the part of a request that is always the same."""
    if place.latitude is None or place.longitude is None:
        raise Trouble(
            "it needs to know where the place is",
            "The station’s coordinates are not known.",
            slug="place-missing",
            cure="Say --at LAT,LON as well.",
        )
    height = {} if place.elevation is None else {"elevation": f"{place.elevation:.0f}"}
    return {
        "latitude": f"{place.latitude:.4f}",
        "longitude": f"{place.longitude:.4f}",
        **height,
        "daily": "temperature_2m_max,temperature_2m_min",
        # Without it days are cut at midnight GMT.
        "timezone": place.timezone or "auto",
    }


def reader(place: Place, what: str) -> Callable[[bytes], Daily]:
    """What reads an answer for a place."""

    def read(body: bytes) -> Daily:
        found = modelled.json_in(body, what)
        if found.get("error"):
            raise Trouble(
                f"it does not answer the request for {what}",
                f"It says: {found.get('reason', 'nothing more')}",
                slug="service-error",
            )
        _same_place(found, place, what)
        zone = modelled.zone_of(found.get("timezone"), place, what)
        try:
            daily, units = found["daily"], found["daily_units"]
            first = modelled.consecutive(daily["time"], what)
            high, low = (
                modelled.in_celsius(modelled.numbers(daily[name], what), units[name], what)
                for name in ("temperature_2m_max", "temperature_2m_min")
            )
        except (KeyError, TypeError) as error:
            raise of_lack(what, error) from error
        if not low.size == high.size == len(daily["time"]):
            raise Trouble(f"{what} has uneven columns", slug="not-data")
        modelled.checked(low, high, what)
        return Daily(first, low, high, zone)

    return read


def provenance(key: str, what: str, zone: str | None, answer: Answer[Daily]) -> Provenance:
    """Where days of an answer come from."""
    return Provenance(
        key=key,
        service=SERVICE,
        what=what,
        day=f"24 local hours of {zone}",
        terms=TERMS,
        fetched=answer.fetched,
        issued=answer.issued,
        stale=answer.stale,
    )


def _same_place(answer: dict[str, object], place: Place, what: str) -> None:
    latitude, longitude = answer.get("latitude"), answer.get("longitude")
    if not isinstance(latitude, int | float) or not isinstance(longitude, int | float):
        raise Trouble(f"{what} does not say for where it is", slug="form-changed")
    assert place.latitude is not None
    assert place.longitude is not None
    east = abs(longitude - place.longitude) % 360.0
    if max(abs(latitude - place.latitude), min(east, 360.0 - east)) > modelled.SAME_PLACE:
        raise Trouble(
            f"{what} is for another place",
            f"It answers for {latitude:g},{longitude:g}.",
            slug="wrong-place",
        )
    height = answer.get("elevation")
    if place.elevation is None or not isinstance(height, int | float):
        return
    if abs(height - place.elevation) > modelled.SAME_HEIGHT:
        raise Trouble(
            f"{what} is for another height",
            f"It answers for {height:.0f} m; the place lies at {place.elevation:.0f} m, and air is "
            "about 1 °C colder for every 150 m.",
            slug="wrong-place",
            cure="Check the coordinates and --elevation of the place.",
        )
