"""The one HTTP cache: an answer is checked before it is kept, and an old one beats none.

requests-cache keeps every answer with an allowed status, so a sign-in page with status 200 would
push a good year file out. Here each request brings the function that reads its answer; it runs
before the cache writes, and what it cannot read never reaches the cache.
"""

from __future__ import annotations

import datetime as dt
import logging
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from email.utils import parsedate_to_datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Generic, TypeVar
from zlib import crc32

from gddcast import __version__
from gddcast.online import cache_file
from gddcast.online.redirects import sent_on
from gddcast.online.services import Patience, Services
from gddcast.online.trouble import Trouble, of_status
from gddcast.words import count

if TYPE_CHECKING:
    import requests

T = TypeVar("T")

#: How services know us.
USER_AGENT = f"gddcast/{__version__} (degree-days for growers; python-requests)"
#: Size to which the cache is cut back. [bytes]
LARGEST_CACHE = 200_000_000
#: An absent file of a finished year may still come: asked again after this.
ABSENT_FOR = dt.timedelta(days=30)
NEVER = None
#: A service may send on to its own other host, not round and round.
MOST_REDIRECTS = 3
#: By so much two clocks may differ. [h]
CLOCKS_APART = dt.timedelta(hours=1)
#: The cache, in its folder.
CACHE = "http.sqlite"
#: Kept with an answer, as a header: CRC-32 of its body when it came.
_CHECKSUM = "X-Gddcast-Checksum"


@dataclass(frozen=True, slots=True)
class Answer(Generic[T]):
    """An answer that was read.

    Parameters
    ----------
    value : T or None
        None where the service has no such file and that is an answer too.
    body : bytes
        As it came.
    fetched : datetime.datetime
        When it came, UTC.
    issued : datetime.datetime, optional
        When the service made it, by its own word.
    stale : str, optional
        Why an older answer stands in for a new one.
    """

    value: T | None
    body: bytes
    fetched: dt.datetime
    issued: dt.datetime | None
    stale: str | None

    def notes(self, service: str, struck: int, what: str = "") -> tuple[str, ...]:
        """What is said of it: that an older one stands in, and how many days were struck."""
        notes = []
        if self.stale:
            of = f"{what} " if what else ""
            notes.append(f"{service}: {self.stale}; {of}as of {self.fetched:%d %B %Y %H:%M} UTC.")
        if struck:
            notes.append(f"{service}: {count(struck, 'impossible day')} taken as missing.")
        return tuple(notes)


