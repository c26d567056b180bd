"""The address that opens a page: printed, opened, and a fresh one once it is used."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from gddcast.web.keys import Keys


@dataclass(frozen=True, slots=True)
class Address:
    """Where a page is on this machine, with the key that opens it once."""

    keys: Keys
    port: int

    def __str__(self) -> str:
        return f"http://127.0.0.1:{self.port}/start?key={self.keys.start}"

    def open(self, called: str, *, browser: bool) -> None:
        """Say where it is, and open it."""
        where = "is open in your browser" if browser else "waits for your browser at this address"
        click.echo(f"{called} {where} until you press Ctrl-C here:", err=True)
        click.echo(f"  {self}", err=True)
        if browser:
            import webbrowser

            webbrowser.open(str(self))

    def used(self) -> None:
        """Say the next one."""
        click.echo(f"Opened. For another browser:  {self}", err=True)
