"""The house stands: imports point down, words and garden touch nothing, and starting is quick."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "gddcast"

# Each floor in the order its wings may know one another: a wing imports from lower floors and
# from earlier names of its own. A folder is one wing, so folders cannot run in a circle.
FLOORS: tuple[tuple[str, ...], ...] = (
    ("errors", "commits", "units", "limits", "names", "words", "day_words", "toml"),
    (
        "cards", "weather", "heat", "journal", "quality", "outlook", "skill", "scouting", "crops",
        "rearing", "lessons", "today", "farms", "text",
    ),
    ("output_file", "readers", "book", "online", "cache", "draw", "pages", "grid"),
    ("web", "cli", "__main__"),
)  # fmt: skip
DOORS = 2
#: Rooms that know nothing but arrays and what is said when they cannot go on.
ARITHMETIC = (
    "heat/shapes.py", "heat/cutoffs.py", "heat/daily.py", "heat/thermal_time.py", "skill/scores.py",
)  # fmt: skip
#: Doors do not know each other, but for a page, which shows drawings, and the writer of files.
KNOWN_DOORS = {"pages": ("draw",), "online": ("output_file",)}
FACES = ("__init__",)  # the package's own face names every room and loads none
FLOOR_OF = {room: level for level, rooms in enumerate(FLOORS) for room in rooms}
WORLD = {"open", "print", "input", "__import__", "exec", "eval"}
WORLDLY_MODULES = {"os", "sys", "socket", "pathlib", "sqlite3", "requests", "subprocess", "time"}
ALLOWED_WORLDLY = {"heat": {"sys"}}  # asks whether pandas is loaded; loads nothing
HEAVY = (
    "pandas", "scipy", "pydantic", "matplotlib", "meteostat", "requests", "xarray", "jinja2",
    "markupsafe", "starlette", "uvicorn", "segno", "dask", "zarr", "netCDF4", "cftime", "numba",
)  # fmt: skip


def _files() -> Iterator[tuple[str, Path]]:
    for path in sorted(PACKAGE.rglob("*.py")):
        yield path.relative_to(PACKAGE).parts[0].removesuffix(".py"), path


def _imports(tree: ast.AST) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module and node.level == 0:
            if node.module == "gddcast":
                yield from (f"gddcast.{alias.name}" for alias in node.names)
            else:
                yield node.module


@pytest.mark.parametrize(
    ("room", "path"),
    [pytest.param(*each, id=str(each[1].relative_to(PACKAGE))) for each in _files()],
)
def test_a_room_knows_only_what_lies_below(room: str, path: Path) -> None:
    """Imports point down, or to an earlier name on the same floor; every room has a floor."""
    if room in FACES:
        return
    assert room in FLOOR_OF, f"{path.name} stands on no floor: give it one in tests/test_floors.py"
    level, place = FLOOR_OF[room], FLOORS[FLOOR_OF[room]].index(room)
    for module in _imports(ast.parse(path.read_text(encoding="utf-8"))):
        parts = module.split(".")
        if parts[0] != "gddcast" or len(parts) == 1 or parts[1] in (room, "__version__"):
            continue
        other = parts[1]
        assert other in FLOOR_OF, f"{path.name} imports {module}, which stands on no floor"
        if FLOOR_OF[other] == level == DOORS:
            known = other in KNOWN_DOORS.get(room, ())
            assert known, f"{room} does not know that door: {path.name} imports {module}"
        below = (FLOOR_OF[other], FLOORS[FLOOR_OF[other]].index(other)) < (level, place)
        assert below, f"{path.name} imports {module}, which lies above it"


@pytest.mark.parametrize(
    ("room", "path"),
    [
        pytest.param(*each, id=str(each[1].relative_to(PACKAGE)))
        for each in _files()
        if FLOOR_OF.get(each[0], 9) < DOORS
    ],
)
def test_words_and_garden_touch_no_file_clock_or_screen(room: str, path: Path) -> None:
    """The same arguments give the same answer, so there is nothing to read it from."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    for module in _imports(tree):
        name = module.split(".")[0]
        allowed = ALLOWED_WORLDLY.get(room, set())
        assert name not in WORLDLY_MODULES - allowed, f"{path.name} imports {name}"
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            assert node.func.id not in WORLD, f"{path.name} calls {node.func.id}()"
        if isinstance(node, ast.Attribute):
            assert node.attr not in ("today", "now", "utcnow", "environ") or not _is_clock(node), (
                f"{path.name} asks the clock or the environment"
            )


