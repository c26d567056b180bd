"""Every HTML page the program makes, each by the command that makes it: a new page is one line."""

from __future__ import annotations

import csv
import datetime as dt
import shutil
from pathlib import Path

from click.testing import CliRunner

from gddcast.cli import main
from gddcast.readers.opening import data_folder
from tests.farms.twelve import laid_out, twelve

SAMPLES = Path(__file__).parents[1] / "samples"
_HALF_A_YEAR = dt.timedelta(weeks=26)
#: Honěk et al. (2003), as in tests/published/rearing_jars.csv.
_JARS = "temperature_C,days\n18,28.2\n21.5,21.6\n25,16.1\n28,15.0\n"
_ON = ("--on", "2026-06-11")
_WATCH = ("--watch", "squash-vine-borer,squash-bug")

#: Words of the command, without its ``-o``; files are those `make_inputs` lays out.
PAGES: dict[str, tuple[str, ...]] = {
    "report of a file": ("report", "garden.csv", *_ON),
    "report of a watch list": ("report", "garden.csv", *_WATCH, *_ON),
    "report on one side": ("report", "--book", "demo", *_ON, "--paper", "letter"),
    "report in °C": ("report", "garden.csv", *_WATCH, *_ON, "--show", "C"),
    "report of the demo book": ("report", "--book", "demo", *_ON),
    "report at the end of summer": ("report", "--book", "demo", "--on", "2025-08-20"),
    "report in winter": ("report", "--book", "demo", "--on", "2026-01-02"),
    "report of a southern place": (
        "report", "south.csv", "--at=-38,145", "--on", "2025-12-10", *_WATCH,
    ),
    "report of three years": ("report", "young.csv", *_ON),
    "report of one season": ("report", "newborn.csv", *_WATCH, *_ON),
    "report of a faulty record": ("report", "faulty.csv", *_WATCH, *_ON),
    "my year of the demo book": ("report", "--book", "demo", "--year", "2025", *_ON),
    "my year of a southern place": (
        "report", "south.csv", "--at=-38,145", "--on", "2025-12-10", "--year", "2024", *_WATCH,
    ),
    "report of days from a model": ("report", "model.csv", *_WATCH, *_ON),
    "sheet of a file": ("sheet", "garden.csv", *_WATCH, *_ON),
    "sheet of every card": ("sheet", "garden.csv", *_ON),
    "sheet of the demo book": ("sheet", "--book", "demo", *_ON),
    "sheet at the end of summer": ("sheet", "--book", "demo", "--on", "2025-08-20"),
    "sheet in big print": ("sheet", "--book", "demo", *_ON, "--large", "--paper", "letter"),
    "sheet of one season": ("sheet", "newborn.csv", *_WATCH, *_ON),
    "worked day": (
        "lesson", "day", "--high", "95", "--low", "70", "--lower", "50", "--upper", "86",
        "--unit", "F",
    ),
    "worksheet": ("lesson", "worksheet", "--seed", "7"),
    "worksheet in °C": ("lesson", "worksheet", "--seed", "7", "--unit", "C", "--paper", "letter"),
    "its answers": ("lesson", "worksheet", "--seed", "7", "--answers"),
    "sheet with an upper threshold": ("lesson", "worksheet", "--seed", "7", "--form", "upper"),
    "sheet of a date": ("lesson", "worksheet", "--seed", "7", "--form", "date"),
    "sheet of a find": ("lesson", "worksheet", "--seed", "7", "--form", "biofix"),
    "sheet of cards": ("lesson", "worksheet", "--seed", "7", "--form", "card"),
    "sheets of a class": ("lesson", "class", "--students", "names.csv"),
    "quiz": ("lesson", "quiz", "day"),
    "answers to a quiz": ("lesson", "quiz", "jars", "--answers"),
    "plan of a lesson": ("lesson", "plan"),
    "rearing jars": ("thresholds", "jars.csv"),
    "letter of farms": ("farms", "letter", "twelve", *_ON),
    "letter of farms by name": (
        "farms", "letter", "twelve", "--names", "--paper", "letter", "--on", "2026-06-16",
    ),
    "map of farms": ("farms", "map", "twelve", *_ON),
    "map of farms without a date": ("farms", "map", "twelve", "--on", "2026-06-25"),
    "sheets of farms": ("farms", "sheets", "twelve", *_ON),
}  # fmt: skip


def make_inputs(folder: Path) -> None:
    """Lay the inputs of all pages into a folder."""
    garden = SAMPLES / "larkhollow_2014_2026_f.csv"
    shutil.copy(garden, folder / "garden.csv")
    (folder / "jars.csv").write_text(_JARS, encoding="utf-8")
    (folder / "names.csv").write_text("Ada Finch\nBen Oak\n", encoding="utf-8")
    with garden.open(encoding="utf-8") as file:
        head, *rows = csv.reader(file)
    _write(folder / "young.csv", head, [row for row in rows if row[0] >= "2023"])
    _write(folder / "newborn.csv", head, [row for row in rows if row[0] >= "2026"])
    half_a_year_on = [[_later(day), *readings] for day, *readings in rows]
    _write(folder / "south.csv", head, [row for row in half_a_year_on if row[0] < "2025-12-10"])
    _write(folder / "faulty.csv", head, list(_with_faults(rows)))
    _write(
        folder / "model.csv", [*head, "origin"],
        [[*row, "model" if row[0] > "2026-06-01" else "measured"] for row in rows],
    )  # fmt: skip
    laid_out(twelve(folder / "twelve"))
    made("import", str(data_folder() / "demo"), "--book", str(folder / "demo"))
    made("weather", "add", str(data_folder() / "demo" / "weather.csv"),
         "--book", str(folder / "demo"), *_ON)  # fmt: skip


def make_page(name: str, folder: Path) -> Path:
    """Make one page from the inputs in a folder; every bare file name means a file of it."""
    words = [str(folder / word) if (folder / word).exists() else word for word in PAGES[name]]
    page = folder / f"{name.replace(' ', '-')}.html"
    made(*words, "-o", str(page))
    return page


def made(*words: str) -> None:
    """Run a command that has to succeed."""
    run = CliRunner().invoke(main, words)
    assert run.exit_code == 0, f"{' '.join(words)}: {run.stderr or run.exception}"


def _later(day: str) -> str:
    return (dt.date.fromisoformat(day) + _HALF_A_YEAR).isoformat()


def _with_faults(rows: list[list[str]]) -> list[list[str]]:
    """Two weeks missing, three days missing, one spike, ten days stuck, a thin season long ago."""
    kept = [
        row
        for row in rows
        if not "2026-05-03" <= row[0] <= "2026-05-05"
        and not "2024-07-01" <= row[0] <= "2024-07-14"
        and not "2016-03-01" <= row[0] <= "2016-05-30"
    ]
    for row in kept:
        if row[0] == "2025-06-20":
            row[1] = "155"
        if "2026-05-20" <= row[0] <= "2026-05-29":
            row[1] = "84"
    return kept


def _write(path: Path, head: list[str], rows: list[list[str]]) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([head, *rows])
