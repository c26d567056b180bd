"""Which crop a person means; a name that is nearly one, or that several share, is asked about."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from gddcast.errors import Refusal

if TYPE_CHECKING:
    from collections.abc import Mapping

    from gddcast.cards.model import Card


def crops_meant(
    cards: Mapping[str, Card], names: str | None, *, asks: bool
) -> tuple[str, ...] | None:
    """Keys of crops named with commas between, each once; None where nothing was said.

    Raises
    ------
    Refusal
        If nobody can be asked about one that is misspelt or shared, or that no card knows.
    """
    from gddcast.cards.library import crop_called

    if names is None:
        return None
    keys = [crop_meant(cards, name.strip(), asks=asks) for name in names.split(",") if name.strip()]
    unknown = [key for key in keys if crop_called(cards.values(), key) is None]
    if unknown and not asks:
        raise Refusal(
            f"the crop '{unknown[0]}'", "no crop has that name, and no pest’s card names it",
            "There is nothing to watch on it.",
            "Leave it out, or see them:  gddcast crops", slug="unknown-card",
        )  # fmt: skip
    for key in unknown:
        click.echo(f"No card knows {key}: nothing to watch on it, so it is left out.", err=True)
    return tuple(dict.fromkeys(key for key in keys if key not in unknown))


def crop_meant(
    cards: Mapping[str, Card],
    name: str,
    *,
    asks: bool,
    sure: bool = False,
    cure: str = "List them:  gddcast crops",
) -> str:
    """Key of a crop; one that no card knows is kept as it is said.

    Parameters
    ----------
    cards : mapping of str to Card
    name : str
    asks : bool
        Whether questions can be put.
    sure : bool
        Whether somebody stands by a name that is nearly another.
    cure : str
        What to do where nobody can be asked.

    Raises
    ------
    Refusal
        If the name is nearly another, or several crops share it, and nobody can be asked.
    """
    from gddcast.cards.library import crop_called, crops_near
    from gddcast.crops.chores import plain
    from gddcast.words import listed

    key = crop_called(cards.values(), name)
    if key is not None:
        return key
    likely = [] if sure else crops_near(cards.values(), name)
    if not likely:
        return plain(name)
    if asks:
        answer: str = click.prompt(
            f"'{name}': which crop is it?", type=click.Choice([*likely, "another"]),
            default=likely[0] if len(likely) == 1 else None, prompt_suffix=" ", err=True,
        )  # fmt: skip
        return plain(name) if answer == "another" else answer
    raise Refusal(
        f"the crop '{name}'",
        "several crops are called so" if _is_shared(cards, name) else "no card has that name",
        f"Did you mean {listed(likely, 'or')}?",
        cure,
        slug="unknown-card",
    )


def _is_shared(cards: Mapping[str, Card], name: str) -> bool:
    """Whether crops have the name, so that it is no typing error."""
    from gddcast.crops.chores import plain

    said = plain(name)
    return any(
        said in (plain(other), f"{plain(other)}s") for card in cards.values() for other in card.also
    )
