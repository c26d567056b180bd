"""Cards in columns, one a line: the name, the key that commands take, what it is for."""

from __future__ import annotations

from collections.abc import Sequence

from gddcast import words
from gddcast.cards.model import Card
from gddcast.errors import shell
from gddcast.text.terminal import PLAIN, Line, Terminal, table

#: What is said of a card beside its key, and the mark that says it.
_MARKS = {
    "*": "no heat sum: go by its sign",
    ">": "comes from elsewhere",
    "+": "your own card",
}
#: Room left for what a card is for; the key is never cut. [characters]
_LEAST, _LEAST_NAME = 26, 12


def card_list(cards: Sequence[Card], *, sought: str = "", terminal: Terminal = PLAIN) -> str:
    """A list that keeps to the width: a name or hosts that are too long end in an ellipsis.

    Parameters
    ----------
    cards : sequence of Card
        At least one, all pests or all crops.
    sought : str
        Words that are the name of no one card; each card is then followed by what it is
        mistaken for.
    terminal : Terminal
    """
    key = max(len(card.key) for card in cards)
    name = min(max(len(card.name) for card in cards), terminal.width - key - _LEAST - 8)
    name = name if name >= _LEAST_NAME else 0  # the key says it as well
    rest = terminal.width - key - name - (8 if name else 6)  # two marks, and gaps
    what = "looked for on" if cards[0].group == "pest" else "its stages"
    rows = [
        (
            *([words.shortened(card.name, name)] if name else []),
            card.key,
            _marks(card),
            words.shortened(_use(card), rest),
        )
        for card in cards
    ]
    head = (*([cards[0].group] if name else []), "key", "", what)
    shown = list(table([head, *rows], left=range(4)))
    lines: list[str | Line] = []
    if sought:
        said = f'No one {cards[0].group} is called "{sought}". In names and plants of:'
        lines += [Line(said), ""]
    lines.append(shown[0])
    for card, row in zip(cards, shown[1:], strict=True):
        lines.append(row)
        if sought:
            lines += (Line(f"not {each.name}: {each.tell}", "    ") for each in card.look_alikes)
    used = set("".join(map(_marks, cards)))
    legend = " · ".join(f"{mark} {said}" for mark, said in _MARKS.items() if mark in used)
    lines += ["", Line(legend, weight="dim")]
    lines.append(f"Read one:  gddcast {cards[0].group}s {shell(cards[0].key)}")
    return terminal.show(lines)


def _marks(card: Card) -> str:
    signs = (card.is_cue_card, bool(card.comes_from_elsewhere), bool(card.own_file))
    return "".join(mark for mark, said in zip(_MARKS, signs, strict=True) if said)


def _use(card: Card) -> str:
    if card.group == "pest":
        return ", ".join(card.hosts)
    return ", ".join(event.words for event in card.events)
