"""Every command of the program with words that work, and where a word of theirs can go wrong."""

from __future__ import annotations

import itertools
import random
import shutil
from collections.abc import Iterator
from pathlib import Path

import click

from gddcast.book import store
from gddcast.cli import main, options
from tests.acceptance.terminal import BORER, SAMPLES, TO_JUNE, run, setting
from tests.grid.grids import planted

ON = ("--on", "2026-06-11")
#: Words that work, in the folder that `prepare` made; the program's own names stand first.
WORKS: dict[tuple[str, ...], tuple[str, ...]] = {
    ("walk",): ("garden.csv", "--watch", BORER, *ON),
    ("ahead",): ("garden.csv", "--watch", BORER, *ON),
    ("why",): ("garden.csv", BORER, "moths", *ON),
    ("saw",): (BORER, "moths", "--seen", "2026-06-10", *ON),
    ("heard",): ("squash-bug", "eggs", *ON),
    ("did",): ("sown", "cucumber", "--done", "2026-05-20", *ON),
    ("close",): (BORER, "moths", *ON),
    ("undo",): ("--yes", *ON),
    ("redo",): ON,
    ("watch", "add"): ("kale", *ON),
    ("watch", "drop"): (BORER, *ON),
    ("setup",): ("--sensor-spot", "open-shade"),
    ("weather", "add"): ("garden.csv", *ON),
    ("weather", "again"): ON,
    ("weather", "note"): ("--high", "80", "--low", "60", *ON),
    ("weather", "check"): ("garden.csv", *ON),
    ("weather", "compare"): ("garden.csv", "neighbour.csv", *ON),
    ("weather", "patch"): ("garden.csv", "-o", "patched.csv", "--force", *ON),
    ("seasons",): ("garden.csv", *ON),
    ("sow", "first"): ("garden.csv", *ON),
    ("sow", "last"): ("garden.csv", "--crop", "cucumber", *ON),
    ("sow", "plan"): ("garden.csv", "--crop", "cucumber", "--sown", "2026-05-20", *ON),
    ("tune",): (BORER, "moths", *ON),
    ("backtest",): ("garden.csv", "--pests", BORER, *ON),
    ("export",): ("out",),
    ("import",): ("copy", "--book", "again"),
    ("book", "check"): ("--book", "patch"),
    ("book", "restore"): ("book-copy-2026-06-11.sqlite", "--book", "patch"),
    ("book", "rescue"): ("saved", "--book", "patch"),
    ("pests", "check"): ("card.toml",),
    ("pests", "new"): (),
    ("pests", "overview"): (),
    ("pests", "show"): (BORER,),
    ("crops", "check"): ("card.toml",),
    ("crops", "new"): (),
    ("crops", "overview"): (),
    ("crops", "show"): ("cucumber",),
    ("heat",): ("garden.csv", "--lower", "50F", "--from", "2026-06-01", *ON),
    ("thresholds",): ("jars.csv", "--unit", "C"),
    ("calendar",): ("garden.csv", "--watch", BORER, "-o", "a.ics", "--force", *ON),
    ("sheet",): ("garden.csv", "--watch", BORER, "-o", "sheet.html", "--force", *ON),
    ("report",): ("garden.csv", "--watch", BORER, "-o", "r.html", "--force", *ON),
    ("chart", "calibration"): ("garden.csv", "--pests", BORER, "-o", "1.svg", "--force", *ON),
    ("chart", "compare"): ("garden.csv", "-o", "2.svg", "--force", *ON),
    ("chart", "day-curve"): ("--high", "90F", "--low", "60F", "--lower", "50F", "-o", "3.svg",
                             "--force"),
    ("chart", "emergence"): ("garden.csv", "--pest", "apple-maggot", "-o", "4.svg", "--force", *ON),
    ("chart", "methods"): ("--high", "90F", "--low", "60F", "--lower", "50F", "-o", "5.svg",
                           "--force"),
    ("chart", "season"): ("garden.csv", "-o", "6.svg", "--force", *ON),
    ("lesson", "day"): ("--high", "72F", "--low", "46F", "--lower", "50F"),
    ("lesson", "errors"): ("--seed", "3"),
    ("lesson", "methods"): ("garden.csv", "--from", "2026-05-01", "--to", "2026-05-31"),
    ("lesson", "season"): ("--seed", "3", "--methods"),
    ("lesson", "worksheet"): ("--seed", "3"),
    ("lesson", "class"): ("--students", "names.csv", "-o", "class.html", "--force"),
    ("lesson", "mark"): ("key.csv", "answers.csv"),
    ("lesson", "plan"): (),
    ("lesson", "quiz"): ("day",),
    ("lesson", "jars"): ("--seed", "3"),
    ("lesson", "notebooks"): ("teaching", "--force"),
    ("farms", "add"): ("farms", *ON),
    ("farms", "ahead"): ("farms", "--pest", BORER, *ON),
    ("farms", "check"): ("farms", *ON),
    ("farms", "compare"): ("farms", "--pest", BORER, *ON),
    ("farms", "did"): ("farms", "patch", "sown", "cucumber", "--done", "2026-05-20", *ON),
    ("farms", "letter"): ("farms", "--pest", BORER, "-o", "letter.html", "--force", *ON),
    ("farms", "map"): ("farms", "--pest", BORER, "-o", "map.html", "--force", *ON),
    ("farms", "patch"): ("farms", "gappy", "--from", "garden", *ON),
    ("farms", "saw"): ("farms", "patch", "none", BORER, *ON),
    ("farms", "setup"): ("farms", "--from", "list.csv", "--force"),
    ("farms", "sheets"): ("farms", "--pest", BORER, "-o", "sheets.html", "--force", *ON),
    ("farms", "visits"): ("farms", "patch", "-o", "visits.csv", "--force"),
    ("grid",): ("grid.nc", "--pest", BORER, "-o", "dates.nc", "--force"),
    ("demo",): (),
}  # fmt: skip
#: The two that ask the network.
NETWORK = {
    ("weather", "fetch"): ("--at", "41.2,-89.4", "-o", "w.csv"),
    ("weather", "stations"): ("--at", "41.2,-89.4"),
}
#: The one that runs until it is stopped; it is run whole in tests/web/test_serving.py.
SERVES = {("page",): ("--book", "patch", "--no-browser", *ON)}
#: Files and folders that are read, wrongly; each name must be refused as itself.
UNREADABLE = ("missing.csv", "folder", "bytes.csv", "empty.csv")
#: No disk has a file of this name.
TOO_LONG = "x" * 400
_READ = {
    "file",
    "files",
    "first",
    "second",
    "lender",
    "named",
    "forecasts",
    "rows",
    "key",
    "given",
    "students",
}
_WRITTEN = {"output", "picture", "table"}
#: Words of people's own, in which nothing is wrong.
_FREE = {"note", "where", "by", "bed", "variety", "name", "latin", "what", "identity", "copied_to"}
_FREE_OF = {("thresholds",): {"stage", "card"}}
_WRONG = {
    "ZONE": ("Mars/Olympus",),
    "date": ("someday", "2026-02-30", "9999-12-31"),
    "MM-DD": ("13-01", "6/7"),
    "LAT,LON": ("95,-89", "north", "nan,nan", "inf,0"),
    "choice": ("neither",),
    "integer range": ("-1",),
    "T": ("warm", "nan", "inf"),
    "float range": ("-1",),
    "N/M": ("3/2",),
}