@pytest.mark.parametrize("room", ARITHMETIC)
def test_arithmetic_knows_arrays_only(room: str) -> None:
    """The sums can be read, and lifted out, without the garden."""
    tree = ast.parse((PACKAGE / room).read_text(encoding="utf-8"))
    ours = {module for module in _imports(tree) if module.startswith("gddcast")}
    rooms = {f"gddcast.{each.removesuffix('.py').replace('/', '.')}" for each in ARITHMETIC}
    assert ours <= {"gddcast.errors", *rooms}


@pytest.mark.parametrize("wing", sorted({path.parent for _, path in _files()}))
def test_every_wing_says_what_it_knows(wing: Path) -> None:
    """A stranger opens the door and reads a sentence."""
    text = ast.get_docstring(ast.parse((wing / "__init__.py").read_text(encoding="utf-8")))
    assert text is not None
    assert len(text.split()) >= 5


def _is_clock(node: ast.Attribute) -> bool:
    text = ast.unparse(node.value)
    return text in ("dt.date", "dt.datetime", "datetime", "date", "datetime.datetime", "os")


@pytest.mark.parametrize(
    ("room", "path"),
    [
        pytest.param(*each, id=str(each[1].relative_to(PACKAGE)))
        for each in _files()
        if FLOOR_OF.get(each[0], 9) < DOORS or each[0] in ("cli", "draw", "pages")
    ],
)
def test_heavy_imports_stand_inside_functions(room: str, path: Path) -> None:
    """Nobody waits for what they do not use."""
    for node in ast.parse(path.read_text(encoding="utf-8")).body:
        for module in _imports(node) if isinstance(node, ast.Import | ast.ImportFrom) else ():
            assert not module.startswith(HEAVY), f"{path.name} imports {module} at its top"


def _loaded_by(code: str) -> set[str]:
    program = f"import sys; {code}; print(*sys.modules)"
    run = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    return {name.split(".")[0] for name in run.stdout.splitlines()[-1].split()}


def test_importing_gddcast_loads_no_heavy_library() -> None:
    """A calculator needs NumPy alone."""
    loaded = _loaded_by("import gddcast; gddcast.degree_days(46, 72, lower=50)")
    assert "numpy" in loaded
    assert not loaded & set(HEAVY)


def test_help_does_not_even_load_numpy() -> None:
    """``--help`` waits for the command library only."""
    loaded = _loaded_by("from gddcast.cli import main; main(['--help'], standalone_mode=False)")
    assert "click" in loaded
    assert not loaded & {"numpy", *HEAVY}


def test_every_public_name_exists_and_is_listed() -> None:
    """``__all__`` is what ``from gddcast import *`` gives."""
    import gddcast

    for name in gddcast.__all__:
        assert getattr(gddcast, name) is not None
        assert name in dir(gddcast)
    with pytest.raises(AttributeError, match="no attribute 'squash'"):
        _ = gddcast.squash


def test_the_builders_page_names_rooms_that_stand() -> None:
    """A stranger who looks for the upper cut-off is sent to a file, and every wing is named."""
    page = (PACKAGE.parent / "DEVELOPERS.md").read_text(encoding="utf-8")
    named = [each for each in re.findall(r"`((?:\w+/)+\w*(?:\.\w+)?)`", page) if each.islower()]
    assert len(named) > 30
    for name in named:
        places = [root / name for root in (PACKAGE, PACKAGE.parent)]
        assert any(each.exists() or each.with_suffix(".py").exists() for each in places), name
    for wing in FLOOR_OF:
        assert re.search(rf"\b{wing}\b", page), wing
