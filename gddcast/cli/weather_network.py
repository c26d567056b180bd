"""The network by this machine's settings."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import click

from gddcast.errors import Refusal

if TYPE_CHECKING:
    from gddcast.online.services import Patience
    from gddcast.online.session import WeatherSession


def look_at_clock(longitude: float) -> None:
    """Ask back where this computer's own zone lies worlds from the place."""
    from gddcast.cli.clock import machine_timezone
    from gddcast.online.modelled import off_the_sun

    own = machine_timezone()
    if own and own != "UTC" and not own.startswith("Etc/") and off_the_sun(own, longitude):
        click.echo(
            f"Longitude {longitude:g} lies many hours from {own}, this computer’s own zone. West "
            "is negative: was a sign lost, or were the two swapped?",
            err=True,
        )


@contextmanager
def weather_session() -> Iterator[WeatherSession]:
    """A session by this machine's settings.

    ``GDDCAST_CACHE`` names another cache folder, ``GDDCAST_WEATHER_FROM`` one address that stands
    for all services (a mirror, a test), ``GDDCAST_WAIT`` the seconds to wait for an answer.
    """
    from gddcast.cli.cache_folder import cache_folder
    from gddcast.online.services import Services
    from gddcast.online.session import WeatherSession

    folder = cache_folder()
    address = os.environ.get("GDDCAST_WEATHER_FROM")
    services = Services.behind(address) if address else Services()
    try:
        session = WeatherSession(folder, services, _patience(os.environ.get("GDDCAST_WAIT")))
    except OSError as error:
        raise Refusal(
            f"the cache folder {folder}", (error.strerror or "it can’t be used").lower(),
            "What is fetched is kept there, so that it need not be fetched twice.",
            "Name another in GDDCAST_CACHE.", slug="unwritable",
        ) from error  # fmt: skip
    try:
        yield session
    finally:
        session.close()


def _patience(wait: str | None) -> Patience:
    """How long to wait, by the setting or as usual."""
    from gddcast.online.services import Patience

    if not wait:
        return Patience()
    try:
        seconds = float(wait)
        if not 0.0 < seconds <= 3600.0:
            raise ValueError
    except ValueError:
        raise Refusal(
            "GDDCAST_WAIT", f"it is '{wait}'", "It is a number of seconds.",
            "Set it to 60, or not at all.", slug="setting-unclear",
        ) from None  # fmt: skip
    return Patience(seconds, seconds, seconds, max(seconds, 5.0))
