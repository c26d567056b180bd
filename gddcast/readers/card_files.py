"""Card files: TOML in, cards out, and every fault named at once with its line and its cure."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from gddcast.cards.model import Card
from gddcast.errors import Refusal
from gddcast.readers.card_faults import CardRefusal, Fault, near, place_in_words
from gddcast.readers.card_pack import Pack
from gddcast.readers.file_bytes import bytes_of
from gddcast.readers.packaged import data_folder
from gddcast.readers.toml_lines import line_of, what_toml_says

if TYPE_CHECKING:
    from gddcast.readers.card_schema import CardTable

#: The longest card takes 40 kB. [bytes]
LARGEST_CARD = 1_000_000

Group = Literal["pest", "crop"]
_FOLDERS: dict[str, Group] = {"pests": "pest", "crops": "crop"}


def load_cards(folder: Path | None = None, own: Path | None = None) -> dict[str, Card]:
    """All cards by key: pests, then crops, each in the order of their keys.

    Parameters
    ----------
    folder : Path, optional
        A data folder with ``pests/`` and ``crops/``; the packaged one by default.
    own : Path, optional
        A folder of the user's own cards: pests in it or in its ``pests/``, crops in its
        ``crops/``. A card of the same key takes the place of the packaged one and says so.

    Raises
    ------
    CardRefusal
        If any card has a fault; all faults of all files are in it.
    """
    folder = folder or data_folder()
    files, pack = _card_files(folder), Pack(folder)
    if own is not None:
        files |= _own_files(own, files)
    cards = {key: _packed(file, pack) or _Read.of(file) for key, file in files.items()}
    read = [one for one in cards.values() if isinstance(one, _Read)]
    if faults := [fault for one in read for fault in one.faults]:
        raise CardRefusal(faults)
    return {key: one.card() if isinstance(one, _Read) else one for key, one in cards.items()}


def load_card(key: str, folder: Path | None = None, own: Path | None = None) -> Card:
    """One card by its key, reading no other.

    Raises
    ------
    Refusal
        If there is no such card; near keys are suggested.
    CardRefusal
        If the card has faults.
    """
    folder = folder or data_folder()
    files = _card_files(folder)
    if own is not None:
        files |= _own_files(own, files)
    if key not in files:
        raise no_such_card(key, files)
    if card := _packed(files[key], Pack(folder)):
        return card
    one = _Read.of(files[key])
    if one.faults:
        raise CardRefusal(one.faults)
    return one.card()


def cards_with_texts(folder: Path) -> Iterator[tuple[Card, str]]:
    """Every card of a folder of data, read from its file, with that file's text."""
    for file in _card_files(folder).values():
        one = _Read.of(file)
        if one.faults:
            raise CardRefusal(one.faults)
        yield one.card(), one.text


def check_card_file(file: Path, group: Group | None = None, own: Path | None = None) -> Card:
    """Read one card file that need not stand in any folder of cards, as a check of it.

    Its look-alikes may be cards of the library, or of ``own``.

    Raises
    ------
    Refusal
        If the file cannot be read.
    CardRefusal
        If it has faults; all of them are in it.
    """
    from gddcast.readers.card_checks import look_alikes_missing, unusable_emergence

    named = group or _FOLDERS.get(file.resolve().parent.name, "pest")
    one = _Read.of(_File(file, named))
    if one.table is None or one.faults:
        raise CardRefusal(one.faults)
    files = _card_files(data_folder())
    if own is not None:
        files |= _own_files(own, files)
    missing = look_alikes_missing(one.table, {one.key, *files})
    if faults := list(one.placed([*missing, *unusable_emergence(one.table)])):
        raise CardRefusal(faults)
    return one.card()


def faults_between_cards(folder: Path | None = None) -> list[Fault]:
    """What is wrong with sound cards taken together: look-alikes not there, names used twice.

    No such fault keeps a card from being used, so loading does not look for them.
    """
    from gddcast.readers.card_checks import look_alikes_missing, names_used_twice

    read = {key: _Read.of(file) for key, file in _card_files(folder or data_folder()).items()}
    found = [
        fault
        for one in read.values()
        for fault in one.placed(look_alikes_missing(one.table, read) if one.table else ())
    ]
    for group in _FOLDERS.values():
        tables = {key: one.table for key, one in read.items() if one.table}
        same = {key: table for key, table in tables.items() if read[key].file.group == group}
        for key, fault in names_used_twice(same):
            found += read[key].placed([fault])
    return found


