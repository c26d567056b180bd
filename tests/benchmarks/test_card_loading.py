"""How long the library of cards takes to load, against parsing its TOML alone. Printed with -s."""

import time
import tomllib
from collections.abc import Callable

from gddcast.readers.card_files import load_cards, pack_text
from gddcast.readers.opening import data_folder


def best_of(work: Callable[[], object], times: int = 7) -> float:
    """Shortest of several runs. [s]"""
    taken = []
    for _ in range(times):
        begin = time.perf_counter()
        work()
        taken.append(time.perf_counter() - begin)
    return min(taken)


def test_checking_and_building_all_cards_costs_little_beside_parsing_them() -> None:
    """Reading, every check and every record: a few times the parse that nobody can avoid."""
    texts = [
        file.read_text("utf-8")
        for folder in ("pests", "crops")
        for file in (data_folder() / folder).glob("*.toml")
    ]
    pack_text(data_folder())  # what reads each table is built once
    parse = best_of(lambda: [tomllib.loads(text) for text in texts])
    read = best_of(lambda: pack_text(data_folder()))
    load = best_of(load_cards)
    print(
        f"\n{len(texts)} cards, {sum(map(len, texts)):,} letters: read {read / parse:.2f} × "
        f"tomllib, from the pack {load / parse:.2f}"
    )
    assert read <= 3.0 * parse
    assert load <= 0.5 * parse
