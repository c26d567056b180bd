"""``gddcast watch``: which pests a book watches, more of them, fewer of them."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gddcast.cli import options
from gddcast.errors import Refusal

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from gddcast.cards.model import Card
    from gddcast.cli.book_here import OpenedBook
    from gddcast.today.practice import Practice
    from gddcast.today.watching import WatchList


@click.group(invoke_without_command=True)
@options.on
@options.as_json
@options.book
@click.pass_context
def watch(ctx: click.Context, on: dt.date | None, as_json: bool, book_folder: Path | None) -> None:
    r"""Show the pests watched, crop by crop; add some, or drop some.

    \b
    gddcast watch
    gddcast watch add squash-bug
    gddcast watch add kale               the pests of a crop
    gddcast watch drop melon-aphid
    """
    if ctx.invoked_subcommand is not None:
        ctx.obj = book_folder, on
        return
    from gddcast.cli.book_here import opened_book

    opened = opened_book(book_folder, on)
    cards = opened.cards()
    chosen = opened.watch(cards)
    if as_json:
        from gddcast.cli.clock import now
        from gddcast.text.watching import watch_json

        click.echo(watch_json(chosen, cards, now()))
        return
    from gddcast.cli import screen
    from gddcast.text.watching import watch_text

    screen.show(watch_text(chosen, cards, screen.terminal(), opened.command))


@watch.command(short_help="watch a pest, or the pests of a crop")
@click.argument("names", nargs=-1, required=True, metavar="NAME…")
@options.on
@options.book
@click.pass_obj
def add(
    above: tuple[Path | None, dt.date | None],
    names: tuple[str, ...],
    on: dt.date | None,
    book_folder: Path | None,
) -> None:
    r"""Watch a pest by key, common or Latin name or a part of it; or the pests of a crop.

    \b
    gddcast watch add squash-bug
    gddcast watch add kale
    """
    from gddcast.today.watching import with_more

    opened = _opened(above, book_folder, on)
    cards = opened.cards()
    crops, pests = _meant(cards, names, asks=opened.asks)
    before = opened.watch(cards)
    changed = with_more(opened.book.practice(cards), before, cards, crops, pests)
    _keep(opened, cards, changed)
    after = _opened(above, book_folder, on).watch(cards)
    new = [card.name for card in after.cards if card.key not in before.keys]
    _say("Added", new, "All of it was watched already", after)


@watch.command(short_help="watch a pest, or a crop’s pests, no more")
@click.argument("names", nargs=-1, required=True, metavar="NAME…")
@options.on
@options.book
@click.pass_obj
def drop(
    above: tuple[Path | None, dt.date | None],
    names: tuple[str, ...],
    on: dt.date | None,
    book_folder: Path | None,
) -> None:
    r"""Watch a pest no more, or those that live on one crop alone.

    \b
    gddcast watch drop melon-aphid
    gddcast watch drop kale
    """
    from gddcast.today.watching import with_fewer

    opened = _opened(above, book_folder, on)
    cards = opened.cards()
    before = opened.watch(cards)
    crops, pests = _meant(cards, names, asks=opened.asks, of=before.crops)
    changed = with_fewer(opened.book.practice(cards), before, cards, crops, pests)
    _keep(opened, cards, changed)
    after = _opened(above, book_folder, on).watch(cards)
    gone = [card.name for card in before.cards if card.key not in after.keys]
    _say("Dropped", gone, "None of it was watched", after)


def ask_what_grows(opened: OpenedBook, cards: Mapping[str, Card]) -> bool:
    """Ask a book of which nobody said what it grows, once; whether its lists have changed."""
    settings = opened.book.settings
    if not opened.asks or settings.grow is not None or settings.watch:
        return False
    now = opened.watch(cards)
    crops = asked_crops(cards, default=",".join(now.crops))
    _write(opened, {("looking", "grow"): list(crops)})
    return True


def asked_crops(cards: Mapping[str, Card], default: str = "") -> tuple[str, ...]:
    """Keys of the crops that a person at the terminal says they grow; nothing is an answer."""
    from gddcast.cli.crops_meant import crops_meant

    said: str = click.prompt(
        "What do you grow? (crops, with commas; their pests are watched)", default=default,
        show_default=bool(default), prompt_suffix=" ", err=True,
    )  # fmt: skip
    return crops_meant(cards, said, asks=True) or ()


def _opened(
    above: tuple[Path | None, dt.date | None], book_folder: Path | None, on: dt.date | None
) -> OpenedBook:
    from gddcast.cli.book_here import opened_book

    return opened_book(book_folder or above[0], on or above[1])


def _meant(
    cards: Mapping[str, Card], names: Sequence[str], *, asks: bool, of: Sequence[str] = ()
) -> tuple[list[str], list[str]]:
    """Keys of the crops and of the pests that words mean; ``of`` are crops without a card."""
    from gddcast.cards.library import called, crop_called, crops_near
    from gddcast.cli.crops_meant import crop_meant

    pests_only = [card for card in cards.values() if card.group == "pest"]
    crops, pests = [], []
    for name in _names(cards, names):
        crop = name if name in of else crop_called(cards.values(), name)
        pest = None if crop else called(pests_only, name)
        if pest is not None:
            pests.append(pest.key)
        elif crop is not None or crops_near(cards.values(), name):
            crops.append(crop or crop_meant(cards, name, asks=asks))
        else:
            raise _unknown(pests_only, name)
    return crops, pests


def _names(cards: Mapping[str, Card], words: Sequence[str]) -> list[str]:
    """Names among the words typed: all of them one name, or one each, or with commas between."""
    from gddcast.cards.library import called

    if called(cards.values(), whole := " ".join(words)):
        return [whole]
    return [name.strip() for word in words for name in word.split(",") if name.strip()]


def _unknown(pests: Sequence[Card], name: str) -> Refusal:
    from gddcast.cards.library import guess

    return Refusal(
        f"'{name}'", "no pest and no crop is called so alone",
        guess(pests, name) or "No name is near it.",
        "List them:  gddcast pests  (or  gddcast crops)", slug="unknown-card",
    )  # fmt: skip


def _keep(opened: OpenedBook, cards: Mapping[str, Card], wanted: Practice) -> None:
    """Write the lists that have changed; names that stand in the file stay as they are written."""
    settings, changes = opened.book.settings, {}
    for key in ("grow", "watch", "leave_out"):
        had = getattr(settings, key) or ()
        names = _as_written(getattr(wanted, key) or (), had, cards, is_crop=key == "grow")
        if names != list(had):
            changes["looking", key] = names
    if changes:
        _write(opened, changes)


def _as_written(
    keys: Sequence[str], names: Sequence[str], cards: Mapping[str, Card], *, is_crop: bool
) -> list[str]:
    from gddcast.cards.library import called, crop_called

    written: dict[str, str] = {}
    for name in names:
        card = None if is_crop else called(cards.values(), name)
        key = crop_called(cards.values(), name) if is_crop else card and card.key
        written.setdefault(key or name, name)
    return [written.get(key, key) for key in keys]


def _write(opened: OpenedBook, changes: Mapping[tuple[str, str], object]) -> None:
    from gddcast.book.opening import SETTINGS
    from gddcast.book.setting_text import change_settings

    change_settings(opened.book.folder / SETTINGS, changes)


def _say(what: str, names: Sequence[str], otherwise: str, after: WatchList) -> None:
    from gddcast.text.terminal import PLAIN, Line
    from gddcast.text.watching import watching

    said = f"{what} {', '.join(names)}" if names else otherwise
    click.echo(PLAIN.show([Line(f"{said}. Now {watching(after)}.", rest="  ")]))
