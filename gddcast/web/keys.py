"""What lets a browser in, and proves that a form is ours: made anew for every run."""

from __future__ import annotations

import hashlib
import hmac
import secrets
from collections.abc import Callable
from dataclasses import dataclass
from threading import Lock
from time import monotonic

#: A code for another device is good for so long, and once. [s]
CODE_LASTS = 600.0
#: So many wrong codes within a minute, from whomever, and none is looked at for the rest of it.
_WRONG_A_MINUTE = 5
_MINUTE = 60.0


@dataclass(frozen=True, slots=True)
class Session:
    """One browser that was let in.

    Parameters
    ----------
    key : str
        Its cookie.
    device : str
        What its person calls it; empty for the browser of this machine.
    writes : bool
        Whether it may log.
    """

    key: str
    device: str = ""
    writes: bool = True

    @property
    def is_local(self) -> bool:
        """Whether it was opened on this machine."""
        return not self.device


@dataclass(frozen=True, slots=True)
class Code:
    """What lets one other device in."""

    text: str
    until: float
    device: str
    writes: bool


class Keys:
    """The start key, codes for other devices, the sessions traded for them, and form tokens.

    Examples
    --------
    >>> keys = Keys()
    >>> session = keys.admit(keys.start)
    >>> keys.session(session.key) == session, keys.is_token(session, keys.token(session))
    (True, True)
    >>> keys.admit("guessed") is None
    True
    """

    def __init__(self, clock: Callable[[], float] = monotonic) -> None:
        self._clock = clock
        self._secret = secrets.token_bytes(32)
        self._sessions: dict[str, Session] = {}
        self._codes: dict[str, Code] = {}
        self._wrong: list[float] = []
        self._lock = Lock()
        self._start = secrets.token_urlsafe(24)

    @property
    def start(self) -> str:
        """The key that opens the page once; used up, another one takes its place."""
        return self._start

    def admit(self, key: str) -> Session | None:
        """A new session for the start key, which then opens nothing more; None for any other."""
        with self._lock:
            if not hmac.compare_digest(key.encode(), self._start.encode()):
                return None
            self._start = secrets.token_urlsafe(24)
            return self._let_in(Session(secrets.token_urlsafe(32)))

    def code(self, device: str, *, writes: bool) -> Code:
        """A code for another device; those before it open nothing more."""
        code = Code(secrets.token_urlsafe(9), self._clock() + CODE_LASTS, device, writes)
        with self._lock:
            self._codes = {code.text: code}
        return code

    def join(self, text: str) -> Session | None:
        """A session for a code that is still good, once; None for any other, or after many."""
        with self._lock:
            now = self._clock()
            self._wrong = [each for each in self._wrong if now - each < _MINUTE]
            if len(self._wrong) >= _WRONG_A_MINUTE:
                return None
            code = next(
                (each for each in self._codes.values()
                 if hmac.compare_digest(each.text.encode(), text.encode())), None,
            )  # fmt: skip
            if code is None or now > code.until:
                self._wrong.append(now)
                return None
            del self._codes[code.text]
            return self._let_in(Session(secrets.token_urlsafe(32), code.device, code.writes))

    def devices(self) -> list[Session]:
        """Other devices that were let in."""
        return [each for each in self._sessions.values() if not each.is_local]

    def revoke(self, device: str) -> None:
        """Let a device in no more."""
        with self._lock:
            gone = [each.key for each in self._sessions.values()
                    if each.device == device and not each.is_local]  # fmt: skip
            for key in gone:
                del self._sessions[key]

    def session(self, key: str | None) -> Session | None:
        """The session of a cookie, in this run."""
        return self._sessions.get(key) if key else None

    def token(self, session: Session) -> str:
        """What every form of a session carries."""
        return hmac.new(self._secret, session.key.encode(), hashlib.sha256).hexdigest()

    def is_token(self, session: Session, token: str) -> bool:
        """Whether a form came from a page of this session."""
        return hmac.compare_digest(self.token(session).encode(), token.encode())

    def _let_in(self, session: Session) -> Session:
        self._sessions[session.key] = session
        return session
