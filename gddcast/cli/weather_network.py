"""The network by this machine's settings, and what is shown while it is used."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from gddcast.online.session import WeatherSession


def look_at_clock(longitude: float) -> None:
    """Ask back where this computer's own zone lies worlds from the place."""
    from gddcast.cli.clock import own_timezone
    from gddcast.online.modelled import off_the_sun

    own = own_timezone()
    if own and own != "UTC" and off_the_sun(own, longitude):
        click.echo(
            f"Longitude {longitude:g} lies many hours from {own}, this computer's own zone. West "
            "is negative: was a sign lost, or were the two swapped?",
            err=True,
        )


@contextmanager
def weather_session() -> Iterator[WeatherSession]:
    """A session by this machine's settings: its cache folder, and other addresses if named."""
    from platformdirs import user_cache_path

    from gddcast.online.services import Patience, Services
    from gddcast.online.session import WeatherSession

    folder = os.environ.get("GDDCAST_CACHE")
    address = os.environ.get("GDDCAST_WEATHER_FROM")
    wait = os.environ.get("GDDCAST_WAIT")
    patience = Patience()
    if wait:
        seconds = float(wait)
        patience = replace(patience, connect=seconds, silence=seconds, whole=seconds,
                           whole_list=max(seconds, 5.0), retry=seconds)  # fmt: skip
    session = WeatherSession(
        Path(folder) if folder else user_cache_path("gddcast", appauthor=False),
        Services.behind(address) if address else Services(),
        patience,
    )
    try:
        yield session
    finally:
        session.close()


@contextmanager
def progress_bar(label: str) -> Iterator[Callable[[int, int], None]]:
    """A bar on a terminal; nothing elsewhere."""
    if not sys.stderr.isatty():
        yield lambda _done, _of: None
        return
    with click.progressbar(length=1, label=label, file=sys.stderr, show_eta=False) as bar:

        def show(done: int, of: int) -> None:
            bar.length = max(of, 1)
            bar.update(done - bar.pos)

        yield show
