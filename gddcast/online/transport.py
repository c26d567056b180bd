"""One request under one deadline: name look-up, headers and body together.

A timeout of ``requests`` is per read, so a server that sends a byte now and then is never too
slow for it, and looking up a name has no timeout at all. Here the whole exchange runs beside us
and we wait for it no longer than we said.
"""

from __future__ import annotations

import contextlib
import io
import threading
import time
from collections.abc import Callable
from typing import Any

import requests
import urllib3
from requests.adapters import HTTPAdapter

from gddcast.online.services import Patience

_PIECE = 65_536
_LATER = (429, 503)


class TooSlow(requests.exceptions.ReadTimeout):
    """The whole exchange took longer than we wait."""


class TooLarge(requests.exceptions.ConnectionError):
    """The answer is larger than we take."""


class Deadline(HTTPAdapter):
    """Sends requests of a session, each within ``patience``.

    Parameters
    ----------
    patience : Patience
    sleep : callable
        How to sit out a short ``Retry-After``. [s]

    Attributes
    ----------
    sent : int
        Requests that went out.
    failed : Exception or None
        How the last one failed: the cache hides it where an older answer stands in.
    """

    def __init__(self, patience: Patience, sleep: Callable[[float], None] = time.sleep) -> None:
        self.patience = patience
        self.sent = 0
        self.failed: Exception | None = None
        self._sleep = sleep
        self._until: float | None = None
        super().__init__()

    def begin(self, whole: float | None = None) -> None:
        """One question begins: its redirects and its second try share its seconds."""
        self.failed = None
        self._until = time.monotonic() + (whole or self.patience.whole)

    def send(  # type: ignore[override]
        self, request: requests.PreparedRequest, **options: Any
    ) -> requests.Response:
        """Send one request; once more where the service asks for a short wait."""
        response = self._once(request, options)
        wait = response.headers.get("Retry-After", "")
        asked_back = response.status_code in _LATER and wait.isdigit()
        if asked_back and int(wait) <= self.patience.retry:
            self._sleep(float(wait))
            response = self._once(request, options)
        return response

    def _once(
        self, request: requests.PreparedRequest, options: dict[str, Any]
    ) -> requests.Response:
        self.sent += 1
        # How long we keep an answer is between us and our cache.
        request.headers.pop("Cache-Control", None)
        whole = options.get("timeout") or self.patience.whole
        if self._until is not None:
            whole = max(min(whole, self._until - time.monotonic()), 0.01)
        timeout = (min(self.patience.connect, whole), min(self.patience.silence, whole))
        exchange = _Exchange(
            lambda: super(Deadline, self).send(
                request, **{**options, "stream": True, "timeout": timeout}
            ),
            self.patience.largest,
        )
        try:
            return exchange.within(whole)
        except Exception as error:
            self.failed = error
            raise


class _Exchange:
    """An exchange that runs on a thread of its own and can be given up."""

    def __init__(self, begin: Callable[[], requests.Response], largest: int) -> None:
        self._begin = begin
        self._largest = largest
        self._given_up = threading.Event()
        self._response: requests.Response | None = None
        self._body = b""
        self._failed: Exception | None = None

    def within(self, seconds: float) -> requests.Response:
        """Wait for the end of it, or give it up."""
        worker = threading.Thread(target=self._run, daemon=True, name="weather-exchange")
        worker.start()
        try:
            worker.join(seconds)
        except BaseException:
            self._give_up()
            raise
        if worker.is_alive():
            self._give_up()
            raise TooSlow(f"no whole answer within {seconds:g} seconds")
        if self._failed is not None:
            raise self._failed
        assert self._response is not None
        return _read_out(self._response, self._body)

    def _run(self) -> None:
        try:
            self._response = self._begin()
            self._body = self._read(self._response)
        except urllib3.exceptions.HTTPError as error:
            self._failed = requests.exceptions.ConnectionError(error)
        except Exception as error:
            self._failed = error
        if self._response is not None and (self._given_up.is_set() or self._failed):
            self._response.close()

    def _read(self, response: requests.Response) -> bytes:
        pieces, size = [], 0
        while piece := response.raw.read(_PIECE, decode_content=True):
            size += len(piece)
            if size > self._largest:
                raise TooLarge(f"more than {self._largest:,} bytes")
            if self._given_up.is_set():
                break
            pieces.append(piece)
        return b"".join(pieces)

    def _give_up(self) -> None:
        self._given_up.set()
        # Wakes a read that waits for the next byte; older urllib3 has no such way.
        shutdown = getattr(getattr(self._response, "raw", None), "shutdown", None)
        if shutdown is not None:
            # It may have ended by itself in this moment.
            with contextlib.suppress(OSError, ValueError, RuntimeError):
                shutdown()


def _read_out(response: requests.Response, body: bytes) -> requests.Response:
    """The response with its body in memory, decoded, as the cache wants to see it."""
    response.headers.pop("Content-Encoding", None)
    response._content = body
    response._content_consumed = True  # type: ignore[attr-defined]
    response.raw = urllib3.HTTPResponse(
        body=io.BytesIO(body),
        headers=dict(response.headers),
        status=response.status_code,
        reason=response.reason,
        preload_content=False,
        decode_content=False,
        request_url=response.url,
    )
    return response
