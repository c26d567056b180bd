"""What goes wrong on the way to a weather service, and how it is said."""

from __future__ import annotations

from gddcast.errors import Refusal

#: Said where nothing can be had: what still works.
OFFLINE_CURE = (
    "Try again later, or with better signal. Everything but weather fetch works without a network."
)


class Trouble(Exception):
    """An answer that cannot be used, or none.

    Parameters
    ----------
    problem : str
        What was found, as the rest of a sentence.
    expected : str
        Evidence, or what was expected.
    slug : str
        Short stable name.
    cure : str
        What the person can do.
    """

    def __init__(
        self, problem: str, expected: str = "", *, slug: str, cure: str = OFFLINE_CURE
    ) -> None:
        super().__init__(problem)
        self.problem = problem
        self.expected = expected
        self.slug = slug
        self.cure = cure

    def refusal(self, service: str) -> Refusal:
        """The same in three parts."""
        return Refusal(
            f"the weather service {service}",
            self.problem,
            self.expected or "Nothing from it was kept, and nothing was written.",
            self.cure,
            slug=self.slug,
        )


def of_status(status: int, retry_after: str | None) -> Trouble:
    """Trouble told by a status code.

    Examples
    --------
    >>> of_status(429, "120").cure
    'Wait 120 seconds and try again.'
    """
    if status == 429:
        wait = f"{retry_after} seconds" if (retry_after or "").isdigit() else "an hour"
        return Trouble(
            "it has had enough requests for now",
            "It limits how often one address may ask (status 429).",
            slug="too-many-requests",
            cure=f"Wait {wait} and try again.",
        )
    if status == 404:
        return Trouble(
            "it has nothing at that address",
            "Status 404.",
            slug="not-there",
            cure="Check the station or the place.",
        )
    who = "The fault is on its side" if status >= 500 else "It did not take the request"
    return Trouble(f"it answers with status {status}", f"{who}.", slug="service-error")


def of_lack(what: str, error: Exception) -> Trouble:
    """Trouble of an answer that lacks a key, or holds another kind of thing under it."""
    return Trouble(f"{what} has changed its form", f"It lacks {error}.", slug="form-changed")


def of_page(body: bytes, wanted: str) -> Trouble | None:
    """Trouble if a web page came where data should: a sign-in page of the network, mostly."""
    start = body[:200].lstrip().lower()
    if not start.startswith((b"<!doctype", b"<html", b"<?xml", b"<head")):
        return None
    return Trouble(
        f"a web page came back instead of {wanted}",
        "A network that wants you to sign in first answers like that.",
        slug="not-data",
        cure="Open any page in a browser, sign in if asked, and try again.",
    )
