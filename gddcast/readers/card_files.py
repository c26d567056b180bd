"""Card files: TOML in, cards out, and every fault named at once with its line and its cure.

The packaged cards are kept parsed in one file beside them, so that a command need not parse them
again. A card is taken from that pack only while the text of its file is the one it was made from;
a file that was changed, or is not in the pack, is read and checked as ever. One line a card: the
file, the SHA-256 of its text, its document as JSON.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Literal

from gddcast.cards.audit import wanting
from gddcast.cards.checks import (
    faults_between_keys,
    follows_from,
    look_alikes_missing,
    names_used_twice,
)
from gddcast.cards.model import NOT_STATED, PESTS_NEED, Card
from gddcast.errors import Refusal
from gddcast.readers.opening import bytes_of, data_folder
from gddcast.toml import schema
from gddcast.toml.faults import Fault, FaultsRefusal, parsed, placed
from gddcast.toml.rules import near, shown
from gddcast.toml.schema import Wording

#: The longest card takes 40 kB. [bytes]
LARGEST_CARD = 1_000_000

Group = Literal["pest", "crop"]
_FOLDERS: dict[str, Group] = {"pests": "pest", "crops": "crop"}
#: Name of the pack in the folder of data.
PACK = "cards.packed"
_SEE = "See data/README.md for what it may hold."
_WORDING = Wording(
    unknown=lambda path: f"an unknown key, {path[-1]}",
    take_away="Take it away, or use a key that is known.",
    no_table=lambda _, value: (shown(value), "a table of keys and values", _SEE),
    no_list=("a list in [ ]", _SEE),
    to_add=(
        "this key, which is needed", f'Add it, with "{NOT_STATED}" where the source is silent.'
    ),
)  # fmt: skip


class CardRefusal(FaultsRefusal):
    """Card files cannot be used; ``faults`` lists everything that is wrong with them at once."""

    def __init__(self, faults: list[Fault]) -> None:
        super().__init__(faults, ", then check again.", "card-faults", "card files")


def load_cards(folder: Path | None = None, cards_folder: Path | None = None) -> dict[str, Card]:
    """All cards by key: pests, then crops, each in the order of their keys.

    Parameters
    ----------
    folder : Path, optional
        A data folder with ``pests/`` and ``crops/``; the packaged one by default.
    cards_folder : Path, optional
        A folder of the user's own cards: pests in it or in its ``pests/``, crops in its
        ``crops/``. A card of the same key takes the place of the packaged one and says so.

    Raises
    ------
    CardRefusal
        If any card has a fault; all faults of all files are in it.
    """
    folder = folder or data_folder()
    pack = _packed_documents(folder)
    read = {key: _Read.of(file, pack) for key, file in _all_files(folder, cards_folder).items()}
    if faults := [fault for one in read.values() for fault in one.faults]:
        raise CardRefusal(faults)
    return {key: one.sound for key, one in read.items()}


def cards_fingerprint(cards_folder: Path | None = None) -> str:
    """Letters that differ when the text of any card does, or which cards there are."""
    texts = (
        f"{file.name}\0{file.path}\0{_text_of(file.path)}"
        for file in _all_files(data_folder(), cards_folder).values()
    )
    return _fingerprint("\0".join(texts))


def load_card(key: str, folder: Path | None = None, cards_folder: Path | None = None) -> Card:
    """One card by its key, reading no other.

    Raises
    ------
    Refusal
        If there is no such card; near keys are suggested.
    CardRefusal
        If the card has faults.
    """
    folder = folder or data_folder()
    files = _all_files(folder, cards_folder)
    if key not in files:
        raise no_such_card(key, files)
    return _Read.of(files[key], _packed_documents(folder)).sound


def check_card_file(file: Path, group: Group | None = None, folder: Path | None = None) -> Card:
    """Read one card file that need not stand in any folder of cards, as a check of it.

    Its look-alikes may be cards of the library, or of ``folder``. A packaged card is also asked
    what it owes its reader.

    Raises
    ------
    Refusal
        If the file cannot be read.
    CardRefusal
        If it has faults; all of them are in it.
    """
    named = group or _FOLDERS.get(file.resolve().parent.name, "pest")
    one = _Read.of(_File(file, named))
    card, known = one.sound, _all_files(data_folder(), folder)
    between = [*look_alikes_missing(card, {card.key, *known}), *_unusable_emergence(card)]
    if file.resolve().parent.parent == data_folder():
        between += wanting(card)
    if faults := one.placed(between):
        raise CardRefusal(faults)
    return card


def faults_between_cards(folder: Path | None = None) -> list[Fault]:
    """What is wrong with sound cards of the library: look-alikes not there, names used twice.

    Of the packaged cards also what they still owe their reader. No such fault keeps a card from
    being used, so loading does not look for them.
    """
    read = {key: _Read.of(file) for key, file in _card_files(folder or data_folder()).items()}
    cards = {key: one.card for key, one in read.items() if one.card}
    faults = [
        fault
        for key, card in cards.items()
        for fault in read[key].placed(look_alikes_missing(card, read))
    ]
    if folder is None:
        faults += [
            fault for key, card in cards.items() for fault in read[key].placed(wanting(card))
        ]
    for group in _FOLDERS.values():
        same = {key: card for key, card in cards.items() if card.group == group}
        for key, fault in names_used_twice(same):
            faults += read[key].placed([fault])
    return faults


def pack_text(folder: Path) -> str:
    """The pack of a folder of data, every card read from its file and checked."""
    read = [_Read.of(file) for file in _card_files(folder).values()]
    if faults := [fault for one in read for fault in one.faults]:
        raise CardRefusal(faults)
    rows = (
        (one.file.name, _fingerprint(one.text),
         json.dumps(one.document, ensure_ascii=False, separators=(",", ":"), allow_nan=False))
        for one in read
    )  # fmt: skip
    return "".join("\t".join(row) + "\n" for row in rows)


def no_such_card(word: str, keys: Iterable[str]) -> Refusal:
    """The refusal of a card that is not there, with the nearest key."""
    known = sorted(keys)
    guess = near(word.strip().lower().replace(" ", "-"), known)
    return Refusal(
        f'"{word}"',
        "no card has that name",
        f"Did you mean {guess}?" if guess else f"There are {len(known)} cards.",
        "List them:  gddcast pests  (or  gddcast crops)",
        slug="unknown-card",
    )


@dataclass(frozen=True, slots=True)
class _File:
    """A card file, and what it is to the library."""

    path: Path
    group: Group
    is_users: bool = False
    replaces_packaged: bool = False

    @property
    def name(self) -> str:
        """As the pack names it."""
        return f"{self.group}s/{self.path.stem}"

    def card(self, document: Mapping[str, Any]) -> Card:
        """The card of a sound document."""
        if self.group == "crop":  # whatever happens to a crop is its own stage
            events = [{"for": "crop stage", **event} for event in document.get("event", ())]
            document = {**document, "event": events}
        card: Card = schema.record(
            Card, document, key=self.path.stem, group=self.group,
            own_file=str(self.path) if self.is_users else None,
            replaces_packaged=self.replaces_packaged,
        )  # fmt: skip
        return card


def _all_files(folder: Path, cards_folder: Path | None) -> dict[str, _File]:
    files = _card_files(folder)
    return files if cards_folder is None else files | _user_files(cards_folder, files)


def _card_files(folder: Path) -> dict[str, _File]:
    return {
        path.stem: _File(path, group)
        for name, group in _FOLDERS.items()
        for path in sorted((folder / name).glob("*.toml"))
    }


def _user_files(folder: Path, packaged: Mapping[str, _File]) -> dict[str, _File]:
    if not folder.is_dir():
        raise Refusal(
            str(folder),
            "there is no such folder",
            "A folder of your own cards holds one TOML file an organism.",
            "Name the folder the card files stand in.",
            slug="no-such-folder",
        )
    loose = {path.stem: _File(path, "pest") for path in sorted(folder.glob("*.toml"))}
    return {
        key: replace(file, is_users=True, replaces_packaged=key in packaged)
        for key, file in (loose | _card_files(folder)).items()
        if file.path.name != "book.toml"
    }


def _packed_documents(folder: Path) -> dict[tuple[str, str], str]:
    """Documents as JSON by file and fingerprint of its text; none where there is no pack."""
    try:
        lines = (folder / PACK).read_text(encoding="utf-8").splitlines()
    except OSError:
        return {}
    rows = (line.split("\t", 2) for line in lines)
    return {(row[0], row[1]): row[2] for row in rows if len(row) == 3}


def _fingerprint(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


@dataclass(frozen=True, slots=True)
class _Read:
    """A card file that was read: its card, or what is wrong with it."""

    file: _File
    text: str
    document: dict[str, Any]
    card: Card | None
    faults: tuple[Fault, ...] = ()

    @classmethod
    def of(cls, file: _File, pack: Mapping[tuple[str, str], str] | None = None) -> _Read:
        text = _text_of(file.path)
        if pack and not file.is_users and (known := pack.get((file.name, _fingerprint(text)))):
            document = json.loads(known)
            return cls(file, text, document, file.card(document))
        document = parsed(text, 'name = "squash bug"')
        if isinstance(document, Fault):
            return cls(file, text, {}, None, (replace(document, file=str(file.path)),))
        card, faults = _checked(file, document)
        one = cls(file, text, document, card)
        return replace(one, card=None if faults else card, faults=tuple(one.placed(faults)))

    def placed(self, faults: Iterable[Fault]) -> list[Fault]:
        """The faults with file, line and place in words, in the order of the lines."""
        return placed(faults, str(self.file.path), self.text, self.document)

    @property
    def sound(self) -> Card:
        """The card.

        Raises
        ------
        CardRefusal
            If there is none.
        """
        if self.card is None:
            raise CardRefusal(list(self.faults))
        return self.card


def _checked(file: _File, document: dict[str, Any]) -> tuple[Card | None, list[Fault]]:
    """The card of a document, and everything that is wrong with it.

    Where values are faulty the card holds stand-ins for them and must not be used; it is there so
    that what is wrong *between* the other keys is said in the same breath.
    """
    faults: list[Fault] = []
    needed = PESTS_NEED if file.group == "pest" else ()
    try:
        missing = [key for key in needed if key not in document]
        card = None if missing else file.card(document)
    except (ValueError, TypeError, AttributeError):
        card = None
    if card is None:
        faults, mended = schema.faults(Card, document, _WORDING, needed)
        try:
            card = file.card(mended)
        except (ValueError, TypeError, AttributeError):
            # A list where a table should be, or the like: too little is left to look between.
            return None, faults
    between = faults_between_keys(card)
    return card, faults + [fault for fault in between if not follows_from(fault, faults)]


def _unusable_emergence(card: Card) -> Iterator[Fault]:
    """Emergence curves whose parameters are not those of their family.

    Asked of a file that is checked, not of every card that is loaded: the curves need SciPy.
    """
    from gddcast.heat.emergence import heat_at

    for position, event in enumerate(card.events):
        for place, number in enumerate(event.numbers):
            if number.emergence is None:
                continue
            try:
                heat_at(number.emergence, 0.5)
            except Refusal as refusal:
                path = ("event", position, "number", place, "emergence", "parameters")
                yield Fault(path, refusal.problem, refusal.expected, refusal.cure)


def _text_of(path: Path) -> str:
    try:
        return bytes_of(path, LARGEST_CARD).decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError:
        found, expected = "it is not UTF-8 text", "A card is a plain text file in UTF-8."
        cure = "Save it again as plain text, UTF-8."
    except OSError as error:
        found = (error.strerror or "it can’t be read").lower()
        expected, cure = "A card is a TOML file.", "Check the name and the folder."
    raise Refusal(str(path), found, expected, cure, slug="card-unreadable")
