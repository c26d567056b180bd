"""Write what follows from the cards and their schema; run as ``python data/pack_cards.py``.

``cards.packed`` holds every card parsed. A test says when it is behind; nothing is wrong
meanwhile, only slower: a card whose file has changed since is read from its file. The tables of
fields in ``README.md`` are those of the schema.
"""

from __future__ import annotations

import re
from pathlib import Path

from gddcast.readers.card_files import PACK, pack_text
from gddcast.text.cards.card_template import field_tables

_FIELDS = re.compile(r"(<!-- From here .*? -->\n\n).*(\n\n<!-- End of the fields. -->)", re.DOTALL)

if __name__ == "__main__":
    folder = Path(__file__).parent
    (folder / PACK).write_text(pack_text(folder), encoding="utf-8", newline="\n")
    readme = folder / "README.md"
    text = _FIELDS.sub(
        lambda found: found[1] + field_tables() + found[2], readme.read_text(encoding="utf-8")
    )
    readme.write_text(text, encoding="utf-8", newline="\n")
