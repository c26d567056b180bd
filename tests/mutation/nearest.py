"""Which tests stand nearest to a module: its own, then whoever imports it, then its wing."""

from __future__ import annotations

import functools
import re
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
#: The wings that are broken: what a date rests on, and what keeps it.
WINGS = ("heat", "outlook", "scouting", "book", "readers")
#: Tests that begin something large, or ask another program.
_FAR = ("benchmarks", "mutation", "faults", "pages/test_in_browser", "web/test_in_browser")


def modules(wing: str) -> list[Path]:
    """The modules of a wing, from the root."""
    found = sorted((ROOT / "gddcast" / wing).rglob("*.py"))
    return [each.relative_to(ROOT) for each in found if each.name != "__init__.py"]


def rounds(module: Path, *, wing_too: bool = False) -> list[list[str]]:
    """What is asked first, and what is asked of a break that this let pass."""
    wing = module.parts[1]
    own = [each for each in (f"tests/{wing}/test_{module.stem}.py",) if (ROOT / each).exists()]
    name = ".".join(module.with_suffix("").parts)
    imports = re.compile(
        rf"from {re.escape('.'.join(module.parts[:-1]))} import [^)]*?\b{module.stem}\b"
    )
    importers = [file for file, text in _tests() if name in text or imports.search(text)]
    if wing == "readers":
        importers.append("tests/fuzz/test_fuzz_readers.py")
    of_wing = [file for file, _ in _tests() if file.startswith(f"tests/{wing}/")]
    asked = [[*own, "--doctest-modules", str(module)], importers]
    asked += [of_wing] if wing_too or not own + importers else []
    before: set[str] = set()
    for each in asked:
        each[:] = [file for file in each if file not in before]
        before |= set(each)
    return [each for each in asked if each]


@functools.cache
def _tests() -> list[tuple[str, str]]:
    found = []
    for file in sorted((ROOT / "tests").rglob("test_*.py")):
        path = file.relative_to(ROOT).as_posix()
        if not any(f"tests/{each}" in path for each in _FAR):
            found.append((path, file.read_text(encoding="utf-8")))
    return found
