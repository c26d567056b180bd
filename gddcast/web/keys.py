"""What lets a browser in, and proves that a form is ours: made anew for every run."""

from __future__ import annotations

import hashlib
import hmac
import secrets
from threading import Lock


class Keys:
    """The start key, the sessions it was traded for, and the tokens of their forms.

    Examples
    --------
    >>> keys = Keys()
    >>> session = keys.admit(keys.start)
    >>> keys.knows(session), keys.is_token(session, keys.token(session))
    (True, True)
    """

    def __init__(self) -> None:
        self._secret = secrets.token_bytes(32)
        self._sessions: set[str] = set()
        self._lock = Lock()
        self._start = secrets.token_urlsafe(24)

    @property
    def start(self) -> str:
        """The key that opens the page once; used up, another one takes its place."""
        return self._start

    def admit(self, key: str) -> str | None:
        """A new session for the start key, which then opens nothing more; None for any other."""
        with self._lock:
            if not hmac.compare_digest(key.encode(), self._start.encode()):
                return None
            self._start = secrets.token_urlsafe(24)
            session = secrets.token_urlsafe(32)
            self._sessions.add(session)
            return session

    def knows(self, session: str | None) -> bool:
        """Whether a browser was let in, in this run."""
        return session is not None and session in self._sessions

    def token(self, session: str) -> str:
        """What every form of a session carries."""
        return hmac.new(self._secret, session.encode(), hashlib.sha256).hexdigest()

    def is_token(self, session: str, token: str) -> bool:
        """Whether a form came from a page of this session."""
        return hmac.compare_digest(self.token(session).encode(), token.encode())
