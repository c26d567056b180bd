"""A folder of farms: what its ``farms.toml`` says of each, and the files and books beside it."""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Annotated, Any

from gddcast.errors import Refusal, shell
from gddcast.farms.farm import Farm
from gddcast.names import alike
from gddcast.readers.opening import bytes_of, decoded
from gddcast.readers.site_texts import texts_by_site
from gddcast.toml import rules, schema
from gddcast.toml.faults import Fault, FaultsRefusal, parsed, placed
from gddcast.toml.rules import Rule, names, number, one_of, timezone
from gddcast.toml.schema import Doc, Key, Wording
from gddcast.units import Unit
from gddcast.weather.series import Place

#: The list's own file, and the size above which it is none. [bytes]
LIST, _LARGEST = "farms.toml", 10_000_000
#: What files of temperatures end in.
ENDINGS = (".csv", ".tsv", ".tab", ".txt", ".dat", ".dly", ".xlsx", ".xlsm")

_DEGREES_NORTH = Annotated[
    float | None,
    Rule(number(-90, 90)),
    Doc("degrees, north is positive", "41.2"),
]
_DEGREES_EAST = Annotated[
    float | None,
    Rule(number(-180, 180)),
    Doc("degrees, east is positive", "-89.4"),
]
_WATCH = Annotated[
    tuple[str, ...] | None, Rule(names, write=list), Doc("cards watched", '["squash-bug"]')
]


@dataclass(frozen=True, slots=True)
class _WholePlace:
    """What holds for every farm that says nothing else."""

    latitude: _DEGREES_NORTH = None
    longitude: _DEGREES_EAST = None
    timezone: Annotated[
        str | None, Rule(timezone), Doc("decides what day it is", '"America/Chicago"')
    ] = None


@dataclass(frozen=True, slots=True)
class FarmKeys:
    """One farm, as ``[farm.NAME]`` has it."""

    key: Annotated[str, Key(None)]
    file: Annotated[str | None, Rule(rules.words), Doc("its file or folder", '"brook.csv"')] = None
    site: Annotated[
        str | None, Rule(rules.words), Doc("which site of a file of several", '"north"')
    ] = None
    unit: Annotated[
        str | None,
        Rule(one_of("F", "C", "K", "tenths-C")),
        Doc("of a file that does not say it", '"F"'),
    ] = None
    dates: Annotated[
        str | None,
        Rule(one_of("day-first", "month-first", "year-first")),
        Doc("how its numeric dates are written", '"day-first"'),
    ] = None
    latitude: _DEGREES_NORTH = None
    longitude: _DEGREES_EAST = None
    timezone: Annotated[
        str | None, Rule(timezone), Doc("decides what day it is", '"America/Chicago"')
    ] = None
    watch: _WATCH = None
    neighbour: Annotated[
        str | None, Rule(rules.words), Doc("farm that may lend its days", '"Two Ponds"')
    ] = None


@dataclass(frozen=True, slots=True)
class FarmsFile:
    """Every table and key of ``farms.toml``."""

    watch: _WATCH = None
    show: Annotated[Unit | None, Doc("F or C: what is read", '"F"')] = None
    leave_out: Annotated[
        tuple[str, ...], Rule(names, write=list), Doc("files beside it that are no farm")
    ] = ()
    place: _WholePlace = _WholePlace()
    farm: dict[str, FarmKeys] = field(default_factory=dict)