def leaves(
    command: click.Command = main, path: tuple[str, ...] = ()
) -> Iterator[tuple[tuple[str, ...], click.Command]]:
    """Every command that is no group, by the words that call it."""
    if not isinstance(command, click.Group):
        yield path, command
        return
    context = click.Context(command)
    for name in command.list_commands(context):
        inner = command.get_command(context, name)
        assert inner is not None
        yield from leaves(inner, (*path, name))


def prepare(folder: Path) -> None:
    """What the words above name, made in the folder we are in."""
    garden = TO_JUNE.read_text(encoding="utf-8").splitlines()
    (folder / "garden.csv").write_text("\n".join(garden) + "\n", encoding="utf-8")
    two_ponds = (SAMPLES / "farm_two_ponds_f.csv").read_text(encoding="utf-8")
    (folder / "neighbour.csv").write_text(two_ponds, encoding="utf-8")
    (folder / "jars.csv").write_text(
        "temperature,days\n18,28.2\n21.5,21.6\n25,16.1\n28,15.0\n", encoding="utf-8"
    )
    (folder / "names.csv").write_text("student\nAda Finch\nBen Oak\n", encoding="utf-8")
    (folder / "key.csv").write_text(
        "fault,first line,last line,seed,unit\nspike,9,9,3,F\n", encoding="utf-8"
    )
    (folder / "answers.csv").write_text("student,line\nAda Finch,9\n", encoding="utf-8")
    card = Path(__file__).parents[2] / "data" / "pests" / f"{BORER}.toml"
    (folder / "card.toml").write_bytes(card.read_bytes())
    (folder / "folder").mkdir()
    (folder / "bytes.csv").write_bytes(random.Random(1).randbytes(4000))
    (folder / "empty.csv").write_bytes(b"")
    run("setup", "--book", str(folder / "patch"), "--name", "Patch", "--at", "41.2,-89.4",
        "--timezone", "America/Chicago", "--show", "F", "--no-input")  # fmt: skip
    setting(folder / "patch", "watch = []", f'watch = ["{BORER}"]')
    run("weather", "add", str(folder / "garden.csv"), "--book", str(folder / "patch"), *ON)
    run("export", str(folder / "copy"), "--book", str(folder / "patch"))
    store.copy(folder / "patch" / "book.sqlite", folder / "patch" / "book-copy-2026-06-11.sqlite")
    farms = folder / "farms"
    farms.mkdir()
    shutil.copytree(folder / "patch", farms / "patch")
    for name in ("garden.csv", "neighbour.csv"):
        shutil.copy(folder / name, farms)
    gappy = "\n".join([*garden[:-300], *garden[-290:]]) + "\n"
    (farms / "gappy.csv").write_text(gappy, encoding="utf-8")
    planted(1).to_netcdf(folder / "grid.nc")
    (folder / "list.csv").write_text("name,file\ngarden,garden.csv\n", encoding="utf-8")


