"""What gddcast needs, and what these need, as installed; a table of their licences.

python -m tests.supply.dependencies -o data/LICENCES.md     writes the table
"""

from __future__ import annotations

import argparse
import importlib.metadata as installed
import re
import tomllib
from pathlib import Path

from packaging.requirements import Requirement

ROOT = Path(__file__).parent.parent.parent
TABLE = ROOT / "data" / "LICENCES.md"
#: Licences under which a program of three clauses may use, and name, a library.
COMPATIBLE = frozenset({
    "MIT", "MIT-CMU", "BSD", "BSD-2-Clause", "BSD-3-Clause", "0BSD", "Zlib", "CC0-1.0",
    "Apache-2.0", "Apache-2.0 WITH LLVM-exception", "PSF-2.0", "MPL-2.0", "ISC",
})  # fmt: skip
_BY_CLASSIFIER = {
    "MIT License": "MIT", "BSD License": "BSD", "Apache Software License": "Apache-2.0",
    "Python Software Foundation License": "PSF-2.0",
    "Mozilla Public License 2.0 (MPL 2.0)": "MPL-2.0",
}  # fmt: skip
#: Named by no field of the package: read in the file LICENSE that it brings.
_BY_FILE = {"MIT License": "MIT", "The MIT License": "MIT"}
_HEAD = """# Licences of what gddcast uses

Made by `python -m tests.supply.dependencies` from what the packages say of themselves.
gddcast itself is under the BSD licence of three clauses.

None of these is shipped in its wheel: pip fetches each from its maker.
MPL-2.0 (certificates, unchanged) asks for nothing of a program that only uses it. The LLVM
exception takes away what Apache-2.0 asks of a program that was compiled.

| package | licence | needed for |
|---|---|---|
"""


def named(text: str) -> str:
    """A package's name as indexes compare it."""
    return re.sub(r"[-_.]+", "-", text).lower()


def wanted() -> dict[str, Requirement]:
    """What pyproject.toml asks for, pictures and grids included, by name."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = project["optional-dependencies"]
    asked = [*project["dependencies"], *extras["charts"], *extras["grid"]]
    return {named(each.name): each for each in map(Requirement, asked)}


def closure() -> dict[str, str]:
    """Every package that is installed for gddcast, and by which of its dependencies."""
    found: dict[str, str] = {}
    waiting = [(name, "gddcast") for name in wanted()]
    while waiting:
        name, of = waiting.pop(0)
        if name in found:
            continue
        try:
            needs = installed.distribution(name).requires or []
        except installed.PackageNotFoundError:
            continue  # of another system or Python
        found[name] = of
        for each in map(Requirement, needs):
            extras = ["", *(wanted()[name].extras if name in wanted() else ())]
            if each.marker is None or any(each.marker.evaluate({"extra": one}) for one in extras):
                waiting.append((named(each.name), name))
    return found


def licence(name: str) -> str:
    """What a package says its licence is; empty where it does not say."""
    about = installed.metadata(name)
    classifiers = [each.rpartition(" :: ")[2] for each in about.get_all("Classifier") or []
                   if each.startswith("License ::")]  # fmt: skip
    said = about.get("License-Expression") or about.get("License") or ""
    if set(_parts(said)) <= COMPATIBLE and said:
        return str(said)
    by = [_BY_CLASSIFIER[each] for each in classifiers if each in _BY_CLASSIFIER]
    if by:
        return by[0]
    for file in installed.files(name) or []:
        if file.name.upper().startswith("LICEN"):
            first = file.read_text(encoding="utf-8").strip().partition("\n")[0].strip()
            if first in _BY_FILE:
                return _BY_FILE[first]
    return ""


def _parts(expression: str) -> list[str]:
    return re.split(r"\s+(?:AND|OR)\s+", expression.strip("() "))


def is_compatible(said: str) -> bool:
    """Whether gddcast may use what is under this licence."""
    return bool(said) and all(each in COMPATIBLE for each in _parts(said))


def table() -> str:
    """The page of data/."""
    rows = [f"| {name} | {licence(name)} | {of} |" for name, of in sorted(closure().items())]
    return _HEAD + "\n".join(rows) + "\n"


def main() -> None:
    """Write the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("-o", type=Path, default=TABLE)
    parser.parse_args().o.write_text(table(), encoding="utf-8")


if __name__ == "__main__":
    main()
