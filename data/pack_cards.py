"""Write ``data/cards.packed`` from the cards; run as ``python data/pack_cards.py``.

A test says when it is behind. Nothing is wrong meanwhile, only slower: a card whose file has
changed since is read from its file.
"""

from __future__ import annotations

from pathlib import Path

from gddcast.readers.card_files import cards_with_texts
from gddcast.readers.card_pack import PACK, pack_text

if __name__ == "__main__":
    folder = Path(__file__).parent
    text = pack_text(cards_with_texts(folder))
    (folder / PACK).write_text(text, encoding="utf-8", newline="\n")