def wrong(path: tuple[str, ...], command: click.Command) -> Iterator[tuple[str, ...]]:
    """The words of a command with one of them wrong."""
    works = (*path, *{**WORKS, **NETWORK, **SERVES}[path])
    for parameter in command.params:
        name = parameter.name or ""
        flag = parameter.opts[0] if isinstance(parameter, click.Option) else None
        values = _wrong_values(path, parameter)
        if isinstance(parameter.type, options.FilePath):
            values = (*values, TOO_LONG)
        for value in values:
            if flag is not None:
                yield (*works, flag, *itertools.repeat(value, parameter.nargs))
            elif name in _READ and "garden.csv" in works:
                place = works.index("neighbour.csv" if name == "second" else "garden.csv")
                yield (*works[:place], value, *works[place + 1 :])
            else:
                first = len(path) + [
                    each.name for each in command.params if isinstance(each, click.Argument)
                ].index(name)
                if first < len(works) and not works[first].startswith("-"):
                    yield (*works[:first], value, *works[first + 1 :])


def _wrong_values(path: tuple[str, ...], parameter: click.Parameter) -> tuple[str, ...]:
    kind, name = parameter.type, parameter.name
    if name == "book_folder":
        return () if path == ("import",) else ("no-such-book", "folder", "garden.csv")
    if name in _READ:
        return UNREADABLE
    if name in _WRITTEN:
        return ("no/such/folder/a.html", "folder")
    if name == "folder" and path[0] == "farms" and path != ("farms", "setup"):
        return ("missing", "folder")  # one file of several sites is a list of farms
    if name in ("cards_folder", "folder"):
        return ("garden.csv",) if path == ("export",) else ("missing", "garden.csv")
    if isinstance(kind, click.types.StringParamType) and name not in _FREE | _FREE_OF.get(
        path, set()
    ):
        return ("unicorn",)
    return _WRONG.get(kind.name, ())
