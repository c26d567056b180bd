"""Licences of what is used, and no version with a fault that is known here."""

from __future__ import annotations

import datetime as dt
import importlib.metadata as installed
import tomllib

import pytest
from packaging.specifiers import SpecifierSet
from packaging.version import Version

from tests.supply.dependencies import ROOT, TABLE, closure, is_compatible, licence, wanted

ADVISORIES = tomllib.loads(
    (ROOT / "tests" / "supply" / "advisories.toml").read_text(encoding="utf-8")
)


@pytest.mark.parametrize("name", sorted(closure()))
def test_every_licence_is_listed_and_allows_the_use(name: str) -> None:
    said = licence(name)
    assert is_compatible(said), f"{name} is under {said!r}: may it be used?"
    assert f"| {name} | " in TABLE.read_text(encoding="utf-8"), (
        f"{name} is not in {TABLE.name}: python -m tests.supply.dependencies"
    )


@pytest.mark.parametrize(
    ("said", "fits"),
    [("MIT", True), ("Apache-2.0 OR BSD-2-Clause", True), ("GPL-3.0-only", False), ("", False),
     ("MIT AND GPL-3.0-only", False)],
)  # fmt: skip
def test_a_licence_that_does_not_fit_is_noticed(said: str, fits: bool) -> None:
    assert is_compatible(said) is fits


@pytest.mark.parametrize("advisory", ADVISORIES["advisory"], ids=lambda each: each["id"][:14])
def test_no_version_with_a_known_fault_is_allowed_or_installed(advisory: dict[str, str]) -> None:
    name, affected = advisory["package"], SpecifierSet(advisory["affects"])
    assert name in closure(), f"{name} is not used any more: take its advisory out"
    assert Version(installed.version(name)) not in affected, advisory["id"]
    if name in wanted():
        oldest = next(each.version for each in wanted()[name].specifier if each.operator == ">=")
        assert Version(oldest) not in affected, f"pyproject.toml allows {name} {oldest}"


def test_the_list_of_advisories_says_how_old_it_is() -> None:
    assert isinstance(ADVISORIES["as_of"], dt.date)