class WeatherSession:
    """Requests to weather services, cached in a folder.

    Parameters
    ----------
    folder : Path
        For the cache, the mirror of year files and the station list; made when needed.
    services : Services
    patience : Patience
    sleep : callable
        How to sit out a short ``Retry-After``. [s]

    Examples
    --------
    Used as a context, so that the cache is closed::

        with WeatherSession(folder) as session:
            answer = session.get(url, read=json.loads, keep=timedelta(hours=6))
    """

    def __init__(
        self,
        folder: Path,
        services: Services | None = None,
        patience: Patience | None = None,
        sleep: Callable[[float], None] = time.sleep,
    ) -> None:
        from gddcast.online.transport import Deadline

        folder.mkdir(parents=True, exist_ok=True)
        self.folder = folder
        self.services = services or Services()
        self.patience = patience or Patience()
        # Serving an old answer logs a traceback; what went wrong is said in our own words.
        logging.getLogger("requests_cache").setLevel(logging.CRITICAL)
        cache_file.drop_if_damaged(folder / CACHE)
        with cache_file.explained(folder):
            self._http = cache_file.opened(folder / CACHE)
        self._http.headers["User-Agent"] = USER_AGENT
        self._http.max_redirects = MOST_REDIRECTS
        self._transport = Deadline(self.patience, sleep)
        self._http.mount("http://", self._transport)
        self._http.mount("https://", self._transport)

    def __enter__(self) -> WeatherSession:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Cut the cache back to its size and close it."""
        with cache_file.explained(self.folder):
            self._cut_back()
        self._http.close()  # type: ignore[no-untyped-call]

    @property
    def requests(self) -> int:
        """Requests that went out to the network so far."""
        return self._transport.sent

    def get(
        self,
        url: str,
        *,
        read: Callable[[bytes], T],
        keep: dt.timedelta | None,
        params: Mapping[str, str] | None = None,
        absent_is_an_answer: bool = False,
        offline: bool = False,
    ) -> Answer[T]:
        """Get and read an answer.

        Parameters
        ----------
        url : str
        read : callable
            From the body to what it says; raises ``Trouble`` where that cannot be used.
        keep : timedelta, or NEVER to expire
        params : mapping, optional
        absent_is_an_answer : bool
            Whether status 404 is one.
        offline : bool
            Whether only the cache may answer.

        Raises
        ------
        Trouble
            If nothing that can be used came, and nothing older is kept.
        Refusal
            If the cache can't be used.
        """
        judge = _Judge(read, absent_is_an_answer, self._held)
        self._transport.begin()
        with cache_file.explained(self.folder):
            self._doubt_what_is_kept(url, params, read)
            try:
                response = self._http.get(
                    url,
                    params=dict(params or {}),
                    expire_after=-1 if keep is NEVER else keep,
                    only_if_cached=offline,
                    hooks={"response": judge},
                )
            except Exception as error:
                raise judge.trouble or _trouble_of(error, self.patience) from error
            self._expire_if_absent(response, keep)
        stale = None
        if getattr(response, "from_cache", False) and response.is_expired:
            failed = self._transport.failed
            why = judge.trouble or (_trouble_of(failed, self.patience) if failed else None)
            stale = why.problem if why else "nothing newer came"
        return Answer(
            judge.value(response),
            response.content,
            response.created_at,
            _date_of(response.headers.get("Last-Modified")),
            stale,
        )

    def download(self, url: str, *, read: Callable[[bytes], T]) -> Answer[T]:
        """Get an answer too large for the cache; whoever asks keeps it."""
        judge = _Judge(read, False, lambda _: False)
        self._transport.begin(self.patience.whole_list)
        try:
            with self._http.cache_disabled():
                response = self._http.get(
                    url, hooks={"response": judge}, timeout=self.patience.whole_list
                )
        except Exception as error:
            raise judge.trouble or _trouble_of(error, self.patience) from error
        issued = _date_of(response.headers.get("Last-Modified"))
        return Answer(judge.value(response), response.content, response.created_at, issued, None)

    def _doubt_what_is_kept(
        self, url: str, params: Mapping[str, str] | None, read: Callable[[bytes], object]
    ) -> None:
        """Drop a kept answer that is not as it came; let one from the future count as old."""
        import requests

        asked = self._http.prepare_request(requests.Request("GET", url, params=dict(params or {})))
        key = self._http.cache.create_key(asked)
        held = self._http.cache.get_response(key)
        if held is None:
            return
        # A disk or a hand changed it; one of before the checksums is read to see.
        sealed = held.headers.get(_CHECKSUM)
        if sealed not in (None, _sum(held)) or (sealed is None and not _readable(held, read)):
            self._http.cache.delete(key)
        elif held.expires is not None and held.created_at > dt.datetime.now(dt.UTC) + CLOCKS_APART:
            # Kept while this machine's clock ran ahead: it would count as fresh till then.
            self._http.cache.save_response(held, key, dt.datetime(2000, 1, 1, tzinfo=dt.UTC))

    def _held(self, request: Any) -> bool:
        """Whether a good answer to this request is in the cache."""
        held = self._http.cache.get_response(self._http.cache.create_key(request))
        return held is not None and held.status_code == 200

    def _expire_if_absent(self, response: Any, keep: dt.timedelta | None) -> None:
        """An absent file is asked for again some day, however long its answer would be kept."""
        fresh = not getattr(response, "from_cache", False)
        if response.status_code == 404 and fresh and keep is NEVER:
            until = response.created_at + ABSENT_FOR
            self._http.cache.save_response(response, response.cache_key, until)

    def _cut_back(self) -> None:
        if (self.folder / CACHE).stat().st_size <= LARGEST_CACHE:
            return
        held = sorted(self._http.cache.filter(), key=lambda each: each.created_at, reverse=True)
        size, dropped = 0, []
        for response in held:
            size += 2 * response.size
            if size > LARGEST_CACHE:
                dropped.append(response.cache_key)
        self._http.cache.delete(*dropped)
        self._http.cache.responses.vacuum()  # type: ignore[attr-defined]


def _readable(response: Any, read: Callable[[bytes], object]) -> bool:
    """Whether a kept answer can still be read; one that says that there is no file can."""
    try:
        return response.status_code == 404 or read(response.content) is not None
    except Trouble:
        return False


def _sum(response: Any) -> str:
    return f"{crc32(response.content or b''):08x}"


class _Judge(Generic[T]):
    """Reads an answer before the cache keeps it, and remembers what it found."""

    def __init__(
        self,
        read: Callable[[bytes], T],
        absent_is_an_answer: bool,
        held: Callable[[Any], bool],
    ) -> None:
        self._read = read
        self._absent_is_an_answer = absent_is_an_answer
        self._held = held
        self._last: tuple[bytes, T] | None = None
        self.trouble: Trouble | None = None

    def __call__(self, response: requests.Response, *_: object, **__: object) -> None:
        if response.is_redirect:
            self._followed(response)
            return  # the answer itself is to come
        if response.status_code == 304:
            return  # the kept one is
        response.headers.setdefault(_CHECKSUM, _sum(response))
        try:
            self._judged(response)
        except Trouble as trouble:
            self.trouble = trouble
            raise

    def _followed(self, response: requests.Response) -> None:
        """Trouble where a service sends on to somebody else, or to a line without a seal."""
        try:
            sent_on(response.url, response.headers["Location"])
        except Trouble as trouble:
            self.trouble = trouble
            raise

    def _judged(self, response: requests.Response) -> None:
        status = response.status_code
        if status == 404 and self._absent_is_an_answer:
            if not getattr(response, "from_cache", False) and self._held(response.request):
                raise Trouble("a file it had before is gone", "Status 404.", slug="vanished")
            return
        if status != 200:
            raise of_status(status, response.headers.get("Retry-After"))
        if self._last is None or self._last[0] is not response.content:
            self._last = response.content, self._read(response.content)

    def value(self, response: requests.Response) -> T | None:
        """What the answer says; None where there is no such file."""
        if response.status_code == 404:
            return None
        self._judged(response)
        assert self._last is not None
        return self._last[1]


def _trouble_of(error: Exception, patience: Patience) -> Trouble:
    """Trouble in words from what ``requests`` raises."""
    import requests

    from gddcast.online.transport import TooLarge

    if isinstance(error, Trouble):
        return error
    if isinstance(error, requests.exceptions.Timeout):
        return Trouble(
            "it did not answer in time",
            f"We wait {patience.whole:g} seconds for a whole answer.",
            slug="too-slow",
        )
    if isinstance(error, TooLarge):
        return Trouble("its answer is far too large", f"It sends {error}.", slug="too-large")
    if isinstance(error, requests.exceptions.RequestException):
        return Trouble(
            "it could not be reached, or the answer broke off",
            _cause(error),
            slug="offline",
        )
    raise error


def _cause(error: BaseException) -> str:
    """The innermost reason, in one line."""
    text = str(error)
    for sign, words in (
        ("refused", "The connection was refused."),
        ("resolve", "Its name could not be looked up: is there a network?"),
        ("getaddrinfo", "Its name could not be looked up: is there a network?"),
        ("unreachable", "There is no way to it: is there a network?"),
        ("IncompleteRead", "The answer broke off half-way."),
        ("CERTIFICATE", "Its certificate does not hold: is this network a foreign one?"),
    ):
        if sign in text:
            return words
    return f"{type(error).__name__}."


def _date_of(header: str | None) -> dt.datetime | None:
    try:
        return parsedate_to_datetime(header) if header else None
    except ValueError:
        return None