_WORDING = Wording(
    unknown=lambda path: f"a {'table' if len(path) == 1 else 'key'} nobody knows",
    take_away="Take it away, or use one that is known.",
    no_table=lambda path, _: (
        "a value", "a table", f"Write [{'.'.join(map(str, path))}] on a line of its own."
    ),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class FarmsList:
    """The farms of a folder, or the sites of one file.

    Parameters
    ----------
    folder : Path
        From which the farms' files are named.
    farms : tuple of Farm
        As listed, then those that only stand in the folder, by name.
    watch : tuple of str, optional
        Cards watched where a farm names none.
    show : {"F", "C"}, optional
        What is read.
    place : Place
        The list's own: what holds where a farm says nothing else.
    """

    folder: Path
    farms: tuple[Farm, ...]
    watch: tuple[str, ...] | None
    show: Unit | None
    place: Place

    def named(self, name: str) -> Farm:
        """The farm of a name, in whatever case.

        Raises
        ------
        Refusal
            If there is none.
        """
        for farm in self.farms:
            if alike(farm.name) == alike(name):
                return farm
        known = [each.name for each in self.farms]
        near = rules.near(name, known)
        raise Refusal(
            f"the farm '{name}'", f"{self.folder} has no farm of that name",
            f"It has {', '.join(known[:12])}{' …' if len(known) > 12 else ''}.",
            f"Did you mean {shell(near)}?" if near else "Name one of these.", slug="no-such-farm",
        )  # fmt: skip


def holds_farms(path: Path) -> bool:
    """Whether a path is a folder of farms and no season book."""
    if not path.is_dir() or _is_book(path):
        return False
    return (path / LIST).is_file() or any(True for _ in _beside(path, ()))


def read_farms(path: str | Path) -> FarmsList:
    """The farms of a folder, or the sites of one file that holds several.

    A fault in one farm's table is that farm's; any other fault of the list is the list's.

    Raises
    ------
    Refusal
        If there is no such folder, no farm in it, or its list can't be read.
    """
    path = Path(path)
    if path.is_file():
        return _sites_of(path)
    if not path.is_dir():
        raise Refusal(
            str(path), "there is no such folder", "A folder of farms is expected.",
            "Check the name and the folder you are in.", slug="no-farms",
        )  # fmt: skip
    file, faulty = _listed(path / LIST)
    place = Place(path.resolve().name, file.place.latitude, file.place.longitude,
                  timezone=file.place.timezone)  # fmt: skip
    listed = [_farm(path, name, table, place) for name, table in file.farm.items()]
    listed += [Farm(name, place, name, fault=fault) for name, fault in faulty.items()]
    named = (table.file for table in file.farm.values() if table.file)
    known = {_letters(each) for each in (*named, *(each.file for each in listed), *file.leave_out)}
    for found in _beside(path, known):
        called = {alike(each.name) for each in listed}
        name = found.stem if found.is_file() else found.name
        if found.is_file() and _is_book(path / name):
            continue  # what that book's weather came from
        name = found.name if alike(name) in called else name
        listed.append(
            replace(_farm(path, name, FarmKeys(name, found.name), place), is_listed=False)
        )
    if not listed:
        raise Refusal(
            str(path), "no farm stands in it",
            "A farm is a file of temperatures, or a season book in a folder of its own.",
            f"Make the list:  {shell('gddcast', 'farms', 'setup', path, '--from', 'list.csv')}",
            slug="no-farms",
        )  # fmt: skip
    return FarmsList(path, tuple(listed), file.watch, file.show, place)


def _listed(file: Path) -> tuple[FarmsFile, Mapping[str, Refusal]]:
    """What the list says, and the faults of single farms by name."""
    if not file.exists():
        return FarmsFile(), {}
    try:
        text = bytes_of(file, _LARGEST).decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError:
        raise _unreadable(file, "it is not UTF-8 text") from None
    except OSError as error:
        raise _unreadable(file, (error.strerror or "it can’t be read").lower()) from None
    document = parsed(text, 'show = "F"')
    if isinstance(document, Fault):
        raise _faulty(placed([document], str(file), text, {}))
    try:
        return schema.record(FarmsFile, document), {}
    except (ValueError, TypeError, AttributeError):
        faults, _ = schema.faults(FarmsFile, document, _WORDING)
        found = placed(faults, str(file), text, document)
    of_farms = {str(each.path[1]) for each in found
                if each.path[0] == "farm" and len(each.path) > 1}  # fmt: skip
    rest = [each for each in found if not (len(each.path) > 1 and each.path[0] == "farm")]
    if rest:
        raise _faulty(found)
    sound = {**document, "farm": {name: table for name, table in document["farm"].items()
                                  if name not in of_farms}}  # fmt: skip
    refusals = {
        name: _faulty([each for each in found if each.path[1] == name]) for name in of_farms
    }
    return schema.record(FarmsFile, sound), refusals


def table_faults(name: str, table: Mapping[str, Any]) -> list[Fault]:
    """What is wrong with one farm's table."""
    document = {"farm": {name: dict(table)}}
    try:
        schema.record(FarmsFile, document)
    except (ValueError, TypeError, AttributeError):
        return schema.faults(FarmsFile, document, _WORDING)[0]
    return []


def list_text(
    whole: Mapping[str, Any], place: Mapping[str, Any], farms: Mapping[str, Mapping[str, Any]]
) -> str:
    """The text of a ``farms.toml``: its own keys, its place, a table a farm; what is None is not.

    Examples
    --------
    >>> print(list_text({"show": "F"}, {}, {"Two Ponds": {"file": "ponds.csv"}}))
    # One table a farm. Change what you like in any text editor.
    show = "F"
    <BLANKLINE>
    [farm."Two Ponds"]
    file = "ponds.csv"
    <BLANKLINE>
    """
    lines = ["# One table a farm. Change what you like in any text editor."]
    lines += _lines(whole)
    if said := _lines(place):
        lines += ["", "[place]", *said]
    for name, table in farms.items():
        lines += ["", f"[farm.{json.dumps(name, ensure_ascii=False)}]", *_lines(table)]
    return "\n".join(lines) + "\n"


def _lines(table: Mapping[str, Any]) -> list[str]:
    """What stands in a table; words and lists as JSON are words and lists of TOML."""
    said = {key: value for key, value in table.items() if value is not None}
    return [f"{key} = {json.dumps(value, ensure_ascii=False)}" for key, value in said.items()]


def _unreadable(file: Path, problem: str) -> Refusal:
    return Refusal(
        str(file), problem, "It lists the farms as plain text.",
        "Save it again as plain text, UTF-8.", slug="farms-list-unreadable",
    )  # fmt: skip


def _faulty(faults: list[Fault]) -> FaultsRefusal:
    return FaultsRefusal(faults, " in any text editor.", "farms-list-faults")


def _farm(folder: Path, name: str, table: FarmKeys, of_all: Place) -> Farm:
    file = table.file or _file_of(folder, name)
    if table.site is None and Path(file).suffix.casefold() in ENDINGS:
        file = _book_of(folder, file, name) or file
    latitude = of_all.latitude if table.latitude is None else table.latitude
    longitude = of_all.longitude if table.longitude is None else table.longitude
    begins = (7, 1) if latitude is not None and latitude < 0 else (1, 1)
    place = Place(name, latitude, longitude, None, table.timezone or of_all.timezone, begins)
    return Farm(
        name, place, file, _is_book(folder / file), table.site, table.unit,
        table.dates, table.watch, table.neighbour,
    )  # fmt: skip


def _file_of(folder: Path, name: str) -> str:
    """The book or file that is called as the farm is."""
    if (folder / name).is_dir():
        return name
    wanted = [f"{name}{ending}" for ending in ENDINGS]
    there = [each for each in wanted if (folder / each).is_file()] or [
        each.name for each in _beside(folder, ()) if alike(each.name) in map(alike, (name, *wanted))
    ]
    return there[0] if there else f"{name}.csv"


def _book_of(folder: Path, file: str, name: str) -> str | None:
    """The book that is called as a farm's file or the farm is: its weather came from that file."""
    books = (str(Path(file).with_suffix("")), name)
    return next((each for each in books if _is_book(folder / each)), None)


def _is_book(folder: Path) -> bool:
    """Whether a folder is a season book; one we may not look into says so when it is opened."""
    try:
        return (folder / "book.toml").is_file()
    except PermissionError:
        return True
    except OSError:  # a name that no disk takes
        return False


def _letters(name: str) -> str:
    """A file's name with its accents as one letter each; some disks part them."""
    return unicodedata.normalize("NFC", name)


def _beside(folder: Path, known: Any) -> Iterator[Path]:
    """Files of temperatures and season books in a folder that the list does not name."""
    for each in sorted(folder.iterdir(), key=lambda path: path.name.casefold()):
        if each.name.startswith((".", "~")) or _letters(each.name) in known:
            continue
        if each.is_dir():
            if _is_book(each):
                yield each
        elif each.suffix.casefold() in ENDINGS:
            yield each


def _sites_of(file: Path) -> FarmsList:
    """Every site of one file as a farm."""
    from gddcast.readers.reading import OpenQuestion, OpenQuestions
    from gddcast.readers.temperature_file import read_temperatures

    place = Place(file.stem)
    sites: Iterable[str] = site_texts_of(file)
    if not sites:
        try:
            sites = read_temperatures(file).sites
        except (OpenQuestion, OpenQuestions) as question:
            asked = (each.choices for each in question.questions if each.option == "site")
            sites = next(asked, ())
    farms = [Farm(site, Place(site), file.name, site=site) for site in sites]
    farms = farms or [Farm(file.stem, place, file.name)]
    return FarmsList(file.parent, tuple(farms), None, None, place)


def site_texts_of(file: Path) -> Mapping[str, str]:
    """The text of each site of a file, where a column is headed as a site's; else nothing."""
    try:
        return texts_by_site(decoded(bytes_of(file), file.name).text)
    except (OSError, Refusal):
        return {}  # said by what reads it
