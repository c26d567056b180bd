"""``gddcast pests`` and ``gddcast crops``: list, read, check and begin cards."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

from gddcast.cli import options, screen
from gddcast.cli.clock import now
from gddcast.errors import shell

if TYPE_CHECKING:
    from gddcast.cards.model import Card

Group = Literal["pest", "crop"]

_WAYS = """

\b
With no word it lists all; a word seeks in names and hosts; a name prints the card, its used
numbers first:
  --all        every number, figure and note
  --sources    full references, with what was read of each
  --json       for programs
  --cards DIR  a folder of your own cards, before the packaged ones
"""


class Shelf(click.Group):
    """A group whose every first word that is no command of it names or seeks a card."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Put the command that shows cards before words that are no command."""
        if not args or (args[0] not in self.commands and args[0] not in ctx.help_option_names):
            args = ["show", *args]
        return super().parse_args(ctx, args)

    def collect_usage_pieces(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        """Show that the word for a card stands where a command may."""
        return ["[NAME or SEARCH] [--all] [--sources] [--json] [--cards DIR]"]


def _shelf(group: Group, help_text: str) -> Shelf:
    """The group of commands over the cards of one kind."""
    shelf = Shelf(f"{group}s", help=help_text)
    for command in (_show(group), _check(group), _new(group), _overview(group)):
        shelf.add_command(command)
    return shelf


def _help(what: str, example: str) -> str:
    return f"{what}\n\n\b\n{example}"


def _show(group: Group) -> click.Command:
    @click.command("show", hidden=True, help=_help(
        f"List all {group}s, seek among them, or print one card.", f"gddcast {group}s NAME"
    ))  # fmt: skip
    @click.argument("words", nargs=-1, metavar="[NAME or SEARCH]")
    @click.option("--all", "whole", is_flag=True, help="Every number, figure and note of a card.")
    @click.option("--sources", is_flag=True, help="Full references, with what was read of each.")
    @options.color
    @options.as_json
    @options.cards
    def show(
        words: tuple[str, ...],
        whole: bool,
        sources: bool,
        as_json: bool,
        cards_folder: Path | None,
    ) -> None:
        from gddcast.cards.library import called, search, sharing

        cards = _cards(group, cards_folder)
        wanted = " ".join(words)
        several = len(sharing(cards, wanted)) > 1  # flea beetle: a book has one, a reader sees all
        card = called(cards, wanted) if wanted and not several else None
        found = [card] if card else search(cards, wanted)
        if not found:
            raise _no_such_card(group, cards, wanted)
        if as_json:
            _print_json(group, found, whole=card is not None)
        elif card:
            from gddcast.text.cards.card_page import card_page

            page = card_page(card, whole=whole, with_sources=sources, terminal=screen.terminal())
            screen.show(page)
        else:
            from gddcast.text.cards.card_list import card_list

            screen.show(card_list(found, sought=wanted, terminal=screen.terminal()))

    return show


def _check(group: Group) -> click.Command:
    @click.command("check", help=_help(
        "Name every fault of a card FILE at once, with line and cure.",
        f"gddcast {group}s check data/{group}s/NAME.toml",
    ))  # fmt: skip
    @click.argument("file", type=options.READABLE)
    @options.cards
    def check(file: Path, cards_folder: Path | None) -> None:
        from gddcast.cards.library import evidence_counts
        from gddcast.readers.card_files import check_card_file
        from gddcast.words import count, listed

        card = check_card_file(file, group, cards_folder)
        told = [f"{n} {kind}" for kind, n in evidence_counts([card]).items() if n]
        click.echo(
            f"{file}: no faults. {card.name}, {count(len(card.events), 'event')}, "
            f"numbers: {listed(told) or 'none'}."
        )

    return check


def _new(group: Group) -> click.Command:
    @click.command("new", help=_help(
        "Write a card to fill in, with a comment on every key.",
        f"gddcast {group}s new -o my-{group}.toml",
    ))  # fmt: skip
    @click.option("-o", "--output", type=options.HAND_OUT, metavar="FILE",
                  help="Write it to this file.")  # fmt: skip
    @click.option("-f", "--force", is_flag=True, help="Write over a file that is there.")
    def new(output: Path | None, force: bool) -> None:
        from gddcast.text.cards.card_template import card_template

        _write(card_template(group), output, force=force)
        if output:
            check = shell("gddcast", f"{group}s", "check", output)
            click.echo(f"Wrote {output}.  Fill it in, then:  {check}")

    return new


def _overview(group: Group) -> click.Command:
    @click.command("overview", help=_help(
        "Every card, pest and crop, in one Markdown table.",
        f"gddcast {group}s overview -o OVERVIEW.md",
    ))  # fmt: skip
    @click.option("-o", "--output", type=options.HAND_OUT, metavar="FILE",
                  help="Write it to this file, over an earlier overview.")  # fmt: skip
    @click.option("-f", "--force", is_flag=True, help="Write over any file that is there.")
    def overview(output: Path | None, force: bool) -> None:
        from gddcast.readers.card_files import load_cards
        from gddcast.text.cards.card_overview import overview as table

        text = table(list(load_cards().values()))
        _write(text, output, force=force or _begins_alike(output, text))

    return overview


def _cards(group: Group, folder: Path | None) -> list[Card]:
    from gddcast.cards.library import replacement_notes
    from gddcast.readers.card_files import load_cards

    cards = [card for card in load_cards(cards_folder=folder).values() if card.group == group]
    for note in replacement_notes(cards):
        click.echo(note, err=True)
    return cards


def _write(text: str, output: Path | None, *, force: bool) -> None:
    """To a file, or to the screen where none is named."""
    from gddcast.output_file import write_text

    if output is None:
        click.echo(text, nl=False)
    else:
        write_text(output, text, force=force)


def _begins_alike(output: Path | None, text: str) -> bool:
    """Whether the file there has the first line of this one: an earlier answer to the same."""
    first = text.partition("\n")[0].encode()
    try:
        return output is not None and output.read_bytes().startswith(first)
    except OSError:
        return False


def _print_json(group: Group, cards: list[Card], *, whole: bool) -> None:
    from gddcast.cards.library import replacement_notes
    from gddcast.text.cards.card_json import card_brief, card_whole

    one = card_whole if whole else card_brief
    answer = {
        "schema": f"gddcast/{group}s/1",
        "made": now().isoformat(),
        "items": [one(card) for card in cards],
        "notes": [{"slug": "own-card", "text": note} for note in replacement_notes(cards)],
    }
    click.echo(json.dumps(answer, indent=2, ensure_ascii=False))


def _no_such_card(group: Group, cards: list[Card], wanted: str) -> Exception:
    from gddcast.cards.library import guess
    from gddcast.errors import Refusal

    meant = guess(cards, wanted, shown=lambda card: f"{card.key} ({card.name}, {card.latin})")
    return Refusal(
        f'"{wanted}"',
        f"no {group} card has that name",
        meant or f"There are {len(cards)} cards.",
        f"List them:  gddcast {group}s",
        slug="unknown-card",
    )


pests = _shelf(
    "pest", f"Published thresholds of pests, with their sources: all, some, or one.{_WAYS}"
)
crops = _shelf("crop", f"Published heat sums and days of crops: all, some, or one.{_WAYS}")
