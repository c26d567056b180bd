"""Whether a service may send us on to another address: only to its own, over a line as safe."""

from __future__ import annotations

from urllib.parse import urljoin, urlsplit

from gddcast.online.trouble import Trouble


def sent_on(asked: str, location: str) -> str:
    """Where a redirect leads: the same host, or one of the same owner, over a line as safe.

    Raises
    ------
    Trouble
        If it leads anywhere else.

    Examples
    --------
    >>> sent_on("https://data.example.org/2017.gz", "https://bulk.example.org/2017.gz")
    'https://bulk.example.org/2017.gz'
    >>> sent_on("https://data.example.org/2017.gz", "http://data.example.org/2017.gz")
    Traceback (most recent call last):
    gddcast.online.trouble.Trouble: it sends us on to another address
    """
    try:
        to = urljoin(asked, location)
        before, after = urlsplit(asked), urlsplit(to)
        host, other = before.hostname or "", after.hostname or ""
    except ValueError:  # no address at all
        host = other = to = ""
    names = host.split(".")
    is_number = names[-1].isdigit() or ":" in host
    owner = host if is_number or len(names) < 2 else ".".join(names[-2:])
    same = other in (host, owner) or (not is_number and other.endswith(f".{owner}"))
    safe = to and (after.scheme == before.scheme or after.scheme == "https")
    if not (host and same and safe):
        raise Trouble(
            "it sends us on to another address",
            f"{location[:100]} is not of {owner or 'its'} over a line as safe; nothing was asked "
            "there. A network that wants you to sign in first does so.",
            slug="sent-on",
            cure="Open any page in a browser, sign in if asked, and try again.",
        )
    return to
