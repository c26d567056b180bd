"""Another device at home: let in by a code once, named, and let go again."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING
from urllib.parse import urlencode

from starlette.responses import RedirectResponse, Response

from gddcast.draw.svg import Svg
from gddcast.errors import Refusal
from gddcast.web import fields
from gddcast.web.guard import JOIN
from gddcast.web.keys import CODE_LASTS, Keys
from gddcast.web.screen import Shown

if TYPE_CHECKING:
    from starlette.datastructures import FormData
    from starlette.requests import Request

    from gddcast.web.season_book import SeasonBook

#: Letters of a device's name.
_LONGEST = 40


@dataclass(frozen=True, slots=True)
class Device:
    """One that was let in."""

    name: str
    may: str


@dataclass(frozen=True, slots=True)
class DevicesPage:
    """What ``web/devices.html`` shows."""

    at_home: str
    devices: tuple[Device, ...]
    address: str = ""  # of the code just made
    picture: Svg | None = None
    minutes: int = round(CODE_LASTS / 60)
    title: str = "Other devices"


@dataclass(frozen=True, slots=True)
class JoinPage:
    """What ``web/join.html`` shows."""

    code: str
    title: str = "The season book"


def screen(request: Request, _: SeasonBook) -> Shown:
    """Devices that were let in, and a form for another."""
    return _shown(request)


def _shown(request: Request, address: str = "") -> Shown:
    _refuse_elsewhere(request)
    keys: Keys = request.app.state.keys
    devices = tuple(
        Device(each.device, "may log" if each.writes else "may look") for each in keys.devices()
    )
    picture = _qr(address) if address else None
    page = DevicesPage(request.app.state.at_home, devices, address, picture)
    return Shown("devices.html", page, "record")


def code(request: Request, _: SeasonBook, form: FormData) -> Shown:
    """A fresh code as a picture that a phone's camera reads."""
    _refuse_elsewhere(request)
    home, keys = request.app.state.at_home, request.app.state.keys
    if not home:
        raise _not_on_the_network()
    name = fields.text(form, "device")[:_LONGEST] or "a device"
    made = keys.code(name, writes=fields.text(form, "may") != "look")
    return _shown(request, f"{home}{JOIN}?{urlencode({'code': made.text})}")


def revoke(request: Request, _: SeasonBook, form: FormData) -> Response:
    """Let a device in no more."""
    _refuse_elsewhere(request)
    request.app.state.keys.revoke(fields.text(form, "device"))
    return RedirectResponse("/devices", 303)


def to_join(code: str) -> Shown:
    """The form that a device opens by its code."""
    return Shown("join.html", JoinPage(code[:_LONGEST]))


def _refuse_elsewhere(request: Request) -> None:
    if not request.scope["session"].is_local:
        raise Refusal(
            "this screen", "it is for the machine that keeps the book",
            "Devices are let in from there.", "Go there.", slug="not-here",
        )  # fmt: skip


def _not_on_the_network() -> Refusal:
    return Refusal(
        "another device", "this page is on this machine alone",
        "It was started without --on-my-network.", "Start it with it.", slug="not-on-network",
    )  # fmt: skip


def _qr(address: str) -> Svg:
    """The address as a code of squares, dark on light by day and by night."""
    import segno

    return Svg(segno.make(address, error="m").svg_inline(border=4, light="#FFFFFE", omitsize=True))
