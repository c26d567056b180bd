"""The sockets of this machine, and the server on them, until Ctrl-C."""

from __future__ import annotations

import ipaddress
import signal
import socket
from collections.abc import Sequence
from contextlib import suppress
from typing import TYPE_CHECKING

from gddcast.errors import Refusal

if TYPE_CHECKING:
    from starlette.types import ASGIApp

#: Tried where nobody names a port: an address that stays the same from day to day.
USUAL_PORT = 8460
_LOOPBACK = ((socket.AF_INET, "127.0.0.1"), (socket.AF_INET6, "::1"))
#: Names of this machine that only this machine means.
_NAMES = ("127.0.0.1", "localhost", "[::1]")
#: Requests that are still being answered when the server stops have so long. [s]
_LAST_ANSWERS = 2


def listen(port: int | None) -> tuple[list[socket.socket], int]:
    """Sockets that only this machine reaches, and their port.

    Parameters
    ----------
    port : int or None
        None takes the usual one, or where that is taken any other.

    Raises
    ------
    Refusal
        If the port named is taken, or may not be taken.
    """
    wanted = USUAL_PORT if port is None else port
    try:
        return _bound(wanted)
    except OSError as error:
        if port is None:
            return _bound(0)
        raise Refusal(
            f"port {port}", f"it can’t be listened on ({error.strerror})",
            "Another program has it, or this account may not take it.",
            "Name another one, or leave --port out and a free one is found.", slug="port-taken",
        ) from None  # fmt: skip


def listen_at_home(port: int) -> tuple[socket.socket, str]:
    """A socket that the home network reaches, on the same port, and this machine's address there.

    Raises
    ------
    Refusal
        If this machine is on no network, or on one that is not a home's own.
    """
    address = _machine_address()
    if address is None or not ipaddress.ip_address(address).is_private:
        raise Refusal(
            "--on-my-network", "this machine has no address of a home network",
            f"Its address is {address or 'none'}: a home’s own begin with 192.168, 10 or 172.16.",
            "Join the network at home, or leave --on-my-network out.", slug="not-at-home",
        )  # fmt: skip
    return _listening(socket.AF_INET, address, port), address


def _machine_address() -> str | None:
    """The address that packets of this machine carry; asking sends none."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # set apart for documentation, RFC 5737
        except OSError:
            return None
        return str(probe.getsockname()[0])


def names_of(port: int, *others: str) -> frozenset[str]:
    """Hosts under which the page may be asked for."""
    names = (*_NAMES, *others)
    bare = names if port == 80 else ()
    return frozenset((*(f"{name}:{port}" for name in names), *bare))


def serve(app: ASGIApp, sockets: Sequence[socket.socket]) -> None:
    """Answer until Ctrl-C or a polite end; what was being written then is whole or not there."""
    import uvicorn

    config = uvicorn.Config(
        app, lifespan="off", ws="none", log_level="critical", access_log=False, server_header=False,
        proxy_headers=False, timeout_graceful_shutdown=_LAST_ANSWERS,
    )  # fmt: skip
    # The server ends in order and raises the signal again: then to be treated like Ctrl-C.
    signal.signal(signal.SIGTERM, signal.default_int_handler)
    with suppress(KeyboardInterrupt):
        uvicorn.Server(config).run(sockets=list(sockets))


def _bound(port: int) -> tuple[list[socket.socket], int]:
    """Both loopback addresses on one port; the second is left out on a machine without it."""
    sockets: list[socket.socket] = []
    try:
        for family, address in _LOOPBACK:
            if family == socket.AF_INET6 and not _has_six():
                continue
            sockets.append(_listening(family, address, port))
            port = sockets[0].getsockname()[1]
    except OSError:
        for each in sockets:
            each.close()
        raise
    return sockets, port


def _listening(family: int, address: str, port: int) -> socket.socket:
    made = socket.socket(family, socket.SOCK_STREAM)
    try:
        if hasattr(socket, "SO_EXCLUSIVEADDRUSE"):  # elsewhere nobody listens on a taken port
            made.setsockopt(socket.SOL_SOCKET, socket.SO_EXCLUSIVEADDRUSE, 1)
        else:
            made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        if family == socket.AF_INET6:
            made.setsockopt(socket.IPPROTO_IPV6, socket.IPV6_V6ONLY, 1)
        made.bind((address, port))
        made.listen(64)
    except OSError:
        made.close()
        raise
    return made


def _has_six() -> bool:
    if not socket.has_ipv6:
        return False
    try:
        _listening(socket.AF_INET6, "::1", 0).close()
    except OSError:
        return False
    return True