def card_template(group: Group) -> str:
    """Text of a card to fill in, with a comment on every key."""
    return (data_folder() / "templates" / f"{group}.toml").read_text(encoding="utf-8")


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
    is_own: bool = False
    replaces_packaged: bool = False

    @property
    def key(self) -> str:
        return self.path.stem


def _card_files(folder: Path) -> dict[str, _File]:
    return {
        path.stem: _File(path, group)
        for name, group in _FOLDERS.items()
        for path in sorted((folder / name).glob("*.toml"))
    }


def _own_files(folder: Path, packaged: Mapping[str, _File]) -> dict[str, _File]:
    if not folder.is_dir():
        raise Refusal(
            str(folder),
            "there is no such folder",
            "A folder of your own cards holds one TOML file an organism.",
            "Name the folder the card files stand in.",
            slug="no-such-folder",
        )
    loose = {path.stem: _File(path, "pest") for path in sorted(folder.glob("*.toml"))}
    found = loose | _card_files(folder)
    return {
        key: replace(file, is_own=True, replaces_packaged=key in packaged)
        for key, file in found.items()
        if file.path.name != "book.toml"
    }


def _packed(file: _File, pack: Pack) -> Card | None:
    """The card of a packaged file as it was read before, if the file is still the same."""
    return None if file.is_own else pack.card(file.group, file.key, _text_of(file.path))


@dataclass(frozen=True, slots=True)
class _Read:
    """A card file that was read: its table, or what is wrong with it."""

    file: _File
    text: str
    document: dict[str, Any]
    table: CardTable | None
    faults: list[Fault]

    @property
    def key(self) -> str:
        return self.file.key

    @classmethod
    def of(cls, file: _File) -> _Read:
        from gddcast.readers.card_schema import CardTable, PestTable
        from gddcast.readers.card_validation import validated

        text = _text_of(file.path)
        try:
            document = tomllib.loads(text)
        except (ValueError, RecursionError) as error:
            return cls(file, text, {}, None, [_syntax_fault(file.path, text, error)])
        table, faults = validated(document, PestTable if file.group == "pest" else CardTable)
        one = cls(file, text, document, table, [])
        one.faults.extend(one.placed(faults))
        return one

    def placed(self, faults: Iterable[Fault]) -> Iterator[Fault]:
        """The faults with file, line and place in words, in the order of the lines."""
        found = [
            replace(
                fault,
                file=str(self.file.path),
                line=line_of(self.text, fault.path),
                place=place_in_words(fault.path, self.document),
            )
            for fault in faults
        ]
        yield from sorted(found, key=lambda fault: fault.line)

    def card(self) -> Card:
        from gddcast.readers.card_building import build_card

        assert self.table is not None
        card = build_card(self.key, self.file.group, self.table)
        if not self.file.is_own:
            return card
        own, replaces = str(self.file.path), self.file.replaces_packaged
        return replace(card, own_file=own, replaces_packaged=replaces)


def _text_of(path: Path) -> str:
    try:
        return bytes_of(path, LARGEST_CARD).decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError:
        found, expected = "it is not UTF-8 text", "A card is a plain text file in UTF-8."
        cure = "Save it again as plain text, UTF-8."
    except OSError as error:
        found = (error.strerror or "it can't be read").lower()
        expected, cure = "A card is a TOML file.", "Check the name and the folder."
    raise Refusal(str(path), found, expected, cure, slug="card-unreadable")


def _syntax_fault(path: Path, text: str, error: ValueError | RecursionError) -> Fault:
    message = what_toml_says(error)
    at = re.search(r" \(at line (\d+), column \d+\)", message)
    lines = text.splitlines() or [""]
    if at:
        line = int(at[1])
    elif "end of document" in message:
        line = text.count("\n") + 1
    else:  # TOML's own reader gave up, and does not say where
        line = 1 + max(range(len(lines)), key=lambda each: len(lines[each]))
    written = lines[min(line, len(lines)) - 1].strip()[:60]
    return Fault(
        (),
        f"{written!r}" if written else "the end of the text",
        f'a line of TOML, such as  name = "squash bug"  ({re.sub(" .at .*", "", message).lower()})',
        "Text stands in straight double quotes, lists in [ ], and each key once in its table.",
        file=str(path),
        line=line,
    )
