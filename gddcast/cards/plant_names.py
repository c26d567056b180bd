"""Names of plants as people write them, compared: no case, hyphen, plural or aside in brackets."""

from __future__ import annotations

import re

_ASIDE = re.compile(r"\(.*?\)")


def without_aside(name: str) -> str:
    """A plant's name without what stands in brackets.

    Examples
    --------
    >>> without_aside("bean (seedlings)")
    'bean'
    """
    return " ".join(_ASIDE.sub("", name).split())


def plain_name(name: str) -> str:
    """A plant's name as names are compared: no case, hyphen, aside in brackets or plural."""
    plain = without_aside(name).lower().replace("-", " ")
    return " ".join(plain.split()).removesuffix("s")


def names_plant(words: str, plant: str) -> bool:
    """Whether words say a plant's name, as names are compared."""
    said = " ".join(plain_name(word) for word in words.replace(",", " ").split())
    return f" {' '.join(map(plain_name, plain_name(plant).split()))} " in f" {said} "
